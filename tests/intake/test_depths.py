from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.intake.depths import ENDINGS, read_depths
from explorer.intake.heading_list import documented_names
from explorer.model.units import FOOT_M

PUBLISHED = Path(__file__).parents[1] / "published"
WORDS = documented_names().words


def depth(text, unit="m", **more):
    found = read_depths([text], unit, words=WORDS, **more)
    return found.depth_m[0], found.sign[0], found.ended[0], found.problem[0], found.note[0]


def test_feet_and_inches_agree_with_the_international_foot():
    rows = pd.read_csv(PUBLISHED / "secchi_depth.csv", dtype=str).query("input_unit in ('ft', 'in')")
    assert len(rows) == 8
    for _, row in rows.iterrows():
        found = depth(row["input"], row["input_unit"])[0]
        assert found == pytest.approx(float(row["expected"]), abs=1e-6), row["id"]


def test_two_depths_in_a_cell_are_the_published_mean_of_lowered_and_raised():
    rule = pd.read_csv(PUBLISHED / "secchi_readings.csv").set_index("id").loc["SE022"]
    assert rule["expected"] == "mean of the two depths"
    assert depth("2.1/2.3") == (pytest.approx(2.2), "=", "", "", "two_depths")


def test_disk_on_the_bottom_is_at_least_so_deep_as_published():
    rule = pd.read_csv(PUBLISHED / "secchi_depth.csv").set_index("id").loc["SE020"]
    assert rule["expected"] == "right-censored: SD >= depth"
    assert depth("2.4 VOB")[:3] == (2.4, ">", "on_bottom")


@given(
    st.integers(0, 99),
    st.integers(0, 11),
    st.sampled_from(
        [
            "{f}'{i}\"",
            "{f}' {i}\"",
            "{f} ft {i}",
            "{f} ft {i} in",
            "{f}’{i}”",
            "{f}'{i}''",
            "{f} feet, {i} inches",
            "{f}'-{i}\"",
            "{f}ft{i}in",
            "{f}'{i}",
        ]
    ),
    st.sampled_from(["m", "ft", "", "ft in"]),
)
def test_feet_and_inches_come_back_whatever_the_manner(feet, inches, manner, unit):
    found = depth(manner.format(f=feet, i=inches), unit)
    wanted = (feet + inches / 12) * FOOT_M
    if wanted == 0:
        assert found[3] == "depth_not_above_zero"
    else:
        assert (found[0], found[3]) == (pytest.approx(wanted), "")


@given(st.integers(1, 4000), st.sampled_from(["{m:.2f}", "{m:.2f} m", "{m:.2f}m", "{cm} cm", "> {m:.2f} m"]))
def test_metres_come_back_whatever_the_manner(centimetres, manner):
    found = depth(manner.format(m=centimetres / 100, cm=centimetres))
    assert (found[0], found[3]) == (pytest.approx(centimetres / 100), "")
    assert found[1] == (">" if manner.startswith(">") else "=")


@given(st.integers(1, 99), st.sampled_from([("1/2", 0.5), ("1/4", 0.25), ("3/4", 0.75)]))
def test_fractions_of_feet_come_back(feet, fraction):
    text, share = fraction
    assert depth(f"{feet} {text}", "ft")[0] == pytest.approx((feet + share) * FOOT_M)
    assert depth(f"{feet}½", "ft")[0] == pytest.approx((feet + 0.5) * FOOT_M)


@pytest.mark.parametrize(
    ("text", "unit", "wanted_m"),
    [
        ("5.5", "ft", 1.6764),
        ("35 in", "ft", 0.889),
        ("55 cm", "m", 0.55),
        ("0,40", "m", 0.4),
        ("2m40", "m", 2.4),
        ("1.2 m", "ft", 1.2),
        ("5' 7 1/2\"", "m", 1.7145),
        ("8'", "m", 2.4384),
        ("3'7", "m", 1.0922),
    ],
)
def test_a_depth_in_its_own_or_the_column_s_unit_is_read(text, unit, wanted_m):
    assert depth(text, unit)[0] == pytest.approx(wanted_m)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("> 2.4", (2.4, ">", "")),
        ("≥2,4", (2.4, ">", "")),
        ("2.4+", (2.4, ">", "")),
        (">8'", (2.4384, ">", "")),
        ("bottom at 2.4 m", (2.4, ">", "on_bottom")),
        ("2.4 (bottom)", (2.4, ">", "on_bottom")),
        ("disk lost in plants at 1.2", (1.2, ">", "in_plants")),
        ("1.2 in weeds", (1.2, ">", "in_plants")),
        ("line too short, 10", (10.0, ">", "line_too_short")),
        ("<0.3", (0.3, "<", "")),
    ],
)
def test_a_disk_still_in_sight_is_at_least_so_deep(text, wanted):
    found = depth(text)
    assert found[:3] == (pytest.approx(wanted[0]), *wanted[1:])
    assert found[3] == ""


@pytest.mark.parametrize("ending", ENDINGS)
def test_every_documented_word_of_an_ending_is_known_with_and_without_a_depth(ending):
    for phrase in WORDS[ending]:
        assert depth(phrase.upper())[1:4] == (">", ending, "nothing_beside")
        assert depth(f"{phrase} 1.5")[:4] == (1.5, ">", ending, "")


@pytest.mark.parametrize(
    ("text", "unit", "problem"),
    [
        ("abc", "m", "not_a_depth"),
        ("1/2", "m", "not_a_depth"),
        ("2.1, 2.3", "m", "not_a_depth"),
        ("2,5?", "m", "doubt_marked"),
        ("~2", "m", "doubt_marked"),
        ("0", "m", "depth_not_above_zero"),
        ("-1", "m", "depth_not_above_zero"),
        ("5'14\"", "ft", "too_many_inches"),
        ("5.5'7\"", "ft", "too_many_inches"),
        ("1,250", "m", "thousands_or_decimals"),
        ("2.4", "", "no_depth_unit"),
        ("1e400", "m", "not_a_depth"),
        ("nan", "m", ""),
        ("inf", "m", "not_a_depth"),
        ("3 furlongs", "m", "not_a_depth"),
        ("1/0", "ft", "not_a_depth"),
        ("5.7", "ft in", "feet_or_inches"),
    ],
)
def test_what_cannot_be_read_as_a_depth_has_no_value_and_its_problem(text, unit, problem):
    found = depth(text, unit)
    assert np.isnan(found[0])
    assert found[3] == problem


def test_a_point_before_ten_and_eleven_in_a_column_of_feet_may_mean_inches():
    asked = read_depths(["5.10", "4.11", "5.7"], "ft")
    assert asked.problem.tolist() == ["feet_or_inches"] * 3
    told = read_depths(["5.10", "4.25", "5.7"], "ft")  # hundredths: no inches
    assert told.problem.tolist() == ["", "", ""]
    assert read_depths(["5.10", "4.11"], "m").problem.tolist() == ["", ""]


@given(st.lists(st.text(max_size=12), max_size=4), st.sampled_from(["m", "ft", "in", "cm", "", "ft in"]))
def test_any_text_is_a_depth_or_a_problem_or_empty(texts, unit):
    found = read_depths(texts, unit, words=WORDS)
    for value, problem in zip(found.depth_m, found.problem, strict=True):
        assert np.isnan(value) or (value > 0 and np.isfinite(value) and problem == "")
