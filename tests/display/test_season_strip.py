import pandas as pd
from hypothesis import given
from hypothesis import strategies as st

from explorer.display.season_strip import build_season_strip, moved_period
from explorer.model.calendar import Period
from explorer.model.programme import Programme

CLASSES = pd.DataFrame({
    "year": [2023, 2025], "label": ["eutrophic", ""], "letter": ["E", ""], "class_index": [2, -1],
    "visits": [5, 1], "missing": ["", "too_few_visits"],
})  # fmt: skip


def test_strip_has_a_cell_for_every_season_also_those_without_a_visit():
    cells = build_season_strip(CLASSES, (2023, 2025), Programme(), "en")
    assert [(cell.letter, cell.class_index) for cell in cells] == [("E", 2), ("", -1), ("–", -1)]
    assert [cell.said for cell in cells] == [
        "2023: eutrophic, 5 visits",
        "2024: no class, no visits",
        "2025: no class, 1 visit",
    ]


def test_strip_does_not_call_a_season_unvisited_that_the_scheme_does_not_judge():
    classes = CLASSES.assign(label="", letter="", class_index=-1, visits=0, missing=["stream", "no_readings"])
    first, _, last = build_season_strip(classes, (2023, 2025), Programme(), "en")
    assert [first.letter, last.letter] == ["–", "–"]
    assert first.said == "2023: measured, but this scheme is not made for such a water"
    assert last.said == "2025: measured, but nothing that this scheme judges"


def test_strip_across_new_year_labels_both_years():
    programme = Programme(season_months=(11, 12, 1, 2))
    assert build_season_strip(CLASSES, (2023, 2023), programme, "en")[0].label == "2023/24"


@given(st.integers(0, 19), st.integers(0, 19), st.integers(-3, 3), st.integers(-3, 3))
def test_moved_period_never_leaves_the_strip_nor_turns_round(first, more, first_step, last_step):
    start = Period(2006 + first, min(2006 + first + more, 2025))
    moved = moved_period(start, first_step, last_step, (2006, 2025))
    assert 2006 <= moved.first_year <= moved.last_year <= 2025
