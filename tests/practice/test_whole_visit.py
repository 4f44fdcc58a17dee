"""A whole visit ends in a data sheet that says what was written, and that can be read."""

import csv
import io

import pytest

from explorer.intake.depths import read_depths
from explorer.intake.heading_list import documented_names
from explorer.intake.sample_codes import read_sample_codes
from explorer.intake.volumes import read_volumes
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.whole_visit import data_sheet, start

SHALLOW_SEED = 6


def sheet_of(hand) -> dict[str, str]:
    heading, row = csv.reader(io.StringIO(data_sheet(hand.hidden_state).decode()))
    return dict(zip(heading, row, strict=True))


def visit(learners, seed=0, rules=USUAL_RULES, **habits):
    hand = learners.Hand("whole_visit", seed, rules)
    learners.make_visit(hand, **habits)
    return hand


def test_sheet_says_what_the_learner_wrote(learners):
    hand = visit(learners)
    cells, state = sheet_of(hand), hand.hidden_state
    assert cells["Station"] == "PRA1"
    assert cells["Secchi (m)"] == state.parts[1].readings[0].text
    assert cells["Total volume filtered (mL)"] == f"{state.parts[3].written_ml:g}"
    assert (cells["Bottle"], cells["Filter"], cells["Observer"]) == (
        state.labels.bottle,
        state.labels.filter,
        "Ada",
    )
    assert read_sample_codes([cells["Bottle"], cells["Filter"]]).container.tolist() == ["1", "2"]
    assert read_volumes([cells["Total volume filtered (mL)"]]).problem.tolist() == [""]
    assert "" not in cells.values()


@pytest.mark.parametrize("line", ["decimetres", "tenths", "inches"])
@pytest.mark.parametrize("seed", [0, SHALLOW_SEED])
def test_sheet_is_read_by_the_names_and_readers_of_the_check_in(seed, line, learners):
    hand = visit(learners, seed, PracticeRules(line=line))
    cells, names = sheet_of(hand), documented_names()
    meanings = {heading: names.meaning(heading, "data_sheet") for heading in cells}
    assert [heading for heading, meaning in meanings.items() if not meaning.role] == []
    secchi = next(heading for heading, meaning in meanings.items() if meaning.quantity == "secchi_depth")
    found = read_depths([cells[secchi]], meanings[secchi].unit)
    reading = hand.hidden_state.parts[1].readings[0]
    assert (found.problem.tolist(), found.note.tolist()) == ([""], [""])
    assert found.depth_m[0] == pytest.approx(reading.depth_m)
    assert found.sign[0] == (">" if reading.on_bottom else "=")


def test_mistakes_stay_on_the_sheet(learners):
    cells = sheet_of(visit(learners, copies={"bottle": "250371-1", "observer": "=cmd|' /C calc'!A0"}))
    assert cells["Bottle"] == "250371-1"
    assert cells["Observer"][0].isalpha()


def test_disk_on_the_bottom_is_written_as_at_least(learners):
    cells = sheet_of(visit(learners, SHALLOW_SEED))
    assert cells["Secchi (m)"].startswith("> ")


def test_sheet_of_feet_names_feet(learners):
    cells = sheet_of(visit(learners, 0, PracticeRules(line="inches")))
    assert " ft " in cells["Secchi (ft)"]


def test_unfinished_sheet_has_empty_cells():
    heading, row = csv.reader(io.StringIO(data_sheet(start(3)).decode()))
    cells = dict(zip(heading, row, strict=True))
    assert cells["Secchi (m)"] == cells["Bottle"] == cells["Observer"] == ""


def test_score_of_the_visit_is_that_of_its_parts_and_the_sheet(learners):
    hand = visit(learners, wrongly=("swimmer",))
    found = hand.score()
    assert [m.code for m in found.mistakes] == ["practice_safety.jacket_swimmer_why"]
    assert found.points == found.of - 2


def test_each_part_announces_the_next(learners):
    hand = visit(learners)
    announced = [told for told in hand.told if told.startswith("Next: ")]
    assert announced == [
        "Next: Reading the disk.", "Next: Clean hands.", "Next: Filtering.", "Next: Keeping it cold.",
        "Next: The data sheet.",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("written", "reason"), [("250371-1", "does not fit"), ("250122-1", "not the one on this label")]
)
def test_code_that_is_not_on_the_label_is_told_at_once_and_can_be_put_right(written, reason, learners):
    hand = learners.Hand("whole_visit", 0)
    learners.answer_all(hand)
    learners.read_disk(hand, readings=1)
    learners.answer_all(hand)
    learners.filter_water(hand)
    learners.plan_day(hand)
    hand.do("write:bottle", written)
    assert reason in hand.told[-1]
    labels = dict(hand.view.cards[0].lines)
    hand.do("write:bottle", labels["Code of the bottle"])
    hand.do("write:filter", labels["Code of the filter"])
    hand.do("write:observer", "Ben")
    hand.do("hand_in")
    assert hand.score().mistakes == ()
