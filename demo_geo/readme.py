"""The folder's README, made from the tables, so that it says what the generator does."""

from textwrap import fill

from season_sheets import SLIPS
from stories import MARKS, STORIES, Story
from waters import PLACES, WATERS

HEAD = """# The demo record

An invented lake district, with an invented programme, invented laboratories and invented numbers. It lies in
the open ocean around 45 N, 30 W, where no land is. Nothing here was measured; it is for trying the explorer
and for finding what was planted, never for proving a formula.

    python demo_geo/make_demo.py            makes every file of this folder again, byte for byte the same
    python demo_geo/make_demo.py elsewhere  the same into another folder

## What is where

* `programme.toml`: the programme's settings.
* `question_cards.toml`: what is asked at a lake's meeting, and what this programme answers.
* `lakes.geojson`, `stations.geojson`: waters and stations (WGS 84).
* `readings/`: one long CSV a water, one row a reading, each value as it was written: `<6` below what the
  laboratory can measure, `>2.4` disk on the bottom. Columns that a file does not need are left out.
* `season_2025_sheets/`: the season of 2025 of four waters once more, as it came in: two data sheets, a
  freezer log, two laboratory files, a probe's casts. They are to be checked in, not to be read as readings.
* `*.py`: the generator. `waters.py` has all that differs between waters, `stories.py` what was planted;
  `lake_model.py` is the water, `visits.py` who goes when, `sheet_rows.py` what is written down.

Phosphorus makes algae and algae take away light, by Carlson's relations of 1977; nitrogen makes the algae of
the one pond that it limits (Kratzer & Brezonik 1981). Seasons, wet and warm years of the whole district, the
spread between visits and what colour and turbidity take from the light are invented. Field duplicates and
field blanks: one each a delivery. Observers are codes.
"""

EDGES = """## Edges that a screen must show and explain

* A station without any readings: DUN5. One with only two visits: TES4 (2019). One new in 2025: ASK4.
* Stations that started late or were given up: FER4, DUN4 (late), VEL6 (2009 to 2017), COL3 (to 2021).
* Waters that came later: Sallow Pond in 2008, Tarrick Pond in 2009. A season without visits: Colvane Lake
  2012. Seasons with too few visits or months: Askerel Lake 2010, Umberlow 2017. Nobody went out in May 2020.
* Hollin Mere, Vellory Lake and Tesserin Lake are visited all year, so schemes made for whole-year means can
  class them; the others from May to September or April to October.
* Sedgel Beck is a stream: a transparency tube instead of a disk, and no lake scheme.
* Colvane Lake and Dunmarrow Reservoir are read in feet, the others in metres.
* Probe profiles of temperature and oxygen at HOL1, VEL1, FER1, TES1 and DUN3, May to September of 2007, 2012,
  2017 and 2022; phosphorus near the bottom there in June and August of every year.
* September to December 2025 is still preliminary.
"""

SHEETS = """## Slips in `season_2025_sheets/`

The record's own readings of 2025 are what these files say once they are read rightly; the probe's casts at
FER1, with the check in moist air before and after each, stand in no other place. Sheets differ in
headings, separators, units and the order of a date; the laboratory writes the limit as the result and a U
where nothing was found. The ferrow sheet has a title above its headings, one row typed twice and an average
below; the ponds sheet gives sample codes without the container's number; the freezer log has one container
that no sheet knows. Besides:
"""


def readme_text() -> str:
    """Return the README of the demo folder."""
    parts = [HEAD, _waters_table(), "## Planted stories\n", *map(_story_text, STORIES)]
    return "\n".join([*parts, EDGES, _marks_table(), SHEETS, _slips_table()])


def _waters_table() -> str:
    lines = ["## Waters\n", "| code | water | kind | stations | visited |", "|---|---|---|---|---|"]
    for water in WATERS:
        codes = [place.code for place in PLACES if place.lake_code == water.code]
        span = codes[0] if len(codes) == 1 else f"{codes[0]} to {codes[-1]}"
        index = next(place.code for place in PLACES if place.lake_code == water.code and place.is_index)
        shown = span if len(codes) == 1 else f"{span}, index {index}"
        kind = " ".join(filter(None, (water.attributes, water.kind)))
        visited = {5: "May to September", 7: "April to October", 12: "all year"}[len(water.months)]
        lines.append(f"| {water.code} | {water.name} | {kind} | {shown} | {visited} |")
    return "\n".join([*lines, ""])


def _story_text(story: Story) -> str:
    bullets = (f"* Planted: {story.effect}", f"* To be found: {story.finding}")
    folded = "\n".join(fill(bullet, 110, subsequent_indent="  ") for bullet in bullets)
    where = story.where[0].upper() + story.where[1:]
    return f"### {story.title}\n\n{where}; {story.when}.\n\n{folded}\n"


def _marks_table() -> str:
    lines = ["## Readings that wait for an answer, and others with a mark\n",
             "| station | month | quantity | status | remark |", "|---|---|---|---|---|"]  # fmt: skip
    for mark in MARKS:
        status, remark = mark.changes["status"], mark.changes["remark"]
        quantity = mark.quantity.replace("_", " ")
        lines.append(f"| {mark.station} | {mark.month} | {quantity} | {status} | {remark} |")
    return "\n".join([*lines, ""])


def _slips_table() -> str:
    lines = ["| file | station, month | column | written | right | |", "|---|---|---|---|---|---|"]
    for slip in SLIPS:
        written, right = (f"`{text}`" if text else "(nothing)" for text in (slip.written, slip.right))
        where = f"{slip.file} | {slip.station}, {slip.month} | {slip.column}"
        lines.append(f"| {where} | {written} | {right} | {slip.remark} |")
    return "\n".join([*lines, ""])
