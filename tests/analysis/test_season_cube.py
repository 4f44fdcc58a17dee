import numpy as np
import pytest

from explorer.analysis.season_cube import comparable_methods, season_cube
from explorer.analysis.trend import trends

MONTHS = (5, 6, 7)


def cube_of(rows, comparable=()):
    stations, methods, years, months, values, signs = zip(*rows, strict=True)
    return season_cube(
        stations, methods, years, months, values, signs, season_months=MONTHS, comparable=comparable
    )


def one_month(*readings):
    """Return value and sign that several readings of one month give."""
    cube = cube_of([("A1", "lab", 2001, 5, value, sign) for value, sign in readings])
    return cube.values[0, 0, 0].item(), cube.signs[0, 0, 0].item()


@pytest.mark.parametrize(
    ("readings", "expected"),
    [
        ([(4.0, "=")], (4.0, "=")),
        ([(4.0, "="), (1.0, "="), (9.0, "=")], (4.0, "=")),
        ([(4.0, "="), (5.0, "=")], (4.5, "=")),
        ([(2.0, "<"), (100.0, "=")], (2.0, "<")),
        ([(5.0, "<"), (3.0, "=")], (5.0, "<")),
        ([(5.0, "<"), (2.0, "<")], (5.0, "<")),
        ([(2.0, ">"), (3.0, ">")], (2.0, ">")),
        ([(1.0, "="), (3.0, ">")], (3.0, ">")),
        ([(2.0, "<"), (6.0, "="), (7.0, "=")], (6.0, "=")),
        ([(3.0, "="), (3.0, "<"), (3.0, ">")], (3.0, "=")),
    ],
)
def test_a_month_of_several_readings_gives_their_median(readings, expected):
    assert one_month(*readings) == expected
    assert one_month(*reversed(readings)) == expected


def test_a_method_that_is_not_declared_comparable_cuts_the_series():
    rows = [
        ("A1", "old" if year < 2010 else "new", year, month, float(year), "=")
        for year in range(2000, 2020)
        for month in MONTHS
    ]
    cut = cube_of(rows)
    assert list(zip(cut.stations, cut.methods, strict=True)) == [("A1", "new"), ("A1", "old")]
    whole = cube_of(rows, [("old", "new")])
    assert whole.methods.tolist() == ["new"]
    assert trends(whole.values, years=whole.years).years.tolist() == [20]
    assert trends(cut.values, years=cut.years).years.tolist() == [10, 10]


def test_a_step_between_methods_makes_no_trend():
    """Ten years around 20 by one method, ten around 30 by another: one rise over all, none in either."""
    rng = np.random.default_rng(2)
    rows = [
        ("A1", "old" if year < 2010 else "new", year, month, rng.normal(20.0 if year < 2010 else 30.0), "=")
        for year in range(2000, 2020)
        for month in MONTHS
    ]
    over_all, cut = cube_of(rows, [("old", "new")]), cube_of(rows)
    assert trends(over_all.values).p[0] < 0.001
    assert (trends(cut.values).p > 0.05).all()


def test_methods_comparable_in_a_chain_are_one():
    names = comparable_methods(["a", "b", "c", "d"], [("c", "b"), ("e", "d"), ("b", "a")])
    assert names.tolist() == ["a", "a", "a", "d"]


def test_readings_outside_the_season_and_without_a_value_are_left_out():
    cube = cube_of([("A1", "m", 2001, 5, 1.0, "="), ("A1", "m", 2003, 12, 9.0, "="),
                    ("B1", "m", 2004, 6, float("nan"), "=")])  # fmt: skip
    assert cube.stations.tolist() == ["A1"]
    assert cube.years.tolist() == [2001]


def test_months_of_a_winter_season_keep_their_order():
    cube = season_cube(
        ["A1"] * 2, ["m"] * 2, [2001] * 2, [1, 11], [1.0, 11.0], ["="] * 2, season_months=(11, 12, 1)
    )
    assert cube.values[0, 0].tolist()[::2] == [11.0, 1.0]


def test_no_readings_make_an_empty_cube_that_has_no_trends():
    cube = season_cube([], [], [], [], [], [], season_months=MONTHS)
    assert cube.values.shape == (0, 0, 3)
    assert len(trends(cube.values, cube.signs, years=cube.years)) == 0


def test_the_order_of_readings_makes_no_difference():
    rng = np.random.default_rng(8)
    rows = [
        (f"S{rng.integers(3)}", f"m{rng.integers(2)}", int(rng.integers(2000, 2004)),
         int(rng.integers(4, 9)), float(rng.integers(1, 6)), str(rng.choice(["=", "<", ">"])))
        for _ in range(200)
    ]  # fmt: skip
    first, second = cube_of(rows), cube_of([rows[place] for place in rng.permutation(len(rows))])
    np.testing.assert_array_equal(first.values, second.values)
    np.testing.assert_array_equal(first.signs, second.signs)
    assert first.stations.tolist() == second.stations.tolist()
