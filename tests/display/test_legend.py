from datetime import date

import pytest

from explorer.analysis.class_schemes import schemes
from explorer.analysis.classes import class_result
from explorer.analysis.season_table import season_table
from explorer.display.choice import Choice
from explorer.display.legend import legend_entries
from explorer.display.station_page import build_station_page
from explorer.model.calendar import Period
from explorer.model.programme import Programme

SUMMER = [date(2024, month, 5) for month in (5, 6, 7, 8, 9)]


@pytest.fixture
def entries_of(make_history, make_readings):
    def entries(*, kind="lake", **change):
        history = make_history(make_readings(SUMMER, [3.0] * 5, **change), kind=kind)
        choice, programme = Choice("HM1", Period(2024, 2024)), Programme()
        seasons, scheme = season_table(history.readings, programme), schemes()[programme.scheme]
        result = class_result(history, seasons, choice.period, scheme, programme)
        return dict(legend_entries(build_station_page(history, seasons, result, choice, scheme, programme)))

    return entries


@pytest.mark.parametrize(
    ("quantity", "kind", "sign", "words"),
    [
        ("secchi_depth", "lake", "down", "disk still in sight on the bottom"),
        ("transparency_tube", "stream", "up", "mark still in sight through the whole tube"),
        ("total_phosphorus", "lake", "up", "above what could be measured"),
    ],
)
def test_more_than_is_named_by_what_was_measured_and_points_there(entries_of, quantity, kind, sign, words):
    assert entries_of(quantity=quantity, kind=kind, signs=">") == {sign: words}


def test_only_what_is_drawn_stands_in_the_legend(entries_of):
    assert list(entries_of()) == ["measured"]
