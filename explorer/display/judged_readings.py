"""Which readings and months a class is judged by, so that words and numbers beside it count the same."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from explorer.display.choice import Choice
from explorer.model.calendar import month_of
from explorer.model.classes import ClassScheme
from explorer.model.programme import Programme
from explorer.model.readings import usable

__all__ = ["judged_readings", "limits_cause", "months_of_window"]

ALL_MONTHS = tuple(range(1, 13))


def months_of_window(quantity: str, scheme: ClassScheme, programme: Programme) -> tuple[int, ...]:
    """Return the months that a scheme's limits for a quantity ask for: the season's, or all of the year.

    Parameters
    ----------
    quantity : str
        Its code; the season's months for one that the scheme does not judge.
    scheme : ClassScheme
        The scheme.
    programme : Programme
        Gives the season.

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> months_of_window("secchi_depth", schemes()["carlson_simpson_1996"], Programme())
    (5, 6, 7, 8, 9)
    """
    limits = scheme.limits.get(quantity)
    return ALL_MONTHS if limits is not None and limits.window == "year" else programme.season_months


def judged_readings(
    readings: pd.DataFrame, codes: Sequence[str], choice: Choice, scheme: ClassScheme, programme: Programme
) -> pd.DataFrame:
    """Return the readings of the chosen period that speak for a class.

    Parameters
    ----------
    readings : DataFrame
        Surface readings of one station, columns of `READINGS`.
    codes : sequence of str
        Codes of the quantities that are wanted.
    choice : Choice
        Gives the period.
    scheme, programme : ClassScheme, Programme
        Say which months count.

    Returns
    -------
    DataFrame
        Some of the rows: neither held nor rejected, in the months that the limits ask for.

    Examples
    --------
    >>> from explorer.analysis.class_schemes import schemes
    >>> from explorer.model.calendar import Period
    >>> readings = pd.DataFrame({"quantity": "secchi_depth", "value": [2.0, 3.0], "status": "accepted",
    ...     "sample_type": "routine", "taken_on": pd.to_datetime(["2024-04-30", "2024-05-02"])})
    >>> choice, scheme = Choice("HM1", Period(2024, 2024)), schemes()["carlson_simpson_1996"]
    >>> judged_readings(readings, ["secchi_depth"], choice, scheme, Programme())["value"].tolist()
    [3.0]
    """
    in_period = choice.period.contains(programme.season.year_of(readings["taken_on"]))
    inside = readings.iloc[np.flatnonzero(in_period)]
    month, measured = month_of(inside["taken_on"]), inside["quantity"].to_numpy(object)
    asked = np.full(month.size, False)
    for code in codes:
        asked |= (measured == code) & np.isin(month, months_of_window(code, scheme, programme))
    return inside.iloc[np.flatnonzero(asked & usable(inside).to_numpy())]


def limits_cause(readings: pd.DataFrame, programme: Programme) -> str:
    """Return why some readings are known as limits only.

    Parameters
    ----------
    readings : DataFrame
        The readings behind a class: columns quantity and sign.
    programme : Programme
        Gives the quantities.

    Returns
    -------
    {"below", "bottom", "limits"}
        All of them lie below what the laboratory can measure; all are depths with the disk in sight on the
        bottom; anything else.

    Examples
    --------
    >>> limits_cause(pd.DataFrame({"quantity": ["secchi_depth"] * 2, "sign": [">", "="]}), Programme())
    'bottom'
    """
    causes = set()
    for code, sign in set(zip(readings["quantity"], readings["sign"], strict=True)):
        if sign == "<":
            causes.add("below")
        elif sign == ">":
            causes.add("bottom" if programme.quantities[code].unit == "m" else "limits")
    return causes.pop() if len(causes) == 1 else "limits"
