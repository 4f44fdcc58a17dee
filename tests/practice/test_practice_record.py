"""The sheet of a whole visit is checked in like any, and is found in a record of its own."""

import pytest

from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.practice_record import check_sheet, make_practice_record, receive_sheet
from explorer.practice.visit_sheet import PRACTICE_STATION
from explorer.practice.whole_visit import data_sheet
from explorer.records.record import open_record


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
