"""Where a reading comes from: its cell, its batch with blanks and duplicates, and its past after marks."""

import hashlib
import shutil
from pathlib import Path

import pytest

from explorer import demo_folder, open_record
from explorer.model.errors import RecordError, UnknownNameError
from explorer.model.origins import MARKS
from explorer.records.marks import mark_reading
from explorer.records.past import changes_of
from explorer.records.provenance import reading_origin, visit_remarks


@pytest.fixture(scope="module")
def demo():
    return open_record(demo_folder())


@pytest.fixture
def record(demo, tmp_path):
    """The demo as a record in one file, which takes changes."""
    return open_record(shutil.copy(demo.path, tmp_path / "lakes.gpkg"))


def one(record, where: str) -> int:
    return int(
        record.fetch_rows(f"SELECT reading_id FROM readings WHERE left_in IS NULL AND {where} LIMIT 1")[0][0]
    )


def latest_phosphorus(record) -> int:
    readings = record.history("FER1").readings
    kept = readings[
        (readings["quantity"] == "total_phosphorus") & (readings["status"] == "preliminary")
        & (readings["sample_type"] == "routine")
    ]  # fmt: skip
    return int(kept["reading_id"].iloc[-1])


def test_origin_is_the_cell_of_the_file(record):
    origin = reading_origin(record, latest_phosphorus(record))
    path = demo_folder() / origin.source.file_name
    line = path.read_text(encoding="utf-8").splitlines()[origin.source.row - 1].split(",")
    heading = path.read_text(encoding="utf-8").splitlines()[0].split(",")
    cell = dict(zip(heading, line, strict=True))
    assert cell[origin.source.column] == origin.as_written
    assert cell["sample_code"] == origin.sample_code
    assert (cell["batch"], cell["observer"], cell["method"]) == (origin.batch, origin.observer, origin.method)
    assert cell["analysed_on"] == origin.analysed_on
    assert hashlib.sha256(path.read_bytes()).hexdigest() == origin.source.sha256


def test_batch_brings_its_blank_and_the_pair_of_its_duplicate(record):
    number = one(
        record,
        "sample_type = 'routine' AND sample_code IN (SELECT parent_sample FROM readings "
        "WHERE parent_sample <> '')",
    )
    origin = reading_origin(record, number)
    kinds = [each.sample_type for each in origin.companions]
    assert set(kinds) == {"field blank", "field duplicate"}
    own = origin.companions[0]  # that of this sample comes first
    assert own.parent_sample == origin.sample_code
    assert (own.parent_value, own.parent_sign) == (origin.value, origin.sign)
    assert origin.batch_size > len(origin.companions)


def test_reading_without_a_batch_has_no_companions(record):
    origin = reading_origin(record, one(record, "batch_id IN (SELECT batch_id FROM batches WHERE code = '')"))
    assert (origin.batch, origin.batch_size, origin.companions) == ("", 0, ())


def test_unknown_reading_is_refused(record):
    with pytest.raises(RecordError, match="no reading number 99999999"):
        reading_origin(record, 99_999_999)


def test_remarks_are_those_of_the_sheets(record):
    remarks = visit_remarks(record, "FER1")
    assert any("ND without a limit" in remark for remark in remarks.values())
    assert visit_remarks(record, "nowhere") == {}


@pytest.mark.parametrize(
    ("decided", "status", "reason"),
    [
        ("accept", "accepted with a remark", "Seen twice"),
        ("ask_the_laboratory", "held", "ask_the_laboratory"),
        ("measure_again", "held", "measure_again"),
        ("hold", "held", "Seen twice"),
    ],
)
def test_mark_is_one_change_with_who_when_and_why(record, decided, status, reason):
    before = reading_origin(record, latest_phosphorus(record))
    version = mark_reading(record, before.reading_id, decided, who="Ada", remark="Seen twice")
    after = reading_origin(record, before.reading_id)
    assert version == record.version() == before.states[-1].change.change_id + 1
    assert (after.status, after.reason) == (status, reason)
    assert after.reading_id != before.reading_id
    assert [state.status for state in after.states] == ["preliminary", status]
    assert after.states[0].left_in == version
    change = changes_of(record)[-1]
    assert (change.kind, change.who, change.why) == ("mark", "Ada", "Seen twice")
    kept = ("value", "sign", "as_written", "source", "sample_code", "batch", "observer", "remark", "method")
    assert all(getattr(after, name) == getattr(before, name) for name in kept)


def test_every_mark_is_known(record):
    assert set(MARKS) == {"accept", "ask_the_laboratory", "measure_again", "hold"}
    with pytest.raises(UnknownNameError, match='Did you mean "hold"'):
        mark_reading(record, latest_phosphorus(record), "holt", who="Ada", remark="x")


def test_mark_of_a_reading_that_somebody_changed_meanwhile_is_refused(record):
    number = latest_phosphorus(record)
    mark_reading(record, number, "hold", who="Ada", remark="first")
    with pytest.raises(RecordError):
        mark_reading(record, number, "accept", who="Bea", remark="second")
    assert [change.who for change in changes_of(record)] == ["", "Ada"]


def test_reading_without_a_value_cannot_be_accepted(record):
    with pytest.raises(RecordError, match="has no value"):
        mark_reading(record, one(record, "reason = 'limit_missing'"), "accept", who="Ada", remark="fine")
    assert record.version() == 1


@pytest.mark.parametrize(("who", "remark"), [("", "why"), ("Ada", " ")])
def test_mark_without_name_or_remark_is_refused(record, who, remark):
    with pytest.raises(RecordError, match="says who, and why"):
        mark_reading(record, latest_phosphorus(record), "hold", who=who, remark=remark)
    assert record.version() == 1


def test_demo_takes_no_marks(demo):
    before = Path(demo.path).read_bytes()
    with pytest.raises(RecordError):
        mark_reading(demo, latest_phosphorus(demo), "hold", who="Ada", remark="why")
    assert Path(demo.path).read_bytes() == before
