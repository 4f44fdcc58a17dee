"""How often planted stories are found, and how often the first line of evidence names them rightly.

The light run plants each kind a few times, the long one many times and with effects of four spreads exactly.
"""

from collections.abc import Iterable, Sequence

import numpy as np
import pytest
from scipy import stats

from explorer.analysis.departures import MOST_FREEDOM, departures
from explorer.analysis.evidence import explain
from explorer.model.evidence import NEXT_STEPS, Departure

from .districts import District, make_district
from .stories import STORIES, Planted, Story

LEAST_FOUND, LEAST_RIGHT = 0.90, 0.80
YEARS = (10, 14, 20, 26)
# What moves a whole water also moves all that could speak for it, and gales of other years hide a gale.
SHORT_OF_REACH = {
    "bloom all over a water": 0.05, "bloom at a lone station": 0.05, "gales on one water": 0.12,
}  # fmt: skip


@pytest.fixture(scope="module")
def few_districts() -> list[District]:
    return [make_district(200 + number, waters=4 + number, years=YEARS[number]) for number in range(3)]


@pytest.fixture(scope="module")
def many_districts() -> list[District]:
    return [make_district(300 + n, waters=4 + n % 7, years=YEARS[n % 4]) for n in range(24)]


def explained(planted: Planted) -> tuple[Departure, ...]:
    district = planted.district
    found = departures(district.readings, district.programme)
    return explain(
        district.readings,
        found,
        district.stations,
        district.programme,
        visits=district.visits,
        reading_ids=planted.reading_ids,
    )


def plantings(
    name: str, districts: Sequence[District], times: int, least: float, most: float
) -> Iterable[Planted]:
    seed = sorted(STORIES).index(name)
    for number, district in enumerate(districts):
        for time in range(times):
            rng = np.random.default_rng([seed, number, time])
            yield STORIES[name].plant(district, rng, rng.uniform(least, most))


def rates(story: Story, planted: Iterable[Planted]) -> tuple[int, float, float]:
    """Return how many readings were planted, the share found, and the share of these rightly explained."""
    readings, found, right = 0, 0, 0
    for each in planted:
        told = explained(each)
        readings += len(each.reading_ids)
        found += len(told)
        right += sum(departure.evidence[0].code in story.right for departure in told)
    return readings, found / readings, right / found


@pytest.mark.parametrize("name", STORIES)
def test_a_planted_story_is_found_and_rightly_explained(name, few_districts):
    times = 5 if STORIES[name].is_single else 2
    readings, found, right = rates(STORIES[name], plantings(name, few_districts, times, 4.0, 7.0))
    assert readings >= 15
    assert found >= LEAST_FOUND
    assert right >= LEAST_RIGHT


@pytest.mark.long
@pytest.mark.parametrize("name", STORIES)
def test_planted_stories_of_four_spreads_and_more_are_found_and_rightly_explained(name, many_districts):
    times = 4 if STORIES[name].is_single else 2
    readings, found, right = rates(STORIES[name], plantings(name, many_districts, times, 4.0, 7.0))
    print(f"| {name} | {readings} | {100 * found:.0f} % | {100 * right:.0f} % |")
    assert found >= LEAST_FOUND
    assert right >= LEAST_RIGHT


def share_within_reach(planted: Sequence[Planted]) -> float:
    """Return the mean share that a test of each reading by itself can find of an effect of four spreads.

    It may mark five of a hundred visits without a story, and noise may be as heavy-tailed as Student's with
    `MOST_FREEDOM` degrees: the effect is then noncentral t.
    """
    shares: list[float] = []
    for each in planted:
        readings = each.district.readings
        routine = readings[(readings["sample_type"] == "routine").to_numpy()]
        of_visit = routine.groupby(["station_code", "taken_on"])["reading_id"].transform("size")
        own = of_visit[routine["reading_id"].isin(each.reading_ids).to_numpy()].to_numpy()
        limit = stats.t.isf((1 - 0.95 ** (1 / own)) / 2, MOST_FREEDOM)
        shares.extend(stats.nct.sf(limit, MOST_FREEDOM, 4.0))
    return float(np.mean(shares))


@pytest.mark.long
@pytest.mark.parametrize("name", STORIES)
def test_planted_stories_of_four_spreads_alone_are_found_as_far_as_they_can_be(name, many_districts):
    """An effect of four spreads comes on top of the reading's own chance: some are bound to stay usual."""
    times = 4 if STORIES[name].is_single else 2
    planted = list(plantings(name, many_districts, times, 4.0, 4.0))
    readings, found, right = rates(STORIES[name], planted)
    reach = share_within_reach(planted)
    print(f"| {name} | {readings} | {100 * reach:.0f} % | {100 * found:.0f} % | {100 * right:.0f} % |")
    chance = 2.0 * np.sqrt(reach * (1.0 - reach) / readings)
    assert found >= min(LEAST_FOUND, reach) - chance - SHORT_OF_REACH.get(name, 0.0)
    assert right >= LEAST_RIGHT


def test_every_departure_has_a_likeliest_line_and_a_next_step(few_districts):
    district = few_districts[0]
    found = departures(district.readings, district.programme)
    told = explain(district.readings, found, district.stations, district.programme, visits=district.visits)
    assert [each.reading_id for each in told] == found.loc[found["marked"], "reading_id"].tolist()
    for each in told:
        first, *rest = each.evidence
        assert first.verdict == "for" or first.code == "unexplained"
        weights = [line.weight for line in each.evidence if line.verdict == "for"]
        assert weights == sorted(weights, reverse=True)
        assert len({line.code for line in each.evidence}) == len(each.evidence)
        assert each.next_step in NEXT_STEPS
        assert rest
