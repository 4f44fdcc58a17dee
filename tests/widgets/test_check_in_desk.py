import csv
import io
from pathlib import Path

import pytest

from explorer import command
from explorer.demo import demo_folder
from explorer.intake.tables import read_grids
from explorer.model.errors import ExplorerError
from explorer.records.new_record import make_record
from explorer.records.opening import open_record
from explorer.records.past import changes_of
from explorer.records.waiting import WAITING, waiting_count, waiting_readings
from explorer.widgets import CheckInDesk
from explorer.widgets.file_drop import FileDrop
from explorer.widgets.paper_form import FREEZER_FILES, SEASON_FILES, VISIT_FILES

STATIONS = """code,name,lake_code,longitude_deg,latitude_deg,bottom_depth_m,is_index
HM1,Middle,HM,-30.01,45.02,2.4,yes
"""
LAKES = (
    "code,name,kind,attributes,area_km2,altitude_m,maximum_depth_m\nHM,Hollow Mere,pond,shallow,0.1,210,2.5\n"
)
SOUND = b"Station,Date,Secchi (m)\nHM1,2025-06-01,1.5\nHM1,2025-07-01,1.6\n"
DOUBTFUL = b"Station,Date,Secchi (m)\nHM1,2025-06-01,<b>1.5</b>\nHM1,2025-07-01,1.6\n"
HOSTILE = "<img src=x onerror=alert(1)>.csv"


@pytest.fixture
def county(tmp_path):
    """A record in one file that holds a station and no reading."""
    folder = tmp_path / "start"
    folder.mkdir()
    (folder / "stations.csv").write_text(STATIONS)
    (folder / "lakes.csv").write_text(LAKES)
    path = tmp_path / "county.gpkg"
    make_record(folder, path, who="M. Oak")
    record = open_record(path)
    yield record
    record.close()


def held_of(record):
    return waiting_readings(record, 10)


def test_files_are_looked_at_and_nothing_lands_before_the_button_is_pressed(county):
    desk = CheckInDesk(county, "M. Oak")
    desk.take([("sheet.csv", SOUND)], [])
    assert "2 readings would land as accepted." in desk.found.lead.value
    assert desk.land.description == "Enter 2 accepted and 0 waiting readings"
    assert county.version() == 1
    desk.start_again()
    assert (desk.files, desk.checked, desk.result.layout.display) == ((), None, "none")
    assert county.version() == 1


def test_pressing_the_button_lands_everything_with_name_and_remark(county):
    desk = CheckInDesk(county, "M. Oak")
    desk.take([("sheet.csv", SOUND)], [])
    desk.remark.value = "the first sheet"
    desk.land.click()
    assert county.version() == 2
    assert [county.history("HM1").readings["value"].tolist()] == [[1.5, 1.6]]
    change = changes_of(county)[-1]
    assert (change.kind, change.who, change.why) == ("check-in", "M. Oak", "the first sheet")
    assert "Version 2 of the record" in desk.said.value
    assert desk.files == ()
    desk.take([("sheet.csv", SOUND)], [])
    assert "The record holds all of these files already" in desk.found.lead.value
    assert desk.landing.layout.display == "none"


def test_landing_without_a_name_is_refused_and_nothing_is_lost(county):
    desk = CheckInDesk(county)
    desk.take([("sheet.csv", SOUND)], [])
    desk.land.click()
    assert "who changes it is missing" in desk.said.value
    assert county.version() == 1
    desk.who.value = "M. Oak"
    desk.land.click()
    assert county.version() == 2


def test_text_of_names_and_cells_stays_text(county):
    desk = CheckInDesk(county, "M. Oak")
    desk.take([(HOSTILE, DOUBTFUL)], [])
    shown = desk.found.lead.value + "".join(fold.widget.html for fold in desk.found.folds.values())
    assert "<img" not in shown
    assert "<b>1.5" not in shown
    assert "&lt;b&gt;1.5&lt;/b&gt;" in shown
    assert desk.found.folds["hold"].widget.title == "Would wait for an answer (1)"
    for kind in ("csv", "pdf"):
        name, content = desk.keep(kind)
        assert name.endswith(kind)
        assert content


@pytest.mark.parametrize(
    ("choice", "new", "status", "value"),
    [("value", "< 1,4", "accepted with a remark", 1.4), ("reject", "", "rejected", None)],
)
def test_what_waits_is_decided_on_with_a_reason(county, choice, new, status, value):
    desk = CheckInDesk(county, "M. Oak")
    desk.take([("sheet.csv", DOUBTFUL)], [])
    desk.land.click()
    assert waiting_count(county) == 1
    form = desk.decisions
    options = [option for option, _ in form.readings.options]
    assert options == ['Hollow Mere, Middle, 1 June 2025: Clarity, "<b>1.5</b>"']
    form.choice.value, form.new.value = choice, new
    form.write.click()
    assert "why is missing" in form.said.value
    assert form.new.value == new
    form.why.value = "asked the volunteer"
    form.write.click()
    assert waiting_count(county) == 0
    assert form.readings.options == ()
    rows = county.fetch_rows(
        "SELECT status, value, sign FROM readings WHERE left_in IS NULL AND replaces IS NOT NULL"
    )
    assert [row[0] for row in rows] == [status]
    if value is not None:
        assert rows[0][1:] == (value, "<")


def test_decision_without_what_stands_instead_is_refused(county):
    desk = CheckInDesk(county, "M. Oak")
    desk.take([("sheet.csv", DOUBTFUL)], [])
    desk.land.click()
    desk.decisions.why.value = "asked"
    desk.decisions.write.click()
    assert "What is to stand instead is missing" in desk.decisions.said.value
    assert waiting_count(county) == 1


def test_corrected_file_shows_what_differs_before_it_lands(county):
    desk = CheckInDesk(county, "M. Oak")
    desk.take([("sheet.csv", SOUND)], [])
    desk.land.click()
    desk.take([("sheet.csv", SOUND.replace(b"1.6", b"1.7"))], [])
    fold = desk.found.tables["differences"]
    assert fold.expanded
    assert "<td>1.6</td><td>1.7</td><td>changed</td>" in fold.widget.html
    assert county.history("HM1").readings["value"].tolist() == [1.5, 1.6]


def test_page_that_was_started_to_look_lets_nothing_land(county):
    desk = CheckInDesk(county, "M. Oak", only_looks=True)
    desk.take([("sheet.csv", SOUND)], [])
    assert "--dry-run" in desk.landing.children[0].value
    assert desk.papers is None
    assert not {desk.land, desk.decisions.widget} & set(all_widgets(desk))


def all_widgets(widget):
    yield widget
    for each in getattr(widget, "children", ()):
        yield from all_widgets(each)


def test_papers_of_a_month_are_those_of_the_command(county, tmp_path, capsys):
    place = Path(county.path)
    form = CheckInDesk(county, "M. Oak").papers
    form.take_list([("visits.csv", b"Station,Date\nHM1,2026-06-14\n")], [])
    assert form.month.disabled
    made = dict(form.visit_file(kind) for kind in VISIT_FILES)
    (tmp_path / "visits.csv").write_bytes(b"Station,Date\nHM1,2026-06-14\n")
    out = tmp_path / "out"
    arguments = [
        "labels",
        "--record",
        str(place),
        "--visits",
        str(tmp_path / "visits.csv"),
        "--out",
        str(out),
    ]
    assert command.main(arguments) == 0
    assert "Sample codes: 0 new." in capsys.readouterr().out, "the same visit has its code already"
    written = {each.name: each.read_bytes() for each in out.iterdir() if each.name in VISIT_FILES.values()}
    kept = {name.replace("_2026-06", ""): content for name, content in made.items()}
    rows = [read_grids("a.xlsx", each.pop("data_sheet.xlsx"))[0].rows for each in (written, kept)]
    assert rows[0] == rows[1]
    assert kept == written
    form.forget.click()
    form.month.value = "June"
    with pytest.raises(ExplorerError, match="no month"):
        form.visit_file("labels")


def test_lists_of_season_and_freezer_are_made_on_the_desk(county):
    desk = CheckInDesk(county, "M. Oak")
    desk.take([("sheet.csv", SOUND)], [])
    desk.land.click()
    form = desk.papers
    form.season.value = "2025"
    for kind in SEASON_FILES:
        name, content = form.season_file(kind)
        assert "2025" in name
        assert content.startswith(b"%PDF") or name.endswith(".csv")
    for kind in FREEZER_FILES:
        assert form.freezer_file(kind)[1].startswith(b"%PDF")
    form.season.value = "1999"
    with pytest.raises(ExplorerError, match="1999"):
        form.season_file("quality")


def test_history_gives_files_back_as_they_came_and_stations_as_they_stood(county):
    desk = CheckInDesk(county, "M. Oak")
    for content in (SOUND, SOUND.replace(b"1.6", b"1.7")):
        desk.take([("sheet.csv", content)], [])
        desk.land.click()
    form = desk.history
    form.fold.expanded = True
    assert form.tables.value.count("M. Oak") == 3
    assert [line for line, _ in form.files.options][:2] == ["sheet.csv, version 3", "sheet.csv, version 2"]
    assert form.file_as_it_came("as_it_came") == ("sheet.csv", SOUND.replace(b"1.6", b"1.7"))
    form.files.index = 1
    assert form.file_as_it_came("as_it_came")[1] == SOUND
    for version, value in ((2, "1.6"), (3, "1.7")):
        form.version.value = str(version)
        name, content = form.readings_then("as_it_stood")
        rows = list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))
        assert name == f"HM1_version_{version}.csv"
        assert [row["value"] for row in rows] == ["1.5", value]
    form.version.value = "9"
    with pytest.raises(ExplorerError, match="from 1 to 3"):
        form.readings_then("as_it_stood")


def test_demo_is_looked_at_and_takes_nothing(demo_record):
    desk = CheckInDesk(demo_record, "M. Oak")
    sheets = sorted((demo_folder() / "season_2025_sheets").glob("*.csv"))
    desk.take([(path.name, path.read_bytes()) for path in sheets], [])
    assert "nothing lands" in desk.landing.children[0].value
    rows = desk.checked.matches
    titles = [fold.widget.title for fold in (*desk.found.folds.values(), desk.found.tables["samples"])]
    counts = [sum(each.severity == name for each in desk.checked.problems) for name in desk.found.folds]
    assert [int(title.rpartition("(")[2][:-1]) for title in titles] == [*counts, len(rows)]


def test_readings_that_wait_have_their_columns_even_where_there_are_none(county):
    found = held_of(county)
    assert found.dtypes.astype(str).to_dict().keys() == WAITING.keys()
    assert found.empty


def test_pieces_of_files_are_put_together_in_their_order():
    came = []
    drop = FileDrop(lambda files, left_out: came.append((files, left_out)))
    about = {"name": "a.csv", "kept": True, "last": False}
    drop._arrived(drop, {**about, "end": False}, [b"one,"])
    drop._arrived(drop, {**about, "end": True}, [memoryview(b"two")])
    drop._arrived(drop, {"name": "huge.csv", "kept": False, "end": True, "last": False}, [])
    assert came == []
    drop._arrived(drop, {"name": "b.csv", "kept": True, "end": True, "last": True}, [b""])
    assert came == [([("a.csv", b"one,two"), ("b.csv", b"")], ["huge.csv"])]
