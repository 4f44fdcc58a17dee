from io import BytesIO
from pathlib import Path

import pandas as pd
import pytest

from explorer.analysis.class_schemes import schemes
from explorer.analysis.classes import class_result
from explorer.analysis.season_table import season_table
from explorer.display.choice import Choice
from explorer.display.downloads import KINDS, download
from explorer.display.readings_table import readings_html
from explorer.display.record_facts import RecordFacts
from explorer.display.station_page import build_station_page
from explorer.model.calendar import Period
from explorer.model.errors import ExplorerError
from explorer.widgets.keep_bar import KeepBar
from explorer.widgets.readings_view import ReadingsView


@pytest.fixture
def sent(monkeypatch):
    """What a bar sends to the browser: messages with their bytes."""
    messages = []
    monkeypatch.setattr(KeepBar, "send", lambda _, content, buffers=None: messages.append((content, buffers)))
    return messages


@pytest.fixture
def seen(demo_record):
    def build(code):
        choice = Choice(code, Period(2025, 2025))
        history, scheme = demo_record.history(code), schemes()[choice.scheme]
        seasons = season_table(history.readings, demo_record.programme)
        result = class_result(history, seasons, choice.period, scheme, demo_record.programme)
        return build_station_page(history, seasons, result, choice, scheme, demo_record.programme), choice

    return build


def ask(bar, kind):
    bar._handle_custom_msg({"view": "v1", "kind": kind}, [])


@pytest.mark.parametrize("kind", KINDS)
def test_asked_bar_sends_the_file_to_the_view_that_asked(sent, kind):
    ask(KeepBar(lambda wanted: (f"pond.{wanted}", wanted.encode())), kind)
    assert sent == [({"view": "v1", "kind": kind, "name": f"pond.{kind}"}, [kind.encode()])]


def test_bar_sends_what_the_page_is_kept_as(sent, seen, demo_record):
    page, choice = seen("FER1")
    facts = RecordFacts(demo_record.title, demo_record.path, 1, demo_record.settings_hash)
    ask(KeepBar(lambda kind: download(kind, page, choice, facts)), "csv")
    (answer, (content,)) = sent[0]
    assert answer["name"] == "ferrow_tarn_north_basin_2025.csv"
    assert len(pd.read_csv(BytesIO(content))) == sum(len(panel.readings) for panel in page.panels)


def test_every_button_has_its_words():
    bar = KeepBar(lambda kind: (kind, b""))
    assert bar.kinds == list(KINDS)
    assert [bar.words[kind] for kind in KINDS] == [
        "Picture (PNG)", "Drawing (SVG)", "Numbers (CSV)", "Copy as Python",
    ]  # fmt: skip
    assert bar.words["saved"] == "Saved as {name}"
    assert bar.about == ""


def test_what_the_reader_can_put_right_is_said_at_the_buttons(sent):
    def make(kind):
        raise ExplorerError("lakes.gpkg can no longer be read. Open it again.")

    ask(KeepBar(make), "csv")
    assert sent == [
        ({"view": "v1", "kind": "csv", "failed": "lakes.gpkg can no longer be read. Open it again."}, None)
    ]


def test_unknown_kind_is_answered_and_nothing_is_sent(sent, seen):
    page, choice = seen("DUN5")
    bar = KeepBar(lambda kind: download(kind, page, choice, RecordFacts("x", Path("x"), 1, "")))
    ask(bar, "exe")
    assert sent[0][0]["failed"].startswith('No kind of file "exe"')
    assert sent[0][1] is None


def test_other_failures_are_answered_and_reach_the_log(sent):
    def make(kind):
        raise ZeroDivisionError("inside")

    with pytest.raises(ZeroDivisionError):
        KeepBar(make)._asked(None, {"view": "v1", "kind": "csv"}, [])
    assert "did not work" in sent[0][0]["failed"]
    assert "inside" not in sent[0][0]["failed"]


def test_tables_are_made_only_while_they_are_open(seen):
    shown = ["FER1"]
    view = ReadingsView(lambda: readings_html(*seen(shown[-1])))
    assert (view.ready, view.tables) == (False, "")
    view.refresh()
    assert (view.ready, view.tables) == (True, "")
    view.opened = True
    assert view.tables == readings_html(*seen("FER1"))
    shown.append("SAL1")
    view.refresh()
    assert view.tables == readings_html(*seen("SAL1"))
    view.opened = False
    assert view.tables == ""
