"""Wide tables, with and without a columns file: what is read, and what is asked."""

import pandas as pd
import pytest

from explorer.model.errors import RecordError
from explorer.records.opening import open_record


def frame_of(record) -> pd.DataFrame:
    return pd.concat(list(record.chunks()), ignore_index=True)


def test_headings_with_units_need_no_columns_file(folder):
    text = (
        "Station,Date,Time,Secchi depth (ft),Total phosphorus [mg/L],pH,depth (ft),observer,remark\n"
        "A1,2024-05-17,10:30,5,0.012,7.1,1,V03,calm\n"
    )
    frame = frame_of(open_record(folder({"wide.csv": text}))).set_index("quantity")
    assert frame["value"].to_dict() == pytest.approx(
        {"secchi_depth": 1.524, "total_phosphorus": 12.0, "ph": 7.1}
    )
    assert frame["depth_m"].tolist() == pytest.approx([0.3048] * 3)
    assert frame["observer"].tolist() == ["V03"] * 3
    assert frame["taken_time"].tolist() == ["10:30"] * 3


def test_cell_of_a_wide_table_is_held_under_its_own_heading(folder):
    text = "station,date,Secchi depth (m),TP (ug/L)\nA1,2024-05-17,1.8O,12\nA1,2024-06-17,,13\n"
    record = open_record(folder({"wide.csv": text}))
    assert any(
        message.startswith('wide.csv, row 2, "Secchi depth (m)": "1.8O"') for message in record.messages
    )
    assert len(frame_of(record)) == 3


ASKED = [
    ("site,date,TP (ug/L)", ["which column says the station?",
                             'wide.columns.toml the line station = "site"']),
    ("station,day,TP (ug/L)", ["which column says the date?", 'wide.columns.toml the line date = "day"']),
    ("station,date,secchi", ['row 1, "secchi"', "in which unit is Clarity?", "under [column.secchi]",
                             'unit = "…"', '"m", "cm", "mm", "ft", "in"']),
    ("station,date,N (mg/L)", ['columns: "N (mg/L)"', 'left_out = ["N (mg/L)"]', '[column."N (mg/L)"]']),
    ("station,date,secchi (furlong)", ['"furlong"', "no unit of Clarity", '[column."secchi (furlong)"]']),
    ("station,date,secchi (mg/L)", ['"mg/L"', "no unit of Clarity"]),
    ("station,date,remark", ["no column holds readings"]),
]  # fmt: skip


@pytest.mark.parametrize(("heading", "expected"), ASKED)
def test_what_a_wide_table_does_not_say_is_asked_with_the_line_to_write(folder, heading, expected):
    with pytest.raises(RecordError) as caught:
        open_record(folder({"wide.csv": f"{heading}\nA1,2024-05-17,5\n"}))
    for part in ["wide.csv, row 1", *expected]:
        assert part in str(caught.value)


def test_total_nitrogen_is_never_guessed_from_n(folder):
    with pytest.raises(RecordError, match='no quantity goes by the names of these columns: "N"'):
        open_record(folder({"wide.csv": "station,date,N\nA1,2024-05-17,550\n"}))


TABLE = "pond,day,disk,N,note.1\nP1,33,40,550,x\nP2,60,55,211,y\n"
COLUMNS = """station = "pond"
date = "day"
date_form = "day of year"
year = 1982
water_kind = "pond"
left_out = ["note.1"]

[column.disk]
quantity = "secchi_depth"
unit = "cm"

[column.N]
quantity = "nitrate_nitrite"
unit = "µg/L"
factor = 0.1
detection_limit = "5"
method = "lab A"
"""


def test_columns_file_says_what_the_columns_hold(folder):
    record = open_record(folder({"t.csv": TABLE, "t.columns.toml": COLUMNS}))
    frame = frame_of(record).set_index(["station_code", "quantity"]).sort_index()
    assert frame.loc[("P1", "secchi_depth"), "value"] == pytest.approx(0.4)
    assert frame.loc[("P1", "nitrate_nitrite"), "value"] == pytest.approx(55.0)
    assert frame.loc[("P1", "nitrate_nitrite"), "detection_limit"] == 5.0
    assert frame.loc[("P1", "nitrate_nitrite"), "method"] == "lab A"
    assert frame.loc[("P1", "secchi_depth"), "method"] == ""
    assert frame["taken_on"].dt.strftime("%Y-%m-%d").unique().tolist() == ["1982-02-02", "1982-03-01"]
    assert record.lakes()["P1"].kind == "pond"


def test_dates_by_name_one_date_one_station_and_a_column_of_years(folder):
    columns = 'one_station = "R1"\ndate = "season"\n[dates]\nspring = 1979-04-15\n[column.T]\n'
    columns += 'quantity = "water_temperature"\nunit = "°C"\n'
    frame = frame_of(open_record(folder({"t.csv": "season,T\nspring,9\n", "t.columns.toml": columns})))
    assert frame[["station_code", "value"]].to_numpy().tolist() == [["R1", 9.0]]
    assert frame["taken_on"][0] == pd.Timestamp("1979-04-15")

    columns = 'station = "s"\none_date = "1999-07-01"\n[column.T]\nquantity = "temp"\nunit = "°F"\n'
    frame = frame_of(open_record(folder({"t.csv": "s,T\nA,50\n", "t.columns.toml": columns})))
    assert frame["value"][0] == pytest.approx(10.0)
    assert frame["taken_on"][0] == pd.Timestamp("1999-07-01")

    columns = 'station = "s"\ndate = "d"\ndate_form = "day of year"\nyear = "y"\n[column.T]\nunit = "°C"\n'
    columns += 'quantity = "temp"\n'
    frame = frame_of(open_record(folder({"t.csv": "s,d,y,T\nA,1,2001,5\n", "t.columns.toml": columns})))
    assert frame["taken_on"][0] == pd.Timestamp("2001-01-01")


def test_coordinates_and_depths_of_the_water_come_from_columns(folder):
    columns = (
        'station_per_row = "L"\none_date = "1984-10-01"\nlongitude = "lon"\nlatitude = "lat"\n'
        'bottom_depth = "z"\nbottom_depth_unit = "ft"\n'
    )
    record = open_record(
        folder({"t.csv": "pH,lat,lon,z\n6.4,45.5,-30.9,10\n6.3,45.4,-30.8,\n", "t.columns.toml": columns})
    )
    first, second = record.station_list()
    assert (first.code, first.longitude_deg, first.latitude_deg) == ("L1", -30.9, 45.5)
    assert first.bottom_depth_m == pytest.approx(3.048)
    assert second.bottom_depth_m != second.bottom_depth_m
    assert not any("map" in message for message in record.messages)


def test_station_in_two_places_is_asked_about(folder):
    columns = 'station = "s"\none_date = "1984-10-01"\nlongitude = "lon"\nlatitude = "lat"\n'
    text = "s,pH,lat,lon\nA,6.4,45.5,-30.9\nA,6.3,45.9,-30.9\n"
    with pytest.raises(RecordError, match=r't.csv, row 2, "lon": the station stands at -30.9, 45.5 here and '
                                          r"at -30.9, 45.9 in row 3"):  # fmt: skip
        open_record(folder({"t.csv": text, "t.columns.toml": columns}))


def test_impossible_place_in_a_table_is_refused(folder):
    columns = 'station = "s"\none_date = "1984-10-01"\nlongitude = "lon"\nlatitude = "lat"\n'
    with pytest.raises(
        RecordError, match=r't.csv, row 2, "lon": 45, -130 is no place, but would be one with'
    ):
        open_record(folder({"t.csv": "s,pH,lat,lon\nA,6.4,-130,45\n", "t.columns.toml": columns}))


MISTAKES = [
    ("station = \n", ["t.columns.toml", "cannot be read as TOML"]),
    ('statoin = "pond"\n', ['t.columns.toml, row 1, "statoin"', 'Did you mean "station"?']),
    ('station = ["pond"]\n', ['row 1, "station"', "a text in quotation marks"]),
    ('station = "pnd"\none_date = "2024-05-01"\n', ['"pnd"', 'Did you mean "pond"?']),
    ('one_date = "May"\n', ['row 1, "one_date"', '"May" is not a date']),
    ('date_form = "d/m/y"\n', ['row 1, "date_form"', '"day/month/year"']),
    ('water_kind = "lagoon"\n', ['row 1, "water_kind"', '"pond"']),
    ('bottom_depth_unit = "furlong"\n', ['row 1, "bottom_depth_unit"', 'No unit "furlong"']),
    ('left_out = "note.1"\n', ['row 1, "left_out"', 'a list: ["one heading", "another"]']),
    ('[dates]\nspring = "soon"\n', ['row 2, "spring"', '"soon" is not a date']),
    ('[also]\nobservers = "x"\n', ['row 2, "observers"', 'Did you mean "observer"?']),
    ("column = 3\n", ['"column"', "a table: [column]"]),
    ('[column.disk]\nquantity = "secchi_dept"\n', ['row 2, "quantity"', "No quantity", "Did you mean"]),
    ('[column.disk]\nunit = "furlong"\n', ['row 2, "unit"', 'No unit "furlong"']),
    ('[column.disk]\nfactor = "ten"\n', ['row 2, "factor"', "a number above zero"]),
    ("[column.disk]\nfactor = 0\n", ['row 2, "factor"', "a number above zero"]),
    ('[column.disk]\nfacter = 2\n', ['row 2, "facter"', 'Did you mean "factor"?']),
    ('[column.disk]\nrepeated.100 = "maybe"\n', ['"repeated"', '"measured", "at least"']),
    ('[column.disk]\nrepeated.many = "measured"\n', ['"repeated"', '"many" is not a number']),
    ('[column.disk]\noutside = "yes"\n', ['row 2, "outside"', '"measured"']),
]  # fmt: skip


@pytest.mark.parametrize(("columns", "expected"), MISTAKES)
def test_mistake_in_a_columns_file_is_told_with_its_line_and_cure(folder, columns, expected):
    with pytest.raises(RecordError) as caught:
        open_record(folder({"t.csv": TABLE, "t.columns.toml": columns}))
    for part in expected:
        assert part in str(caught.value)


def test_day_of_year_without_a_year_is_asked_for(folder):
    columns = COLUMNS.replace("year = 1982\n", "")
    with pytest.raises(
        RecordError, match=r"in which year are these days\? Write into t.columns.toml the line year"
    ):
        open_record(folder({"t.csv": TABLE, "t.columns.toml": columns}))


def test_date_form_answers_the_question_about_a_long_table(folder):
    text = "station_code,taken_on,quantity,value,unit,extra\nA,03/04/2020,TP,12,ug/L,x\n"
    columns = 'date_form = "month/day/year"\nleft_out = ["extra"]\n'
    frame = frame_of(open_record(folder({"t.csv": text, "t.columns.toml": columns})))
    assert frame["taken_on"][0] == pd.Timestamp("2020-03-04")
