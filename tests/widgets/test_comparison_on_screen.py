from html import unescape

import numpy as np
import pytest

from explorer.display.comparison import NO_COMPARISON
from explorer.model.calendar import Period
from explorer.widgets import StationExplorer
from explorer.widgets.comparison_bar import ComparisonBar
from explorer.widgets.panel_view import FAINT


@pytest.fixture
def bar(explorer):
    explorer.station = "TES1"
    explorer.screen.comparison_bar.button.value = True
    return explorer.screen.comparison_bar


def squares(explorer, view):
    """Return years, places and strength of the compared seasons that a panel draws."""
    span = explorer.page.last_year + 1 - explorer.page.first_year
    drawn = [
        (explorer.page.first_year + across * span, up, strong)
        for strong in (True, False)
        for across, up in np.frombuffer(
            (view.dots.strong if strong else view.dots.faint)["beside"], dtype="<f4"
        ).reshape(-1, 2)
    ]
    return sorted(drawn)


def medians(record_explorer, code, quantity):
    """Return the season medians of a station by year, from the record's season table."""
    seasons = record_explorer._pages._seasons
    own = seasons[(seasons["station_code"] == code) & (seasons["quantity"] == quantity)]
    own = own[own["window"] == "season"]
    return dict(zip(own["year"].tolist(), own["median"].tolist(), strict=True))


def test_station_beside_is_drawn_at_its_season_medians(explorer, bar):
    bar.menu.value = "station"
    bar.stations.value = "Vellory Lake, deep hole (VEL1)"
    assert explorer.beside == "VEL1"
    for view, panel in zip(explorer.screen.panels, explorer.page.panels, strict=True):
        drawn = squares(explorer, view)
        years = [year for year, _, _ in drawn]
        expected = medians(explorer, "VEL1", panel.quantity.code)
        assert len(years) == len(expected) > 10
        values = [panel.axis.value_at(place) for _, place, _ in drawn]
        assert np.allclose(values, [expected[int(year)] for year in years], rtol=1e-5)


def test_what_is_compared_stands_in_heading_legend_and_under_the_panels(explorer, bar):
    bar.menu.value = "district"
    heading, legend = unescape(explorer.screen.heading.value), unescape(explorer.screen.legend.value)
    assert "Compared, season by season, with the middle of 8 to 27 stations" in heading
    assert "beside: the middle of 8 to 27 stations on the district's lakes" in legend
    assert 'class="legend-entry legend-beside"' in legend
    said = unescape(bar.said.value)
    assert all(f"<li>{panel.quantity.name}, middle value of" in said for panel in explorer.page.panels)


def test_nothing_beside_draws_nothing_again(explorer, bar):
    bar.menu.value = "water"
    assert squares(explorer, explorer.screen.panels[0])
    bar.menu.value = ""
    assert explorer.beside == ""
    for view in explorer.screen.panels:
        assert squares(explorer, view) == []
        assert np.isnan(np.asarray(view.links.y)).all()
    assert "beside" not in explorer.screen.legend.value


def test_panel_that_is_not_compared_says_why(explorer, bar):
    explorer.beside = "SED1"
    assert all("not compared: other kind of water" in view.title.value for view in explorer.screen.panels)
    assert not any(squares(explorer, view) for view in explorer.screen.panels)
    explorer.beside = "VEL1"
    assert not any("not compared" in view.title.value for view in explorer.screen.panels)


def test_other_station_keeps_what_is_beside_and_never_itself(explorer, bar):
    explorer.beside = "VEL1"
    explorer.station = "VEL1"
    assert "A station is not compared with itself." in explorer.screen.heading.value
    explorer.station = "FER1"
    assert "Vellory Lake, deep hole" in explorer.screen.heading.value


def test_picked_period_makes_other_compared_seasons_faint(explorer, bar):
    explorer.beside = "VEL1"
    explorer.period = Period(2010, 2012)
    view = explorer.screen.panels[0]
    drawn = squares(explorer, view)
    assert any(strong for _, _, strong in drawn)
    assert all(strong == (2010 <= year < 2013) for year, _, strong in drawn)
    faint, plain = (~np.isnan(line) for line in np.asarray(view.links.y))
    at = np.asarray(view.links.x)
    assert at[plain].astype(int).tolist() == [2010, 2011, 2012]
    assert not faint[at.astype(int) == 2011].any()
    assert faint[at.astype(int) == 2010].all()  # the faint line reaches to where the other begins
    assert list(view.links.opacities) == [FAINT, 1.0]


def test_compared_line_is_not_told_by_colour_alone(explorer):
    view = explorer.screen.panels[0]
    assert view.links.line_style == "dashed"
    assert view.links.colors == ["var(--se-beside)"]


def test_entry_for_a_station_alone_changes_nothing_until_one_is_named(explorer, bar):
    explorer.beside = "district"
    bar.menu.value = "station"
    assert explorer.beside == ""
    assert bar.menu.value == "station"
    assert bar.stations.layout.display == ""
    explorer.station = "FER1"
    assert bar.menu.value == "station"


def test_words_take_the_first_station_whose_name_holds_the_words(explorer, bar):
    bar.menu.value = "station"
    bar.stations.value = "hole vellory"
    assert explorer.beside == "VEL1"
    assert bar.stations.value == "Vellory Lake, deep hole (VEL1)"
    bar.stations.value = "vel1"
    assert bar.stations.value == "Vellory Lake, deep hole (VEL1)"
    bar.stations.value = "no such water"
    assert explorer.beside == "VEL1"
    assert "No station" in bar.note.value
    bar.stations.value = ""
    assert (explorer.beside, bar.note.value) == ("", "")


def test_choice_is_hidden_until_asked_for_and_its_stations_are_sent_then(explorer):
    bar = explorer.screen.comparison_bar
    assert bar.row.layout.display == "none"
    assert bar.stations.options == ()
    bar.button.value = True
    assert bar.row.layout.display == ""
    assert bar.stations.layout.display == "none"
    assert len(bar.stations.options) == len(explorer.record.station_list())


def test_menu_follows_what_is_beside(explorer, bar):
    for beside, entry in (("water", "water"), ("VEL1", "station"), ("district", "district"), ("", "")):
        explorer.beside = beside
        assert bar.menu.value == entry


def test_address_with_something_beside_shows_the_same_view_again(explorer, bar, demo_record):
    explorer.beside = "VEL1"
    address = explorer.screen.page_link.address
    assert "beside=VEL1" in address
    other = StationExplorer(demo_record)
    other.screen.page_link._told(None, {"address": address}, [])
    assert other.choice == explorer.choice
    assert other.page.comparison.sentence == explorer.page.comparison.sentence
    other.screen.page_link._told(None, {"address": "#station=TES1"}, [])
    assert other.beside == ""


def test_unknown_station_beside_is_answered_kindly_and_escaped(explorer, bar):
    explorer.beside = "<b>X</b>"
    assert explorer.page.station == "TES1"
    assert "This record has no station &quot;&lt;b&gt;X&lt;/b&gt;&quot;" in explorer.screen.heading.value
    assert "<b>" not in explorer.screen.heading.value + bar.said.value + explorer.screen.legend.value


def test_comparison_changes_marks_and_makes_none(explorer, bar):
    before = [mark.model_id for panel in explorer.screen.panels for mark in panel.figure.marks]
    explorer.beside = "district"
    explorer.beside = "SED1"
    assert [mark.model_id for panel in explorer.screen.panels for mark in panel.figure.marks] == before


def test_bar_without_stations_explains_what_is_compared():
    chosen = []
    bar = ComparisonBar(lambda name, value: chosen.append((name, value)))
    bar.show("", NO_COMPARISON)
    assert "measured by the same method" in bar.said.value
    assert chosen == []
    bar.menu.value = "district"
    assert chosen == [("beside", "district")]
