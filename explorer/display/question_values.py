"""What question cards may say of a record: checks, second samples, waters of one kind, what comes next."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from explorer.analysis.season_quality import SeasonQuality
from explorer.display.comparison import DISTRICT, District, PanelComparison, build_comparison
from explorer.display.meeting_basis import MeetingBasis
from explorer.display.meeting_values import MeetingStep
from explorer.display.station_words import capitalised

__all__ = ["quality_values", "question_values"]

COMPARED = ("secchi_depth", "transparency_tube", "chlorophyll_a", "total_phosphorus")
PASSED = ("accepted", "accepted with a remark", "preliminary")


def quality_values(quality: SeasonQuality) -> Mapping[str, str]:
    """Return how many readings of a season count, and how its second samples agree.

    Parameters
    ----------
    quality : SeasonQuality
        The season's quality, of all waters.

    Returns
    -------
    mapping of str to str
        readings, passed, pairs and agreeing; without a second sample the last two are missing.
    """
    statuses, pairs = quality.statuses, quality.pairs
    readings = int(statuses.drop(columns="below").to_numpy().sum())
    values = {"readings": str(readings), "passed": str(int(statuses[list(PASSED)].to_numpy().sum()))}
    judged = pairs[(pairs["by"] != "").to_numpy()]
    if len(judged):
        values |= {"pairs": str(len(judged)), "agreeing": str(int(judged["agrees"].sum()))}
    return values if readings else {}


def _beside(basis: MeetingBasis, code: str, panel: PanelComparison) -> str:
    """Return one quantity here and in the middle of the other stations, with the visits behind both."""
    seasons, inside = panel.seasons, panel.inside
    here, there = (
        basis.value(code, *(float(np.median(end[inside])) for end in ends))
        for ends in ((seasons.own_low, seasons.own_high), (seasons.low, seasons.high))
    )
    return basis.say(
        "beside",
        quantity=capitalised(basis.name(code)),
        here=here,
        there=there,
        stations=basis.count("count.station", seasons.stations),
        own_visits=basis.count("count.visit", int(seasons.own_visits[inside].sum())),
        visits=basis.count("count.visit", int(seasons.visits[inside].sum())),
    )


def question_values(
    basis: MeetingBasis, steps: Sequence[MeetingStep], district: District
) -> Mapping[str, str]:
    """Return what the cards may say of one lake.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    steps : sequence of MeetingStep
        Its steps: the last one says what the office suggests.
    district : District
        The other stations; only those on waters of the same kind are compared, season by season, measured by
        the same method. Nothing is ranked, no class is named.
    """
    programme = basis.programme
    choice = replace(basis.choice, picked=True, beside=DISTRICT)
    known = [programme.quantities[code] for code in COMPARED if len(basis.of(code))]
    own = basis.history.station
    others = tuple(e for e in district.stations if e.lake_code != own.lake_code or e.code == own.code)
    compared = build_comparison(choice, known, replace(district, stations=others), programme)
    lines = [
        _beside(basis, quantity.code, panel)
        for quantity, panel in zip(known, compared.panels, strict=True)
        if panel.inside.any()
    ]
    return {
        "lake": basis.lake.name,
        "season": programme.season.label(basis.year),
        "programme": programme.name,
        "contact": programme.contact.strip(),
        "beside": " ".join(lines),
        "next": steps[-1].sentence,
    }
