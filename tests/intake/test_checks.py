"""Every check finds what it is for in the smallest files, finds nothing without it, and can be switched."""

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import combinations_with_replacement
from pathlib import Path

import pandas as pd
import pytest
from check_examples import EXAMPLES, Files

from explorer.analysis.duplicates import relative_percent_difference
from explorer.intake.check_in import check_in
from explorer.intake.check_settings import settled_checks
from explorer.intake.checks import CHECKS
from explorer.intake.value_checks import POSSIBLE
from explorer.model.check_in import CheckIn
from explorer.model.errors import ProgrammeError
from explorer.model.programme_text import read_programme
from explorer.model.quantities import QUANTITIES
from explorer.model.words import say
from explorer.records.opening import open_record
from explorer.records.record import Record

TODAY = date(2025, 12, 31)


def look(files: Files, record: Record, settings: str = "") -> CheckIn:
    programme = read_programme(settings) if settings else None
    found = check_in({name: text.encode() for name, text in files.items()}, record, programme, today=TODAY)
    assert found.account.adds_up
    assert all(str(problem) for problem in found.problems)
    return found


@pytest.fixture(scope="module")
def record(county_file: Path) -> Iterator[Record]:
    """Looking writes nothing: one record for all."""
    opened = open_record(county_file)
    yield opened
    assert opened.version() == 1
    opened.close()


@pytest.fixture(scope="module")
def found(record: Record) -> Callable[[str], CheckIn]:
    """Look at the files in which a check finds something, once for all tests."""
    return cache(lambda code: look(EXAMPLES[code].finds, record))


def switched_off(checks: Iterable[str]) -> str:
    return "[checks]\nswitched_off = [" + ", ".join(f'"{code}"' for code in checks) + "]\n"


def codes(found: CheckIn) -> set[str]:
    return {problem.code for problem in found.problems}


def test_water_below_the_surface_is_not_held_against_the_surface(record):
    cast = "Station,Date,Depth (m),Temp (C)\nCL1,2025-06-10,0.5,18\nCL1,2025-06-10,9,1.5\n"
    found = look({"probe.csv": cast}, record)
    assert "factor_of_ten" not in codes(found)
    assert len(found.accepted) == 2


def test_every_check_has_its_examples():
    assert set(EXAMPLES) == set(CHECKS)


@pytest.mark.parametrize("code", CHECKS)
def test_check_finds_what_it_is_for(code, found):
    problem = next((each for each in found(code).problems if each.code == code), None)
    assert problem is not None, [str(each) for each in found(code).problems]
    assert problem.severity == CHECKS[code].severity
    assert problem.source.row > 0


@pytest.mark.parametrize("code", CHECKS)
def test_check_finds_nothing_where_there_is_nothing(code, record):
    found = look(EXAMPLES[code].passes, record, switched_off(each for each in CHECKS if each != code))
    assert code not in codes(found), [str(each) for each in found.problems]
    assert len(found.accepted), "nothing was read: the example would prove nothing"


@pytest.mark.parametrize("code", [code for code, check in CHECKS.items() if check.severity == "hold"])
def test_what_a_check_holds_waits_with_its_reason(code, found):
    assert set(found(code).held["reason"]) <= codes(found(code))
    if code != "volumes_do_not_add":  # its results have not come yet
        assert len(found(code).held)
        assert found(code).account.held


@pytest.mark.parametrize("code", [code for code, check in CHECKS.items() if check.severity == "refuse"])
def test_what_a_check_refuses_does_not_land(code, found):
    assert code in set(found(code).refused["reason"])
    assert found(code).account.refused == len(found(code).refused)


@pytest.mark.parametrize("code", CHECKS)
def test_check_has_its_words_its_source_and_takes_its_settings(code):
    check = CHECKS[code]
    assert check.source
    assert check.look.__name__ == code
    assert say(f"check.{code}")
    own = {code: {"severity": "note", **dict.fromkeys(check.limits, 7)}}
    settled = next(each for each in settled_checks(own, CHECKS) if each.code == code)
    assert settled.severity == "note"
    assert settled.limits == dict.fromkeys(check.limits, 7.0)
    assert code not in {each.code for each in settled_checks({"switched_off": [code]}, CHECKS)}


def test_check_that_is_switched_off_finds_nothing(record):
    found = look(EXAMPLES["deeper_than_bottom"].finds, record, switched_off(CHECKS))
    assert not codes(found) & set(CHECKS)


def test_check_whose_severity_is_a_note_holds_nothing(record):
    files = EXAMPLES["holding_time_exceeded"].finds
    found = look(files, record, '[checks.holding_time_exceeded]\nseverity = "note"\n')
    assert found.held.empty
    assert "holding_time_exceeded" in codes(found)


def test_limit_of_a_programme_counts(record):
    files = EXAMPLES["same_value_again"].finds
    assert "same_value_again" not in codes(look(files, record, "[checks.same_value_again]\ntimes = 5\n"))


def test_plan_gives_the_holding_time_of_a_frozen_bottle(record):
    files = {**EXAMPLES["sample_not_on_sheet"].passes}
    settings = """
        [[quality.holding_times]]
        quantity = "total_phosphorus"
        container = "bottle"
        preservation = "frozen"
        days = 5
        source = "Plan of 2024"
    """
    assert "holding_time_exceeded" not in codes(look(files, record))
    found = look(files, record, settings)
    assert "Plan of 2024" in str(next(p for p in found.problems if p.code == "holding_time_exceeded"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[checks.deeper_than_botom]\nx = 1", 'there is no such check. Did you mean "deeper_than_bottom"'),
        ("[checks.same_value_again]\ntime = 1", 'no such limit of this check. Did you mean "times"'),
        ('[checks.same_value_again]\ntimes = "5"', "Write a number"),
        ('[checks.same_value_again]\nseverity = "holds"', 'no such severity. Did you mean "hold"'),
        ('[checks]\nswitched_off = "all"', "Write a list of checks"),
        ("[checks]\nsame_value_again = 5", r"write a table \[checks.same_value_again\]"),
    ],
)
def test_wrong_settings_are_named(text, said):
    with pytest.raises(ProgrammeError, match=said):
        list(settled_checks(tomllib.loads(text)["checks"], CHECKS))


KINDS = {
    "sheet": "Station,Date,Secchi (m)\nCL1,2025-06-01,4.0\n",
    "freezer": "container,in\n250014-1,2025-06-01\n",
    "laboratory": "Sample,TP (ug/L)\n250014-1,25\n",
    "extracts": "Sample,664b,665a,Extract (mL),Path (cm)\n250014-2,0.3,0.2,10,1\n",
    "probe": "Station,Date,z (m),ODO (mg/L)\nCL1,2025-06-01,1,8\n",
    "nothing": "",
}


@pytest.mark.parametrize(("first", "second"), [*combinations_with_replacement(KINDS, 2)])
def test_every_check_bears_any_kinds_of_files_together(first, second, record):
    found = look({"first.csv": KINDS[first], "second.csv": KINDS[second]}, record)
    assert found.account.adds_up


def test_relative_percent_difference_agrees_with_the_printed_rule():
    table = pd.read_csv("tests/published/data_quality_rules.csv").set_index("id")
    found = relative_percent_difference(pd.Series([10.0, 0.0]), pd.Series([12.0, 0.0]))
    assert found[0] == pytest.approx(float(table.loc["DQ26", "value"]), abs=5e-5)
    assert pd.isna(found[1])
    assert table.loc["DQ27", "value"] == "undefined"


def test_published_limits_are_those_that_are_used():
    table = pd.read_csv("tests/published/data_quality_rules.csv").set_index("id")
    programme = read_programme("")
    assert programme.quality.holding_time("chlorophyll_a").days == float(table.loc["DQ14", "value"]) * 7
    cool = replace(programme.quality, bottle="acidified and cooled")
    assert cool.holding_time("total_phosphorus").days == float(table.loc["DQ01", "value"])
    assert programme.quality.duplicate_limit_percent == float(table.loc["DQ20", "value"])


@pytest.mark.parametrize(
    ("rule", "quantity", "ranges"),
    [
        ("DQ28", "ph", POSSIBLE),
        ("DQ29", "oxygen_saturation", {code: each.plausible for code, each in QUANTITIES.items()}),
        ("DQ30", "water_temperature", POSSIBLE),
    ],
)
def test_ranges_are_those_of_common_practice(rule, quantity, ranges):
    table = pd.read_csv("tests/published/data_quality_rules.csv", dtype=str).set_index("id")
    low, high = re.fullmatch(r"(-?[\d.]+)(?: to |-)([\d.]+)", table.loc[rule, "value"]).groups()
    assert ranges[quantity] == (float(low), float(high))


def test_no_disk_is_seen_deeper_than_the_deepest_reading_of_a_lake():
    table = pd.read_csv("tests/published/data_quality_rules.csv", dtype=str).set_index("id")
    deepest_m = float(re.search(r"about (\d+) m", table.loc["DQ31", "note"])[1])
    assert deepest_m <= POSSIBLE["secchi_depth"][1] <= deepest_m + 1
