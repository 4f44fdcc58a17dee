"""The demo's messy season: every slip that reading can find is found, nothing else waits, nothing is lost."""

import csv
import io

import numpy as np
import pandas as pd
import pytest

from explorer.demo import demo_folder
from explorer.intake.reading import FileReading, read_file
from explorer.intake.station_names import StationNames
from explorer.model.problems import Problem
from explorer.model.units import convert

SHEETS = demo_folder() / "season_2025_sheets"
FERROW, PONDS, FREEZER = "ferrow secchi 2025.csv", "ponds_2025.csv", "freezer log.csv"
NUTRIENTS, CHLOROPHYLL = "report_nutrients_2025.csv", "chlorophyll_2025_long.csv"
CASTS = "probe casts 2025.csv"

# Slips of the folder's README that show in one cell: file, row, column, text as written, problem. The others
# (a temperature, a concentration or a day that is only unlikely; what one file has and another lacks) need
# the record's history or the other files, and are found later.
SLIPS = {
    "a misspelt station": (FERROW, 13, "Where", "Ferow Tarn S bay", "unknown_sheet_station"),
    "day first among month first": (FERROW, 18, "Date", "11/7/25", "date_swapped"),
    "no such day": (FERROW, 27, "Date", "9/31/25", "not_a_date"),
    "two digits of a bottle changed places": (FERROW, 8, "Bottle", "250371-1", "sample_code_check"),
    "a letter O for a zero": (FERROW, 21, "Bottle", "25O962-1", "sample_code_letter"),
    "litres among millilitres": (FERROW, 5, "mL", "0.5 L", "other_volume_unit"),
    "a filter topped up": (FERROW, 12, "mL", "250+250", "volume_in_parts"),
    "inches among feet": (FERROW, 23, "Secchi (ft)", "35 in", "other_length_unit"),
    "a fraction of a foot": (FERROW, 6, "Secchi (ft)", "4 1/2", "fraction_of_unit"),
    "a row typed twice": (FERROW, 33, "", "", "row_twice"),
    "an average below": (FERROW, 35, "", "Average, 4.7", "summary_row"),
    "visible on bottom": (PONDS, 12, "disk m", "visible on bottom", "bottom_beside"),
    "visible on bottom, shortened": (PONDS, 13, "disk m", "VOB", "bottom_beside"),
    "almost the code": (PONDS, 18, "pond", "TAR-1", "station_spelling"),
    "a name, misspelt": (PONDS, 20, "pond", "Tarick Pond", "unknown_sheet_station"),
    "a letter missing": (PONDS, 9, "pond", "GR2", "unknown_sheet_station"),
    "the year missing": (PONDS, 21, "date", "10.09.", "date_without_year"),
    "centimetres among metres": (PONDS, 2, "disk m", "55 cm", "other_length_unit"),
    "a point among commas": (PONDS, 11, "disk m", "0.35", "other_decimal_mark"),
    "a question mark behind it": (PONDS, 19, "disk m", "2,5?", "doubt_marked"),
    "litres, with a comma": (PONDS, 8, "volume", "0,1 L", "other_volume_unit"),
    "two digits of a sample changed places": (PONDS, 10, "sample", "251600", "sample_code_check"),
    "two digits in the freezer log changed places": (
        FREEZER,
        60,
        "container",
        "250926-2",
        "sample_code_check",
    ),
    "a container that no sheet knows": (FREEZER, 77, "container", "251999-1", "sample_code_check"),
    "milligrams among micrograms": (NUTRIENTS, 12, "TP", "0.027 mg/L", "other_unit"),
    "not detected without a limit": (NUTRIENTS, 21, "TP", "ND", "limit_missing"),
    "a sample without its container": (NUTRIENTS, 35, "Your no.", "250665", "sample_without_container"),
    "a blank for the dash": (CHLOROPHYLL, 24, "SampleID", "250946 2", "sample_code_spelling"),
    "digits of a filter changed places": (CHLOROPHYLL, 64, "SampleID", "250287-2", "sample_code_check"),
    "the same unit in another spelling": (CHLOROPHYLL, 22, "Units", "mg/m3", "unit_spelling"),
}

# What is pointed out besides: the order of dates that the column proves, the title that names the water,
# units taken for granted, the notes below a report.
POINTED_OUT = {"date_order_settled", "water_from_title", "volume_taken_for_ml", "text_below"}


@pytest.fixture(scope="module")
def season(district: StationNames) -> dict[str, FileReading]:
    return {
        path.name: read_file(path.name, path.read_bytes(), stations=district) for path in SHEETS.iterdir()
    }


@pytest.fixture(scope="module")
def record() -> pd.DataFrame:
    """The record's own readings of the year, as they were written."""
    files = [
        pd.read_csv(path, dtype=str, keep_default_na=False) for path in (demo_folder() / "readings").iterdir()
    ]
    rows = pd.concat([each[each["taken_on"].str.startswith("2025")] for each in files], ignore_index=True)
    return rows.fillna("")


def rows_of(problem: Problem) -> list[str]:
    stated = dict(problem.values)
    return str(stated.get("rows", problem.source.row)).split(", ")


@pytest.mark.parametrize("slip", SLIPS)
def test_slip_is_found(season: dict[str, FileReading], slip: str) -> None:
    file, row, column, text, code = SLIPS[slip]
    problems = {
        (each.code, place, each.source.column, each.found)
        for each in season[file].problems
        for place in rows_of(each)
    }
    assert (code, str(row), column, text) in problems


def test_nothing_else_waits_or_is_pointed_out(season: dict[str, FileReading]) -> None:
    found = {
        (file, each.source.row, each.source.column, each.found, each.code)
        for file, reading in season.items()
        for each in reading.problems
        if each.code not in POINTED_OUT
    }
    of_the_second_pond = ("ponds_2025.csv", 12, "disk m", "visible on bottom", "bottom_beside")
    assert of_the_second_pond in found
    assert found == set(SLIPS.values())


@pytest.mark.parametrize("file", [FERROW, PONDS, FREEZER, NUTRIENTS, CHLOROPHYLL, CASTS])
def test_every_cell_of_the_season_is_accounted_for(season: dict[str, FileReading], file: str) -> None:
    text = (SHEETS / file).read_bytes().decode("cp1252" if file == PONDS else "utf-8-sig")
    cells = [
        cell for row in csv.reader(io.StringIO(text), delimiter=";" if file == PONDS else ",") for cell in row
    ]
    account = season[file].account
    assert account.adds_up
    assert account.accepted + account.held + account.refused == sum(1 for cell in cells if cell.strip())


def test_probe_s_casts_are_read_with_their_check_in_air(season: dict[str, FileReading]) -> None:
    casts = season[CASTS].tables[0]
    assert casts.kind == "probe"
    days = casts.visits.drop_duplicates("taken_on")
    assert days["air_check_before_percent"].tolist() == [99.6, 99.6, 99.8, 98.8, 100.9]
    assert days["air_check_after_percent"].tolist() == [99.7, 99.6, 100.8, 91.2, 99.0]
    assert (casts.entries["stratum"] == "profile").all()


def test_text_that_looks_like_a_formula_stays_text(season: dict[str, FileReading]) -> None:
    entries = season[PONDS].tables[0].entries
    assert (entries["remark"] == "=fewer weeds than last year").sum() == 2


def test_sheets_say_what_the_record_says(season: dict[str, FileReading], record: pd.DataFrame) -> None:
    routine = record[(record["sample_type"] == "routine") & (record["stratum"] == "surface")]
    wanted = routine.set_index(["station_code", "taken_on", "quantity"])["value"].to_dict()
    different = []
    for file, tolerance in ((FERROW, 0.02), (PONDS, 1e-9)):
        entries = season[file].tables[0].entries
        for _, entry in entries[entries["status"] == "accepted"].iterrows():
            text = wanted[entry["station_code"], str(entry["taken_on"].date()), entry["quantity"]]
            assert entry["sign"] == (">" if text.startswith(">") else "="), entry["as_written"]
            degrees = 0.06 if file == FERROW and entry["quantity"] == "water_temperature" else tolerance
            if abs(entry["value"] - float(text.lstrip(">"))) > degrees:
                different.append((entry["row"], entry["as_written"]))
    # A fraction to half a foot; degrees Celsius among Fahrenheit; a comma left out: for the checks to find.
    assert different == [(6, "4 1/2"), (28, "14.8"), (15, "220")]


def test_laboratories_say_what_the_record_says(season: dict[str, FileReading], record: pd.DataFrame) -> None:
    units = {"total_phosphorus": "µg/L", "total_nitrogen": "µg/L", "chlorophyll_a": "µg/L"}
    rows = {(row["sample_code"], row["quantity"]): row for _, row in record.iterrows() if row["sample_code"]}
    different, compared = [], 0
    for file in (NUTRIENTS, CHLOROPHYLL):
        entries = season[file].tables[0].entries
        for _, entry in entries[entries["status"] == "accepted"].iterrows():
            if entry["quantity"] == "pheophytin_a":
                continue
            code = entry["sample_code"] + ("-1" if "-" not in entry["sample_code"] else "")
            row = rows[code, entry["quantity"]]
            assert entry["sign"] == (row["value"][0] if row["value"].startswith("<") else "=")
            assert entry["sample_type"] in (row["sample_type"], "routine")
            value = convert([float(row["value"].lstrip("<"))], row["unit"], units[entry["quantity"]])[0]
            compared += 1
            if not np.isclose(entry["value"], value):
                different.append((entry["row"], entry["as_written"]))
    assert compared == 111
    assert different == [(29, "1842")]  # µg/L among mg/L: for the checks to find


def test_codes_of_sheets_freezer_and_laboratories_are_those_of_the_record(
    season: dict[str, FileReading], record: pd.DataFrame
) -> None:
    known = set(record["sample_code"]) - {""}
    for file, reading in season.items():
        codes = set(reading.tables[0].containers["sample_code"]) - {""}
        bare = {code for code in codes if "-" not in code}
        assert codes - bare <= known, file
        assert bare <= {code[:-2] for code in known}, file
    assert season[FERROW].tables[0].visits["volume_filtered_ml"].dropna().unique().tolist() == [500]
