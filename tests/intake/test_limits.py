import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.intake.limits import read_results
from explorer.intake.own_headings import heading_names

NAMES = heading_names()


def result(text, flag=""):
    found = read_results([text], [flag], NAMES)
    return found.number[0], found.sign[0], found.unit[0], found.qualifier[0], found.problem[0]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("<5", (5, "<", "", "")),
        ("< 0.01", (0.01, "<", "", "")),
        ("5 U", (5, "<", "", "U")),
        ("5U", (5, "<", "", "U")),
        ("0.3 J", (0.3, "=", "", "J")),
        ("J 0.3", (0.3, "=", "", "J")),
        ("ND (0.01)", (0.01, "<", "", "")),
        ("ND<5", (5, "<", "", "")),
        ("nd @ 2 ug/L", (2, "<", "µg/L", "")),
        ("0.027 mg/L", (0.027, "=", "mg/L", "")),
        ("5 mg/L U", (5, "<", "mg/L", "U")),
        ("> 2420", (2420, ">", "", "")),
        ("≤5", (5, "<", "", "")),
        ("5 UJ", (5, "<", "", "UJ")),
        ("-0.8", (-0.8, "=", "", "")),
        ("−0.8", (-0.8, "=", "", "")),
        ("12,1", (12.1, "=", "", "")),
        ("1.2e3", (1200, "=", "", "")),
        ("5 B, H", (5, "=", "", "B, H")),
    ],
)
def test_a_result_is_taken_apart(text, wanted):
    assert result(text)[:4] == wanted
    assert result(text)[4] == ""


@pytest.mark.parametrize(
    ("text", "speaks_of", "sign"),
    [
        ("ND", "detection", "<"),
        ("n.d.", "detection", "<"),
        ("Not Detected", "detection", "<"),
        ("<MDL", "detection", "<"),
        ("<RL", "reporting", "<"),
        ("trace", "reporting", "<"),
        ("U", "detection", "<"),
        ("above operating range", "upper", ">"),
    ],
)
def test_a_word_without_a_number_speaks_of_its_limit(text, speaks_of, sign):
    found = read_results([text], [""], NAMES)
    assert (found.missing_limit[0], found.sign[0], found.problem[0]) == (speaks_of, sign, "")
    assert np.isnan(found.number[0])


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("5?", "doubt_marked"),
        ("~5", "doubt_marked"),
        ("2-3", "not_a_number"),
        ("12.1 (12.3)", "not_a_number"),
        ("abc", "not_a_number"),
        ("1e999", "not_a_number"),
        ("1,250", "thousands_or_decimals"),
        ("1.8O", "unknown_qualifier"),
        ("12 K", "unknown_qualifier"),
        ("5 *", "unknown_qualifier"),
        ("#N/A", "not_a_number"),
        ("=A1+5", "not_a_number"),
    ],
)
def test_what_is_no_result_has_its_problem(text, problem):
    assert result(text)[4] == problem


def test_marks_in_a_column_of_their_own_say_the_same():
    found = read_results(["0.3", "", "5", "2", "7"], ["U", "U", "J,H", "K", "R"], NAMES)
    assert found.sign.tolist() == ["<", "<", "=", "=", "="]
    assert found.missing_limit.tolist() == ["", "detection", "", "", ""]
    assert found.estimated.tolist() == [False, False, True, False, False]
    assert found.rejected.tolist() == [False, False, False, False, True]
    assert found.problem.tolist() == ["", "", "", "unknown_qualifier", ""]


def test_a_mark_means_what_the_programme_says():
    own = heading_names({"qualifiers": {"k": "below"}})
    assert read_results(["12 K"], [""], own).sign[0] == "<"


@given(
    st.floats(0.001, 1e6),
    st.sampled_from(["", "<", "> "]),
    st.sampled_from(["", " U", " J", " mg/L", " ug/L J"]),
)
def test_what_was_written_comes_back(number, sign, behind):
    text = f"{sign}{number:.3f}{behind}"
    found = result(text)
    assert found[0] == pytest.approx(round(number, 3))
    below = "U" in behind or sign == "<"
    assert found[1] == (">" if sign == "> " else "<" if below else "=")


@given(st.text(max_size=15), st.text(max_size=4))
def test_any_text_is_a_result_or_a_problem_or_empty(text, flag):
    number, sign, _, _, problem = result(text, flag)
    assert sign in ("<", "=", ">")
    assert np.isnan(number) or np.isfinite(number)
    assert not (problem and number == np.inf)
