import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.display import downloads
from explorer.display.choice import Choice
from explorer.display.downloads import KINDS, download, file_name
from explorer.display.record_facts import RecordFacts
from explorer.display.station_page import StationPage
from explorer.model.calendar import Period
from explorer.model.errors import UnknownNameError

CHOICE = Choice("A1", Period(2020, 2024), picked=True)
FACTS = RecordFacts("lakes", Path("lakes.gpkg"), 3, "abc")
PAGE = StationPage("A1", "Łąka Tarn; déep/hole", (), (), (), None, 2019, 2024, (), "")
LONGEST_NAME_BYTES = 255  # of the usual file systems (common practice)


@given(st.text(), st.text())
def test_file_name_is_one_that_every_file_system_takes(heading, code):
    name = file_name(heading, code, CHOICE, "csv")
    assert re.fullmatch(r"[^\W_][\w]*_2020_2024\.csv", name)
    assert name == name.casefold() or name.lower() == name
    assert len(name.encode()) <= LONGEST_NAME_BYTES


@pytest.mark.parametrize(
    ("heading", "code", "name"),
    [
        ("Ferrow Tarn, north basin", "FER1", "ferrow_tarn_north_basin_2025.png"),
        ("../../etc/passwd", "X", "etc_passwd_2025.png"),
        ("Großer Teich\x00é", "X", "grosser_teich_e_2025.png"),
        ("湖", "X", "湖_2025.png"),
        ("***", "B-7", "b_7_2025.png"),
        ("***", "?", "station_2025.png"),
    ],
)
def test_file_name_of_odd_names(heading, code, name):
    assert file_name(heading, code, Choice(code, Period(2025, 2025)), "png") == name


def test_each_kind_is_made_by_its_maker(monkeypatch):
    monkeypatch.setattr(downloads, "readings_csv", lambda *_: b"numbers")
    monkeypatch.setattr(downloads, "script_of", lambda *_: "python")
    monkeypatch.setattr(
        "explorer.display.figures.draw_station_page", lambda *_, form, source: f"{form} {source}".encode()
    )
    made = {kind: download(kind, PAGE, CHOICE, FACTS) for kind in KINDS}
    assert {kind: name.rpartition(".")[2] for kind, (name, _) in made.items()} == {
        "png": "png", "svg": "svg", "csv": "csv", "python": "py",
    }  # fmt: skip
    assert made["csv"][1] == b"numbers"
    assert made["python"][1] == b"python"
    for kind in ("png", "svg"):
        assert made[kind][1].decode() == f"{kind} {FACTS.line()}"


def test_unknown_kind_is_said_with_the_known_ones():
    with pytest.raises(UnknownNameError, match=r'No kind of file "gif" among the downloads\.'):
        download("gif", PAGE, CHOICE, FACTS)
