"""A learner's page: one sheet of paper whatever happened, honest about what it is, and safe as a table."""

import csv
import io
from datetime import date

import pypdf
import pytest

from explorer.display.learner_page import build_keep_page, learner_download
from explorer.model.errors import UnknownNameError
from explorer.model.practice import Remark, Score
from explorer.model.practice_rules import PracticeRules
from explorer.practice.disk import COSTS
from explorer.practice.exercises import EXERCISES
from explorer.practice.learner import GroupRound, Learner

RULES, DAY = PracticeRules(), date(2025, 6, 14)
VALUES = {
    "side": "shaded side", "rule": "without a viewer box", "angle": "20", "cosine": "0.94", "percent": "6",
    "written": "12.5 ft", "stood": "12 ft 5 in", "count": "5", "spread": "17",
}  # fmt: skip
EVERY_SLIP = tuple(Remark(code, VALUES) for code in COSTS)


def learner_of(slips: int, rounds: int = 0, exercises: int = 1) -> Learner:
    learner = Learner("Ada", (), (GroupRound("4.3 m", "4.4 m", 10, 12.0, True),) * rounds)
    for number, code in enumerate(list(EXERCISES)[:exercises]):
        learner = learner.finished(code, Score(20, 36, EVERY_SLIP[number : number + slips], spread=8.4))
    return learner


def page_of(learner: Learner) -> tuple[int, str]:
    name, content = learner_download("pdf", learner, "Vellory District", RULES, DAY)
    assert name == ("practice_ada_2025-06-14.pdf" if learner.nickname else "practice_2025-06-14.pdf")
    reader = pypdf.PdfReader(io.BytesIO(content))
    return len(reader.pages), " ".join(" ".join(page.extract_text() for page in reader.pages).split())


@pytest.mark.parametrize("slips", [0, 1, 7, 18])
@pytest.mark.parametrize("rounds", [0, 1, 9])
@pytest.mark.parametrize("exercises", [0, 1, 7])
def test_page_is_one_sheet_whatever_happened(slips, rounds, exercises):
    pages, text = page_of(learner_of(slips, rounds, exercises))
    assert pages == 1
    assert "This is not a certificate." in text
    assert "safety officer and local rules decide" in text
    assert text.count(" / 36") == exercises


def test_page_says_what_was_practised_how_readings_agreed_and_what_again():
    _, text = page_of(learner_of(2, 1, 2))
    assert "for Ada" in text
    assert "14 June 2025" in text
    assert "Vellory District" in text
    assert "Safety first 1 20 / 36 8 %" in text
    assert "you wrote 4.3 m; the middle of 10 readings was 4.4 m" in text
    assert str(EVERY_SLIP[0])[:40] in text


def test_page_says_how_much_was_left_out():
    _, text = page_of(learner_of(18, 4, 7))
    assert "more, named at the end of each exercise" in text


def test_page_without_anything_practised_says_so():
    pages, text = page_of(Learner())
    assert pages == 1
    assert "No exercise was taken to its end." in text


def test_table_has_a_row_an_exercise_and_one_a_round():
    name, content = learner_download("csv", learner_of(1, 2, 2), "Vellory District", RULES, DAY)
    rows = list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))
    assert name == "practice_ada_2025-06-14.csv"
    assert [row["what"] for row in rows] == [
        "Safety first",
        "Reading the disk",
        "All together",
        "All together",
    ]
    assert [row["points"] for row in rows] == ["20", "20", "", ""]
    assert rows[2]["written"] == "4.3 m"


def test_table_holds_no_formula():
    slip = Remark("practice_visit.bottle_miscopied", {"found": "=cmd|' /C calc'!A0", "label": "250122-1"})
    learner = Learner("Ada").finished(
        "disk", Score(1, 2, (Remark("practice_disk.written_depth", {"depth": "=1+1"}), slip))
    )
    _, content = learner_download("csv", learner, "", RULES, DAY)
    rows = list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))
    assert rows[0]["to_practise_again"].startswith("'=1+1")


def test_unknown_kind_is_refused():
    with pytest.raises(UnknownNameError, match='No kind of file "exe"'):
        learner_download("exe", Learner(), "", RULES, DAY)


def test_screen_offers_every_person_a_page():
    page = build_keep_page(Learner("Ada"), ("Ada", "Ben"), RULES)
    assert [button.code for row in page.rows for button in row.buttons] == [
        "go:name",
        "go:person:Ada",
        "go:person:Ben",
    ]
