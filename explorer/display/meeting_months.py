"""The second step of a meeting: this season's visits against what is usual for their months."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.analysis.season_cube import comparable_methods
from explorer.analysis.usual_range import FEWEST_YEARS, usual_range
from explorer.display.axes import Axis, build_axis
from explorer.display.meeting_basis import CLARITY, MeetingBasis
from explorer.display.meeting_values import Chart, MeetingPoint, MeetingStep, Span
from explorer.display.numbers import date_text, display_factor, display_unit, reading_text
from explorer.model.calendar import Period
from explorer.model.words import say

__all__ = ["MOST_ON_BOTTOM", "chart_ticks", "months_step"]

ASKED = (*CLARITY, "chlorophyll_a", "chlorophyll_a_uncorrected", "total_phosphorus")  # in this order
MOST_ON_BOTTOM = 0.5  # [1] share of visits with the disk on the bottom beyond which clarity tells little
KINDS = {"=": "measured", "<": "below", ">": "beyond"}
LEAST_APART = 0.42  # [1] of the chart's height between the labels of two ticks
LETTERS = {"usual": "u", "more": "m", "less": "l"}


@dataclass(frozen=True, slots=True)
class _Day:
    """A day's value, and the usual range of its month in the years before. [record unit] NaN without one."""

    on: pd.Timestamp
    value: float
    sign: str
    low: float
    high: float

    @property
    def judged(self) -> bool:
        """Whether there is a usual range, and a value of which it can be told where it lies against it."""
        below_open = self.sign == ">" and self.value < self.low
        above_open = self.sign == "<" and self.value > self.high
        return not (np.isnan(self.low) or below_open or above_open)

    @property
    def side(self) -> str:
        """Whether the value was above, in or below its usual range."""
        if self.value > self.high and self.sign != "<":
            return "more"
        return "less" if self.value < self.low and self.sign != ">" else "usual"


@dataclass(frozen=True, slots=True)
class _Looked:
    """One quantity in the season: its days, the usual range of the months, the years that it comes from."""

    code: str
    days: tuple[_Day, ...]
    usual: pd.DataFrame
    earlier: Period | None

    @property
    def judged(self) -> list[_Day]:
        return [day for day in self.days if day.judged]

    @property
    def open(self) -> list[_Day]:
        """Days with a usual range of which nobody can tell on which side of it they lie."""
        return [day for day in self.days if not (day.judged or np.isnan(day.low))]

    def share(self, sign: str) -> float:
        return sum(day.sign == sign for day in self.days) / len(self.days)


def months_step(basis: MeetingBasis) -> MeetingStep:
    """Return the step on this season against its usual months.

    Usual is the range of the same month and its neighbours in the seasons before, by the methods of this
    one, see `usual_range`. The first quantity of `ASKED` for which there is one speaks; clarity only where
    the disk was out of sight on half of the visits.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    """
    looked = _looked(basis)
    return MeetingStep(
        code="months",
        title=basis.say("title_months"),
        sentence=_sentence(basis, looked),
        sureness=_sureness(basis, looked),
        picture=_picture(basis, looked) if looked else None,
        figures=(
            basis.season_visits_of(looked.code) if looked else basis.season_visits,
            *(_day_lines(basis, looked) if looked else ()),
        ),
        known=tuple(_known(basis, looked)),
        caution=say("caution.swimming", language=basis.language),
    )


def _looked(basis: MeetingBasis) -> _Looked | None:
    found = [each for code in ASKED if (each := _look(basis, code)) is not None]
    judged = [each for each in found if each.judged]
    in_sight = [each for each in judged if each.share(">") <= MOST_ON_BOTTOM]
    return next(iter([*in_sight, *judged, *found]), None)


def _look(basis: MeetingBasis, code: str) -> _Looked | None:
    readings = basis.of(code)
    now = readings[(readings["year"] == basis.year).to_numpy()]
    if now.empty:
        return None
    counted = basis.counted
    method = comparable_methods(counted["method"], basis.programme.comparable_methods)
    same = np.isin(method, comparable_methods(now["method"], basis.programme.comparable_methods))
    earlier = counted[((counted["quantity"] == code) & (counted["year"] < basis.year)).to_numpy() & same]
    usual = usual_range(earlier, basis.quantity(code), basis.programme.season)
    ranges = {int(month): (low, high) for month, low, high in usual[["month", "low", "high"]].to_numpy()}
    days = []
    for on, own in now.groupby("taken_on", sort=True):
        day, signs = pd.Timestamp(str(on)), set(own["sign"])
        sign = signs.pop() if len(signs) == 1 else "="
        days.append(_Day(day, float(own["value"].median()), sign, *ranges[day.month]))
    years = earlier["year"].to_numpy()
    period = Period(int(years.min()), int(years.max())) if years.size else None
    return _Looked(code, tuple(days), usual, period)


def _sentence(basis: MeetingBasis, looked: _Looked | None) -> str:
    if looked is None:
        return basis.say("months_nothing")
    judged = looked.judged
    if not judged and looked.open:
        which = "bottom" if looked.open[0].sign == ">" else "below"
        return basis.say(f"months_{which}", amount=basis.amount(looked.code))
    if not judged:
        return basis.say(
            "months_few", years=basis.count("meeting.year", _years(looked)), needed=str(FEWEST_YEARS)
        )
    sides = [day.side for day in judged]
    counts = {side: sides.count(side) for side in LETTERS}
    pattern = "".join(letter for side, letter in LETTERS.items() if counts[side])
    family = "clear" if looked.code in CLARITY else "amount"
    alone = "one_" if len(sides) == 1 else ""
    return basis.say(
        f"months_{family}_{alone}{pattern}",
        **{side: str(count) for side, count in counts.items()},
        visits=basis.count("count.visit", len(sides)),
        amount=basis.amount(looked.code),
    )


def _years(looked: _Looked) -> int:
    return int(looked.usual["years"].max()) if len(looked.usual) else 0


def _sureness(basis: MeetingBasis, looked: _Looked | None) -> str:
    if looked is None or not (looked.judged or looked.open) or looked.earlier is None:
        return basis.say("usual_later", needed=str(FEWEST_YEARS))
    season = basis.programme.season
    first, last = season.label(looked.earlier.first_year), season.label(looked.earlier.last_year)
    return basis.say("usual_line", first=first, last=last)


def _known(basis: MeetingBasis, looked: _Looked | None) -> list[str]:
    if looked is None:
        return [basis.say("usual_what"), basis.say("usual_months")]
    lines = [basis.say("usual_what"), basis.say("usual_months"), basis.say("usual_chance")]
    if looked.share(">"):
        lines.append(basis.say("bottom_line"))
    if looked.share("<"):
        lines.append(basis.say("below_line"))
    if looked.judged and looked.open:
        lines.append(basis.say("open_line", visits=basis.count("count.visit", len(looked.open))))
    return lines


def _day_lines(basis: MeetingBasis, looked: _Looked) -> list[str]:
    """Return every visit with its value and what was usual."""
    return [_day_line(basis, looked, day) for day in looked.days]


def _day_line(basis: MeetingBasis, looked: _Looked, day: _Day) -> str:
    unit, language = basis.programme.length_unit, basis.language
    quantity = basis.quantity(looked.code)
    values = {
        "day": date_text(day.on.to_datetime64(), language),
        "quantity": basis.name(looked.code),
        "value": reading_text(day.value, day.sign, quantity, unit, language),
    }
    if not day.judged:
        return basis.say("day", **values)
    low, high = (reading_text(end, "=", quantity, unit, language) for end in (day.low, day.high))
    return basis.say("day_usual", low=low, high=high, **values)


def _picture(basis: MeetingBasis, looked: _Looked) -> Chart:
    quantity, months = basis.quantity(looked.code), basis.programme.season_months
    factor = display_factor(quantity, basis.programme.length_unit)
    usual = looked.usual
    values = np.array([*(day.value for day in looked.days), *usual[["low", "high"]].to_numpy().ravel()])
    axis = build_axis(
        values * factor, [], log=False, downward=quantity.unit == "m", decimals=quantity.decimals,
        language=basis.language,
    )  # fmt: skip
    width = 1 / len(months)
    spans = []
    for number, (low, high) in enumerate(usual[["low", "high"]].to_numpy()):
        if not np.isnan(low):
            ends = sorted(axis.place([low * factor, high * factor]).tolist())
            spans.append(Span((number + 0.12) * width, (number + 0.88) * width, *ends))
    points = tuple(_point(basis, looked, day, axis, factor) for day in looked.days)
    language = basis.language
    across = tuple(
        ((number + 0.5) * width, say(f"month_short.{month}", language=language))
        for number, month in enumerate(months)
    )
    alt = basis.say("alt_months", quantity=basis.name(looked.code))
    unit = display_unit(quantity, basis.programme.length_unit)
    return Chart(alt, across, chart_ticks(axis, unit, basis.say("surface")), tuple(spans), (), points)


def chart_ticks(axis: Axis, unit: str, surface: str) -> tuple[tuple[float, str], ...]:
    """Return at most three ticks, far enough apart for large letters; the highest number has the unit.

    Parameters
    ----------
    axis : Axis
        The chart's axis.
    unit : str
        Its unit.
    surface : str
        What stands for 0 on an axis that goes down from the water's surface: who sees a line rise there must
        not take it for clearer water.

    Examples
    --------
    >>> axis = build_axis([1.0, 6.0], [], log=False, downward=False, decimals=1)
    >>> [label.replace(chr(160), " ") for _, label in chart_ticks(axis, "m", "surface")]
    ['0', '6 m']
    """
    ticks = sorted(axis.ticks, key=lambda tick: axis.value_at(tick[0]))
    if len(ticks) > 2:
        middle = ticks[len(ticks) // 2]
        near = min(abs(middle[0] - end[0]) for end in (ticks[0], ticks[-1]))
        ticks = [ticks[0], *([middle] if near >= LEAST_APART else []), ticks[-1]]
    if axis.downward and axis.value_at(ticks[0][0]) == 0:
        ticks[0] = (ticks[0][0], surface)
    *rest, (place, label) = ticks
    return (*rest, (place, label if unit == "pH" else f"{label}\N{NO-BREAK SPACE}{unit}"))


def _point(basis: MeetingBasis, looked: _Looked, day: _Day, axis: Axis, factor: float) -> MeetingPoint:
    months: Sequence[int] = basis.programme.season_months
    across = (months.index(day.on.month) + (day.on.day - 0.5) / 31) / len(months)
    up = float(axis.place([day.value * factor])[0])
    return MeetingPoint(across, up, _day_line(basis, looked, day), KINDS[day.sign])
