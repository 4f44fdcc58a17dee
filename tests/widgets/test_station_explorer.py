import hashlib
from urllib.error import HTTPError
from urllib.request import urlopen

import ipyleaflet
import numpy as np
import pandas as pd
import pytest

from explorer import open_record
from explorer.display.axes import decimal_years
from explorer.model.calendar import Period
from explorer.model.places import Lake, Station
from explorer.model.quantities import QUANTITIES
from explorer.model.readings import ENTRIES
from explorer.records.ledger import Arrival, create_record, enter
from explorer.widgets import StationExplorer


def entry(code, value):
    """Return the frame of one Secchi reading that comes from a file called "sheet.csv"."""
    content = f"{code},{value}".encode()
    row = {
        name: {"str": "", "float64": np.nan, "int64": 2, "bool": False}.get(kind)
        for name, kind in ENTRIES.items()
    }
    day = pd.Timestamp("2024-06-01") + pd.Timedelta(days=round(value))
    row |= {
        "station_code": code, "quantity": "secchi_depth", "taken_on": day, "analysed_on": day, "value": value,
        "sign": "=", "status": "accepted", "sample_type": "routine", "stratum": "surface",
        "sha256": hashlib.sha256(content).hexdigest(),
    }  # fmt: skip
    return pd.DataFrame([row]), {"sheet.csv": content}


def build_two_stations(path, name="Hollow Mere"):
    create_record(path, "", QUANTITIES.values())
    lake = Lake("A", name, "lake", frozenset(), 1.0, 1.0, 1.0)
    stations = tuple(
        Station(f"A{n}", f"{name}, part {n}", "A", -30.0 + n / 10, 45.0, 5.0, True) for n in (1, 2)
    )
    frame, files = entry("A1", 1.5)
    enter(path, Arrival((lake,), {}, stations, frame, files), kind="import", who="test", why="")


def add_reading(path, code, value):
    frame, files = entry(code, value)
    enter(path, Arrival((), {}, (), frame, files), kind="import", who="test", why="")


def at_station(explorer, code, event="click"):
    """Click a station, or point at it, as the map's front end would."""
    number = explorer.screen.map_view.page.codes.index(code)
    layer = explorer.screen.map_view.stations
    feature = next(each for each in layer.data["features"] if each["properties"]["number"] == number)
    longitude, latitude = feature["geometry"]["coordinates"]
    content = {
        "event": event, "feature": feature, "properties": feature["properties"], "id": None,
        "coordinates": [latitude, longitude],
    }  # fmt: skip
    layer._handle_custom_msg(content, [])


def drawn_dots(explorer, sent):
    """Return decimal year and place of the dots that are sent to the page."""
    across, places = np.frombuffer(sent, dtype="<f4").astype(float).reshape(-1, 2).T
    page = explorer.page
    return page.first_year + across * (page.last_year + 1 - page.first_year), places


def test_click_on_a_station_shows_its_readings_in_every_panel(explorer, demo_record):
    for code in ("FER1", "VEL1"):
        at_station(explorer, code)
        assert explorer.station == code
        readings = demo_record.history(code).readings
        for view, page in zip(explorer.screen.panels, explorer.page.panels, strict=True):
            own = readings[
                (readings["quantity"] == page.quantity.code)
                & (readings["sample_type"] == "routine")
                & (readings["stratum"] == "surface")
                & (readings["sign"] == "=")
                & ~readings["status"].isin(["held", "rejected"])
            ].sort_values(["taken_on", "reading_id"])
            years, places = drawn_dots(explorer, view.dots.strong["measured"])
            assert np.allclose(years, decimal_years(own["taken_on"].to_numpy()), atol=1e-5, rtol=0)
            assert np.allclose([page.axis.value_at(place) for place in places], own["value"], rtol=1e-5)


def test_every_station_of_the_demo_is_shown_and_said_in_words(explorer, demo_record):
    for station in demo_record.station_list():
        explorer.station = station.code
        assert explorer.page.station == station.code
        assert all(len(sentence) > 10 and sentence.endswith(".") for sentence in explorer.page.sentences)


def test_feet_change_depths_and_nothing_else(explorer):
    explorer.station = "FER1"
    metres = explorer.page
    explorer.length_unit = "ft"
    feet = explorer.page
    assert np.allclose(feet.panels[0].axis.high / metres.panels[0].axis.high, 1 / 0.3048)
    assert feet.panels[1].axis == metres.panels[1].axis
    assert feet.sentences[0] == metres.sentences[0]


def test_equal_steps_change_concentrations_and_not_clarity(explorer):
    explorer.station = "FER1"
    before = explorer.page
    explorer.log = False
    assert [panel.axis.log for panel in explorer.page.panels] == [False] * 4
    assert explorer.page.panels[0].axis == before.panels[0].axis


def test_another_scheme_changes_bands_and_colours(explorer):
    explorer.station = "FER1"
    before = explorer.screen.map_view.colours
    explorer.scheme = "oecd_1982_fixed"
    assert explorer.page.scheme.key == "oecd_1982_fixed"
    assert explorer.screen.map_view.colours != before


def test_unknown_station_is_said_in_the_message_line(explorer):
    explorer.station = "FER9"
    assert (
        "No station &quot;FER9&quot; in the record. Did you mean &quot;FER" in explorer.screen.message.value
    )


def test_typing_and_enter_pick_the_first_station_found(explorer):
    explorer.screen.station_list.search.value = "ferrow"
    assert {code[:3] for _, code in explorer.screen.station_list.found.options} == {"FER"}
    explorer.screen.station_list.search._handle_custom_msg({"event": "submit"}, [])
    assert explorer.station.startswith("FER")


def test_list_keeps_the_picked_station_marked_while_searching(explorer):
    explorer.station = "VEL1"
    explorer.screen.station_list.search.value = "ferrow"
    assert explorer.station == "VEL1"
    explorer.screen.station_list.search.value = ""
    assert explorer.screen.station_list.found.value == "VEL1"


def test_words_that_no_name_holds_are_answered(explorer):
    explorer.screen.station_list.search.value = "no such water"
    assert explorer.screen.station_list.found.options == ()
    assert "No station" in explorer.screen.station_list.note.value


@pytest.mark.parametrize("panel", range(4))
def test_pointer_over_a_reading_says_its_value_with_unit_and_date(explorer, panel):
    explorer.station = "FER1"
    page = explorer.page.panels[panel]
    row = page.measured.rows[3]
    reading = page.readings.iloc[row]
    across = (reading["when"] - explorer.page.first_year) / (
        explorer.page.last_year + 1 - explorer.page.first_year
    )
    explorer.screen.pointer._answer(None, {"panel": panel, "across": across, "up": reading["place"]}, [])
    said = explorer.screen.panels[panel].said.value
    assert str(reading["taken_on"].year) in said
    assert page.quantity.unit in said
    explorer.screen.pointer._answer(None, {"panel": -1}, [])
    assert explorer.screen.panels[panel].said.value == ""


def test_click_changes_marks_and_makes_none(explorer):
    explorer.station = "FER1"
    marks = [mark.model_id for panel in explorer.screen.panels for mark in panel.figure.marks]
    explorer.station = "VEL1"
    assert [mark.model_id for panel in explorer.screen.panels for mark in panel.figure.marks] == marks


def test_picked_period_changes_heading_map_and_faintness(explorer):
    explorer.station = "FER1"
    latest = explorer.screen.map_view.page
    explorer.screen.strip.picked = [2008, 2012]
    assert explorer.period == Period(2008, 2012)
    assert "2008 to 2012" in explorer.page.sentences[0]
    assert "Period chosen by you." in explorer.page.sentences
    assert explorer.screen.map_view.page.groups.indexes != latest.groups.indexes
    years, _ = drawn_dots(explorer, explorer.screen.panels[1].dots.strong["measured"])
    faint, _ = drawn_dots(explorer, explorer.screen.panels[1].dots.faint["measured"])
    assert ((years >= 2008) & (years < 2013)).all()
    assert ((faint < 2008) | (faint >= 2013)).all()
    explorer.screen.strip.picked = []
    assert explorer.period is None
    assert "2025" in explorer.page.sentences[0]


def test_arrow_keys_move_and_widen_the_period_within_the_strip(explorer):
    explorer.station = "FER1"
    for first, last, expected in (
        (-1, -1, (2025, 2025)),
        (-1, -1, (2024, 2024)),
        (0, 1, (2024, 2025)),
        (1, 1, (2024, 2025)),
    ):
        explorer.screen.strip._stepped(None, {"first": first, "last": last}, [])
        assert (explorer.period.first_year, explorer.period.last_year) == expected


def test_season_cells_carry_the_class_of_every_season(explorer):
    explorer.station = "FER1"
    cells = explorer.screen.strip.cells
    assert [cell["year"] for cell in cells] == list(range(2006, 2026))
    assert {cell["letter"] for cell in cells} <= {*"OMEH", "–", ""}
    assert all(cell["label"] in cell["said"] for cell in cells)


def test_address_of_a_view_shows_the_same_view_again(explorer, demo_record):
    explorer.station = "VEL1"
    explorer.period = Period(2010, 2014)
    explorer.length_unit = "ft"
    explorer.log = False
    explorer.map_shows = "visits"
    explorer.theme = "dark"
    address = explorer.screen.page_link.address
    other = StationExplorer(demo_record)
    other.screen.page_link._told(None, {"address": address}, [])
    assert other.choice == explorer.choice
    assert other.theme == "dark"
    assert other.page.sentences == explorer.page.sentences


def test_address_that_names_nothing_known_is_answered_kindly(explorer):
    explorer.screen.page_link._told(None, {"address": "#station=X9&depths=miles&scale=linear"}, [])
    assert "No station" in explorer.screen.message.value
    assert explorer.length_unit == "m"


def test_map_by_visits_due_counts_the_months_of_the_season(explorer):
    explorer.map_shows = "visits"
    page = explorer.screen.map_view.page
    assert page.groups.labels[page.codes.index("FER1")] == "every month visited"
    assert page.groups.labels[page.codes.index("DUN5")] == "5 months without a visit"


def test_what_the_pointer_met_on_the_map_goes_when_the_map_shows_something_else(explorer):
    at_station(explorer, "FER1", "mouseover")
    under_the_map = explorer.screen.map_view.widget.children[-1].children
    pointed = next(each for each in under_the_map if "map-pointed" in each._dom_classes)
    assert "Ferrow Tarn, north basin: " in pointed.value
    explorer.map_shows = "visits"
    assert pointed.value == ""


def test_map_of_places_only_has_one_colour_and_no_class(explorer):
    explorer.map_shows = "places"
    assert set(explorer.screen.map_view.page.groups.indexes) == {-1}


def test_newer_record_is_offered_and_shown(tmp_path):
    path = tmp_path / "lakes.gpkg"
    build_two_stations(path)
    explorer = StationExplorer(open_record(path))
    explorer.station = "A1"
    add_reading(path, "A1", 2.5)
    explorer.screen.page_link._told(None, {"look": True}, [])
    explorer.screen.newer.click()
    assert len(explorer.page.panels[0].readings) == 2


def test_tile_folder_is_served_to_this_computer_and_nothing_else_of_it(explorer, tmp_path):
    (tmp_path / "3" / "4").mkdir(parents=True)
    (tmp_path / "3" / "4" / "5.png").write_bytes(b"tile")
    (tmp_path / "secret.txt").write_text("no")
    explorer.background = str(tmp_path)
    address = explorer.screen.map_view.map.layers[0].url
    assert address.startswith("http://127.0.0.1:")
    assert urlopen(address.format(z=3, x=4, y=5)).read() == b"tile"
    for path in ("secret.txt", "", "3/4/", "../x"):
        with pytest.raises(HTTPError):
            urlopen(address.split("{z}")[0] + path)
    explorer.background = ""
    assert not any(isinstance(layer, ipyleaflet.TileLayer) for layer in explorer.screen.map_view.map.layers)


@pytest.mark.parametrize("text", ["no/such/folder", "https://tiles.example/{z}.png"])
def test_background_that_is_none_is_answered_kindly(explorer, text):
    explorer.background = text
    assert "leave the field empty" in explorer.screen.message.value


def test_map_fits_the_water_of_the_picked_station(explorer):
    everything = explorer.screen.map_view.map.zoom
    explorer.station = "SAL1"
    explorer.screen.map_view.this_water.click()
    assert explorer.screen.map_view.map.zoom > everything
    explorer.screen.map_view.all_stations.click()
    assert explorer.screen.map_view.map.zoom == everything


def test_hostile_names_stay_text(tmp_path):
    path = tmp_path / "lakes.gpkg"
    name = "<img src=x onerror=alert(1)>"
    build_two_stations(path, name)
    explorer = StationExplorer(open_record(path))
    explorer.station = "A1"
    shown = explorer.screen.heading.value + explorer.screen.map_view._legend.value
    assert "<img" not in shown
    assert "&lt;img" in explorer.screen.heading.value


def test_local_rule_of_the_programme_stands_in_the_menu_and_judges(explorer):
    assert explorer.screen.choice_bar.menus["scheme"].options[0] == (
        "Vellory District rule",
        "vellory_district",
    )
    explorer.station = "FER1"
    explorer.scheme = "vellory_district"
    assert explorer.page.sentences[0].startswith("Rich by chlorophyll a (Vellory District rule) in 2025: ")
    assert [band.name for band in explorer.page.panels[1].bands] == ["clear", "middling", "rich"]


def test_changed_settings_of_a_folder_are_offered_and_change_the_screen(tmp_path):
    folder = tmp_path / "district"
    folder.mkdir()
    (folder / "programme.toml").write_text("minimum_visits = 3\nminimum_months = 3\n")
    rows = [f"A1,2024-{month:02d}-10,secchi_depth,{month},m" for month in (5, 6, 7)]
    (folder / "readings.csv").write_text("station_code,taken_on,quantity,value,unit\n" + "\n".join(rows))
    explorer = StationExplorer(open_record(folder))
    explorer.station = "A1"
    assert explorer.page.sentences[0].startswith("Oligotrophic")
    explorer.screen.page_link._told(None, {"look": True}, [])
    assert explorer.screen.newer_row.layout.display == "none"
    (folder / "programme.toml").write_text("minimum_visits = 4\nminimum_months = 3\n")
    explorer.screen.page_link._told(None, {"look": True}, [])
    assert explorer.screen.newer_row.layout.display == ""
    explorer.screen.newer.click()
    assert explorer.page.sentences[0].startswith("No class for 2024")
    (folder / "programme.toml").write_text("minimum_visit = 4\n")
    explorer.screen.newer.click()
    assert "line 1" in explorer.screen.message.value
    assert "minimum_visits" in explorer.screen.message.value
