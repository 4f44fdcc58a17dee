from datetime import date

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.intake.reading import read_file
from explorer.intake.sample_codes import sample_code
from explorer.intake.station_names import StationNames
from explorer.model.errors import UnknownNameError
from explorer.model.places import Lake, Station
from explorer.model.readings import ENTRIES
from explorer.records.dates import FIRST_YEAR, LAST_YEAR

HEADING = "Site,Date,Secchi (m)"
FEET = 0.3048


def entries(found, *names):
    names = names or ("value", "sign", "status", "reason")
    return found.tables[0].entries[list(names)].to_numpy().tolist()


def codes(found, severity=None):
    return [each.code for each in found.problems if severity in (None, each.severity)]


def test_a_plain_sheet_gives_its_readings_with_their_places(read):
    found = read("Site,Date,Time,Secchi (m),Temp F,Observer", "FER1,2025-07-11,2:30 PM,1.5,70.7,V02")
    frame = found.tables[0].entries
    assert list(frame.columns) == list(ENTRIES)
    assert [str(kind) for kind in frame.dtypes] == [
        str(pd.Series([], dtype=kind).dtype) for kind in ENTRIES.values()
    ]
    secchi, temperature = frame.to_dict("records")
    assert (secchi["value"], secchi["quantity"], secchi["unit_as_written"]) == (1.5, "secchi_depth", "m")
    assert temperature["value"] == pytest.approx(21.5)
    for each, column, text in ((secchi, "Secchi (m)", "1.5"), (temperature, "Temp F", "70.7")):
        assert (each["file_name"], each["row"], each["column"], each["as_written"]) == (
            "sheet.csv",
            2,
            column,
            text,
        )
        assert (each["station_code"], str(each["taken_on"].date()), each["taken_time"]) == (
            "FER1",
            "2025-07-11",
            "14:30",
        )
        assert (each["status"], each["observer"], each["sha256"]) == ("accepted", "V02", found.sha256)
    assert found.problems == ()


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("XYZ1,2025-07-11,1.5", "unknown_sheet_station"),
        (",2025-07-11,1.5", "no_station"),
        ("FER1,,1.5", "no_date"),
        ("FER1,03/04/2025,1.5", "ambiguous_sheet_date"),
        ("FER1,9/31/25,1.5", "not_a_date"),
        ("middle,2025-07-11,1.5", "several_stations"),
    ],
)
def test_a_row_without_a_known_station_or_day_is_held_whole_and_keeps_its_value(read, row, code):
    found = read(HEADING, row)
    assert entries(found) == [[1.5, "=", "held", code]]
    assert codes(found, "hold") == [code]
    assert found.account.held >= 1


def test_a_heading_says_the_order_of_day_and_month(read):
    for order, month in (("MM/DD/YYYY", 3), ("DD/MM/YYYY", 4)):
        found = read(f"Site,Date ({order}),Secchi (m)", "FER1,03/04/2025,1.5")
        assert found.tables[0].entries["taken_on"].dt.month.tolist() == [month]
        assert found.problems == ()


def test_total_left_out_is_the_sum_of_both_parts_and_one_part_alone_is_none(read):
    found = read(
        "Site,Date,Filter,Poured (mL),Topped up (mL),Total (mL)",
        f"FER1,2025-07-11,{sample_code(2025, 1, 2)},250,250,",
        f"FER2,2025-07-11,{sample_code(2025, 2, 2)},250,,",
        f"FER3,2025-07-11,{sample_code(2025, 3, 2)},250,200,500",
    )
    total = found.tables[0].visits["volume_filtered_ml"].tolist()
    assert (total[0], np.isnan(total[1]), total[2]) == (500, True, 500)
    assert codes(found) == ["total_added_up"]


def test_a_sheet_of_ambiguous_dates_is_asked_and_another_date_settles_it_with_a_note(read):
    asked = read(HEADING, "FER1,03/04/2025,1.5", "FER2,05/06/2025,1.6")
    assert [row[2] for row in entries(asked)] == ["held", "held"]
    told = read(HEADING, "FER1,03/04/2025,1.5", "FER2,13/04/2025,1.6")
    assert [row[2] for row in entries(told)] == ["accepted", "accepted"]
    assert codes(told) == ["date_order_settled"]


def test_the_title_says_in_which_water_the_stations_lie(read):
    found = read("Ferrow Tarn 2025", "", "Where,Date,Secchi (ft)", "south bay,2025-07-11,5")
    assert entries(found, "station_code") == [["FER2"]]
    assert codes(found) == [] or codes(found) == ["water_from_title"]
    middle = read("Greenlow Pond", "", "Where,Date,Secchi (ft)", "middle,2025-07-11,5")
    assert entries(middle, "station_code") == [["GRE1"]]
    assert codes(middle) == ["water_from_title"]


def test_lines_above_the_headings_speak_for_all_rows(read):
    found = read("Station: FER1", "Observer,V02", "Date,Secchi (m)", "2025-07-11,1.5")
    assert entries(found, "station_code", "observer") == [["FER1", "V02"]]


def test_lowered_and_raised_are_averaged_and_feet_and_inches_added(read):
    found = read("Site,Date,Down (m),Up (m)", "FER1,2025-07-11,2.0,1.8", "FER2,2025-07-11,2.0,")
    assert entries(found, "value", "as_written", "column") == [
        [pytest.approx(1.9), "2.0 | 1.8", "Down (m) | Up (m)"],
        [2.0, "2.0", "Down (m)"],
    ]
    assert codes(found) == ["one_of_two"]
    split = read(
        "Site,Date,Secchi ft,Secchi in", "FER1,2025-07-11,6,4", "FER2,2025-07-11,6,0", "FER3,2025-07-11,6,14"
    )
    assert [row[0] for row in entries(split)][:2] == [
        pytest.approx(6 * FEET + 4 * FEET / 12),
        pytest.approx(6 * FEET),
    ]
    assert codes(split) == ["too_many_inches"]


def test_a_mean_that_is_not_the_mean_is_asked_about(read):
    found = read(
        "Site,Date,Down (m),Up (m),Secchi (m)", "FER1,2025-07-11,2.0,1.8,1.9", "FER2,2025-07-11,2.0,1.8,2.9"
    )
    assert [row[2] for row in entries(found)] == ["accepted", "held"]
    assert codes(found) == ["mean_differs"]


def test_the_same_reading_in_two_units_is_taken_once_and_asked_about_where_it_differs(read):
    found = read("Site,Date,Secchi m,Secchi ft", "FER1,2025-07-11,2,6.56", "FER2,2025-07-11,2,9")
    assert [row[2] for row in entries(found)] == ["accepted", "held"]
    assert codes(found) == ["same_reading_differs"]


@pytest.mark.parametrize("on_bottom", ["yes", "x", "TRUE"])
def test_a_mark_in_a_column_says_that_the_disk_was_seen_on_the_bottom(read, on_bottom):
    found = read(
        "Site,Date,Secchi (m),Bottom (m),Visible on bottom",
        f"SAL1,2025-07-11,2.4,2.4,{on_bottom}",
        f"SAL1,2025-07-12,,2.5,{on_bottom}",
        f"SAL1,2025-07-13,,,{on_bottom}",
        "SAL1,2025-07-14,1.7,2.4,no",
    )
    assert entries(found)[:2] == [[2.4, ">", "accepted", ""], [2.5, ">", "accepted", ""]]
    assert entries(found)[2][2:] == ["held", "bottom_missing"]
    assert entries(found)[3] == [1.7, "=", "accepted", ""]
    assert codes(found) == ["bottom_beside", "bottom_missing"]


@pytest.mark.parametrize(("words", "code"), [("lost in plants", "depth_missing"), ("VOB", "bottom_missing")])
def test_words_without_a_depth_beside_them_wait(read, words, code):
    found = read(HEADING, f"SAL1,2025-07-11,{words}")
    assert entries(found)[0][2:] == ["held", code]


def test_a_depth_lost_in_plants_is_at_least_so_deep_and_said_to_be(read):
    found = read(HEADING, "SAL1,2025-07-11,lost in plants 1.2", "SAL1,2025-07-12,line too short 10")
    assert [row[:3] for row in entries(found)] == [[1.2, ">", "accepted"], [10.0, ">", "accepted"]]
    assert codes(found) == ["ended_otherwise", "ended_otherwise"]


def test_depths_without_a_unit_anywhere_are_asked_about_once(read):
    found = read("Site,Date,Secchi", "FER1,2025-07-11,5", "FER2,2025-07-11,6", "FER3,2025-07-11,6'4")
    assert [row[2] for row in entries(found)] == ["held", "held", "accepted"]
    (asked,) = found.problems
    assert (asked.code, dict(asked.values)["count"]) == ("no_depth_unit", 2)


def test_a_programme_may_state_the_unit_of_a_heading(read):
    from explorer.intake.own_headings import heading_names

    found = read("Site,Date,Secchi", "FER1,2025-07-11,5", names=heading_names({"units": {"Secchi": "ft"}}))
    assert entries(found)[0][0] == pytest.approx(5 * FEET)


def test_an_unknown_heading_holds_its_cells_and_names_the_nearest(read):
    found = read("Site,Date,Sechi (m),Temp C", "FER1,2025-07-11,1.5,20")
    assert codes(found) == ["unknown_heading"]
    assert 'Did you mean "secchi"' in str(found.problems[0])
    assert found.tables[0].cells().query("column == 'Sechi (m)'")[
        ["outcome", "reason"]
    ].to_numpy().tolist() == [["held", "unknown_heading"]]


def test_a_column_that_the_programme_passes_over_is_refused_in_silence(read):
    from explorer.intake.own_headings import heading_names

    found = read(
        "Site,Date,Secchi (m),Office use",
        "FER1,2025-07-11,1.5,ok",
        names=heading_names({"left_out": ["office use"]}),
    )
    assert found.problems == ()
    assert found.account.refused == 1


def test_the_same_heading_twice_is_asked_about(read):
    found = read("Site,Date,Date,Secchi (m)", "FER1,2025-07-11,2025-07-12,1.5")
    assert codes(found) == ["heading_again"]
    assert found.account.held == 1
    assert entries(found)[0][2] == "accepted"


def test_a_row_typed_twice_is_read_once_and_said(read):
    row = "FER1,2025-07-11,1.5,V02"
    found = read("Site,Date,Secchi (m),Observer", row, "FER2,2025-07-11,1.5,V02", row)
    assert len(entries(found)) == 2
    (said,) = found.problems
    assert (said.code, said.source.row, dict(said.values)["other"]) == ("row_twice", 4, 2)
    assert found.account.refused == 4


def test_rows_with_numbers_above_the_headings_and_a_second_table_below_wait(read):
    found = read(
        "FER1,2025-07-10,1.4", HEADING, "FER1,2025-07-11,1.5", "", "Station,Observer,Weather", "FER1,V02,sun"
    )
    assert codes(found) == ["rows_above", "second_table"]
    assert found.account.held == 9
    assert len(entries(found)) == 1


def test_headings_repeated_on_the_next_page_are_no_row(read):
    found = read(HEADING, "FER1,2025-07-11,1.5", HEADING, "FER2,2025-07-11,1.6")
    assert len(entries(found)) == 2
    assert found.problems == ()


def test_containers_of_a_sheet_carry_code_kind_and_place(read):
    bottle, filter_ = sample_code(2025, 12, 1), sample_code(2025, 12, 2)
    found = read(
        "Site,Date,Secchi (m),Bottle,Filter,mL",
        f"FER1,2025-07-11,1.5,{bottle},{filter_},250+250",
        f"FER2,2025-07-11,1.5,{filter_},25O122-2,0.5 L",
        f'FER3,2025-07-11,1.5,"{bottle}, {sample_code(2025, 12, 3)}",,',
    )
    table = found.tables[0].containers
    assert table[["row", "column", "container", "sample_code", "near", "reason"]].to_numpy().tolist() == [
        [2, "Bottle", "bottle", bottle, "", ""],
        [2, "Filter", "filter", filter_, "", ""],
        [3, "Bottle", "filter", "", "", "other_container"],
        [3, "Filter", "filter", "", "250122-2", "sample_code_letter"],
        [4, "Bottle", "bottle", bottle, "", ""],
        [4, "Bottle", "second bottle", sample_code(2025, 12, 3), "", ""],
    ]
    assert found.tables[0].visits["volume_filtered_ml"].tolist()[:2] == [500, 500]
    assert found.tables[0].visits["volume_parts"].tolist() == [2, 1, 0]
    assert [row[2] for row in entries(found)] == ["accepted"] * 3


def test_blanks_have_columns_of_their_own(read):
    code = sample_code(2025, 13, 1)
    found = read(
        "Site,Date,Secchi (m),Blank bottle", f"FER1,2025-07-11,1.5,{code}", "FER2,2025-07-11,1.5,250138-2"
    )
    assert found.tables[0].containers[["container", "sample_code", "reason"]].to_numpy().tolist() == [
        ["blank bottle", code, ""],
        ["blank bottle", "", "sample_code_check"],
    ]


def test_a_title_alone_names_the_station_of_a_water_that_has_one(read):
    found = read("Sallow Pond 2025", "", "Date,Secchi (m)", "2025-07-11,1.5")
    assert entries(found, "station_code", "status") == [["SAL1", "accepted"]]
    several = read("Ferrow Tarn 2025", "", "Date,Secchi (m)", "2025-07-11,1.5")
    assert entries(several, "station_code", "status", "reason") == [["", "held", "several_stations"]]


def test_a_kind_of_file_that_there_is_not_is_named(read):
    with pytest.raises(UnknownNameError, match='Did you mean "data_sheet"'):
        read(HEADING, "FER1,2025-07-11,1.5", kind="data sheet")


def test_visits_keep_what_belongs_to_them(read):
    found = read(
        "Site,Date,Time,Secchi (m),Bottom (ft),Poured,Topped up,On ice,Frozen,Trained,Line check,Wind,"
        "Sunglasses,Notes",
        "FER1,2025-07-11,09h45,1.5,20,250,250,10:05,2025-07-11,4/15/25,ok,calm,no,muddy",
    )
    (visit,) = found.tables[0].visits.to_dict("records")
    assert visit["bottom_depth_m"] == pytest.approx(20 * FEET)
    assert (visit["volume_poured_ml"], visit["volume_topped_up_ml"], visit["on_ice_time"]) == (
        250,
        250,
        "10:05",
    )
    assert str(visit["frozen_on"].date()) == "2025-07-11"
    assert (visit["trained_on"], visit["line_checked_on"], visit["sunglasses"]) == ("2025-04-15", "ok", "no")
    assert visit["remark"] == "muddy; Wind: calm"
    assert (visit["taken_time"], visit["station_as_written"]) == ("09:45", "FER1")


@pytest.mark.parametrize(
    "text",
    ["=cmd|'/c calc'!A1", "<script>alert(1)</script>", "'; DROP TABLE readings; --", "../../etc", "#let x"],
)
def test_hostile_text_stays_text(read, text):
    found = read("Site,Date,Secchi (m),Notes", f"FER1,2025-07-11,1.5,{text}")
    assert entries(found, "remark") == [[text]]


def test_cells_of_a_sheet_are_all_there_with_their_fate(read):
    found = read("Site,Date,Secchi (m),Notes", "FER1,2025-07-11,1.5,", "XX,2025-07-11,abc,-")
    cells = found.tables[0].cells()
    assert cells["outcome"].tolist() == [
        "accepted",
        "accepted",
        "accepted",
        "empty",
        "held",
        "accepted",
        "held",
        "empty",
    ]
    assert cells["as_written"].tolist()[4:] == ["XX", "2025-07-11", "abc", "-"]
    assert cells["reason"].tolist()[4:7] == ["unknown_sheet_station", "", "not_a_depth"]


# Any table of which the generator knows what each cell is: nothing is lost, nothing is invented.
_STATIONS = StationNames(
    {f"A{n}": Station(f"A{n}", f"Mere, {n}", "ME", np.nan, np.nan, np.nan, False) for n in range(9)},
    {"ME": Lake("ME", "Mere", "lake", frozenset(), np.nan, np.nan, np.nan)},
)
good = st.tuples(
    st.integers(0, 8).map("A{}".format),
    st.dates(date(FIRST_YEAR, 1, 1), date(LAST_YEAR, 12, 31)).map(str),
    st.integers(1, 400).map(lambda n: f"{n / 10:.1f}"),
    st.integers(0, 30).map(str),
)
wrong = st.tuples(
    st.sampled_from(["", "B7", "A-", "Mere"]),
    st.sampled_from(["", "03/04/2025", "soon", "31.2.25"]),
    st.sampled_from(["abc", "0", "2?", "1,250"]),
    st.sampled_from(["warm", "?", "1.2.3"]),
)


@settings(deadline=None)
@given(st.lists(st.tuples(good, wrong, st.tuples(*[st.booleans()] * 4)), min_size=1, max_size=8))
def test_every_cell_is_accounted_for_against_what_the_generator_knows(rows):
    lines = [["Site", "Date", "Secchi (m)", "Temp C"]]
    waiting = []
    for right, broken, chosen in rows:
        cells = [bad if is_bad else fine for fine, bad, is_bad in zip(right, broken, chosen, strict=True)]
        lines.append(cells)
        whole = chosen[0] or chosen[1]
        waiting.append(
            [
                cell != "" and (is_bad or (whole and place > 1))
                for place, (cell, is_bad) in enumerate(zip(cells, chosen, strict=True))
            ]
        )
    content = "\n".join(",".join(f'"{cell}"' for cell in line) for line in lines).encode()
    found = read_file("a.csv", content, stations=_STATIONS)
    account, table = found.account, found.tables[0]
    seen = {tuple(line) for line in lines[1:] if sum(map(bool, line)) > 3}
    doubled = [
        line
        for place, line in enumerate(lines[1:])
        if tuple(line) in {tuple(each) for each in lines[1 : place + 1]} & seen
    ]
    assert account.adds_up
    assert account.read == 4 * len(lines)
    assert account.empty == sum(cell == "" for line in lines for cell in line)
    assert account.refused == sum(4 for _ in doubled)
    assert account.held <= sum(map(sum, waiting))
    assert account.accepted + account.held + account.refused == sum(
        cell != "" for line in lines for cell in line
    )
    if not doubled and not any("31.2.25" in line or "03/04/2025" in line for line in lines):
        assert account.held == sum(map(sum, waiting))
    cells = sum(1 for line in lines[1:] for cell in line[2:] if cell) - 2 * len(doubled)
    assert len(table.entries) == cells
    assert (table.entries["status"] == "held").sum() + (table.entries["status"] == "accepted").sum() == cells
    assert (table.entries.loc[table.entries["status"] == "held", "reason"] != "").all()
