"""Corrections and marks: a new row each, with who and why; the old one stays, past states can be seen."""

import math
from datetime import date
from pathlib import Path

import pytest

from explorer.intake.refresh import refresh
from explorer.model.errors import ExplorerError, RecordError
from explorer.records.corrections import CORRECTABLE, correct, mark
from explorer.records.opening import open_record
from explorer.records.past import changes_of, file_content, reading_history, readings_at
from explorer.records.record import Record

SAYS = {"who": "M. Oak", "why": "The volunteer meant feet"}


@pytest.fixture
def record(listed, tmp_path) -> Record:
    built = open_record(
        listed(
            "HM1,2024-05-01,Secchi depth,1.5,m",
            "HM1,2024-06-01,Secchi depth,4.9,m",
            "HM1,2024-07-01,TP,ND,ug/L",
            "HM2,2024-05-01,TP,12,ug/L",
        )
    )
    path = tmp_path / "lakes.gpkg"
    path.write_bytes(built.path.read_bytes())
    return open_record(path)


def reading(record: Record, text: str) -> int:
    return int(record.fetch_rows("SELECT reading_id FROM readings WHERE as_written = ?", (text,))[0][0])


def test_corrected_value_stands_in_a_new_row_and_the_old_one_is_kept(record):
    number = reading(record, "4.9")
    version = correct(record, number, {"value": 1.49}, **SAYS)
    assert version == record.version() == 2
    now = record.history("HM1").readings.query("as_written == '4.9'")
    assert now[["value", "status"]].to_numpy().tolist() == [[1.49, "accepted with a remark"]]
    first, second = reading_history(record, number)
    assert (first.value, first.left_in, first.change.kind) == (4.9, 2, "import")
    assert (second.value, second.left_in, second.reason) == (1.49, None, SAYS["why"])
    assert (second.change.who, second.change.why, second.change.kind) == (*SAYS.values(), "correction")
    assert second.source == first.source
    assert reading_history(record, second.reading_id) == (first, second)


def test_past_state_is_what_was_there_before(record):
    before = record.history("HM1").readings
    correct(record, reading(record, "4.9"), {"value": 1.49}, **SAYS)
    mark(record, reading(record, "1.5"), "rejected", **SAYS)
    assert readings_at(record, 1, "HM1").equals(before)
    assert readings_at(record, 3, "HM1").equals(record.history("HM1").readings)
    assert len(readings_at(record, 0, "HM1")) == 0
    assert [change.change_id for change in changes_of(record)] == [1, 2, 3]


def test_reading_leads_to_the_bytes_of_its_file(record):
    source = reading_history(record, reading(record, "4.9"))[0].source
    line = file_content(record, source.sha256).decode().splitlines()[source.row - 1]
    assert line == "HM1,2024-06-01,Secchi depth,4.9,m"
    with pytest.raises(RecordError, match="holds no file"):
        file_content(record, "0" * 64)


def test_mark_of_several_readings_is_one_change(record):
    numbers = [reading(record, "1.5"), reading(record, "12")]
    assert mark(record, numbers, "held", **SAYS) == 2
    rows = record.fetch_rows("SELECT status, reason, replaces FROM readings WHERE entered_in = 2")
    assert rows == [("held", SAYS["why"], number) for number in numbers]


def test_reading_without_a_value_cannot_be_accepted_but_corrected(record):
    held = reading(record, "ND")
    with pytest.raises(RecordError, match=r'Reading \d+ \("ND", readings.csv, row 4\) has no value'):
        mark(record, held, "accepted", **SAYS)
    assert record.version() == 1
    correct(record, held, {"value": 2.0, "sign": "<", "detection_limit": "2"}, **SAYS)
    row = record.history("HM1").readings.query("as_written == 'ND'").iloc[0]
    assert (row["value"], row["sign"], row["detection_limit"]) == (2.0, "<", 2.0)


def test_another_station_or_day_makes_another_visit(record):
    number = reading(record, "4.9")
    correct(record, number, {"station_code": "HM2", "taken_on": date(2024, 5, 1)}, **SAYS)
    moved = record.history("HM2").readings
    assert moved["taken_on"].dt.strftime("%F").tolist() == ["2024-05-01"] * 2
    assert moved["visit_id"].nunique() == 1
    assert len(record.history("HM1").readings) == 2


def test_summaries_of_both_stations_are_forgotten(record):
    assert refresh(record) == 2
    correct(record, reading(record, "4.9"), {"station_code": "HM2"}, **SAYS)
    assert refresh(record) == 2


def test_second_correction_of_the_same_state_is_told_who_was_first(record):
    number = reading(record, "4.9")
    correct(record, number, {"value": 1.49}, **SAYS)
    with pytest.raises(RecordError, match=rf"M. Oak changed reading {number} on .* \(The volunteer meant"):
        correct(record, number, {"value": 1.5}, who="A. Elm", why="Typed wrongly")
    with pytest.raises(RecordError, match="no reading number 4711"):
        mark(record, 4711, "rejected", **SAYS)
    assert record.version() == 2


@pytest.mark.parametrize(
    ("new", "said"),
    [
        ({"valu": 1.0}, 'No column "valu" .* Did you mean "value"'),
        ({"value": "many"}, "'many' is not a number"),
        ({"value": math.inf}, "inf is not a number"),
        ({"value": None}, "has no value"),
        ({"taken_on": "yesterday"}, '"yesterday" is not a date'),
        ({"taken_on": ""}, "has no date"),
        ({"status": "fine"}, 'No status "fine"'),
        ({"sign": "~"}, 'No sign "~"'),
        ({"station_code": "HM3"}, 'No station "HM3" .* Did you mean "HM2"'),
        ({"as_written": "1.49"}, 'No column "as_written"'),
    ],
)
def test_correction_that_cannot_be_changes_nothing(record, new, said):
    with pytest.raises(ExplorerError, match=said):
        correct(record, reading(record, "4.9"), new, **SAYS)
    assert record.version() == 1
    assert record.fetch_rows("SELECT count(*) FROM readings") == [(4,)]


@pytest.mark.parametrize("says", [{"who": " ", "why": "x"}, {"who": "x", "why": "\x00\n"}])
def test_change_without_a_name_or_a_reason_is_refused(record, says):
    with pytest.raises(RecordError, match="says who, and why"):
        mark(record, reading(record, "4.9"), "rejected", **says)


def test_hostile_reason_stays_text(record):
    why = "'); DROP TABLE readings; -- <script>alert(1)</script> =1+1"
    mark(record, reading(record, "4.9"), "accepted with a remark", who="M. Oak", why=why)
    assert reading_history(record, reading(record, "4.9"))[-1].reason == why


def test_record_read_from_a_folder_is_not_changed(listed):
    folder = open_record(listed("HM1,2024-05-01,TP,12,ug/L"))
    with pytest.raises(RecordError, match=r"a change would be lost.* station-explorer new-record"):
        mark(folder, 1, "rejected", **SAYS)
    assert folder.version() == 1


def test_every_column_that_can_be_corrected_is_one_of_an_entry(record: Record, tmp_path: Path):
    number = reading(record, "4.9")
    for name in CORRECTABLE:
        row = record.fetch_rows(
            "SELECT reading_id FROM readings WHERE left_in IS NULL AND as_written = '4.9'"
        )
        values = {"station_code": "HM2", "quantity": "turbidity", "taken_on": "2024-06-02", "sign": ">",
                  "stratum": "bottom", "status": "held", "sample_type": "field blank", "estimated": True,
                  "analysed_on": "2024-07-01"}  # fmt: skip
        usual = "7" if name.endswith(("_m", "_ml", "value", "limit")) else "text"
        correct(record, row[0][0], {name: values.get(name, usual)}, **SAYS)
    assert len(reading_history(record, number)) == 1 + len(CORRECTABLE)
