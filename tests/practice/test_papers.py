"""Papers: what does not correspond is found by what is written alone, and every kind of it is planted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.intake.sample_codes import sample_code
from explorer.practice.labelling import start
from explorer.practice.papers import PLACES, draw_papers, find_misfits

CLEAN = next(papers for papers in map(draw_papers, range(99)) if not find_misfits(papers))
BOTTLE, FILTER = CLEAN["bottle.code"], CLEAN["filter.code"]
SERIAL = int(BOTTLE[2:5])
OTHER_BOTTLE, OTHER_FILTER = (sample_code(2025, SERIAL + 1, container) for container in (1, 2))


@pytest.mark.parametrize(("changes", "code", "place"), [
    ({"bottle.code": BOTTLE[:4] + BOTTLE[5] + BOTTLE[4] + BOTTLE[6:]}, "bottle_code_check", "bottle.code"),
    ({"bottle.code": ""}, "bottle_code_check", "bottle.code"),
    ({"sheet.bottle": OTHER_BOTTLE}, "bottle_codes_differ", "sheet.bottle"),
    ({"bottle.code": FILTER, "sheet.bottle": FILTER}, "bottle_container", "bottle.code"),
    ({"filter.code": "no code"}, "filter_code_check", "filter.code"),
    ({"filter.code": OTHER_FILTER}, "filter_codes_differ", "filter.code"),
    ({"filter.code": BOTTLE, "sheet.filter": BOTTLE}, "filter_container", "sheet.filter"),
    ({"filter.code": OTHER_FILTER, "sheet.filter": OTHER_FILTER}, "other_sample", "filter.code"),
    ({"filter.station": "PRA9"}, "station_differs", "filter.station"),
    ({"sheet.date": "2025-01-01"}, "date_differs", "sheet.date"),
    ({"bottle.time": ""}, "time_missing", "bottle.time"),
    ({"sheet.time": ""}, "time_missing", "sheet.time"),
    ({"sheet.time": "23:59"}, "time_differs", "sheet.time"),
    ({"sheet.volume": ""}, "volume_missing", "sheet.volume"),
    ({"filter.volume": "a jar"}, "volume_missing", "filter.volume"),
    ({"filter.volume": "33 mL"}, "volume_differs", "filter.volume"),
    ({"sheet.disk": "4.35"}, "unit_missing", "sheet.disk"),
    ({"sheet.observer": ""}, "observer_missing", "sheet.observer"),
])  # fmt: skip
def test_misfit_is_found_with_its_place_and_its_sentence(changes, code, place):
    found = find_misfits({**CLEAN, **changes})
    assert [misfit.code for misfit in found] == [code]
    assert place in found[0].places
    sentence = start(1).tell(f"practice_labelling.{code}", **found[0].values).told_in_words()[0]
    assert all(text in sentence for text in changes.values() if text and code != "observer_missing")


@pytest.mark.parametrize(
    "same", [{"sheet.volume": "0.25 L", "filter.volume": "250 mL"}, {"sheet.disk": "12 ft 5 in"}]
)
def test_the_same_in_another_unit_corresponds(same):
    assert find_misfits({**CLEAN, **same}) == ()


@given(texts=st.lists(st.text(max_size=12), min_size=len(PLACES), max_size=len(PLACES)))
def test_any_papers_are_compared_without_failure(texts):
    for misfit in find_misfits(dict(zip(PLACES, texts, strict=True))):
        assert set(misfit.places) <= set(PLACES)


@given(seed=st.integers())
def test_careful_reader_and_check_find_the_same(seed, learners):
    view_places = learners.lines_that_do_not_correspond(learners.Hand("labelling", seed).view)
    misfits = find_misfits(draw_papers(seed))
    for misfit in misfits:
        names = {
            place.replace("sheet.bottle", "bottle.code").replace("sheet.filter", "filter.code")
            for place in misfit.places
        }
        assert names & view_places
    assert len(misfits) <= 3


def test_every_kind_of_misfit_is_planted_and_some_papers_have_none():
    found = [find_misfits(draw_papers(seed)) for seed in range(400)]
    assert len({misfit.code for each in found for misfit in each}) == 15
    assert 60 < sum(not each for each in found) < 160
