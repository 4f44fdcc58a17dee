import ast
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer import demo_folder, open_record, season_table
from explorer.analysis.class_schemes import schemes
from explorer.analysis.classes import class_result
from explorer.display.choice import Choice
from explorer.display.figures import draw_station_page
from explorer.display.readings_table import seen_readings
from explorer.display.record_facts import RecordFacts
from explorer.display.script import script_of
from explorer.display.station_page import StationPage, build_station_page
from explorer.intake.refresh import current_summaries
from explorer.model.calendar import Period

CHOICES = (
    Choice("FER1", Period(2012, 2016), picked=True, length_unit="ft", log=False),
    Choice("SED1", Period(2025, 2025), scheme="oecd_1982_fixed"),
    Choice("DUN5", Period(2025, 2025)),
)


@pytest.fixture(scope="module")
def record():
    opened = open_record(demo_folder())
    yield opened
    opened.close()


@pytest.mark.parametrize("choice", CHOICES, ids=lambda choice: choice.station)
def test_script_gives_the_figures_of_the_page(record, choice, capsys):
    summaries = current_summaries(record)
    table = summaries.seasons
    trends = {code: each for (station, code), each in summaries.trends.items() if station == choice.station}
    seasons = table[table["station_code"] == choice.station]
    history, scheme = record.history(choice.station), schemes()[choice.scheme]
    result = class_result(history, seasons, choice.period, scheme, record.programme)
    page = build_station_page(history, seasons, result, choice, scheme, record.programme, trends=trends)
    facts = RecordFacts(record.title, record.path, record.version(), record.settings_hash)

    left = {}
    exec(script_of(page, choice, facts), left)

    assert left["result"] == result
    assert left["page"].sentences == page.sentences
    assert left["page"].change == page.change
    assert left["page"].strip == page.strip
    for again, panel in zip(left["page"].panels, page.panels, strict=True):
        assert again.value == panel.value
        assert again.axis == panel.axis
        assert np.array_equal(again.measured.places, panel.measured.places)
    assert left["readings"].equals(seen_readings(page, choice))
    assert left["seasons"].reset_index(drop=True).equals(seasons.reset_index(drop=True))
    assert left["picture"] == draw_station_page(page, choice, form="png")
    printed = capsys.readouterr().out
    assert all(sentence in printed for sentence in page.sentences)
    assert all(panel.value in printed for panel in page.panels)
    assert "has changed" not in printed


def test_script_says_when_the_record_has_changed_since(record, capsys):
    choice = CHOICES[-1]
    history, scheme = record.history(choice.station), schemes()[choice.scheme]
    seasons = season_table(history.readings, record.programme)
    result = class_result(history, seasons, choice.period, scheme, record.programme)
    page = build_station_page(history, seasons, result, choice, scheme, record.programme)
    exec(script_of(page, choice, RecordFacts("demo", record.path, record.version() + 4, "")), {})
    assert f"since version {record.version() + 4}" in capsys.readouterr().out


@given(st.text(), st.text(), st.text(min_size=1))
def test_script_holds_names_as_text_whatever_they_are(heading, code, path):
    choice = Choice(code, Period(2024, 2024))
    page = StationPage(code, heading, (), (), (), None, 2019, 2024, (), "")
    facts = RecordFacts("x", Path(path.replace("\0", "")), 1, "")
    tree = ast.parse(script_of(page, choice, facts))
    plain = StationPage("A", "B", (), (), (), None, 2019, 2024, (), "")
    usual = ast.parse(script_of(plain, Choice("A", Period(2024, 2024)), RecordFacts("x", Path("C"), 1, "")))

    class Blank(ast.NodeTransformer):
        def visit_Constant(self, node):
            return ast.Constant("") if isinstance(node.value, str) else node

    assert ast.dump(Blank().visit(tree)) == ast.dump(Blank().visit(usual))
    texts = [
        node.value
        for node in ast.walk(ast.parse(script_of(page, choice, facts)))
        if isinstance(node, ast.Constant)
    ]
    assert code in texts
    assert str(facts.path) in texts
