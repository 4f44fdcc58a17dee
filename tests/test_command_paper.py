"""The commands that write for paper: run as a user runs them, on the demo and on a programme with a plan."""

import csv
import io
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pypdf
import pytest

from explorer import command
from explorer.command.terminal import REFUSED, STOPPED
from explorer.demo import demo_folder
from explorer.intake.check_in import accept, check_in
from explorer.intake.label_file import given_codes
from explorer.intake.sample_codes import read_sample_codes, serial_of
from explorer.model.quantities import QUANTITIES
from explorer.records.cache import CACHE_VARIABLE
from explorer.records.ledger import create_record
from explorer.records.opening import open_record

SHEETS = demo_folder() / "season_2025_sheets"
PLAN = """
[plan]
quantities = ["secchi_depth", "total_phosphorus", "chlorophyll_a"]
duplicates_percent = 100

[plan.stations]
SAL1 = {}
TAR1 = { months = [6], visits_a_month = 2 }
"""


@pytest.fixture(autouse=True, scope="module")
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Records built from texts, and the demo's register, land in a folder of these tests' own."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(CACHE_VARIABLE, str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def county(tmp_path: Path) -> Path:
    """A folder record of two ponds with a plan of its own."""
    place = tmp_path / "county"
    (place / "readings").mkdir(parents=True)
    for name in ("lakes.geojson", "stations.geojson"):
        shutil.copy(demo_folder() / name, place)
    for name in ("sallow_pond.csv", "tarrick_pond.csv"):
        shutil.copy(demo_folder() / "readings" / name, place / "readings")
    settings = (demo_folder() / "programme.toml").read_text(encoding="utf-8")
    (place / "programme.toml").write_text(settings + PLAN, encoding="utf-8")
    return place


def text_of(path: Path) -> str:
    return " ".join(" ".join(each.extract_text() for each in pypdf.PdfReader(path).pages).split())


def rows_of(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"))))


def labels(county: Path, *arguments: str) -> int:
    return command.main(["labels", "--record", str(county), *arguments])


def test_labels_of_a_month_go_on_behind_the_record_and_repeat_themselves(
    county: Path, tmp_path: Path
) -> None:
    out = tmp_path / "june"
    assert labels(county, "--month", "2025-06", "--out", str(out)) == STOPPED
    assert sorted(each.name for each in out.iterdir()) == [
        "data_sheet.csv", "data_sheet.xlsx", "data_sheets.pdf", "hand_over.pdf", "labels.pdf", "roster.csv",
        "roster.pdf",
    ]  # fmt: skip
    register = tmp_path / "county.labels.csv"
    given = [each.sample_code for each in given_codes(register)]
    assert len(given) == len(set(given)) == 4  # three visits and a blank
    in_record = {
        code
        for path in (county / "readings").iterdir()
        for row in rows_of(path)
        for code in (row["sample_code"], row.get("parent_sample", ""))
        if code.startswith("25")
    }
    highest = max(serial_of(code) for code in in_record)
    assert [serial_of(code) for code in given] == list(range(highest + 1, highest + 5))
    printed = text_of(out / "labels.pdf")
    assert printed.count("Second filter") == 3  # every visit takes a duplicate
    assert all(f"{code}-1" in printed for code in given)
    before = (out / "roster.csv").read_bytes(), register.read_bytes()
    assert labels(county, "--month", "2025-06", "--out", str(out)) == STOPPED
    assert ((out / "roster.csv").read_bytes(), register.read_bytes()) == before
    assert text_of(out / "labels.pdf") == printed


def test_roster_with_days_filled_in_keeps_its_codes(county: Path, tmp_path: Path) -> None:
    out = tmp_path / "june"
    labels(county, "--month", "2025-06", "--out", str(out))
    rows = rows_of(out / "roster.csv")
    for day, row in enumerate(rows, 10):
        row["Date"], row["Observers"] = f"2025-06-{day}", "V08"
    filled = tmp_path / "visits.csv"
    with filled.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    again = tmp_path / "dated"
    assert labels(county, "--visits", str(filled), "--out", str(again)) == STOPPED
    assert [row["Sample"] for row in rows_of(again / "roster.csv")] == [row["Sample"] for row in rows]
    assert {row["Date"] for row in rows_of(again / "data_sheet.csv")} == {row["Date"] for row in rows}
    assert len(given_codes(tmp_path / "county.labels.csv")) == 4


def test_next_month_goes_on_behind_earlier_runs(county: Path, tmp_path: Path) -> None:
    for month in ("2025-06", "2025-07"):
        labels(county, "--month", month, "--out", str(tmp_path / f"{month}.pdf"))
    given = [each.sample_code for each in given_codes(tmp_path / "county.labels.csv")]
    assert len(set(given)) == len(given) == 6
    assert sorted(each.suffix for each in tmp_path.iterdir()) == ["", ".csv", ".pdf", ".pdf"]


def test_sheets_that_were_filled_in_are_never_written_over(county: Path, tmp_path: Path, capsys) -> None:
    out = tmp_path / "june"
    labels(county, "--month", "2025-06", "--out", str(out))
    filled = [out / name for name in ("data_sheet.csv", "data_sheet.xlsx", "roster.csv")]
    for each in filled:
        each.write_text("filled in")
    labels(county, "--month", "2025-06", "--out", str(out))
    assert {(out / name).read_text() for name in ("data_sheet.csv", "data_sheet.xlsx", "roster.csv")} == {
        "filled in"
    }
    assert capsys.readouterr().out.count("was left as it is") == 3


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("Station,Date\nSAL1,2025-06-03\nSAL9,2025-06-04\n", 'row 3, "Station"'),
        ("Station,Date\nSAL1,2025-06-03\nTAR1,\n", "the date is missing"),
        ("Station,Date\nSAL1,03/04/2025\n", "could be read in two ways"),
        ("Station,Date\n", "names no visit"),
        ("", "empty"),
    ],
)
def test_doubtful_list_of_visits_makes_no_labels_and_gives_no_code(
    county: Path, tmp_path: Path, capsys, content: str, message: str
) -> None:
    visits = tmp_path / "visits.csv"
    visits.write_text(content)
    assert labels(county, "--visits", str(visits), "--out", str(tmp_path / "out")) == REFUSED
    assert message in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
    assert given_codes(tmp_path / "county.labels.csv") == ()


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["labels", "--month", "2025-13", "--out", "x"], '"2025-13" is no month'),
        (["labels", "--out", "x"], "--visits --month is required"),
        (["labels", "--month", "2025-06"], "--out"),
        (["labels", "--month", "2025-06", "--out", "x", "--used", "-1"], "is no whole number of 0 or more"),
        (["quality", "--season", "25", "--out", "x.pdf"], '"25" is no year'),
        (["freezer", "--day", "3/4/25"], '"3/4/25" is no date'),
    ],
)
def test_wrong_argument_is_refused_in_one_line(arguments: list[str], message: str, capsys) -> None:
    with pytest.raises(SystemExit) as ended:
        command.main(arguments)
    assert ended.value.code == REFUSED
    said = capsys.readouterr().err
    assert message in said
    assert said.count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["labels", "--month", "2025-01", "--out", "x"], "The plan has no visits in 2025-01"),
        (["labels", "--visits", "nowhere.csv", "--out", "x"], "nowhere.csv cannot be read"),
        (["quality", "--season", "2025", "--out", "x.docx"], "neither .pdf nor .csv"),
        (["quality", "--record", "nowhere", "--out", "x.pdf"], "There is no nowhere"),
        (["freezer", "--log", "nowhere.csv"], "nowhere.csv cannot be read"),
    ],
)
def test_what_cannot_be_done_is_said_with_its_cure(arguments, message, capsys, tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert command.main(arguments) == REFUSED
    assert message in capsys.readouterr().err


def test_plan_with_an_unknown_station_is_refused(county: Path, tmp_path: Path, capsys) -> None:
    settings = county / "programme.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + "SAL9 = {}\n", encoding="utf-8")
    assert labels(county, "--month", "2025-06", "--out", str(tmp_path / "x")) == REFUSED
    assert 'No station "SAL9" in the record. Did you mean "SAL1"?' in capsys.readouterr().err


def test_lacking_lists_what_the_plan_misses(county: Path, tmp_path: Path, capsys) -> None:
    assert command.main(["lacking", "--record", str(county), "--season", "2025"]) == STOPPED
    said = capsys.readouterr().out
    assert "written in the programme's settings" in said
    assert [line.split()[:5] for line in said.splitlines() if line.startswith("  TAR1")] == [
        ["TAR1", "June", "1", "of", "2"]
    ]
    out = tmp_path / "lacking.csv"
    assert (
        command.main(["lacking", "--record", str(county), "--season", "2030", "--out", str(out)]) == STOPPED
    )
    rows = rows_of(out)
    assert {row["Missing"] for row in rows} == {"the whole visit"}
    assert {row["Note"] for row in rows} == {"still to come"}
    assert len(rows) == 6


def test_freezer_lists_by_days_left_and_hands_over(tmp_path: Path, capsys) -> None:
    log, sheet = SHEETS / "freezer log.csv", tmp_path / "hand_over.pdf"
    arguments = ["freezer", "--log", str(log), "--day", "2025-07-20"]
    assert command.main([*arguments, "--hand-over", str(sheet)]) == STOPPED
    said = capsys.readouterr().out
    left = [float(line.split()[-7]) for line in said.splitlines() if line.endswith("24.5 days at most")]
    assert left == sorted(left)
    assert len(left) > 3
    text = text_of(sheet)
    for words in ("Handed over by", "Received by", "Date and time", "Temperature on arrival", "250665-2"):
        assert words in text
    out = tmp_path / "freezer.csv"
    assert command.main([*arguments, "--out", str(out)]) == STOPPED
    codes = [row["Code"] for row in rows_of(out)]
    assert all(code in text for code in codes)
    assert not read_sample_codes(codes).problem.any()


def test_freezer_of_a_record_without_logs_is_empty(capsys) -> None:
    assert command.main(["freezer"]) == STOPPED
    assert "Nothing lies in the freezer." in capsys.readouterr().out


def test_empty_list_still_says_its_columns(tmp_path: Path) -> None:
    out = tmp_path / "freezer.csv"
    assert command.main(["freezer", "--out", str(out)]) == STOPPED
    assert out.read_text(encoding="utf-8-sig").startswith("Code,What,Station,")


def test_nothing_is_written_where_one_of_the_papers_cannot_be_made(
    county: Path, tmp_path: Path, capsys
) -> None:
    out = tmp_path / "june"
    assert labels(county, "--month", "2025-06", "--out", str(out), "--used", "400") == REFUSED
    assert "400 cannot be used already" in capsys.readouterr().err
    assert not out.exists()


def test_roster_and_sheets_name_the_water_beside_a_station_that_does_not(
    county: Path, tmp_path: Path
) -> None:
    places = county / "stations.geojson"
    places.write_text(places.read_text(encoding="utf-8").replace("Sallow Pond, ", ""), encoding="utf-8")
    out = tmp_path / "june"
    assert labels(county, "--month", "2025-06", "--out", str(out)) == STOPPED
    for name in ("roster.pdf", "data_sheets.pdf"):
        assert "Sallow Pond" in text_of(out / name)


def test_quality_writes_both_forms_and_refuses_an_empty_season(tmp_path: Path, capsys) -> None:
    for ending in ("pdf", "csv"):
        out = tmp_path / f"q.{ending}"
        assert command.main(["quality", "--season", "2021", "--out", str(out)]) == STOPPED
        assert out.stat().st_size > 1000
    assert "D21-06" in text_of(tmp_path / "q.pdf")
    assert any(row["value"] == "D21-06" for row in rows_of(tmp_path / "q.csv"))
    assert command.main(["quality", "--season", "1999", "--out", str(tmp_path / "none.pdf")]) == REFUSED
    assert "there is no season 1999 to report on" in capsys.readouterr().err
    assert not (tmp_path / "none.pdf").exists()


def test_help_lists_every_command_on_a_line(capsys) -> None:
    with pytest.raises(SystemExit):
        command.main(["--help"])
    said = capsys.readouterr().out
    for name in ("labels", "freezer", "lacking", "quality"):
        assert f"\n    {name}" in said


def test_programme_without_a_plan_goes_on_as_it_did_last(tmp_path: Path) -> None:
    out = tmp_path / "labels.csv" / "x.pdf"
    assert command.main(["labels", "--month", "2031-06", "--out", str(out)]) == STOPPED
    assert text_of(out).count("Bottle") > 10


def test_record_without_readings_has_empty_lists(tmp_path: Path, capsys) -> None:
    place = tmp_path / "new.gpkg"
    create_record(place, "", QUANTITIES.values())
    assert command.main(["freezer", "--record", str(place)]) == STOPPED
    assert command.main(["lacking", "--record", str(place)]) == REFUSED
    assert command.main(["labels", "--record", str(place), "--month", "2031-06", "--out", "x"]) == REFUSED
    said = capsys.readouterr()
    assert "Nothing lies in the freezer." in said.out
    assert "The record holds no readings. Name the season" in said.err


def test_filled_sheet_and_freezer_log_go_through_the_check_in_into_the_lists(
    county, tmp_path, capsys
) -> None:
    """Labels, a sheet that is filled in, a freezer log, the check-in: the lists know of all of it."""
    own = tmp_path / "own.gpkg"
    own.write_bytes(open_record(county).path.read_bytes())
    out = tmp_path / "june"
    assert command.main(["labels", "--record", str(own), "--month", "2026-06", "--out", str(out)]) == STOPPED
    rows = rows_of(out / "data_sheet.csv")
    for number, row in enumerate(rows, 3):
        row |= {"Date": f"2026-06-{number:02d}", "Time": "10:00", "Observers": "V08", "Weather": "sun"}
        row |= {"Lowered (m)": f"{1 + number / 10:.1f}", "Raised (m)": f"{0.9 + number / 10:.1f}"}
        row |= {"Poured (mL)": "200", "Total filtered (mL)": "200", "On ice at": "10:30"}
    sheet = "\r\n".join([",".join(rows[0]), *(",".join(row.values()) for row in rows)]).encode()
    codes = {row[column]: row["Date"] for row in rows for column in ("Bottle", "Filter", "Second filter")}
    log = "\n".join(["container,in,out", *(f"{code},{day}," for code, day in codes.items())]).encode()
    record = open_record(own)
    checked = check_in({"sheet.csv": sheet, "freezer.csv": log}, record, today=date(2026, 6, 10))
    assert [str(each) for each in checked.problems if each.severity != "note"] == []
    accept(record, checked, who="M. Oak")
    record.close()
    capsys.readouterr()
    assert command.main(["freezer", "--record", str(own), "--day", "2026-06-20"]) == STOPPED
    said = capsys.readouterr().out
    assert all(code in said for code in codes)
    lines = [line.split() for line in said.splitlines() if line.endswith("24.5 days at most")]
    assert {line[-7] for line in lines} <= {"7.5", "8.5", "9.5"}  # sampled on the 3rd, 4th and 5th
    assert len(lines) == 6
    assert command.main(["lacking", "--record", str(own), "--season", "2026"]) == STOPPED
    june = [line for line in capsys.readouterr().out.splitlines() if " June " in line]
    assert len(june) == 2
    assert not any("Clarity" in line or "whole visit" in line for line in june)  # the laboratory is to come
    report = tmp_path / "q.csv"
    assert (
        command.main(["quality", "--record", str(own), "--season", "2026", "--out", str(report)]) == STOPPED
    )
    assert any(row["column"] == "Who" and row["value"] == "M. Oak" for row in rows_of(report))
    assert (
        command.main(["labels", "--record", str(own), "--month", "2026-07", "--out", str(out / "7.pdf")])
        == STOPPED
    )
    given = [each.sample_code for each in given_codes(tmp_path / "own.gpkg.labels.csv")]
    assert len(set(given)) == len(given)
