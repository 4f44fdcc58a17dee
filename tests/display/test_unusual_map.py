"""The map by unusual readings: what to do about the latest one of the period, with its ring and its words."""

from dataclasses import replace

import numpy as np

from explorer.display.choice import Choice
from explorer.display.map_groups import MAP_SHOWS
from explorer.display.unusual_map import unusual_groups
from explorer.display.unusual_page import GROUPS
from explorer.model.calendar import Period
from explorer.model.departure_rows import departure_rows
from explorer.model.evidence import NEXT_STEPS, Departure, Evidence
from explorer.model.programme import Programme

NAN = float("nan")
CHOICE = Choice("", Period(2024, 2024), map_shows="unusual")
CLARITY = Departure(
    reading_id=1, station_code="A", quantity="secchi_depth", taken_on="2024-07-15", value=6.6, sign="=",
    status="accepted", stratum="surface", tail_probability=0.003, others=30, years=12, expected=2.0, low=1.5,
    high=2.7, direction="higher", by="month", companion="", beside=NAN, scope="station",
    evidence=(Evidence("unexplained", "cannot_tell"),), next_step="look_at_the_sheet",
)  # fmt: skip


def groups_of(*told, codes=("A", "B"), choice=CHOICE):
    return unusual_groups(departure_rows(told), codes, choice, Programme())


def test_map_offers_it():
    assert "unusual" in MAP_SHOWS


def test_latest_of_the_period_speaks_for_its_station():
    told = [
        CLARITY,
        replace(CLARITY, reading_id=2, taken_on="2024-08-20", next_step="accept", direction="lower"),
        replace(CLARITY, reading_id=3, taken_on="2025-06-01", next_step="measure_again"),
    ]
    groups = groups_of(*told)
    assert groups.indexes == (GROUPS.index("accept"), -1)
    assert groups.labels[0].replace("\N{NO-BREAK SPACE}", " ") == (
        "20 August 2024: Clarity 6.6 m, lower, this station alone"
    )
    assert (groups.labels[1], groups.rest, groups.marks) == ("nothing unusual",) * 2 + (
        ("Accept as it is", "–"),
    )
    assert groups.caption == "What to do about the latest unusual reading in 2024"


def test_steps_questions_and_decisions_have_colour_ring_and_words_of_their_own():
    told = [
        replace(CLARITY, reading_id=n, station_code=step, next_step=step) for n, step in enumerate(NEXT_STEPS)
    ]
    told += [replace(CLARITY, reading_id=8, station_code="H", status="held")]
    told += [replace(CLARITY, reading_id=9, station_code="D", status="accepted with a remark")]
    groups = groups_of(*told, codes=(*NEXT_STEPS, "H", "D"))
    assert groups.indexes == tuple(range(6))
    assert len({*groups.colours}) == len({*groups.patterns}) == len({*groups.names}) == 6


def test_no_unusual_reading_at_all_leaves_every_station_out():
    assert groups_of().indexes == (-1, -1)


def test_thousand_stations_stand_in_their_own_order():
    codes = [f"S{n:04d}" for n in range(1000)]
    told = [replace(CLARITY, reading_id=n, station_code=codes[n]) for n in range(0, 1000, 3)]
    found = np.array(groups_of(*told[::-1], codes=codes).indexes)
    assert np.flatnonzero(found >= 0).tolist() == list(range(0, 1000, 3))
