"""The sheet of a whole visit goes through the intake's own door, and is found in a record of its own."""

import pytest

from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.practice_record import check_sheet, enter_sheet
from explorer.practice.visit_sheet import PRACTICE_STATION
from explorer.practice.whole_visit import data_sheet
from explorer.records.record import open_record


def sheet_of(learners, seed=0, rules=USUAL_RULES, **habits) -> bytes:
    hand = learners.Hand("whole_visit", seed, rules)
    learners.make_visit(hand, **habits)
    return data_sheet(hand.hidden_state)


@pytest.mark.parametrize("line", ["decimetres", "tenths", "inches"])
@pytest.mark.parametrize("seed", range(6))
def test_sheet_of_a_careful_visit_leaves_nothing_to_ask(line, seed, learners, tmp_path):
    rules = PracticeRules(line=line)
    hand = learners.Hand("whole_visit", seed, rules)
    learners.make_visit(hand)
    check = check_sheet(data_sheet(hand.hidden_state))
    assert check.sentences == ()
    record = open_record(enter_sheet(check, tmp_path, rules, "Ada"))
    readings = record.history(PRACTICE_STATION.code).readings
    secchi = readings[readings["quantity"] == "secchi_depth"].iloc[0]
    written = hand.hidden_state.parts[1].readings[0]
    assert secchi["value"] == pytest.approx(written.depth_m)
    assert (secchi["sign"] == ">") == written.on_bottom
    assert (secchi["observer"], secchi["status"]) == ("Ada", "accepted")
    assert record.programme.length_unit == ("m" if line == "decimetres" else "ft")


def test_miscopied_code_is_found_by_the_check_and_kept_in_the_record(learners, tmp_path):
    check = check_sheet(sheet_of(learners, copies={"filter": "250371-2"}))
    assert any('"Filter"' in sentence for sentence in check.sentences)
    record = open_record(enter_sheet(check, tmp_path, PracticeRules(), "Ada"))
    assert record.messages


def test_next_visit_stands_in_the_same_record(learners, tmp_path):
    for seed in (0, 1):
        path = enter_sheet(check_sheet(sheet_of(learners, seed)), tmp_path, PracticeRules(), "Ada")
    record = open_record(path)
    readings = record.history(PRACTICE_STATION.code).readings
    assert readings["taken_on"].nunique() == 2
    assert (record.version(), len(record.station_list())) == (2, 1)


def test_unfinished_sheet_is_asked_about_and_never_fails(tmp_path):
    check = check_sheet(b"Station,Date,Secchi (m)\r\nPRA1,,\r\n")
    assert check.sentences
    enter_sheet(check, tmp_path, PracticeRules(), "")
