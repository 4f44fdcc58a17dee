"""The sheet of a whole visit is checked in like any, and is found in a record of its own."""

from dataclasses import replace
from itertools import islice

import pytest

from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.practice_record import (
    check_sheet,
    make_practice_record,
    receive_sheet,
    seed_of_next_visit,
)
from explorer.practice.visit_sheet import PRACTICE_STATION, draw_labels, sheet_bytes, visit_cells
from explorer.practice.whole_visit import data_sheet
from explorer.records.opening import open_record


def visited(learners, seed=0, rules=USUAL_RULES, **habits):
    hand = learners.Hand("whole_visit", seed, rules)
    learners.make_visit(hand, **habits)
    return hand.hidden_state


@pytest.mark.parametrize("line", ["decimetres", "tenths", "inches"])
@pytest.mark.parametrize("seed", range(6))
def test_sheet_of_a_careful_visit_leaves_nothing_to_ask(line, seed, learners, tmp_path):
    rules = PracticeRules(line=line)
    state, record = visited(learners, seed, rules), make_practice_record(tmp_path, rules)
    checked = receive_sheet(data_sheet(state), record, "Ada")
    assert [str(problem) for problem in checked.problems] == []
    assert (checked.is_clean, len(checked.accepted)) == (True, 2)
    readings = record.history(PRACTICE_STATION.code).readings
    secchi = readings[readings["quantity"] == "secchi_depth"].iloc[0]
    written = state.parts[1].readings[0]
    assert secchi["value"] == pytest.approx(written.depth_m)
    assert (secchi["sign"] == ">") == written.on_bottom
    assert (secchi["observer"], secchi["status"]) == ("Ada", "accepted")
    assert record.programme.length_unit == ("m" if line == "decimetres" else "ft")


def test_bottle_and_filter_of_a_visit_stand_in_the_record_with_their_codes(learners, tmp_path):
    state, record = visited(learners), make_practice_record(tmp_path, USUAL_RULES)
    receive_sheet(data_sheet(state), record, "Ada")
    found = record.fetch_rows("SELECT sample_code, volume_filtered_ml FROM containers ORDER BY sample_code")
    assert found == [(state.labels.bottle, None), (state.labels.filter, state.parts[3].written_ml)]


def test_careful_reading_on_the_bottom_leaves_nothing_to_ask(learners, tmp_path):
    record = make_practice_record(tmp_path, USUAL_RULES)
    shallow = list(islice((seed for seed in range(120) if on_bottom(visited_disk(learners, seed))), 3))
    for seed in shallow:
        checked = check_sheet(data_sheet(visited(learners, seed)), record)
        assert [str(problem) for problem in checked.problems] == [], seed
    assert len(shallow) == 3


def test_reading_with_slack_line_on_the_bottom_is_asked_about(learners, tmp_path):
    record = make_practice_record(tmp_path, USUAL_RULES)
    seed = next(seed for seed in range(120) if on_bottom(visited_disk(learners, seed)))
    state = visited_disk(learners, seed, slack=True)
    assert [mistake.code for mistake in state.mistakes] == ["practice_disk.slack_line"]
    cells = visit_cells(draw_labels(seed), [state], {"Observer": "Ada"})
    problems = check_sheet(sheet_bytes(cells), record).problems
    assert [problem.code for problem in problems] == ["deeper_than_bottom"]


def visited_disk(learners, seed, **habits):
    hand = learners.Hand("disk", seed, replace(USUAL_RULES, readings=1))
    learners.read_disk(hand, learners.DiskHabits(**habits))
    return hand.hidden_state


def on_bottom(state):
    return state.readings[0].on_bottom


def test_next_visit_falls_on_another_day_so_that_two_careful_learners_agree_with_the_record(
    learners, tmp_path
):
    record = make_practice_record(tmp_path, USUAL_RULES)
    receive_sheet(data_sheet(visited(learners, 22)), record, "Ada")
    assert draw_labels(22).day == draw_labels(23).day
    seed = seed_of_next_visit(record, iter((22, 23, 24)).__next__)
    assert seed == 24
    assert check_sheet(data_sheet(visited(learners, seed)), record).problems == ()


def test_miscopied_code_is_found_by_the_check_and_kept_in_the_record(learners, tmp_path):
    record = make_practice_record(tmp_path, USUAL_RULES)
    checked = receive_sheet(data_sheet(visited(learners, copies={"filter": "250371-2"})), record, "Ada")
    assert any(problem.source.column == "Filter" for problem in checked.problems)
    kept = open_record(record.path).problems()
    assert [(problem.source.column, problem.found) for problem in kept] == [("Filter", "250371-2")]


def test_checking_alone_writes_nothing(learners, tmp_path):
    record = make_practice_record(tmp_path, USUAL_RULES)
    version = record.version()
    check_sheet(data_sheet(visited(learners)), record)
    assert record.version() == version


def test_next_visit_stands_in_the_same_record(learners, tmp_path):
    record = make_practice_record(tmp_path, USUAL_RULES)
    for seed in (0, 1):
        receive_sheet(data_sheet(visited(learners, seed)), record, "Ada")
    readings = record.history(PRACTICE_STATION.code).readings
    assert (readings["taken_on"].nunique(), len(readings)) == (2, 4)
    assert len(record.station_list()) == 1


def test_unfinished_sheet_is_asked_about_and_never_fails(tmp_path):
    record = make_practice_record(tmp_path, USUAL_RULES)
    assert receive_sheet(b"Station,Date,Secchi (m)\r\nPRA1,,\r\n", record, "").problems
