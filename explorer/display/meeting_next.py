"""The last step of a meeting: what the office suggests, by written rules, and what nobody can say."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from explorer.analysis.trend_findings import LARGE_PERCENT_PER_YEAR
from explorer.display.meeting_basis import MeetingBasis
from explorer.display.meeting_months import MOST_ON_BOTTOM
from explorer.display.meeting_together import DIMMED_BY, dimmed_beyond_algae
from explorer.display.meeting_values import MeetingPoint, MeetingStep, VisitRows
from explorer.display.meeting_years import shown_trend
from explorer.display.numbers import months_text
from explorer.model.calendar import month_of
from explorer.model.station_trends import trend_direction
from explorer.model.words import say

__all__ = ["RULES", "Rule", "missed_months", "next_step"]

Values = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Rule:
    """A suggestion and when it is made.

    Attributes
    ----------
    code : str
        Its sentence is `meeting.next_<code>`, its reason `meeting.because_<code>`.
    applies : callable
        Called with the basis; gives the values of sentence and reason, None where it does not apply.
    """

    code: str
    applies: Callable[[MeetingBasis], Values | None]


def _unseen(basis: MeetingBasis) -> Values | None:
    return None if basis.this_season.size else {}


def _change(basis: MeetingBasis) -> Values | None:
    found = shown_trend(basis)
    if found is None or not trend_direction(found.trend.verdict, basis.quantity(found.quantity)):
        return None
    first = basis.programme.season.label(found.first_year)
    return {"amount": basis.amount(found.quantity), "first": first}


def _gaps(basis: MeetingBasis) -> Values | None:
    missed = missed_months(basis)
    if not missed:
        return None
    return {"months": months_text(missed, basis.language), "count": str(len(missed))}


def _years(basis: MeetingBasis) -> Values | None:
    found = shown_trend(basis)
    if found is None or found.trend.verdict != "cannot_tell_yet" or np.isnan(found.trend.years_needed):
        return None
    years = round(found.trend.years_needed)
    if years < 1:
        return None
    values = {"amount": basis.amount(found.quantity), "percent": f"{LARGE_PERCENT_PER_YEAR:.0f}"}
    return {**values, "years": basis.count("meeting.year", years)}


def _bottom(basis: MeetingBasis) -> Values | None:
    clarity = basis.of("secchi_depth")
    now = clarity[(clarity["year"] == basis.year).to_numpy()]
    deep = int(now.loc[(now["sign"] == ">").to_numpy(), "taken_on"].nunique())
    visits = int(now["taken_on"].nunique())
    if deep <= MOST_ON_BOTTOM * visits:
        return None
    return {"deep": str(deep), "visits": basis.count("count.visit", visits)}


def _dim(basis: MeetingBasis) -> Values | None:
    known = set(DIMMED_BY) & basis.lake.attributes
    return {} if basis.lake.kind != "stream" and not known and dimmed_beyond_algae(basis) else None


def _waiting(basis: MeetingBasis) -> Values | None:
    held = int((basis.history.readings["status"] == "held").sum())
    return {"readings": basis.count("meeting.reading", held)} if held else None


def _always(basis: MeetingBasis) -> Values | None:
    months = basis.programme.season_months
    first, last = (months_text([month], basis.language) for month in (months[0], months[-1]))
    return {"first": first, "last": last}


RULES = (
    Rule("unseen", _unseen),
    Rule("change", _change),
    Rule("gaps", _gaps),
    Rule("years", _years),
    Rule("bottom", _bottom),
    Rule("dim", _dim),
    Rule("waiting", _waiting),
    Rule("always", _always),
)


def next_step(basis: MeetingBasis) -> MeetingStep:
    """Return the step on what comes next: the first rule that applies speaks, the others stand in the fold.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    """
    made = [(rule.code, values) for rule in RULES if (values := rule.applies(basis)) is not None]
    code, values = made[0]
    lines = []
    for other, own in made:
        sentence, reason = basis.say(f"next_{other}", **own), basis.say(f"because_{other}", **own)
        lines.append(f"{sentence} {reason}")
    return MeetingStep(
        code="next",
        title=basis.say("title_next"),
        sentence=basis.say(f"next_{code}", **values),
        sureness=basis.say("next_unknown"),
        picture=_picture(basis),
        figures=(basis.season_visits, *lines),
        known=(basis.say("next_rules"), basis.say("next_unknown_why")),
        caution=say("caution.swimming", language=basis.language),
    )


def missed_months(basis: MeetingBasis) -> list[int]:
    """Return the months of the season without any reading; none where every month is missing.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    """
    visited = set(month_of(basis.this_season["taken_on"]).tolist())
    missed = [month for month in basis.programme.season_months if month not in visited]
    return [] if len(missed) == len(basis.programme.season_months) else missed


def _picture(basis: MeetingBasis) -> VisitRows:
    season, months = basis.programme.season, basis.programme.season_months
    visited = set(month_of(basis.this_season["taken_on"]).tolist())
    here = basis.this_season
    days = here.groupby(month_of(here["taken_on"]))["taken_on"].nunique()
    points = []
    for column, month in enumerate(months):
        across = (column + 0.5) / len(months)
        name = say(f"month.{month}", language=basis.language)
        seen = month in visited
        count = basis.count("count.visit", int(days.get(month, 0)))
        words = basis.say("month_seen", month=name, year=season.label(basis.year), visits=count)
        points.append(MeetingPoint(across, 0.75, words, "measured" if seen else "below"))
        words = basis.say("month_due", month=name, year=season.label(basis.year + 1))
        points.append(MeetingPoint(across, 0.25, words, "due"))
    return VisitRows(
        basis.say("alt_next", count=str(len(visited)), all=str(len(months))),
        tuple(say(f"month_short.{month}", language=basis.language) for month in months),
        (
            basis.say("row_seen", year=season.label(basis.year)),
            basis.say("row_due", year=season.label(basis.year + 1)),
        ),
        tuple(points),
    )
