"""Unusual readings in words: grouped by what to do, in the reader's units, each number with what it means."""

import itertools
from dataclasses import replace

import numpy as np
import pytest

from explorer.display.choice import Choice
from explorer.display.unusual_page import build_decisions_page, build_unusual_page
from explorer.model.calendar import Period
from explorer.model.departure_rows import departure_rows
from explorer.model.evidence import NEXT_STEPS, Amount, Departure, Evidence
from explorer.model.programme import Programme

NAN = float("nan")
CHOICE = Choice("HM1", Period(2024, 2024))
FEET = (
    Evidence(
        "feet",
        "for",
        {"corrected": Amount(2.0, "secchi_depth"), "usual": Amount(2.1, "secchi_depth"), "count": 2},
        4.0,
    ),
    Evidence("lake", "cannot_tell", {"count": 0, "of": 1}, 0.0),
    Evidence("district", "against", {"count": 1, "of": 9}, -3.0),
)
CLARITY = Departure(
    reading_id=7, station_code="HM1", quantity="secchi_depth", taken_on="2024-07-15", value=6.6, sign="=",
    status="accepted", stratum="surface", tail_probability=0.0031, others=30, years=12, expected=2.0, low=1.5,
    high=2.7, direction="higher", by="month", companion="", beside=NAN, scope="station", evidence=FEET,
    next_step="look_at_the_sheet",
)  # fmt: skip


def page_of(*told, choice=CHOICE, reading_id=0):
    return build_unusual_page(departure_rows(told), choice, Programme(), reading_id)


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_entry_says_what_how_far_against_how_many_and_where_else():
    entry = page_of(CLARITY, reading_id=7).entry
    assert (
        plain(entry.title)
        == "Clarity 6.6 m on 15 July 2024: higher than usual for the month (1.5 m to 2.7 m)."
    )
    assert [plain(each) for each in entry.facts] == [
        "It is 3.3 times the 2.0 m that is usual then.",
        "Held against 30 months of 12 other years at this station.",
        "By chance alone, about one reading in 300 lies so far off.",
        "At that time it was so at this station alone.",
    ]
    assert entry.step == "Next: Look at the sheet."


def test_evidence_stands_by_what_it_says_with_its_numbers():
    told = dict(page_of(CLARITY, reading_id=7).entry.evidence)
    assert plain(told["What may be behind it"][0]).startswith(
        "Feet and metres may be mixed up: changed over it is 2.0 m, where 2.1 m is usual"
    )
    assert "visited within a few days: 1" in told["What the record does not decide"][0]
    assert "only 1 of 9 other waters" in told["What speaks against other explanations"][0]


def test_depths_stand_in_the_readers_unit():
    page = page_of(CLARITY, choice=replace(CHOICE, length_unit="ft"), reading_id=7)
    assert "21.7 ft" in plain(page.groups[0].entries[0][0])
    assert "(4.9 ft to 8.9 ft)" in plain(page.entry.title)
    assert "6.6 ft" in plain(page.entry.evidence[0][1][0])


def test_reading_beside_its_companion_names_it_and_claims_no_rarity():
    told = replace(CLARITY, by="beside", companion="chlorophyll_a", beside=3.0)
    entry = page_of(told, reading_id=7).entry
    assert "higher than the chlorophyll a of this visit lets expect (about 3.0 m)" in plain(entry.title)
    assert not any("By chance" in fact for fact in entry.facts)


def test_reading_beside_another_observers_says_what_that_one_read():
    told = replace(CLARITY, by="observer", beside=5.2)
    title = plain(page_of(told, reading_id=7).entry.title)
    assert title.endswith("higher than the 5.2 m that another observer read on the same visit.")


@pytest.mark.parametrize(("value", "shown"), [(2.73, "2.73 m"), (2.704, "2.704 m"), (2.8, "2.8 m")])
def test_value_that_seems_to_lie_on_an_end_of_the_usual_is_finer_as_the_ends_are(value, shown):
    title = plain(page_of(replace(CLARITY, value=value), reading_id=7).entry.title)
    high = {"2.73 m": "2.70 m", "2.704 m": "2.700 m", "2.8 m": "2.7 m"}[shown]
    assert title.startswith(f"Clarity {shown} on 15 July 2024: higher")
    assert title.endswith(f"to {high}).")


def test_very_rare_is_not_counted_further_than_tails_are_known():
    for tail in (1e-9, 0.0):
        facts = page_of(replace(CLARITY, tail_probability=tail), reading_id=7).entry.facts
        assert any("fewer than one reading in 1 000" in plain(fact) for fact in facts)


def test_amount_stands_where_there_is_no_ratio():
    told = replace(CLARITY, quantity="water_temperature", value=30.0, expected=18.0, evidence=FEET[1:])
    assert (
        plain(page_of(told, reading_id=7).entry.facts[0])
        == "It is 12.0 °C away from the 18.0 °C that is usual then."
    )


def test_groups_stand_in_the_order_of_the_work_the_latest_first():
    steps = [*NEXT_STEPS, *NEXT_STEPS]
    told = [
        replace(CLARITY, reading_id=number, next_step=step, taken_on=f"20{10 + number}-07-15")
        for number, step in enumerate(steps, 1)
    ]
    groups = page_of(*told).groups
    assert [group.title for group in groups] == [
        "Look at the sheet (2)", "Ask the laboratory (2)", "Measure again (2)", "Accept as it is (2)",
    ]  # fmt: skip
    assert [number for _, number in groups[0].entries] == [5, 1]


def test_held_and_decided_readings_stand_apart():
    statuses = ("accepted", "held", "accepted with a remark", "preliminary")
    told = [replace(CLARITY, reading_id=number, status=status) for number, status in enumerate(statuses, 1)]
    found = {group.title: [number for _, number in group.entries] for group in page_of(*told).groups}
    assert found == {"Look at the sheet (2)": [4, 1], "Waiting for an answer (1)": [2], "Decided on (1)": [3]}


def test_picked_period_bounds_the_list_and_not_the_picked_reading():
    earlier = replace(CLARITY, reading_id=8, taken_on="2020-07-15")
    page = page_of(CLARITY, earlier, choice=replace(CHOICE, picked=True), reading_id=8)
    assert page.words == "1 of the station's 2 unusual readings lies in the period that you chose."
    assert [number for group in page.groups for _, number in group.entries] == [7]
    assert page.reading_id == 0
    assert "2020" in page.entry.title


def test_other_reading_is_said_not_to_be_unusual():
    page = page_of(CLARITY, reading_id=99)
    assert page.words.endswith("The reading that you picked is not one of them.")
    assert page.entry is None


def test_station_without_unusual_readings_says_so():
    page = page_of(reading_id=5)
    assert (page.words, page.groups) == ("No reading of this station is unusual for its month.", ())


@pytest.mark.parametrize("stratum", ["surface", "mid", "bottom"])
def test_line_says_where_in_the_water(stratum):
    line = (
        page_of(replace(CLARITY, quantity="total_phosphorus", stratum=stratum, evidence=FEET[1:]))
        .groups[0]
        .entries[0][0]
    )
    ends = {
        "surface": "phosphorus 7",
        "mid": "phosphorus at mid-depth 7",
        "bottom": "phosphorus near the bottom 7",
    }
    assert ends[stratum] in plain(line)


def test_record_wide_list_names_stations_and_leaves_out_what_is_decided():
    told = [CLARITY, replace(CLARITY, reading_id=8, station_code="HM2", status="accepted with a remark")]
    names = {"HM1": "Hollow Mere, middle", "HM2": "Hollow Mere, inlet"}
    page = build_decisions_page(departure_rows(told), names, CHOICE, Programme())
    assert page.words == "1 unusual reading waits for a decision. Pick it to go to its station."
    [group] = page.groups
    assert plain(group.entries[0][0]) == (
        "Hollow Mere, middle, 15 July 2024: Clarity 6.6 m, higher, this station alone"
    )


def test_long_group_lists_the_latest_and_counts_all():
    days = np.datetime_as_string(np.datetime64("2000-01-01") + np.arange(500))
    told = [replace(CLARITY, reading_id=n, taken_on=day) for n, day in enumerate(days.tolist(), 1)]
    page = build_decisions_page(departure_rows(told), {"HM1": "Hollow Mere"}, CHOICE, Programme())
    assert page.groups[0].title == "Look at the sheet (500, the latest 200 listed)"
    assert page.groups[0].entries[0][1] == 500
    assert page.words.startswith("500 unusual readings of 1 station wait")


def test_every_scope_way_and_step_has_its_words():
    ways, scopes = ("higher", "lower"), ("district", "lake", "station", "unknown")
    for way, scope, step in itertools.product(ways, scopes, NEXT_STEPS):
        page = page_of(replace(CLARITY, direction=way, scope=scope, next_step=step), reading_id=7)
        assert page.entry.why
        assert way in page.groups[0].entries[0][0]
