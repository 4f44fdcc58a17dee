"""The commands that fill a record: check-in, new-record, go-back; what they say, and how they end."""

import csv
import io
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from explorer.records.copies import dated_copies
from explorer.records.opening import open_record

Run = Callable[..., subprocess.CompletedProcess[str]]

LAKES = """code,name,kind,attributes,area_km2,altitude_m,maximum_depth_m
HM,Hollow Mere,pond,shallow,0.1,210,2.5
"""
STATIONS = """code,name,lake_code,longitude_deg,latitude_deg,bottom_depth_m,is_index
HM1,Middle,HM,-30.01,45.02,2.4,yes
"""
SOUND = "Station,Date,Secchi (m)\nHM1,2025-06-01,1.5\n"
DOUBTFUL = "Station,Date,Secchi (m)\nHM1,2025-06-01,=1+1\nHM1,2025-07-01,1.6\n"

OWN_SETTINGS = """name = "Hollow Mere watch"

[headings]
station = ["paraje"]

[quantities.silica]
name = "Silica"
unit = "mg/L"
decimals = 1
"""


@pytest.fixture
def run(ended_command: Run, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command to its end; no record is named by the environment."""
    monkeypatch.delenv("STATION_EXPLORER_RECORD", raising=False)
    return ended_command


@pytest.fixture
def county(run: Run, tmp_path: Path) -> Path:
    """A record made from the lists of lakes and stations alone."""
    folder = tmp_path / "start"
    folder.mkdir()
    (folder / "lakes.csv").write_text(LAKES)
    (folder / "stations.csv").write_text(STATIONS)
    done = run("new-record", "--from", folder, "--out", tmp_path / "county")
    assert done.returncode == 0, done.stderr
    assert "1 water, 1 station" in done.stdout
    return tmp_path / "county.gpkg"


def sheet(tmp_path: Path, text: str, name: str = "sheet.csv") -> Path:
    path = tmp_path / name
    path.write_text(text)
    return path


def test_sound_sheet_is_taken_and_the_command_ends_with_0(run, county, tmp_path):
    done = run("check-in", sheet(tmp_path, SOUND), "--record", county, "--as", "M. Oak", "--remark", "June")
    assert done.returncode == 0, done.stderr
    assert "as change 2, by M. Oak" in done.stdout
    steps = ("Reading sheet.csv (1 of 1) …", "Looking at it beside the record …", "Writing …")
    assert [line for line in done.stdout.splitlines() if line in steps] == list(steps)
    record = open_record(county)
    assert record.history("HM1").readings["value"].tolist() == [1.5]
    assert record.fetch_rows("SELECT who, why FROM changes WHERE change_id = 2") == [("M. Oak", "June")]
    again = run("check-in", sheet(tmp_path, SOUND), "--record", county)
    assert (again.returncode, record.version()) == (0, 2)
    assert "the record holds all of it already" in again.stdout


def test_something_held_ends_with_1_and_stands_in_the_file_of_problems(run, county, tmp_path):
    problems = tmp_path / "problems.csv"
    path = sheet(tmp_path, DOUBTFUL)
    done = run("check-in", path, "--problems", problems, STATION_EXPLORER_RECORD=str(county))
    assert done.returncode == 1, done.stderr
    record = open_record(county)
    assert record.history("HM1").readings["status"].tolist() == ["held", "accepted"]
    rows = list(csv.DictReader(io.StringIO(problems.read_bytes().decode("utf-8-sig"))))
    assert rows
    assert not any(cell.startswith("=") for row in rows for cell in row.values())
    assert {"code", "sentence", "row", "column", "found"} <= set(rows[0])


def test_dry_run_changes_nothing(run, county, tmp_path):
    before = county.read_bytes()
    done = run("check-in", sheet(tmp_path, SOUND), "--record", county, "--dry-run")
    assert done.returncode == 0
    assert "nothing was changed" in done.stdout
    assert county.read_bytes() == before
    assert dated_copies(county) == ()


def test_file_that_cannot_be_read_ends_with_2_and_nothing_lands(run, county, tmp_path):
    bad = tmp_path / "photo.csv"
    bad.write_bytes(bytes(range(256)) * 10)
    done = run("check-in", bad, sheet(tmp_path, SOUND), "--record", county)
    assert done.returncode == 2
    assert "Nothing was changed, because a file cannot be read" in done.stdout
    assert open_record(county).version() == 1


def test_every_mistake_in_settings_is_named_at_once(run, county, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(MISTAKEN_SETTINGS)
    said = run("settings", "--record", county, "--from", own).stderr
    named = (
        "time_zone",
        "language",
        "season_months",
        "scheme",
        "labels",
        "bottle",
        "switched_off",
        "foo",
    )
    assert [each for each in named if f'"{each}"' not in said] == []
    assert open_record(county).version() == 1


def test_no_record_is_made_with_settings_that_cannot_be_used(run, tmp_path):
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "stations.csv").write_text("code,latitude_deg,longitude_deg\nA1,45,-30\n")
    (folder / "programme.toml").write_text('[plan.stations]\nA2 = {quantities = ["ph"]}\n')
    done = run("new-record", "--from", folder, "--out", tmp_path / "made.gpkg")
    assert done.returncode == 2
    assert 'programme.toml, line 2, "A2": No station "A2" in the record' in done.stderr
    assert not list(tmp_path.glob("made*"))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["check-in", "--remark", "late"], "--problems and --remark go with files"),
        (["check-in", "nothing.csv", "--record", "county.gpkg"], r"nothing.csv cannot be read"),
        (["check-in", "sheet.csv"], "Into which record? Name it with --record"),
        (["check-in", "sheet.csv", "--record", "start"], "is read afresh at each opening"),
        (["check-in", "sheet.csv", "--recrod", "x"], '"--record" is the nearest'),
        (["new-record", "--from", "start", "--out", "county.gpkg"], "is already there. Choose another name"),
        (["new-record", "--from", "strat", "--out", "b.gpkg"], "There is no strat"),
        (["go-back", "--record", "county.gpkg", "--to", "yesterday"], 'There is no copy "yesterday"'),
    ],
)
def test_what_is_wrong_is_named_in_one_line_and_ends_with_2(
    run, county, tmp_path, monkeypatch, arguments, said
):
    sheet(tmp_path, SOUND)
    monkeypatch.chdir(tmp_path)
    done = run(*arguments)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert open_record(county).version() == 1


def test_corrected_file_shows_what_it_changes(run, county, tmp_path):
    run("check-in", sheet(tmp_path, SOUND), "--record", county)
    done = run("check-in", sheet(tmp_path, SOUND.replace("1.5", "1.4")), "--record", county)
    assert done.returncode == 0
    assert 'HM1 2025-06-01 secchi depth: "1.5" becomes "1.4".' in done.stdout


def test_record_goes_back_to_a_copy(run, county, tmp_path):
    run("check-in", sheet(tmp_path, SOUND), "--record", county)
    listed = run("go-back", "--record", county)
    assert "has seen 2 changes. 1 dated copy of it lies in" in listed.stdout
    (name,) = [line for line in listed.stdout.splitlines() if line.endswith("version 1.gpkg")]
    done = run("go-back", "--record", county, "--to", name, "--as", "M. Oak", "--why", "Wrong season")
    assert done.returncode == 0, done.stderr
    record = open_record(county)
    assert record.history("HM1").readings.empty
    assert record.fetch_rows("SELECT kind, why FROM changes WHERE change_id = 3") == [
        ("went back", "Wrong season")
    ]


def test_history_lists_changes_and_gives_a_file_and_a_state_back(run, county, tmp_path):
    for text, why in ((SOUND, "Season of June"), (SOUND.replace("1.5", "1.4"), "Sheet read again")):
        run("check-in", sheet(tmp_path, text), "--record", county, "--as", "M. Oak", "--remark", why)
    said = run("history", "--record", county).stdout
    assert said.count("M. Oak") == 2
    assert "another took its place in version 3" in said
    out = tmp_path / "back.csv"
    done = run("history", "--record", county, "--file", "sheet.csv", "--out", out)
    assert (done.returncode, out.read_text()) == (0, SOUND.replace("1.5", "1.4"))
    run("history", "--record", county, "--station", "HM1", "--at", "2", "--out", out)
    (row,) = csv.DictReader(io.StringIO(out.read_bytes().decode("utf-8-sig")))
    assert (row["value"], row["sign"], row["file_name"], row["row"]) == ("1.5", "=", "sheet.csv", "2")
    shown = run("history", "--record", county, "--reading", row["reading_id"]).stdout
    assert shown.count('sheet.csv, row 2, "Secchi (m)"') == 2
    assert all(shown.count(each) == 1 for each in ("Season of June", "Sheet read again"))
    assert shown.count("check-in") == 2
    assert run("history", "--record", county, "--station", "HM1").returncode == 2


def test_history_names_the_cell_that_a_reading_waits_for(run, county, tmp_path):
    doubtful = SOUND.replace("HM1", "HM9") + "HM9,2025-07-01,1.6\n" + "HM1,2025-08-01,x\n"
    run("check-in", sheet(tmp_path, doubtful), "--record", county)
    record = open_record(county)
    numbers = record.fetch_rows("SELECT reading_id FROM readings WHERE status = 'held' ORDER BY \"row\"")
    said = [run("history", "--record", county, "--reading", str(number)).stdout for (number,) in numbers]
    station = 'waiting for an answer: "Station": the list of stations has no "HM9". Did you mean "HM1"?'
    assert [station in each for each in said] == [True, True, False]
    assert 'waiting for an answer: "x" is not a depth.' in said[2]


def test_folder_stands_for_its_files(run, county, tmp_path):
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    sheet(inbox, SOUND, "june.csv")
    sheet(inbox, SOUND.replace("06-01", "07-01"), "july.csv")
    sheet(inbox, "x", "~$july.csv")
    done = run("check-in", inbox, "--record", county)
    assert done.returncode == 0, done.stdout
    assert len(open_record(county).history("HM1").readings) == 2


MISTAKEN_SETTINGS = """
time_zone = "Mars/Base"
language = "xx"
scheme = "carlson"
season_months = 3
[labels]
width = "x"
[quality]
bottle = "acid"
[checks]
switched_off = ["a"]
[headings]
foo = ["x"]
"""


def test_settings_are_printed_changed_and_count_from_then_on(run, county, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(OWN_SETTINGS)
    done = run("settings", "--record", county, "--from", own, "--as", "M. Oak")
    assert done.returncode == 0, done.stderr
    assert run("settings", "--record", county).stdout.strip() == own.read_text().strip()
    text = "paraje,Date,Secchi (m),Silica (mg/L)\nHM1,2025-06-01,1.5,3.1\n"
    assert run("check-in", sheet(tmp_path, text), "--record", county).returncode == 0
    record = open_record(county)
    assert sorted(record.history("HM1").readings["quantity"]) == ["secchi_depth", "silica"]
    kept = record.fetch_rows("SELECT name, content FROM files WHERE entered_in = 2")
    assert kept == [("programme.toml", own.read_bytes())]


def test_wrong_settings_change_nothing(run, county, tmp_path):
    own = tmp_path / "own.toml"
    for text, said in (
        ("min_visits = 3", "min_visits"),
        ('[headings]\nstatoin = ["x"]', "statoin"),
        ("[checks.deeper_than_botom]\n", "deeper_than_bottom"),
        ('[plan.stations]\nQQ9 = {quantities = ["ph"]}', 'line 2, "QQ9": No station "QQ9" in the record'),
    ):
        own.write_text(text)
        done = run("settings", "--record", county, "--from", own)
        assert done.returncode == 2
        assert said in done.stderr
    assert open_record(county).version() == 1


def test_all_that_cannot_be_opened_is_named_and_an_empty_folder_is_no_sheet(run, county, tmp_path):
    (tmp_path / "empty").mkdir()
    sound = sheet(tmp_path, SOUND)
    done = run(
        "check-in", sound, tmp_path / "a.csv", tmp_path / "b.csv", tmp_path / "empty", "--record", county
    )
    assert done.returncode == 2
    assert all(f"{name} cannot be read" in done.stderr for name in ("a.csv", "b.csv"))
    assert "empty holds no file to check in" in done.stderr
    assert open_record(county).version() == 1


def test_name_of_a_file_is_told_and_kept_on_one_line(run, county, tmp_path):
    done = run("check-in", sheet(tmp_path, SOUND, 'we"ird\n\x1b[31mname.csv'), "--record", county)
    assert done.returncode == 0, done.stderr
    assert 'we"ird [31mname.csv: data sheet.' in done.stdout
    names = open_record(county).fetch_rows("SELECT name FROM files")
    assert ('we"ird [31mname.csv',) in names
