"""The demo's messy season through a check-in into a record of the years before: every slip is named."""

import csv
import io
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from explorer.demo import demo_folder
from explorer.intake.check_in import accept, check_in
from explorer.intake.refresh import refresh
from explorer.model.check_in import CheckIn
from explorer.records.new_record import make_record
from explorer.records.opening import open_record
from explorer.records.record import Record

SHEETS = demo_folder() / "season_2025_sheets"

# What names each slip of the folder's README: by file, month and text as written, the problem and what its
# sentence must hold.
NAMED = {
    ("ferrow secchi 2025.csv", "Ferow Tarn S bay"): ("unknown_sheet_station", "FER2"),
    ("ferrow secchi 2025.csv", "11/7/25"): ("date_swapped", "2025-07-11"),
    ("ferrow secchi 2025.csv", "9/31/25"): ("not_a_date", "9/31/25"),
    ("ferrow secchi 2025.csv", "250371-1"): ("code_likely", "250317-1"),
    ("ferrow secchi 2025.csv", "25O962-1"): ("code_likely", "250962-1"),
    ("ferrow secchi 2025.csv", "(nothing)"): ("container_left_out", "250690-2"),
    ("ferrow secchi 2025.csv", "14.8"): ("degrees_mixed", "Celsius"),
    ("ferrow secchi 2025.csv", "0.5 L"): ("other_volume_unit", "500 mL"),
    ("ferrow secchi 2025.csv", "250+250"): ("volume_in_parts", "500 mL"),
    ("ferrow secchi 2025.csv", "35 in"): ("other_length_unit", "0.89 m"),
    ("ferrow secchi 2025.csv", "4 1/2"): ("fraction_of_unit", "1.37 m"),
    ("ponds_2025.csv", "visible on bottom"): ("bottom_beside", "2.40 m"),
    ("ponds_2025.csv", "VOB"): ("bottom_beside", "2.50 m"),
    ("ponds_2025.csv", "220"): ("factor_of_ten", "22 would not"),
    ("ponds_2025.csv", "TAR-1"): ("station_spelling", "TAR1"),
    ("ponds_2025.csv", "Tarick Pond"): ("unknown_sheet_station", "TAR1"),
    ("ponds_2025.csv", "GR2"): ("unknown_sheet_station", "GRE2"),
    ("ponds_2025.csv", "10.09."): ("date_without_year", "no year"),
    ("ponds_2025.csv", "55 cm"): ("other_length_unit", "0.55 m"),
    ("ponds_2025.csv", "0.35"): ("other_decimal_mark", "."),
    ("ponds_2025.csv", "2,5?"): ("doubt_marked", "2,5?"),
    ("ponds_2025.csv", "0,1 L"): ("other_volume_unit", "100 mL"),
    ("ponds_2025.csv", "251600"): ("code_likely", "251060"),
    ("ponds_2025.csv", "=fewer weeds than last year"): ("", ""),  # text like any other: nothing to name
    ("freezer log.csv", "250926-2"): ("code_likely", "250962-2"),
    ("freezer log.csv", "(nothing)"): ("not_in_freezer_log", "250456-1"),
    ("freezer log.csv", "3"): ("frozen_late", "3 days"),
    ("report_nutrients_2025.csv", "0.027 mg/L"): ("other_unit", "mg/L"),
    ("report_nutrients_2025.csv", "ND"): ("limit_missing", "ND"),
    ("report_nutrients_2025.csv", "1842"): ("factor_of_thousand", "1842 would not"),
    ("report_nutrients_2025.csv", "250665"): ("sample_without_container", "250665"),
    ("chlorophyll_2025_long.csv", "250946 2"): ("sample_code_spelling", "250946-2"),
    ("chlorophyll_2025_long.csv", "250287-2"): ("code_likely", "250278-2"),
    ("chlorophyll_2025_long.csv", "mg/m3"): ("unit_spelling", "ug/L"),
    ("probe casts 2025.csv", "91.2 %"): ("probe_off_in_air", "98.8 % of saturation before and 91.2 % after"),
}

# What is pointed out besides, and is no slip: the folder's README tells of each.
BESIDES = {
    "row_twice", "summary_row", "water_from_title", "date_order_settled", "volume_taken_for_ml", "text_below",
    "sample_code_check", "sample_code_letter",  # beside the code that is likely meant
    "sample_not_on_sheet", "freezer_unknown",  # blanks and bottom samples stand on no sheet
    "sheet_row_waits",  # the results of rows that wait
    "freezer_warm", "value_impossible", "value_implausible",  # beside what names the slip
    "duplicates_differ",  # pheophytin near its limit
}  # fmt: skip


@pytest.fixture(scope="module")
def earlier(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo without its last season, as a record in one file."""
    place = tmp_path_factory.mktemp("demo")
    folder = place / "demo"
    shutil.copytree(
        demo_folder(), folder, ignore=shutil.ignore_patterns("season_2025_sheets", "*.py", "__py*")
    )
    for path in (folder / "readings").glob("*.csv"):
        rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
        day = rows[0].index("taken_on")
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([rows[0], *(row for row in rows[1:] if row[day] < "2025")])
    made = make_record(folder, place / "demo.gpkg", who="M. Oak")
    record = open_record(made)
    refresh(record)
    record.close()
    return made


@pytest.fixture(scope="module")
def record(earlier: Path) -> Iterator[Record]:
    opened = open_record(earlier)
    yield opened
    opened.close()


def contents() -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(SHEETS.iterdir())}


@pytest.fixture(scope="module")
def found(record: Record) -> CheckIn:
    return check_in(contents(), record)


def planted() -> list[tuple[str, str]]:
    """Return file and text of every slip that the demo's README tells of."""
    text = (demo_folder() / "README.md").read_text(encoding="utf-8").split("## Slips in")[1]
    rows = [
        [cell.strip() for cell in line.strip("|").split("|")] for line in text.splitlines() if line[:1] == "|"
    ]
    return [(row[0], row[3].strip("`")) for row in rows[2:]]


def test_every_slip_of_the_readme_is_expected_here():
    assert sorted(planted()) == sorted(NAMED)
    assert len(planted()) == 35


@pytest.mark.parametrize(("file", "text"), [slip for slip, (code, _) in NAMED.items() if code])
def test_planted_slip_is_named(found, file, text):
    code, said = NAMED[file, text]
    named = [each for each in found.problems if each.code == code and said in str(each)]
    assert named, [str(each) for each in found.problems if each.code == code]
    if text != "(nothing)" and code not in ("frozen_late", "container_left_out", "probe_off_in_air"):
        assert any(each.source.file_name == file and each.found == text for each in named)


def test_nothing_is_named_that_was_not_planted(found):
    assert {each.code for each in found.problems} == {code for code, _ in NAMED.values() if code} | BESIDES


def test_every_cell_is_accounted_for(found):
    assert found.account.adds_up
    texts = [
        content.decode("cp1252" if name == "ponds_2025.csv" else "utf-8-sig")
        for name, content in contents().items()
    ]
    cells = [
        cell
        for text in texts
        for row in csv.reader(io.StringIO(text), delimiter=";" if "pond;date" in text else ",")
        for cell in row
    ]
    taken = found.account.accepted + found.account.held + found.account.refused
    assert taken == sum(1 for cell in cells if cell.strip())


def test_season_lands_and_its_results_have_their_stations(earlier, tmp_path):
    path = tmp_path / "demo.gpkg"
    path.write_bytes(earlier.read_bytes())
    record = open_record(path)
    found = check_in(contents(), record)
    assert accept(record, found, who="M. Oak") == 2
    rows = record.fetch_rows("SELECT status, count(*) FROM readings WHERE entered_in = 2 GROUP BY status")
    assert dict(rows) == {"accepted": len(found.accepted), "held": len(found.held)}
    assert check_in(contents(), record).brings_nothing
    readings = record.history("FER1").readings
    phosphorus = readings[
        (readings["taken_on"] == "2025-05-15") & (readings["quantity"] == "total_phosphorus")
    ]
    assert phosphorus[["value", "sample_code", "observer"]].to_numpy().tolist() == [[38.0, "250317-1", "V02"]]
    record.close()


def test_corrected_sheet_takes_its_waiting_results_along(earlier, tmp_path):
    path = tmp_path / "demo.gpkg"
    path.write_bytes(earlier.read_bytes())
    record = open_record(path)
    accept(record, check_in(contents(), record), who="M. Oak")
    mended = contents()
    ponds = mended["ponds_2025.csv"].decode("cp1252")
    ponds = re.sub("251600", "251060", ponds).replace("10.09.;", "10.09.25;").replace("Tarick", "Tarrick")
    mended["ponds_2025.csv"] = ponds.encode("cp1252")
    found = check_in(mended, record)
    waited = {"250840", "251060", "251094"}
    assert waited <= {code[:6] for code in found.accepted["sample_code"]}
    accept(record, found, who="M. Oak")
    left = record.fetch_rows("SELECT sample_code FROM readings WHERE left_in IS NULL AND station_id IS NULL")
    assert not waited & {row[0][:6] for row in left}
    record.close()


def test_season_that_the_record_holds_already_brings_nothing_new_for_it(tmp_path):
    record = open_record(make_record(demo_folder(), tmp_path / "whole.gpkg", who="M. Oak"))
    found = check_in(contents(), record)
    surface = found.accepted[found.accepted["stratum"] != "profile"]
    assert set(surface["quantity"]) == {"pheophytin_a"}, "which the record does not hold, nor the casts"
    differs = found.held[found.held["reason"] == "reading_differs"]["as_written"].tolist()
    assert sorted(differs) == ["14.8", "1842", "220"], "the slips that give another value than the right one"
    record.close()
