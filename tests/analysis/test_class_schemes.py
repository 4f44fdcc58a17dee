"""Class schemes: the bundled ones against their printed tables, the boundary, and every mistake in a file."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.class_schemes import class_index, programme_schemes, read_scheme, schemes
from explorer.analysis.indices import (
    tsi_from_chlorophyll_a,
    tsi_from_secchi,
    tsi_from_total_nitrogen,
    tsi_from_total_phosphorus,
)
from explorer.model.classes import ClassScheme, Limits
from explorer.model.errors import ProgrammeError
from explorer.model.quantities import QUANTITIES
from explorer.model.units import convert

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "trophic_classes.csv")
NAMES = {
    "TP": "total_phosphorus",
    "TN": "total_nitrogen",
    "chl_a": "chlorophyll_a",
    "secchi": "secchi_depth",
}

A_RULE = """format = 1
name = "County rule"
source = "County ordinance"
kinds = ["lake", "pond"]
classes = ["clear", "middling", "murky"]
letters = ["C", "M", "K"]
priority = ["secchi_depth"]

[limits.secchi_depth]
statistic = "median"
window = "season"
upper = [4, 2]
boundary = "worse"
"""


def printed(scheme: str, statistic: str | None = None) -> pd.DataFrame:
    rows = PUBLISHED[PUBLISHED["scheme"] == scheme]
    rows = rows if statistic is None else rows[rows["statistic"] == statistic]
    assert len(rows) > 0
    return rows.assign(code=rows["variable"].map(NAMES))


def check_against_print(scheme: ClassScheme, rows: pd.DataFrame) -> None:
    """Every printed row, from just inside its one limit to just inside the other, is its own class."""
    for code, of_quantity in rows.groupby("code"):
        quantity = QUANTITIES[code]
        limits = scheme.limits[code]
        lowest, highest = of_quantity["lower"].fillna(1e-6), of_quantity["upper"].fillna(1e6)
        for values in (lowest * 1.0001, np.sqrt(lowest * highest), highest * 0.9999):
            found = class_index(values, limits, quantity.higher_is_worse is True)
            assert [scheme.classes[each] for each in found] == of_quantity["class"].tolist(), code


def test_class_index_agrees_with_the_fixed_boundaries_of_oecd_1982() -> None:
    check_against_print(schemes()["oecd_1982_fixed"], printed("OECD 1982 fixed boundary", "annual mean"))


def test_class_index_agrees_with_the_class_table_of_burns_1999() -> None:
    secchi = printed("Burns trophic level (NZ) version A Secchi")
    check_against_print(schemes()["burns_1999"], pd.concat([printed("Burns trophic level (NZ)"), secchi]))


def test_secchi_limits_of_burns_1999_are_not_those_of_the_protocol_of_2000() -> None:
    later = printed("Burns trophic level (NZ) version B Secchi")["lower"].dropna().to_numpy()
    limits = schemes()["burns_1999"].limits["secchi_depth"].upper
    assert len(limits) == len(later)
    assert set(limits) & set(later) == {15.0}


def rule_of(rows: pd.DataFrame, statistic: str, window: str = "season") -> ClassScheme:
    """Return printed rows as the rule that a programme would write: a value on a limit is the better."""
    classes = rows["class"].drop_duplicates().tolist()
    tables = ""
    for code, of_quantity in rows.groupby("code"):
        worse_end = "upper" if QUANTITIES[code].higher_is_worse else "lower"
        upper = of_quantity[worse_end].iloc[:-1].tolist()
        tables += f'[limits.{code}]\nstatistic = "{statistic}"\nwindow = "{window}"\nboundary = "better"\n'
        tables += f"upper = {upper}\n"
    return read_scheme(
        'format = 1\nname = "A rule"\nsource = "As printed"\nkinds = ["lake"]\n'
        f"classes = {classes}\nletters = {list('ABCDEF')[: len(classes)]}\n"
        f"priority = {rows['code'].drop_duplicates().tolist()}\n{tables}",
        "rule.toml",
    )


@pytest.mark.parametrize(
    ("scheme", "printed_as", "statistic", "window"),
    [
        ("Connecticut 22a-426-6 (local rule example)", None, "mean", "season"),
        ("OECD 1982 fixed boundary", "annual maximum", "maximum", "year"),
        ("OECD 1982 fixed boundary", "annual minimum", "minimum", "year"),
        ("Forsberg & Ryding 1980", None, "mean", "season"),
        ("US EPA National Lakes Assessment", None, "median", "season"),
    ],
)
def test_read_scheme_of_a_programmes_own_rule_agrees_with_its_printed_table(
    scheme: str, printed_as: str | None, statistic: str, window: str
) -> None:
    rows = printed(scheme, printed_as)
    rule = rule_of(rows, statistic, window)
    check_against_print(rule, rows)
    assert {(each.statistic, each.window) for each in rule.limits.values()} == {(statistic, window)}


def test_rule_of_washington_takes_a_mean_on_its_criterion_as_within_it() -> None:
    rows = printed("Washington WAC 173-201A-230 (local rule example)")
    for _, of_region in rows.groupby(rows["note"].str.split(";").str[0]):
        rule = rule_of(of_region, "mean")
        check_against_print(rule, of_region)
        criteria = of_region["note"].str.extract(r"set at ([\d.]+) or less")[0].astype(float)
        found = class_index(criteria, rule.limits["total_phosphorus"], higher_is_worse=True)
        assert [rule.classes[each] for each in found] == of_region["class"].tolist()


def test_class_index_agrees_with_nurnberg_1996_as_remembered() -> None:
    rows = printed("Nuernberg 1996")
    assert set(rows["status"]) == {"memory"}
    assert "from memory" in schemes()["nurnberg_1996"].source
    check_against_print(schemes()["nurnberg_1996"], rows)


def test_class_index_agrees_with_the_attribute_table_of_carlson_and_simpson_1996() -> None:
    classes = {
        "TSI <30": "oligotrophic", "TSI 30-40": "oligotrophic", "TSI 40-50": "mesotrophic",
        "TSI 50-60": "eutrophic", "TSI 60-70": "eutrophic", "TSI 70-80": "hypereutrophic",
        "TSI >80": "hypereutrophic",
    }  # fmt: skip
    rows = printed("Carlson & Simpson 1996 attribute table")
    check_against_print(schemes()["carlson_simpson_1996"], rows.replace({"class": classes}))


def test_class_index_agrees_with_the_ranges_of_the_index_of_carlson_and_simpson_1996() -> None:
    classes = ["oligotrophic", "oligotrophic", "mesotrophic", "eutrophic", "eutrophic", "hypereutrophic",
               "hypereutrophic"]  # fmt: skip
    rows = PUBLISHED[PUBLISHED["scheme"] == "Carlson & Simpson 1996 TSI attributes"]
    middle = (rows["lower"].fillna(20.0) + rows["upper"].fillna(90.0)) / 2
    scheme = schemes()["carlson_simpson_1996"]
    for code, value in (
        ("secchi_depth", np.exp((60.0 - middle) / 14.41)),
        ("chlorophyll_a", np.exp((middle - 30.6) / 9.81)),
        ("total_phosphorus", np.exp((middle - 4.15) / 14.42)),
        ("total_nitrogen", 1000.0 * np.exp((middle - 54.45) / 14.43)),
    ):
        found = class_index(value, scheme.limits[code], code != "secchi_depth")
        assert [scheme.classes[each] for each in found] == classes, code


def test_limits_of_carlson_and_simpson_lie_where_the_indices_reach_40_50_and_70() -> None:
    limits = schemes()["carlson_simpson_1996"].limits
    for code, index in (
        ("chlorophyll_a", tsi_from_chlorophyll_a),
        ("total_phosphorus", tsi_from_total_phosphorus),
        ("secchi_depth", tsi_from_secchi),
    ):
        found = index(pd.Series(limits[code].upper))
        assert found.tolist() == pytest.approx([40, 50, 70], abs=0.2)  # the table prints two digits
    nitrogen = tsi_from_total_nitrogen(pd.Series(limits["total_nitrogen"].upper) / 1000)
    assert nitrogen.tolist() == pytest.approx([40, 50, 70], abs=0.02)


def test_nitrogen_limits_of_carlson_and_simpson_draw_bands_but_name_no_class() -> None:
    scheme = schemes()["carlson_simpson_1996"]
    assert "total_nitrogen" in scheme.limits
    assert "total_nitrogen" not in scheme.priority


@pytest.mark.parametrize("key", sorted(schemes()))
def test_bundled_scheme_treats_uncorrected_chlorophyll_as_a_quantity_of_its_own(key: str) -> None:
    scheme = schemes()[key]
    corrected, uncorrected = scheme.limits["chlorophyll_a"], scheme.limits["chlorophyll_a_uncorrected"]
    assert uncorrected.quantity == "chlorophyll_a_uncorrected"
    assert uncorrected.upper == corrected.upper
    order = list(scheme.priority)
    assert order.index("chlorophyll_a") < order.index("chlorophyll_a_uncorrected")
    assert "corrected" in scheme.note


@pytest.mark.parametrize("key", ["oecd_1982_fixed", "burns_1999"])
def test_scheme_made_for_means_over_the_year_says_so(key: str) -> None:
    scheme = schemes()[key]
    assert {(each.window, each.statistic) for each in scheme.limits.values()} == {("year", "mean")}
    assert "whole year" in scheme.note


@pytest.mark.parametrize(("boundary", "expected"), [("better", [0, 1, 2]), ("worse", [1, 2, 2])])
@pytest.mark.parametrize("higher_is_worse", [True, False])
def test_class_index_on_a_limit_falls_to_the_side_that_the_scheme_chose(
    boundary: str, expected: list[int], higher_is_worse: bool
) -> None:
    upper = (2.0, 4.0) if higher_is_worse else (4.0, 2.0)
    limits = Limits("secchi_depth", "median", "season", upper, boundary)  # type: ignore[arg-type]
    worst = 9.0 if higher_is_worse else 0.1
    assert class_index([*upper, worst], limits, higher_is_worse).tolist() == expected


def test_class_index_of_unknown_and_endless_values_is_none_and_the_outermost() -> None:
    limits = schemes()["carlson_simpson_1996"].limits["secchi_depth"]
    assert class_index([np.nan, np.inf, 0.0], limits, higher_is_worse=False).tolist() == [-1, 0, 3]


@given(
    st.sampled_from(sorted(schemes())),
    st.lists(st.floats(0.001, 5000), min_size=2, max_size=20),
    st.sampled_from(["total_phosphorus", "chlorophyll_a"]),
)
def test_class_index_with_more_phosphorus_or_chlorophyll_is_never_better(
    key: str, values: list[float], quantity: str
) -> None:
    found = class_index(sorted(values), schemes()[key].limits[quantity], higher_is_worse=True)
    assert (np.diff(found) >= 0).all()


@given(st.sampled_from(sorted(schemes())), st.lists(st.floats(0.01, 45), min_size=2, max_size=20))
def test_class_never_improves_as_depth_falls(key: str, depths: list[float]) -> None:
    falling = sorted(depths, reverse=True)
    found = class_index(falling, schemes()[key].limits["secchi_depth"], higher_is_worse=False)
    assert (np.diff(found) >= 0).all()


@given(st.sampled_from(sorted(schemes())), st.floats(0.01, 45))
def test_class_in_feet_and_in_metres_is_the_same(key: str, depth_m: float) -> None:
    limits = schemes()[key].limits["secchi_depth"]
    for depth in (depth_m, *limits.upper):
        there = convert([depth], "m", "ft")
        back = convert(there, "ft", "m")
        expected = class_index([depth], limits, higher_is_worse=False)
        assert class_index(back, limits, higher_is_worse=False).tolist() == expected.tolist()


def test_depth_in_feet_agrees_with_the_international_foot() -> None:
    rows = pd.read_csv(Path(__file__).parents[1] / "published" / "secchi_depth.csv")
    rows = rows[rows["quantity"] == "feet to metres"]
    found = convert(rows["input"].astype(float), "ft", "m")
    assert found == pytest.approx(rows["expected"].astype(float).to_numpy(), abs=1e-5)
    assert len(rows) == 7


def test_read_scheme_gives_a_local_rule_under_the_name_of_its_file() -> None:
    rule = read_scheme(A_RULE, "county.toml")
    assert (rule.key, rule.name, rule.classes) == ("county", "County rule", ("clear", "middling", "murky"))
    assert rule.limits["secchi_depth"].upper == (4.0, 2.0)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("format = 1", "format = 2", 'line 1, "format": this version reads format 1; found 2'),
        ("name =", "nmae =", 'line 2, "nmae": there is no such key. Did you mean "name"?'),
        ('statistic = "median"', 'statistc = "median"', 'line 10, "statistc": there is no such key. Did'),
        ('"lake", "pond"', '"lake", "canal"', 'line 4, "kinds": "canal" is no kind of water. They are lake,'),
        ('"M", "K"', '"M"', 'line 6, "letters": 3 classes need 3 marks of one or two letters'),
        ('"M", "K"', '"M", "M"', 'line 6, "letters": found .* Each may stand once only'),
        ('"M", "K"', '"M", "<b>"', 'line 6, "letters": 3 classes need 3 marks of one or two letters'),
        ("[4, 2]", "[4]", 'line 12, "upper": 3 classes need 2 limits; found 1'),
        ("[4, 2]", "[2, 4]", 'line 12, "upper": found .* fall from class to class'),
        ("[4, 2]", "[4, 4]", 'line 12, "upper": found .* fall from class to class'),
        ("[4, 2]", "[4, nan]", 'line 12, "upper": found .* Write plain numbers above zero'),
        ("[4, 2]", "[4, 0]", 'line 12, "upper": found .* Write plain numbers above zero'),
        ("[4, 2]", '[4, "2"]', 'line 12, "upper": found .* Write plain numbers above zero'),
        ('"median"', '"middle"', 'line 10, "statistic": found "middle". Write one of median, mean'),
        ('"season"', '"summer"', 'line 11, "window": found "summer". Write one of season, year'),
        ('"worse"', '"either"', 'line 13, "boundary": found "either". Write one of better, worse'),
        ("[limits.secchi_depth]", "[limits.secchi_dept]", '"secchi_dept": .* Did you mean "secchi_depth"?'),
        ("[limits.secchi_depth]", "[limits.ph]", '"ph": "ph" has no better or worse side'),
        ('["secchi_depth"]', '["total_phosphorus"]', 'line 7, "priority": "total_phosphorus" has no limits'),
        ('source = "County ordinance"\n', "", '"source": the key "source" is missing. Add the line'),
        ("upper = [4, 2]\n", "", 'line 9, "secchi_depth": the key "upper" is missing'),
        ('boundary = "worse"', 'boundary = "worse"\nalso_for = ["secchi_depth"]', "has limits of its own"),
        ("kinds =", "kinds", "cannot be read as TOML"),
    ],
)
def test_read_scheme_with_a_mistake_names_file_line_key_and_cure(old: str, new: str, message: str) -> None:
    assert old in A_RULE
    with pytest.raises(ProgrammeError, match=message) as raised:
        read_scheme(A_RULE.replace(old, new, 1), "county.toml")
    assert str(raised.value).startswith("county.toml")


@given(st.text(max_size=200))
def test_read_scheme_of_any_text_raises_nothing_but_its_own_error(text: str) -> None:
    with pytest.raises(ProgrammeError):
        read_scheme(text, "county.toml")


@pytest.mark.parametrize("key", [line.split(" =")[0] for line in A_RULE.splitlines() if " =" in line])
@pytest.mark.parametrize(
    "odd",
    [
        "[[1]]",
        "[{}]",
        "{a = 1}",
        "1979-05-27",
        "true",
        "[]",
        "[true]",
        "[1e400]",
        "[" * 9000,
        "[1" + "0" * 400 + ", 2]",
    ],
)
def test_read_scheme_with_a_value_of_another_kind_raises_its_own_error(key: str, odd: str) -> None:
    lines = [f"{key} = {odd}" if line.startswith(f"{key} =") else line for line in A_RULE.splitlines()]
    with pytest.raises(ProgrammeError, match=r"county\.toml"):
        read_scheme("\n".join(lines), "county.toml")


@pytest.mark.parametrize("odd", ["[[1]]", "[{}]", "[1]", '["secchi"]', '"total_phosphorus"'])
def test_read_scheme_with_an_odd_also_for_raises_its_own_error(odd: str) -> None:
    with pytest.raises(ProgrammeError, match=r"county\.toml"):
        read_scheme(A_RULE + f"also_for = {odd}", "county.toml")


COUNTY = """
minimum_visits = 4
[class_schemes.county]
format = 1
name = "County rule"
source = "Invented."
kinds = ["lake"]
classes = ["better", "worse"]
letters = ["B", "W"]
priority = ["secchi_depth"]

[class_schemes.county.limits.secchi_depth]
statistic = "median"
window = "season"
upper = [2]
boundary = "better"
"""


def test_programme_scheme_stands_first_beside_the_published_ones():
    found = programme_schemes(COUNTY, "programme.toml")
    assert list(found) == ["county", *schemes()]
    assert (found["county"].key, found["county"].name) == ("county", "County rule")


def test_programme_that_chooses_a_scheme_that_is_not_there_is_told_the_nearest():
    with pytest.raises(ProgrammeError) as caught:
        programme_schemes('name = "x"\nscheme = "oecd_1982"\n', "programme.toml")
    assert 'programme.toml, line 2, "scheme": No class scheme "oecd_1982"' in str(caught.value)
    assert 'Did you mean "oecd_1982_fixed"?' in str(caught.value)
    assert "county" in programme_schemes('scheme = "county"\n' + COUNTY, "programme.toml")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("upper = [2]", "uper = [2]", 'programme.toml, line 15, "uper"'),
        ("upper = [2]", "upper = [2, 1]", 'programme.toml, line 15, "upper"'),
        ('letters = ["B", "W"]', 'letters = ["B", "B"]', 'programme.toml, line 9, "letters"'),
        (
            "[class_schemes.county]",
            "[class_schemes.burns_1999]",
            'programme.toml, line 3, "burns_1999": is a scheme',
        ),
    ],
)
def test_programme_scheme_with_a_mistake_names_file_line_and_key(old, new, said):
    text = COUNTY.replace(old, new)
    if "burns" in new:
        text = text.replace("county.limits", "burns_1999.limits")
    with pytest.raises(ProgrammeError) as caught:
        programme_schemes(text, "programme.toml")
    assert said in str(caught.value)


def test_all_mistakes_of_a_programmes_schemes_are_named_at_once():
    text = COUNTY.replace("upper = [2]", "upper = [2, 1]").replace(
        'letters = ["B", "W"]', 'letters = ["B", "B"]'
    )
    text = 'scheme = "oecd"\n' + text.replace('window = "season"', 'window = "summer"')
    with pytest.raises(ProgrammeError) as caught:
        programme_schemes(text, "programme.toml")
    said = str(caught.value)
    for key in ("scheme", "letters", "window", "upper"):
        assert f'"{key}"' in said
