"""Depths as learners write them, against the international foot and the marks of each line."""

from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.practice.disk_line import LINES, line_text, marks_in_air
from explorer.practice.written_depth import WRITING_FORMS, read_depth, writing_slip

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "practice_physics.csv", dtype=str)


@pytest.mark.parametrize(("form", "text", "depth_m"), [
    ("metres", "4.35", 4.35), ("metres", "4,35", 4.35), ("metres", "0", 0.0), ("feet", "10", 3.048),
    ("feet", "12.5", 3.81), ("feet_inches", "12 ft 5 in", 3.7846), ("feet_inches", "12' 5\"", 3.7846),
    ("feet_inches", "12 ft 5.5 in", 3.7973), ("feet_inches", "12 ft", 3.6576),
])  # fmt: skip
def test_written_depth_is_read(form, text, depth_m):
    assert read_depth(form, text).depth_m == pytest.approx(depth_m, abs=1e-9)


@pytest.mark.parametrize(("form", "text"), [
    ("metres", ""), ("metres", "4.3 m"), ("metres", "-1"), ("metres", "nan"), ("metres", "1_0"),
    ("metres", "٣"), ("feet", "12'"), ("feet_inches", "12.5"), ("feet_inches", "12 ft 13 in"),
    ("feet_inches", "> 12 ft 5 in"), ("feet_inches", "3 m"), ("feet_inches", "12 ft 5 in?"),
])  # fmt: skip
def test_what_is_no_depth_is_none(form, text):
    assert read_depth(form, text) is None


@given(form=st.sampled_from(WRITING_FORMS), text=st.text(max_size=40))
def test_any_text_is_a_depth_or_none(form, text):
    found = read_depth(form, text)
    assert found is None or found.depth_m >= 0


def test_feet_for_metres_is_the_factor_of_the_international_foot():
    factor = float(PUBLISHED.set_index("quantity").loc["feet for metres", "expected"])
    assert read_depth("metres", "4").depth_m / read_depth("feet", "4").depth_m == pytest.approx(
        factor, abs=1e-5
    )


@pytest.mark.parametrize(("line", "form", "text", "halves", "slip"), [
    ("decimetres", "metres", "4.35", 87, ""),
    ("decimetres", "metres", "4.4", 87, "written_otherwise"),
    ("decimetres", "metres", "5.35", 87, "mark_miscounted"),
    ("decimetres", "metres", "3.35", 87, "mark_miscounted"),
    ("decimetres", "metres", "4.25", 87, "mark_miscounted"),
    ("decimetres", "feet", "4.35", 87, "wrong_unit"),
    ("decimetres", "feet", "14.27", 87, ""),
    ("tenths", "feet", "12.5", 250, ""),
    ("tenths", "feet_inches", "12 ft 5 in", 250, "tenths_as_inches"),
    ("tenths", "feet_inches", "12 ft 6 in", 250, ""),
    ("tenths", "metres", "12.5", 250, "wrong_unit"),
    ("tenths", "metres", "3.81", 250, ""),
    ("inches", "feet_inches", "12 ft 5 in", 298, ""),
    ("inches", "feet", "12.5", 298, "inches_as_tenths"),
    ("inches", "feet", "12.42", 298, ""),
    ("inches", "feet", "12.11", 310, "inches_as_tenths"),
    ("inches", "feet_inches", "13 ft 5 in", 298, "mark_miscounted"),
])  # fmt: skip
def test_slip_in_writing_is_named(line, form, text, halves, slip):
    assert writing_slip(LINES[line], read_depth(form, text), halves, halves, halves) == slip


def test_middle_and_back_are_told_apart_where_they_lie_apart():
    line = LINES["decimetres"]
    assert writing_slip(line, read_depth("metres", "4.4"), 88, 84, 86) == "not_by_rule"
    assert writing_slip(line, read_depth("metres", "4.3"), 88, 84, 86) == ""


@given(line=st.sampled_from(sorted(LINES)), halves=st.integers(1, 900))
def test_what_the_line_says_is_read_as_what_it_says(line, halves):
    text = line_text(LINES[line], halves)
    form = {"decimetres": "metres", "tenths": "feet", "inches": "feet_inches"}[line]
    written = read_depth(form, text if form == "feet_inches" else text.split()[0])
    assert writing_slip(LINES[line], written, halves, halves, halves) == ""
    assert written.depth_m == pytest.approx(LINES[line].length_m(halves), abs=0.001)


@given(line=st.sampled_from(sorted(LINES)), halves=st.integers(0, 900))
def test_marks_in_the_air_are_those_of_the_line(line, halves):
    heights, kinds = marks_in_air(LINES[line], halves)
    assert list(heights) == sorted(heights)
    assert all(
        LINES[line].kind(round(halves + 2 * h)) == kind for h, kind in zip(heights, kinds, strict=True)
    )
    assert {2.0, 3.0} & set(kinds), "a long mark is always in sight"


@pytest.mark.parametrize(("line", "kinds"), [("decimetres", "0112131"), ("inches", "0112131")])
def test_long_marks_stand_at_whole_units_and_every_fifth_is_double(line, kinds):
    made = LINES[line]
    per = made.marks_to_long
    places = [0, 2, 4, 2 * per, 2 * per + 2, 10 * per, 10 * per + 2]
    assert "".join(str(made.kind(place)) for place in places) == kinds
    assert made.kind(3) == 0
