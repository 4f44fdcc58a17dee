import pandas as pd

from explorer.analysis.class_schemes import schemes
from explorer.display.choice import Choice
from explorer.display.map_groups import class_groups, place_groups, visit_groups
from explorer.model.calendar import Period
from explorer.model.programme import Programme

CHOICE = Choice("", Period(2020, 2024))


def test_visit_groups_sort_by_months_that_lack_a_visit():
    groups = visit_groups(pd.Series([0, 1, 2, 3, 5]), 2024, CHOICE, Programme())
    assert groups.indexes == (0, 1, 1, 2, 2)
    assert groups.labels[:2] == ("every month visited", "1 month without a visit")
    assert groups.marks[:3] == ("all visited", "1 month due", "2 months due")
    assert groups.caption == "Months of the 2024 season without a visit"


def test_place_groups_mean_nothing_by_colour():
    groups = place_groups(3, CHOICE)
    assert groups.indexes == (-1, -1, -1)
    assert groups.names == ()


def test_class_groups_name_scheme_and_period():
    classes = pd.DataFrame({
        "class_index": [3, -1], "letter": ["H", ""], "visits": [9, 0], "missing": ["", "stream"],
    })  # fmt: skip
    groups = class_groups(classes, CHOICE, schemes()["carlson_simpson_1996"], Programme())
    assert groups.caption == "Class in 2020 to 2024 by Carlson & Simpson"
    assert groups.labels == ("H · 9 visits", "– · stream")
    assert groups.marks == ("H", "–")
    assert len(set(groups.colours)) == len(set(groups.patterns)) == 4


def test_every_reason_without_a_class_has_its_words():
    from explorer.analysis.class_units import REASONS

    classes = pd.DataFrame({"class_index": -1, "letter": "", "visits": 1, "missing": list(REASONS)})
    groups = class_groups(classes, CHOICE, schemes()["carlson_simpson_1996"], Programme())
    assert all(groups.labels)
