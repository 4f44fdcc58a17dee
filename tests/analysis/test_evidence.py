"""Each line of evidence: what it needs, what it says, and that nothing but the record decides it."""

# ruff: noqa: PD011

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.analysis.departure_scope import reach
from explorer.analysis.departures import departures
from explorer.analysis.evidence import explain
from explorer.analysis.evidence_laboratory import batch_lines, handling_lines, volume_line
from explorer.analysis.evidence_reading import (
    bottom_lines,
    factor_lines,
    is_too_deep,
    observer_line,
    repeated_line,
)
from explorer.analysis.evidence_record import Surroundings
from explorer.analysis.evidence_water import (
    agreement,
    reach_lines,
    season_line,
    together_line,
    weather_line,
)
from explorer.analysis.next_steps import next_step
from explorer.model.errors import ExplorerError
from explorer.model.evidence import (
    EVIDENCE_CODES,
    NEXT_STEPS,
    Amount,
    Departure,
    Evidence,
    evidence_sentence,
)
from explorer.model.quality_rules import HoldingTime
from explorer.model.quantities import QUANTITIES, Quantity
from explorer.model.words import say, word_codes

from .districts import FOOT_M, District, make_district
from .stories import STORIES

NAN = float("nan")
FORBIDDEN = set((Path(__file__).parents[1] / "forbidden_words.txt").read_text().split())


@pytest.fixture(scope="module")
def district() -> District:
    return make_district(11, waters=6, years=14)


def one_reading(district: District, quantity: str, day: int = 300) -> int:
    """The row of one measured routine reading well inside the record."""
    readings = district.readings
    chosen = (
        (readings["quantity"] == quantity)
        & (readings["sample_type"] == "routine")
        & (readings["sign"] == "=")
    )
    return int(readings.index[chosen][day % chosen.sum()])


def told(district: District, row: int | None = None) -> tuple[Departure, ...]:
    found = departures(district.readings, district.programme)
    ids = None if row is None else [district.readings.loc[row, "reading_id"]]
    return explain(
        district.readings,
        found,
        district.stations,
        district.programme,
        visits=district.visits,
        reading_ids=ids,
    )


def changed(district: District, row: int, **columns: object) -> District:
    readings = district.readings.copy()
    if "value" in columns:
        columns = {"as_written": f"{columns['value']:g}", **columns}
    for name, value in columns.items():
        readings.loc[row, name] = value
    return replace(district, readings=readings)


def line(district: District, row: int, code: str) -> Evidence | None:
    (departure,) = told(district, row)
    return next((each for each in departure.evidence if each.code == code), None)


def times(district: District, row: int, factor: float, **columns: object) -> District:
    return changed(district, row, value=float(district.readings.loc[row, "value"]) * factor, **columns)


def test_feet_are_told_from_the_number_as_written(district):
    """A number too high under metres can be feet; a number too low under metres cannot."""
    row = one_reading(district, "secchi_depth")
    high, low = times(district, row, 1 / FOOT_M), times(district, row, FOOT_M)
    assert line(high, row, "feet").verdict == "for"
    assert line(low, row, "feet") is None
    in_feet = changed(low, row, as_written=str(low.readings.loc[row, "value"] / FOOT_M))
    assert line(in_feet, row, "feet").verdict == "for"
    unreadable = changed(low, row, as_written="two and a bit")
    assert line(unreadable, row, "feet").verdict == "for"


def with_remark(district: District, row: int, remark: str) -> District:
    visits = district.visits.copy()
    visits.loc[visits["visit_id"] == district.readings.loc[row, "visit_id"], "remark"] = remark
    return replace(district, visits=visits)


def test_remark_of_the_sheet_is_told_once_and_decides_nothing(district):
    row = one_reading(district, "total_phosphorus")
    high = times(district, row, 10.0)
    assert line(high, row, "remark") is None
    said = line(with_remark(high, row, "flood, brown water"), row, "remark")
    assert (said.verdict, said.weight, said.values["remark"]) == ("cannot_tell", 0.0, "flood, brown water")
    warm = with_remark(high, row, "came in warm")
    assert line(warm, row, "handling") is not None
    assert line(warm, row, "remark") is None


def test_a_factor_names_what_the_value_would_be(district):
    row = one_reading(district, "total_phosphorus")
    usual = float(district.readings.loc[row, "value"])
    found = line(times(district, row, 1000.0), row, "thousand")
    assert found.verdict == "for"
    assert found.values["corrected"] == Amount(pytest.approx(usual, rel=0.01), "total_phosphorus")


def test_only_temperature_is_tried_as_fahrenheit_and_only_depths_as_feet(district):
    for quantity, absent in (
        ("secchi_depth", "fahrenheit"),
        ("chlorophyll_a", "feet"),
        ("secchi_depth", "thousand"),
    ):
        row = one_reading(district, quantity)
        assert line(times(district, row, 10.0), row, absent) is None


def test_a_reading_below_the_bottom_is_too_deep_and_cannot_be_the_water(district):
    row = one_reading(district, "secchi_depth")
    deep = times(district, row, 15.0)
    assert line(deep, row, "too_deep").verdict == "for"
    assert told(deep, row)[0].next_step == "look_at_the_sheet"
    nowhere = replace(deep, stations={})
    assert line(nowhere, row, "too_deep") is None
    assert line(nowhere, row, "on_bottom") is None


def spoilt(district: District, row: int, days: int, **columns: object) -> District:
    readings = times(district, row, 0.1, **columns).readings
    readings["analysed_on"] = pd.Series(pd.NaT, index=readings.index, dtype="datetime64[ms]")
    readings.loc[row, "analysed_on"] = readings.loc[row, "taken_on"] + pd.Timedelta(days=days)
    return replace(district, readings=readings)


def test_holding_time_is_held_against_the_published_limit(district):
    row = one_reading(district, "chlorophyll_a")
    late, early = (
        line(spoilt(district, row, 40), row, "holding_time"),
        line(spoilt(district, row, 9), row, "holding_time"),
    )
    assert (late.verdict, late.values) == ("for", {"days": 40, "limit": 24})
    assert (early.verdict, early.values["days"]) == ("against", 9)
    assert line(times(district, row, 0.1), row, "holding_time") is None


def test_programmes_own_holding_time_comes_before_the_published_one(district):
    row = one_reading(district, "chlorophyll_a")
    own = HoldingTime("chlorophyll_a", "filter", "frozen", 60.0, "the programme's plan")
    quality = replace(district.programme.quality, holding_times=(own,))
    patient = replace(district, programme=replace(district.programme, quality=quality))
    found = line(spoilt(patient, row, 40), row, "holding_time")
    assert (found.verdict, found.values) == ("against", {"days": 40, "limit": 60})


def test_no_time_is_held_against_a_sample_for_which_no_limit_is_known(district):
    row = one_reading(district, "total_phosphorus")
    assert district.programme.quality.holding_time("total_phosphorus") is None
    assert line(spoilt(district, row, 400), row, "holding_time") is None


def test_a_laboratorys_mark_for_a_late_sample_speaks(district):
    row = one_reading(district, "chlorophyll_a")
    assert line(times(district, row, 0.1, qualifier="H"), row, "qualifier").verdict == "for"
    assert line(times(district, row, 10.0, qualifier="H"), row, "qualifier").verdict == "against"


@pytest.fixture(scope="module")
def slip(district) -> tuple[District, int, str]:
    """Return a reading ten times too high whose duplicate is not, its row, and its sample."""
    readings = district.readings
    twice = readings[
        (readings["sample_type"] == "field duplicate") & (readings["quantity"] == "total_phosphorus")
    ]
    parent = twice["parent_sample"].iloc[60]
    row = int(readings.index[(readings["sample_code"] == parent) & (readings["sample_type"] == "routine")][0])
    return times(district, row, 10.0), row, parent


def test_a_duplicate_that_does_not_show_it_speaks_for_a_slip(slip):
    single, row, parent = slip
    readings = single.readings
    own = (readings["parent_sample"] == parent) & (readings["sample_type"] != "routine")
    both = replace(
        single, readings=readings.assign(value=readings["value"].where(~own, readings["value"] * 10))
    )
    assert line(single, row, "ten").weight > line(both, row, "ten").weight + 3
    assert line(single, row, "duplicate").verdict == "for"
    assert line(both, row, "duplicate").verdict == "against"


def test_duplicates_and_blanks_are_held_against_the_programmes_own_limits(slip):
    single, row, parent = slip
    apart = line(single, row, "duplicate").values["count"]
    quality = replace(single.programme.quality, duplicate_limit_percent=190.0)  # ten times is 164 percent
    generous = replace(single, programme=replace(single.programme, quality=quality))
    assert line(generous, row, "duplicate").values["count"] == apart - 1
    readings = single.readings
    own = (readings["parent_sample"] == parent) & (readings["sample_type"] != "routine")
    near = readings.assign(reporting_limit=readings["reporting_limit"].where(~own, 1e6))
    assert line(replace(single, readings=near), row, "duplicate").values["count"] == apart - 1
    blanks = readings["sample_type"].isin(["field blank", "equipment blank"])
    for limit, high in (("detection_limit", True), ("reporting_limit", False)):
        found = readings.assign(
            value=readings["value"].where(~blanks, 1.0), sign=readings["sign"].where(~blanks, "="),
            detection_limit=readings["detection_limit"].where(~blanks, 1.0),
            reporting_limit=readings["reporting_limit"].where(~blanks, 3.0),
        )  # fmt: skip
        quality = replace(single.programme.quality, blank_limit=limit)
        asked = replace(single, readings=found, programme=replace(single.programme, quality=quality))
        assert (line(asked, row, "blank").verdict != "against") == high


def test_a_clean_blank_speaks_against_the_batch(district):
    planted = STORIES["batch with a wrong standard"].plant(district, np.random.default_rng(2), 6.0)
    dirty = STORIES["batch with a dirty blank"].plant(district, np.random.default_rng(2), 6.0)
    for each, said in ((planted, "against"), (dirty, "for")):
        high = [
            one
            for one in told(each.district)
            if one.reading_id in each.reading_ids and one.direction == "higher"
        ]
        assert {line.verdict for one in high for line in one.evidence if line.code == "blank"} <= {said}
        assert high or said == "against"


def test_without_sheets_nothing_is_said_of_weather(district):
    row = one_reading(district, "secchi_depth")
    bare = replace(times(district, row, 4.0), visits=district.visits.iloc[:0])
    assert line(times(district, row, 4.0), row, "weather") is not None
    assert line(bare, row, "weather") is None


def test_an_observer_alone_is_not_judged(district):
    row = one_reading(district, "secchi_depth")
    alone = times(district, row, 3.0, observer="nobody else knows")
    found = line(alone, row, "observer_alone")
    assert (found.verdict, found.values["days"]) == ("cannot_tell", 0)
    assert line(alone, row, "observer") is None
    assert line(times(district, row, 3.0, observer=""), row, "observer_alone") is None


def test_each_line_alone_says_what_the_explanation_says(district):
    """The explanation adds nothing to its lines but their order."""
    planted = STORIES["flood in every water"].plant(district, np.random.default_rng(3), 5.0).district
    found = departures(planted.readings, planted.programme)
    around = Surroundings.of(planted.readings, found, planted.stations, planted.programme, planted.visits)
    rows = np.array([*around.judged.marks])
    who = reach(rows, around.judged.places())
    for number, (row, departure) in enumerate(zip(rows, told(planted), strict=True)):
        case = around.case(int(row))
        rest = agreement(case, around)
        case = replace(case, agreement=-5.0 if is_too_deep(case) else rest.weight)
        happened = float(np.clip(who.happened[number], -5.0, 5.0)) + rest.own - rest.second
        alone = [
            *reach_lines(case, around, who, number), together_line(case, around, rest),
            season_line(case, around), weather_line(case, around),
            *batch_lines(case, around, happened, rest.second), observer_line(case, around),
            *bottom_lines(case), repeated_line(case, around), volume_line(case, around),
            *factor_lines(case, around), *handling_lines(case, around),
        ]  # fmt: skip
        lines = [each for each in departure.evidence if each.code != "unexplained"]
        assert sorted(each.code for each in alone if each) == sorted(each.code for each in lines)
        assert {each.code: each.weight for each in alone if each} == {
            each.code: each.weight for each in lines
        }


def test_a_depth_just_above_the_bottom_is_not_too_deep(district):
    row = one_reading(district, "secchi_depth")
    around = Surroundings.of(
        district.readings,
        departures(district.readings, district.programme),
        district.stations,
        district.programme,
    )
    case = around.case(int(around.judged.rows_of(district.readings.loc[row, "reading_id"])))
    at_bottom = replace(case, value=5.4, bottom_depth_m=5.0, way=1.0)
    assert not is_too_deep(at_bottom)
    assert bottom_lines(at_bottom)[0].code == "on_bottom"
    assert is_too_deep(replace(at_bottom, value=5.8))
    assert bottom_lines(replace(at_bottom, bottom_depth_m=NAN)) == ()


def test_scope_tells_one_station_from_its_water(district):
    planted = STORIES["bloom all over a water"].plant(district, np.random.default_rng(5), 6.0)
    wide = [each for each in told(planted.district) if each.reading_id in planted.reading_ids]
    assert {each.scope for each in wide if each.quantity == "secchi_depth"} == {"lake"}
    row = one_reading(district, "secchi_depth")
    assert told(times(district, row, 8.0), row)[0].scope in ("station", "unknown")


def test_nothing_unusual_gives_no_departure(district):
    found = departures(district.readings, district.programme).assign(marked=False)
    assert explain(district.readings, found, district.stations, district.programme) == ()
    none = district.readings.iloc[:0]
    assert explain(none, departures(none, district.programme), {}, district.programme) == ()


def test_a_frame_without_its_columns_is_named(district):
    found = departures(district.readings, district.programme)
    with pytest.raises(ExplorerError, match="batch is missing"):
        explain(district.readings.drop(columns="batch"), found, {}, district.programme)


def test_one_station_alone_is_explained_as_far_as_it_goes(district):
    code = told(district)[0].station_code
    own = district.readings[(district.readings["station_code"] == code).to_numpy()].reset_index(drop=True)
    found = departures(own, district.programme)
    mine = explain(own, found, {code: district.stations[code]}, district.programme)
    assert mine
    assert {each.scope for each in mine} == {"unknown"}


@given(seed=st.integers(0, 2**32 - 1))
@settings(max_examples=4, deadline=None)
def test_the_order_of_rows_changes_no_evidence(district, seed):
    shuffled = replace(district, readings=district.readings.sample(frac=1.0, random_state=seed))

    def summary(some: District) -> list[tuple[object, ...]]:
        return sorted(
            (
                each.reading_id,
                each.next_step,
                each.scope,
                [(one.code, one.verdict, round(one.weight, 6)) for one in each.evidence],
            )
            for each in told(some)
        )

    assert summary(shuffled) == summary(district)


@pytest.mark.parametrize(
    ("code", "from_laboratory", "season_open", "step"),
    [
        ("district", True, False, "accept"), ("lake", False, True, "accept"),
        ("batch", True, False, "ask_the_laboratory"), ("handling", True, False, "ask_the_laboratory"),
        ("observer", False, False, "measure_again"), ("feet", False, False, "look_at_the_sheet"),
        ("ten", True, False, "ask_the_laboratory"), ("ten", False, False, "look_at_the_sheet"),
    ],
)  # fmt: skip
def test_the_next_step_follows_from_the_likeliest_line(code, from_laboratory, season_open, step):
    first = Evidence(code, "for")
    assert next_step(first, from_laboratory=from_laboratory, season_open=season_open) == step


def test_every_line_that_speaks_has_a_next_step_of_its_own():
    for code in set(EVIDENCE_CODES) - {"unexplained", "remark"}:
        step = next_step(Evidence(code, "for"), from_laboratory=True, season_open=True)
        assert step != "measure_again" or code.startswith("observer"), code


def test_an_unexplained_reading_is_measured_again_while_the_season_is_open():
    first = Evidence("unexplained", "cannot_tell")
    assert next_step(first, from_laboratory=False, season_open=True) == "measure_again"
    assert next_step(first, from_laboratory=False, season_open=False) == "look_at_the_sheet"
    assert next_step(first, from_laboratory=True, season_open=False) == "ask_the_laboratory"


@pytest.mark.parametrize(
    ("evidence", "begins"),
    [
        (
            Evidence("lake", "against", {"count": 0, "of": 3}),
            "This station alone: within a few days none of 3",
        ),
        (
            Evidence("lake", "cannot_tell", {"count": 0, "of": 0}),
            "No other station of this water was visited",
        ),
        (
            Evidence("district", "against", {"count": 1, "of": 9}),
            "Within a few days only 1 of 9 other waters",
        ),
        (
            Evidence("duplicate", "against", {"batch": "B7", "count": 0, "of": 2}),
            "Duplicates of batch B7 that",
        ),
        (
            Evidence("observer_alone", "cannot_tell", {"observer": "V1", "days": 0}),
            "There is no visit on which",
        ),
        (Evidence("together", "cannot_tell", {"count": 0}), "Nothing else was measured on this visit"),
    ],
)
def test_none_and_nothing_are_said_in_words(evidence, begins):
    assert evidence_sentence(evidence, amount_text).startswith(begins)


def amount_text(amount: Amount) -> str:
    return f"{amount.number:.3g} {QUANTITIES[amount.quantity].unit}"


def test_a_quantity_keeps_its_own_capitals_inside_a_sentence() -> None:
    carbon = {"doc": Quantity("doc", "DOC", "mg/L", 1, None, (0.0, 100.0), True)}
    line = Evidence(
        "together", "for", {"beside": Amount(9.0, "doc"), "beside_usual": Amount(4.0, "doc")}, 2.0
    )
    assert ": DOC was 9, where 4 is usual" in evidence_sentence(
        line, lambda amount: f"{amount.number:g}", carbon
    )


def test_every_line_of_every_story_can_be_said_in_plain_words(district):
    """Every value that a sentence wants is there, and none of the words that nobody outside needs."""
    said = set()
    for name, story in STORIES.items():
        planted = story.plant(district, np.random.default_rng(len(name)), 6.0)
        for departure in told(planted.district):
            for each in departure.evidence:
                sentence = evidence_sentence(each, amount_text)
                said.add(f"evidence.{each.code}_{each.verdict}")
                assert "{" not in sentence
                assert "nan" not in sentence.casefold().split()
    assert len(said) >= 40


@pytest.mark.parametrize("group", ["evidence", "next_step", "departure"])
def test_sentences_avoid_words_that_judge_or_have_to_be_explained(group):
    for code in word_codes():
        if code.startswith(f"{group}."):
            words = set(re.findall(r"[a-z]+", _text(code).casefold()))
            assert words.isdisjoint(FORBIDDEN), code


def _text(code: str) -> str:
    class Anything(dict):
        def __missing__(self, key: str) -> str:
            return "7"

    return say(code, Anything(count=7))


def test_every_code_of_evidence_has_its_sentences_and_every_step_its_name():
    known = set(word_codes())
    for code in EVIDENCE_CODES:
        assert any(each.startswith(f"evidence.{code}_") for each in known), code
    for step in NEXT_STEPS:
        assert {f"next_step.{step}", f"next_step.{step}_why"} <= known
