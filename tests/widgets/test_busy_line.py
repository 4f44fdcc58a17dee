"""Asking for the unusual readings of a large record says how far it has come, and is silent afterwards."""

import large_record
import pytest

from explorer.analysis.departure_kept import SCORE_FORMULAS
from explorer.analysis.evidence import DEPARTURE_FORMULAS
from explorer.records.opening import open_record
from explorer.records.stored_rows import STORED_DEPARTURES, STORED_SCORES
from explorer.widgets import StationExplorer, opening_bar
from explorer.widgets import busy_line as module


@pytest.fixture
def said(monkeypatch):
    """What the line has said."""
    sentences = []
    tell = module.BusyLine._tell

    def noted(self, done, count):
        tell(self, done, count)
        sentences.append(self.value)

    monkeypatch.setattr(module.BusyLine, "_tell", noted)
    return sentences


@pytest.mark.parametrize(("shown_from", "count"), [(40, 3), (41, 0)], ids=["many stations", "few stations"])
def test_fold_of_unusual_readings_tells_how_far_it_has_come(tmp_path, monkeypatch, said, shown_from, count):
    monkeypatch.setattr(module, "SHOWN_FROM", shown_from)
    path = large_record.make_large_record(tmp_path / "large.gpkg", stations=40, seasons=8)
    explorer = StationExplorer(open_record(path))
    assert said == []
    explorer.folds.decisions.fold.expanded = True
    spoken = [each for each in said if each]
    assert len(spoken) >= count
    assert all("of 40 stations" in each for each in spoken[:2])
    assert bool(spoken) == bool(count)
    assert explorer.busy.value == ""
    assert explorer.busy in explorer.children


@pytest.mark.parametrize(("writer", "stale"), [("M. Oak", 0), ("", 3)])
def test_what_is_found_unusual_is_kept_only_where_marks_are_written(tmp_path, writer, stale):
    path = large_record.make_large_record(tmp_path / "new.gpkg", stations=3, seasons=8)
    explorer = StationExplorer(open_record(path), writer)
    explorer.folds.decisions.fold.expanded = True
    assert len(explorer.pages.departures)
    for stored, formulas in ((STORED_SCORES, SCORE_FORMULAS), (STORED_DEPARTURES, DEPARTURE_FORMULAS)):
        assert len(stored.stale(explorer.record, formulas)) == stale


def test_line_goes_when_looking_fails():
    line = module.BusyLine("message.looking", "en")

    def fail():
        with line.shown() as progress:
            progress(64, opening_bar.SHOWN_FROM)
            assert "64 of 200 stations" in line.value
            raise OSError

    with pytest.raises(OSError):
        fail()
    assert line.value == ""
