"""Evidence that the water itself was unusual: elsewhere, in the rest of the visit, all season, by weather."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from explorer.analysis.departure_scope import SAME_WAY, Reach
from explorer.analysis.evidence_case import Case
from explorer.analysis.evidence_odds import SELDOM, SPEAKS, clipped, share_odds, verdict, water_odds
from explorer.analysis.evidence_record import Surroundings
from explorer.model.evidence import Amount, Evidence

__all__ = [
    "MOST_AGREEMENT",
    "Agreement",
    "agreement",
    "reach_lines",
    "season_line",
    "together_line",
    "weather_line",
]

Floats = npt.NDArray[np.float64]

MOST_LAKE, MOST_DISTRICT, MOST_SEASON, MOST_WEATHER = 4.0, 6.0, 5.0, 5.0  # no one line says more [log odds]
WITHIN_A_SEASON = 0.25  # [1] readings of one season go the same way more often than by chance (simulated)
MOST_AGREEMENT = 5.0
MOST_RELATION, MOST_SURPRISE, LEAST_SURPRISE = 4.0, 4.0, -2.0
CLOSE_RELATION = 0.3  # [1] correlation from which a quantity is asked whether it went along
STRONGEST_SCORE = 4.0  # a relation is not trusted beyond
SAYS_LITTLE = 1.0  # [log odds]
SECOND_AGREES, SECOND_DIFFERS = 3.0, -6.0  # another reading of the same water [log odds]
MOST_OF_IT = 0.6  # [1] share of the departure that the other reading must find, too
NEAR_DAYS = 4  # readings so near in time are one event, not a season
FEWEST_VISITS, FEWEST_VISITS_HERE = 5, 4  # with the same weather


@dataclass(frozen=True, slots=True)
class Agreement:
    """What the rest of a visit speaks for the water itself.

    Attributes
    ----------
    weight : float
        Of the visit, or of the same water's visits that day where it says little. [log odds] From -5 to 5.
    own : float
        Of the visit alone. [log odds]
    second : float
        The part that a second reading of the same water says: another observer's, a duplicate. [log odds]
    telling : int
        Number of the quantity that says most; -1 where nothing else was measured.
    measured : int
        Other quantities measured.
    """

    weight: float
    own: float
    second: float
    telling: int
    measured: int


def agreement(case: Case, around: Surroundings) -> Agreement:
    """Return what the rest of the visit speaks for the water itself, and which quantity says most.

    Two things speak: whether each other quantity went the way it goes together with this one at this station,
    and whether others are unusual too, in whatever direction. A second observer's reading of the same water
    speaks as well. Where a visit says little, those to the same water that day which depart the same way are
    asked.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.

    Returns
    -------
    Agreement
    """
    own = _visit_agreement(case, around)
    if abs(own.weight) >= SAYS_LITTLE:
        return own
    judged = around.judged
    rows = judged.of_lake_day.with_row(case.row)
    rows = rows[judged.speaks[rows] & (judged.score[rows] * case.way >= SAME_WAY)]
    rows = rows[judged.scored.station[rows] != judged.scored.station[case.row]]
    said = [_visit_agreement(around.case(int(row)), around).weight for row in rows]
    telling = [each for each in said if abs(each) >= SAYS_LITTLE]
    return replace(own, weight=float(np.mean(telling))) if telling else own


def _visit_agreement(case: Case, around: Surroundings) -> Agreement:
    judged, scored = around.judged, around.judged.scored
    visit, own, station = scored.visit[case.row], scored.quantity[case.row], scored.station[case.row]
    score = judged.by_visit[visit]
    others = np.flatnonzero(~np.isnan(score) & (np.arange(score.size) != own))
    along = np.zeros(others.size)
    if scored.surface[case.row]:
        along = _relation_odds(
            judged.correlation[station, own, others], judged.score[case.row], score[others]
        )
    surprise = judged.surprise[visit, others]
    weight = clipped(along.sum(), -MOST_RELATION, MOST_RELATION)
    weight += clipped(surprise.sum(), LEAST_SURPRISE, MOST_SURPRISE)
    second = _second_reading(case, around)
    telling = int(others[np.argmax(np.abs(along + surprise))]) if others.size else -1
    weight = clipped(weight + second, -MOST_AGREEMENT, MOST_AGREEMENT)
    return Agreement(weight, weight, second, telling, int(others.size))


def _relation_odds(correlation: Floats, own_score: float, score: Floats) -> Floats:
    """Return what each other score speaks: as if the water were unusual, against as it usually is."""
    own = clipped(own_score, -STRONGEST_SCORE, STRONGEST_SCORE)
    close = np.abs(correlation) >= CLOSE_RELATION
    rest = np.sqrt(1.0 - np.minimum(correlation**2, 0.95))
    odds: Floats = 0.5 * score**2 - 0.5 * ((score - correlation * own) / rest) ** 2 - np.log(rest)
    return np.where(close, odds, 0.0)


def _second_reading(case: Case, around: Surroundings) -> float:
    """Return what a second reading of the same water speaks: another observer's, or a duplicate."""
    judged = around.judged
    same = judged.of_reading.with_row(case.row)
    observer = judged.scored.observer
    others = same[(observer[same] != observer[case.row]) & judged.speaks[same]]
    apart = [*judged.apart[others], *(case.on_scale(value) for value in around.duplicates_of(case.row))]
    if not apart or not case.apart:
        return 0.0
    share = float(np.mean(apart)) / case.apart
    return SECOND_AGREES if share >= MOST_OF_IT else SECOND_DIFFERS if share < 1.0 - MOST_OF_IT else 0.0


def reach_lines(case: Case, around: Surroundings, who: Reach, number: int) -> tuple[Evidence, Evidence]:
    """Return whether other waters, and the other stations of this water, departed the same way then.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.
    who : Reach
        Who else was visited within a few days, for all unusual readings.
    number : int
        This one's place among them.
    """
    stations, same = int(who.stations[number]), int(who.stations_same[number])
    own = clipped(share_odds(same, stations), -MOST_LAKE, MOST_LAKE) if stations else 0.0
    weight = water_odds(own, case.agreement)
    lake = Evidence("lake", verdict(own, weight), {"count": same, "of": stations}, weight)
    waters, same = int(who.waters[number]), int(who.waters_same[number])
    everywhere = (
        clipped(share_odds(same, waters), -MOST_DISTRICT, MOST_DISTRICT) - SELDOM if waters > 1 else 0.0
    )
    weight = water_odds(everywhere, case.agreement)
    if everywhere >= SPEAKS:
        weight += max(own, 0.0)  # what befell every water befell this one's other stations
        if around.said("batch", case.row):  # bottles of one batch can err together
            weight += min(clipped(float(who.happened[number]), -MOST_AGREEMENT, MOST_AGREEMENT), 0.0)
    values = {"count": same, "of": waters}
    return Evidence("district", verdict(everywhere, weight), values, weight), lake


def together_line(case: Case, around: Surroundings, rest: Agreement) -> Evidence:
    """Return whether the other quantities of the visit fit an unusual water.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.
    rest : Agreement
        From `agreement`.
    """
    said = verdict(rest.own)
    if rest.telling < 0 or said == "cannot_tell":
        return Evidence("together", "cannot_tell", {"count": rest.measured}, 0.0)
    judged, scored = around.judged, around.judged.scored
    rows = judged.of_visit.with_row(case.row)
    is_telling = (scored.quantity[rows] == rest.telling) & scored.surface[rows]
    rows = rows[is_telling & judged.speaks[rows]]
    code = scored.codes[rest.telling]
    values = {
        "beside": Amount(float(np.mean([around.value(int(row)) for row in rows])), code),
        "beside_usual": Amount(float(judged.usual(rows).mean()), code),
    }
    return Evidence("together", said, values, rest.own)


def season_line(case: Case, around: Surroundings) -> Evidence:
    """Return whether the station's other readings of the same season depart the same way: a trend, a step.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record.
    """
    rows, day = around.judged.of_season.with_row(case.row), around.judged.scored.day
    rows = rows[np.abs(day[rows] - day[case.row]) > NEAR_DAYS]
    same, of = around.others_same_way(rows, case, SAME_WAY)
    own = clipped(share_odds(same, of, WITHIN_A_SEASON), -MOST_SEASON, MOST_SEASON) if of > 1 else 0.0
    weight = water_odds(own, case.agreement)
    return Evidence("season", verdict(own, weight), {"count": same, "of": of}, weight)


def weather_line(case: Case, around: Surroundings) -> Evidence | None:
    """Return whether other visits with the same weather on the sheet departed the same way.

    Parameters
    ----------
    case : Case
        The unusual reading.
    around : Surroundings
        The record: what a word means for a quantity is learned from it, at this station if it can.

    Returns
    -------
    Evidence or None
        None where the sheet says nothing of the weather.
    """
    word = around.said("weather", case.row)
    if not word:
        return None
    here = _other_visits(around.judged.of_weather_here.with_row(case.row), case, around)
    rows = here if here.size >= FEWEST_VISITS_HERE else _other_visits(
        around.judged.of_weather.with_row(case.row), case, around
    )  # fmt: skip
    same, of = around.others_same_way(rows, case, SAME_WAY)
    enough = rows is here or of >= FEWEST_VISITS
    own = clipped(share_odds(same, of), -MOST_WEATHER, MOST_WEATHER) if enough else 0.0
    weight = water_odds(own, case.agreement)
    return Evidence("weather", verdict(own, weight), {"weather": word, "count": same, "of": of}, weight)


def _other_visits(rows: npt.NDArray[np.int64], case: Case, around: Surroundings) -> npt.NDArray[np.int64]:
    visit = around.judged.scored.visit
    rows = rows[visit[rows] != visit[case.row]]
    return rows[around.judged.speaks[rows]]
