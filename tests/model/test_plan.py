"""Plan, quality limits and label sheets in a programme's settings: what is read, and every mistake named."""

import pytest

from explorer.model.errors import ProgrammeError
from explorer.model.label_stock import LABEL_SHEETS, PAGES_MM, LabelSheet
from explorer.model.plan import StationPlan
from explorer.model.programme import Programme
from explorer.model.programme_text import read_programme

MEASURES = """
[labels]
page = "letter"
columns = 2
rows = 5
width = "4 in"
height = "2 in"
left = "3.96 mm"
top = "12.7mm"
gap_across = "0.1875 in"
"""


def test_settings_without_a_plan_keep_what_is_usual() -> None:
    programme = read_programme('length_unit = "ft"')
    assert not programme.plan.is_written
    assert programme.quality == Programme().quality
    assert programme.label_sheet == LABEL_SHEETS["letter_30"]
    assert Programme().label_sheet == LABEL_SHEETS["a4_21"]


def test_stations_of_a_plan_take_over_what_holds_for_all() -> None:
    text = """
    season_months = [6, 7]
    [quantities.silica]
    name = "Silica"
    unit = "mg/L"
    [plan]
    quantities = ["silica"]
    blanks_a_month = 2
    [plan.stations]
    A1 = {}
    A2 = { months = [8, 8], visits_a_month = 2, quantities = ["ph"] }
    """
    plan = read_programme(text).plan
    assert plan.stations == {"A1": StationPlan((6, 7), 1, ("silica",)), "A2": StationPlan((8,), 2, ("ph",))}
    assert (plan.blanks_a_month, plan.duplicates_percent) == (2, 5.0)


def test_label_sheet_is_measured_in_inches_or_millimetres() -> None:
    sheet = read_programme(MEASURES).label_sheet
    assert sheet == LabelSheet(
        "letter", 2, 5, *(pytest.approx(each) for each in (101.6, 50.8, 3.96, 12.7, 4.7625)), 0
    )


@pytest.mark.parametrize("name", LABEL_SHEETS)
def test_known_label_sheets_fit_on_their_page(name: str) -> None:
    sheet = LABEL_SHEETS[name]
    width, height = PAGES_MM[sheet.page]
    across = 2 * sheet.left_mm + sheet.columns * sheet.width_mm + (sheet.columns - 1) * sheet.gap_across_mm
    down = 2 * sheet.top_mm + sheet.rows * sheet.height_mm + (sheet.rows - 1) * sheet.gap_down_mm
    assert (across, down) == (pytest.approx(width, abs=0.5), pytest.approx(height, abs=0.5))
    assert read_programme(f'[labels]\nsheet = "{name}"').label_sheet == sheet


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[plan]\nmoths = [5]", 'line 2, "moths": a plan has no such key. Did you mean "months"?'),
        ("[plan]\nmonths = [0]", "Write a list of months"),
        ("[plan]\nmonths = 5", "Write a list of months"),
        ('[plan]\nquantities = ["secchi_dept"]', 'Did you mean "secchi_depth"?'),
        ('[plan]\nquantities = "ph"', "Write a list of quantities"),
        ("[plan]\nvisits_a_month = 0", "a whole number from 1"),
        ("[plan]\nduplicates_percent = 101", "a number from 0 to 100"),
        ("[plan]\nblanks_a_month = true", "a whole number from 0"),
        ("[plan]\nstations = [1]", "write a table [plan.stations]"),
        ("[plan.stations]\nA1 = 3", "Write A1 = {}"),
        ("[plan.stations]\nA1 = {}", "it measures nothing"),
        ("[plan.stations]\nA1 = { month = [5] }", 'Did you mean "months"?'),
        ('[quality]\nbottle = "warm"', '"frozen", "cooled", "acidified and cooled"'),
        ('[quality]\nblank_limit = "mdl"', 'Write one of "reporting_limit", "detection_limit"'),
        ("[quality]\nduplicate_limit_percent = 0", "a number from 1 to 200"),
        ("[quality]\nduplicate_limit_percent = nan", "a number from 1 to 200"),
        ("[quality]\nholding_times = 3", "[[quality.holding_times]]"),
        ('[[quality.holding_times]]\nquantity = "ph"', "container, preservation, days, source is missing"),
        ('[[quality.extract_limits]]\nquantity = "chlorophyll_a"', "limit_ug_per_l, volume_filtered_ml"),
        ('[labels]\nsheet = "letter_31"', 'Did you mean "letter_30"?'),
        ('[labels]\nsheet = "letter_30"\nrows = 3', "not both"),
        (MEASURES.replace('"4 in"', '"4"'), "Write a measure with its unit"),
        (MEASURES.replace('"4 in"', '"5 in"'), "the page is 215.9 mm wide"),
        (MEASURES.replace("rows = 5", "rows = 6"), "the page is 279.4 mm high"),
        (MEASURES.replace('"2 in"', '"0.5 in"'), "too small for its text"),
        (MEASURES.replace("rows = 5", "rows = 5.0"), "a whole number from 1 to 50"),
    ],
)
def test_every_mistake_is_named(text: str, message: str) -> None:
    with pytest.raises(ProgrammeError) as raised:
        read_programme(text)
    assert message in str(raised.value)
