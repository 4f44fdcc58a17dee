"""A folder of texts as a record: places, long tables, and one message for all that is wrong."""

import math

import pandas as pd
import pytest

from explorer.model.errors import RecordError
from explorer.records.folder import CARDS_FILE, read_folder
from explorer.records.folder_texts import collect_texts
from explorer.records.opening import open_record

POINTS = (
    '{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"code": "HM1", '
    '"name": "Middle", "lake_code": "HM", "bottom_depth_m": 2.4, "is_index": true}, '
    '"geometry": {"type": "Point", "coordinates": [-30.5, 45.25]}}]}'
)
OUTLINES = (
    '{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"code": "HM", '
    '"name": "Hollow Mere", "kind": "pond", "attributes": ["shallow", "stained"], "area_km2": 0.1, '
    '"altitude_m": 210, "maximum_depth_m": null}, "geometry": {"type": "Polygon", "coordinates": '
    "[[[-30.6, 45.2], [-30.4, 45.2], [-30.4, 45.3], [-30.6, 45.2]]]}}]}"
)


def frame_of(record) -> pd.DataFrame:
    return pd.concat(list(record.chunks()), ignore_index=True)


def test_folder_with_lists_and_readings_is_a_record(listed):
    record = open_record(
        listed("HM1,2024-05-17,TP,0.012,mg/l", "HM1,2024-05-17,Secchi depth,5,feet", "HM2,2024-06-01,pH,7.1,")
    )
    frame = frame_of(record)
    assert frame["quantity"].tolist() == ["secchi_depth", "total_phosphorus", "ph"]
    assert frame["value"].tolist() == pytest.approx([1.524, 12.0, 7.1])
    assert frame["as_written"].tolist() == ["5", "0.012", "7.1"]
    assert (frame["status"] == "accepted").all()
    assert (frame["sample_type"] == "routine").all()
    assert (frame["stratum"] == "surface").all()
    assert record.lakes()["HM"].attributes == {"shallow", "stained"}
    assert record.station("HM1").bottom_depth_m == 2.4
    assert record.messages == ()


def test_geojson_lists_give_places_and_outlines(folder):
    place = folder({"stations.geojson": POINTS, "lakes.geojson": OUTLINES})
    record = open_record(place)
    station, lake = record.station("HM1"), record.lakes()["HM"]
    assert (station.longitude_deg, station.latitude_deg, station.is_index) == (-30.5, 45.25, True)
    assert (lake.kind, lake.altitude_m) == ("pond", 210.0)
    assert math.isnan(lake.maximum_depth_m)
    assert record.outlines().geometry.iloc[0].geom_type == "MultiPolygon"
    assert record.outlines()["lake_code"].tolist() == ["HM"]


def test_all_columns_of_a_long_table_arrive(listed):
    heading = (
        "station_code,taken_on,taken_time,quantity,value,unit,depth_m,stratum,detection_limit,reporting_limit,"
        "qualifier,status,sample_code,sample_type,parent_sample,method,batch,observer,volume_filtered_ml,"
        "analysed_on,estimated,weather,remark"
    )
    row = (
        "HM1,2024-05-17,9:05,TP,<0.005,mg/L,0.5,surface,0.005,0.02,U,accepted with a remark,240017,"
        'field duplicate,240016,"365.1, Lab A",B7,V03,500,2024-05-20,yes,"calm, sun",label torn'
    )
    record = open_record(listed(row, heading=heading))
    reading = frame_of(record).iloc[0]
    assert reading[["value", "sign", "detection_limit", "reporting_limit"]].tolist() == [5.0, "<", 5.0, 20.0]
    assert reading[["taken_time", "depth_m", "stratum", "qualifier"]].tolist() == [
        "09:05",
        0.5,
        "surface",
        "U",
    ]
    assert reading[["sample_code", "parent_sample", "sample_type"]].tolist() == [
        "240017", "240016", "field duplicate",
    ]  # fmt: skip
    assert reading[["method", "batch", "observer"]].tolist() == ["365.1, Lab A", "B7", "V03"]
    assert reading["volume_filtered_ml"] == 500
    assert reading[["file_name", "row", "status"]].tolist() == ["readings.csv", 2, "accepted with a remark"]
    stored = record.fetch_rows(
        "SELECT r.analysed_on, r.estimated, r.reason, v.weather, v.remark FROM readings r "
        "JOIN visits v ON v.visit_id = r.visit_id"
    )
    assert stored == [("2024-05-20", 1, "label torn", "calm, sun", "label torn")]


def test_readings_in_folders_one_level_down_are_read_and_texts_for_people_are_not(listed):
    place = listed(
        "HM1,2024-05-17,TP,12,ug/L",
        **{
            "2023/older.csv": "station_code,taken_on,quantity,value,unit\nHM1,2023-05-17,TP,11,ug/L\n",
            "README.md": "# hello", "notes.txt": "hello", ".hidden.csv": "a,b\n", "deep/er/x.csv": "a,b\n1\n",
        },
    )  # fmt: skip
    record = open_record(place)
    assert frame_of(record)["file_name"].tolist() == ["2023/older.csv", "readings.csv"]
    assert record.messages == ()


def test_folder_called_readings_is_the_only_one_read(listed):
    text = "station_code,taken_on,quantity,value,unit\nHM1,2023-05-17,TP,11,ug/L\n"
    record = open_record(listed(**{"readings/a.csv": text, "sheets/b.csv": "pond;disk\n1;2\n"}))
    assert frame_of(record)["file_name"].tolist() == ["readings/a.csv"]
    assert [message for message in record.messages if message.startswith("sheets:")]


def test_folder_without_lists_makes_places_of_its_stations_and_says_so(folder):
    text = "station_code,taken_on,quantity,value,unit\nA1,2024-05-17,TP,12,ug/L\n"
    record = open_record(folder({"a.csv": text}))
    assert record.lakes()["A1"].kind == "lake"
    assert math.isnan(record.station("A1").longitude_deg)
    assert record.station("A1").is_index
    said = " ".join(record.messages)
    assert "no list of stations" in said
    assert "no list of lakes" in said
    assert "the list stands without the map" in said


def test_list_of_stations_without_some_coordinates_is_accepted_and_said(folder):
    text = "code,lake_code,longitude_deg,latitude_deg\nA1,A,-30,45\nA2,A,,\n"
    record = open_record(folder({"stations.csv": text}))
    assert record.stations().geometry.is_empty.tolist() == [False, True]
    assert any("not on the map: A2" in message for message in record.messages)


def test_index_station_is_the_only_one_of_its_lake_where_none_is_named(folder):
    text = "code,lake_code\nA1,A\nB1,B\nB2,B\n"
    record = open_record(folder({"stations.csv": text}))
    assert {station.code: station.is_index for station in record.station_list()} == {
        "A1": True, "B1": False, "B2": False,
    }  # fmt: skip


def test_stations_are_in_the_order_that_people_count(folder):
    rows = "".join(f"S{number},Pond {number}\n" for number in (10, 2, 1))
    record = open_record(folder({"stations.csv": "code,name\n" + rows}))
    assert [station.name for station in record.station_list()] == ["Pond 1", "Pond 2", "Pond 10"]


def test_programme_with_its_own_quantity_is_used(listed):
    settings = 'name = "Ours"\n[quantities.calcium]\nname = "Calcium"\nunit = "mg/L"\n'
    record = open_record(listed("HM1,2024-05-17,Calcium,3,mg/L", **{"programme.toml": settings}))
    assert record.programme.name == "Ours"
    assert frame_of(record)["quantity"].tolist() == ["calcium"]


# One row each: what is put in, and what the message about it must hold.
HELD = [
    ("HM1,2024-05-17,TP,1.8O,ug/L", ['row 2, "value"', '"1.8O"', "not a number", "leave it empty"]),
    ("HM1,2024-05-17,TP,1 234,ug/L", ['row 2, "value"', '"1 234"', "not a number"]),
    ('HM1,2024-05-17,TP,"1,250",ug/L', ['row 2, "value"', '"1,250"', "thousands or decimals"]),
    ("HM1,2024-05-17,TP,ND,ug/L", ['row 2, "value"', '"ND"', "not the limit", 'Write "<" and the limit']),
    ("HM1,2024-05-17,TP,-999,ug/L", ['row 2, "value"', '"-999"', "above zero", "Leave the cell empty"]),
    ("HM1,2024-05-17,TP,1e308,ug/L", ['row 2, "value"', '"1e308"', "not a number"]),
    ("HM1,2024-05-17,TP,0,ug/L", ['row 2, "value"', '"0"', "above zero"]),
    ("HM1,2024-05-17,TP,12,furlong", ['row 2, "unit"', '"furlong"', "no unit that is known"]),
    ("HM1,2024-05-17,TP,12,ug/1", ['row 2, "unit"', '"ug/1"', 'Did you mean "µg/L"?']),
    ("HM1,2024-05-17,TP,12,", ['row 2, "unit"', "unit of Total phosphorus is missing", "µg/L"]),
    ("HM1,2024-05-17,Secchi,12,mg/L", ['row 2, "unit"', '"mg/L"', "does not measure Clarity"]),
    ("HM1,2024-06-31,TP,12,ug/L", ['row 2, "taken_on"', '"2024-06-31"', "is not a date", "2024-05-31"]),
    ("HM1,,TP,12,ug/L", ['row 2, "taken_on"', "the date is missing"]),
]


@pytest.mark.parametrize(("row", "expected"), HELD)
def test_cell_that_cannot_be_read_is_held_with_its_place_and_cure(listed, row, expected):
    record = open_record(listed(row, "HM2,2024-05-17,TP,12,ug/L"))
    (message,) = record.messages
    for part in ["readings.csv", *expected, "1 reading waits for the answer"]:
        assert part in message
    (unread,) = record.fetch_rows("SELECT status, value, taken_on FROM readings WHERE row = 2")
    assert unread[0] == "held"
    assert None in unread
    assert record.fetch_rows("SELECT as_written FROM readings WHERE status = 'held'")[0][0] in row
    assert record.fetch_rows("SELECT count(*) FROM readings") == [(2,)]


BESIDE = [
    ("depth_m", "deep", "is not a number"),
    ("depth_m", "-2", "below zero"),
    ("detection_limit", "<5", "is not a number"),
    ("volume_filtered_ml", "1 l", "is not a number"),
    ("stratum", "deep", "none of surface, mid, bottom, profile"),
    ("status", "ok", "none of preliminary, accepted"),
    ("sample_type", "twin", "none of routine, field duplicate"),
    ("taken_time", "noon", "not a time of day"),
    ("analysed_on", "soon", "not a date"),
    ("estimated", "maybe", "neither yes nor no"),
]


@pytest.mark.parametrize(("column", "text", "expected"), BESIDE)
def test_cell_beside_the_value_that_cannot_be_read_holds_the_reading(listed, column, text, expected):
    heading = f"station_code,taken_on,quantity,value,unit,{column}"
    record = open_record(listed(f"HM1,2024-05-17,TP,12,ug/L,{text}", heading=heading))
    (message,) = record.messages
    assert message.startswith(f'readings.csv, row 2, "{column}": "{text}"')
    assert expected in message
    assert frame_of(record)[["status", "value"]].to_numpy().tolist() == [["held", 12.0]]


MERCATOR = '"crs": {"properties": {"name": "EPSG:3857"}}'
PLACE = '"Point", "coordinates": [-30.5, 45.25]'
AREA = '"Polygon", "coordinates": [[[0, 1], [1, 1], [1, 2], [0, 1]]]'
REFUSED = [
    ({"readings.csv": "station_code,taken_on,quantity,value\nHM1,2024-05-17,TP,12\n"},
     ["readings.csv, row 1", 'column "unit" is missing', "the headings are station_code"]),
    ({"readings.csv": "station_code,taken_on,quantity,value,unit,observr\nHM1,2024-05-17,TP,12,ug/L,A\n"},
     ['row 1, "observr"', 'Did you mean "observer"?']),
    ({"readings.csv": "station_code,taken_on,quantity,value,unit\nHM1,2024-05-17,TPP,12,ug/L\n"},
     ['row 2, "quantity"', '"TPP"', 'Did you mean "tp"?', "programme.toml"]),
    ({"readings.csv": "station_code,taken_on,quantity,value,unit\nHM9,2024-05-17,TP,12,ug/L\n"},
     ['row 2, "station_code"', '"HM9"', 'Did you mean "HM', "There are 2"]),
    ({"readings.csv": "station_code,taken_on,quantity,value,unit\n,2024-05-17,TP,12,ug/L\n"},
     ['row 2, "station_code"', "code is missing"]),
    ({"readings.csv": "station_code,taken_on,quantity,value,unit\nHM1,03/04/2020,TP,12,ug/L\n"},
     ['row 2, "taken_on"', '"03/04/2020"', "readings.columns.toml", 'date_form = "day/month/year"']),
    ({"readings.csv": "station_code,taken_on,quantity,value,unit\nHM1,2024-05-17,TP\n"},
     ["readings.csv, row 2", "3 and 5"]),
    ({"readings.csv": b"\x89PNG" + b"\x00" * 99}, ["readings.csv", "Save the table as CSV"]),
    ({"stations.csv": "code,lake_code,longitude_deg,latitude_deg\nA1,HM,45,-130\n"},
     ['stations.csv, row 2, "longitude_deg"', "45, -130", "changed round"]),
    ({"stations.csv": "code,lake_code,longitude_deg,latitude_deg\nA1,HM,245,45\n"},
     ['stations.csv, row 2, "longitude_deg"', "245, 45", "from -180 to 180"]),
    ({"stations.csv": "code,lake_code,longitude_deg,latitude_deg\nA1,HM,0,0\n"},
     ["stations.csv, row 2", "0, 0", "empty cell"]),
    ({"stations.csv": "code,lake_code,longitude_deg,latitude_deg\nA1,HM,-30,\n"},
     ["stations.csv, row 2", "-30, nan"]),
    ({"stations.csv": "code,lake_code,longitude_deg\nA1,HM,W30\n"}, ['row 2, "longitude_deg"', '"W30"']),
    ({"stations.csv": "code,lake_code\nA1,HM\nA1,HM\n"}, ['stations.csv, row 3, "code"', '"A1"', "twice"]),
    ({"stations.csv": "code,lake_code\n,HM\n"}, ['stations.csv, row 2, "code"', "code is missing"]),
    ({"stations.csv": "code,lake_code\nA1,HN\n"},
     ['stations.csv, row 2, "lake_code"', '"HN"', 'Did you mean "HM"?']),
    ({"stations.csv": "code,lake_code,is_index\nA1,HM,perhaps\n"}, ['"is_index"', '"perhaps"']),
    ({"stations.csv": "code,depth\nA1,3\n"}, ['stations.csv, row 1, "depth"', "bottom_depth_m"]),
    ({"stations.csv": "name\nA1\n"}, ["stations.csv, row 1", 'column "code" is missing']),
    ({"lakes.csv": "code,kind\nHM,lagoon\n"}, ['lakes.csv, row 2, "kind"', '"lagoon"', "lake, reservoir"]),
    ({"lakes.csv": "code,attributes\nHM,brown\n"}, ['lakes.csv, row 2, "attributes"', '"brown"', "stained"]),
    ({"lakes.csv": "code,area_km2\nHM,-3\n"}, ['lakes.csv, row 2, "area_km2"', '"-3"', "below zero"]),
    ({"lakes.geojson": OUTLINES}, ["lakes.geojson", "lakes.csv", "Keep one"]),
    ({"stations.geojson": "{}", "stations.csv": None}, ["stations.geojson", "no GeoJSON"]),
    ({"stations.geojson": "[" * 100_000, "stations.csv": None}, ["stations.geojson", "no GeoJSON"]),
    ({"stations.geojson": POINTS.replace("[-30.5, 45.25]", '"here"'), "stations.csv": None},
     ["stations.geojson, row 1", "geometry of this feature"]),
    ({"stations.geojson": POINTS.replace('"features"', MERCATOR + ', "features"'), "stations.csv": None},
     ["stations.geojson", '"EPSG:3857"', "WGS 84"]),
    ({"stations.geojson": POINTS.replace(PLACE, AREA), "stations.csv": None},
     ['stations.geojson, row 1, "code"', "is a Polygon", "must be a Point"]),
    ({"lakes.geojson": OUTLINES.replace("45.3", "4500000"), "lakes.csv": None},
     ['lakes.geojson, row 1, "code"', '"HM"', "4.5e+06", "WGS 84"]),
    ({"programme.toml": "min_visits = 4\n"}, ["programme.toml, line 1", "min_visits", "minimum_visits"]),
    ({"programme.toml": "name = \n"}, ["programme.toml", "cannot be read as TOML"]),
]  # fmt: skip


@pytest.mark.parametrize(("changed", "expected"), REFUSED)
def test_folder_that_cannot_be_a_record_is_refused_with_place_found_and_cure(listed, changed, expected):
    place = listed()
    for name, content in changed.items():
        if content is None:
            (place / name).unlink()
        else:
            (place / name).write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(RecordError) as caught:
        open_record(place)
    for part in expected:
        assert part in str(caught.value)


def test_all_problems_of_a_folder_come_in_one_message(listed):
    place = listed("HM9,2024-05-17,TPP,12,ug/L", **{"stations.csv": "code,lake_code\nA1,HM\nA1,HM\n"})
    with pytest.raises(RecordError) as caught:
        open_record(place)
    said = str(caught.value)
    assert "stations.csv, row 3" in said
    assert '"TPP"' in said


def test_problem_of_many_rows_is_one_message_with_their_number(listed):
    record = open_record(listed(*(f"HM1,2024-05-{day:02d},TP,?,ug/L" for day in range(1, 21))))
    (message,) = record.messages
    assert "20 readings wait for the answer" in message


NOTED = [
    ({"sheet.xlsx": "x"}, ["sheet.xlsx", "(.xlsx) are not read", "Save tables as CSV"]),
    ({"bathymetry.geojson": "{}"}, ["bathymetry.geojson", "are not read"]),
    ({"old.columns.toml": ""}, ["old.columns.toml", "no old.csv beside it"]),
    ({"none.csv": "station_code,taken_on,quantity,value,unit\n"}, ["none.csv", "headings and no rows"]),
    ({"copy.csv": "station_code,taken_on,quantity,value,unit\nHM1,2024-05-17,TP,12,ug/L\n"},
     ["readings.csv", "same, byte for byte, as copy.csv"]),
]  # fmt: skip


@pytest.mark.parametrize(("added", "expected"), NOTED)
def test_file_that_is_not_used_is_noted(listed, added, expected):
    record = open_record(listed("HM1,2024-05-17,TP,12,ug/L", **added))
    (message,) = record.messages
    for part in expected:
        assert part in message
    assert len(frame_of(record)) == 1


def test_question_cards_of_a_meeting_are_no_file_that_is_not_read(listed):
    assert open_record(listed("HM1,2024-05-17,TP,12,ug/L", **{CARDS_FILE: "[[card]]"})).messages == ()


def test_held_date_keeps_its_reading_off_the_axis_but_in_the_record(listed):
    record = open_record(listed("HM1,2024-06-31,TP,12,ug/L", "HM1,2024-06-30,TP,11,ug/L"))
    assert frame_of(record)["value"].tolist() == [11.0]
    assert record.fetch_rows("SELECT value, status, reason FROM readings WHERE taken_on IS NULL") == [
        (12.0, "held", "not_a_date")
    ]


def test_cells_read_are_entered_held_or_empty(listed):
    place = listed("HM1,2024-05-17,TP,12,ug/L", "HM1,2024-05-18,TP,?,ug/L", "HM1,2024-05-19,TP,,ug/L")
    cells = read_folder(collect_texts(place)).findings.cells
    assert (cells.read, cells.entered, cells.held, cells.refused, cells.empty) == (3, 1, 1, 0, 1)


def test_reading_below_the_surface_without_a_stratum_is_of_a_profile(listed):
    heading = "station_code,taken_on,quantity,value,unit,depth_m"
    record = open_record(
        listed("HM1,2024-05-17,temp,12,°C,0.5", "HM1,2024-05-17,temp,9,°C,5", heading=heading)
    )
    assert frame_of(record)["stratum"].tolist() == ["surface", "profile"]
