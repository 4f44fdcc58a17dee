"""Records of older formats: opened as they are, brought up to date when written to, with a copy before it."""

import gzip
from pathlib import Path

import geopandas
import pytest

from explorer.intake.refresh import current_summaries
from explorer.records import schema
from explorer.records.copies import dated_copies
from explorer.records.corrections import mark
from explorer.records.opening import open_record
from explorer.records.past import reading_history, readings_at

OLD = sorted((Path(__file__).parent / "old_formats").glob("*.gz"))


@pytest.fixture(params=OLD, ids=lambda each: each.name)
def path(request, tmp_path) -> Path:
    made = tmp_path / "lakes.gpkg"
    made.write_bytes(gzip.decompress(request.param.read_bytes()))
    return made


def test_there_is_a_file_of_every_older_format():
    assert [each.name for each in OLD] == [f"format_{n}.gpkg.gz" for n in range(1, schema.FORMAT)]


def test_old_record_opens_without_being_changed(path):
    before = path.read_bytes()
    record = open_record(path)
    assert len(record.history("HM1").readings) == 20
    assert len(current_summaries(record).seasons) == 8
    record.close()
    assert path.read_bytes() == before
    assert dated_copies(path) == ()


def test_writing_brings_it_up_to_date_and_keeps_all_that_it_held(path):
    old = open_record(path)
    before, seasons = old.history("HM1").readings, current_summaries(old).seasons
    old.close()
    assert mark(path, 2, "rejected", who="A. Elm", why="The bottle broke") == 3
    record = open_record(path)
    assert record.fetch_rows("SELECT format FROM record_info") == [(schema.FORMAT,)]
    assert readings_at(record, 2, "HM1").equals(before)
    assert [state.status for state in reading_history(record, 2)] == ["accepted", "rejected"]
    assert len(current_summaries(record).seasons) == len(seasons)
    assert record.fetch_rows("PRAGMA integrity_check") == [("ok",)]
    assert record.fetch_rows("PRAGMA foreign_key_check") == []
    (copy,) = dated_copies(path)
    assert open_record(copy.path).fetch_rows("SELECT format, version FROM record_info") == [(1, 2)]


def test_record_brought_up_to_date_has_the_tables_of_a_new_one(path, tmp_path):
    from explorer.model.quantities import QUANTITIES
    from explorer.records.ledger import create_record

    mark(path, 2, "rejected", who="A. Elm", why="The bottle broke")
    create_record(tmp_path / "new.gpkg", "", QUANTITIES.values())

    def tables(record: Path) -> set[tuple[str, ...]]:
        rows = open_record(record).fetch_rows("SELECT type, name, sql FROM sqlite_schema WHERE sql <> ''")
        named = open_record(record).fetch_rows("SELECT 'contents', table_name, data_type FROM gpkg_contents")
        return {(kind, name, " ".join(text.split())) for kind, name, text in (*rows, *named)}

    assert tables(path) == tables(tmp_path / "new.gpkg")
    assert len(geopandas.read_file(path, layer="current_readings")) == 21
