"""What one linked panel shows, as plain values placed between its edges."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.display.axes import Axis
from explorer.model.quantities import Quantity

__all__ = [
    "FAINT",
    "NOTHING_BESIDE",
    "NO_TREND_LINE",
    "READINGS",
    "Band",
    "Beside",
    "Break",
    "Dots",
    "Floats",
    "PanelPage",
    "TrendLine",
    "sign_of",
]

FAINT = 0.38  # [1] opacity of what lies outside the picked period or days

READINGS = ("measured", "below", "beyond", "held")  # kinds of readings, fields of `PanelPage`

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Dots:
    """Readings that are drawn alike.

    Attributes
    ----------
    years : ndarray, shape (n,)
        When. [decimal year]
    places : ndarray, shape (n,)
        Where between the panel's edges. [1]
    rows : ndarray of int, shape (n,)
        Position of each reading in the panel's `readings`.
    inside : ndarray of bool, shape (n,)
        Whether it is drawn strong: in the picked period, and on a picked day where days are picked.
    """

    years: Floats
    places: Floats
    rows: npt.NDArray[np.int64]
    inside: npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Band:
    """A class behind the readings.

    Attributes
    ----------
    low, high : float
        Lower and upper edge. [1] of the panel's height
    class_index : int
        Position in the scheme's classes.
    name : str
        The class's name.
    name_place : float
        Where its name stands so that names do not touch. [1]
    """

    low: float
    high: float
    class_index: int
    name: str
    name_place: float


@dataclass(frozen=True, slots=True)
class Break:
    """A day from which readings are made another way.

    Attributes
    ----------
    year : float
        When. [decimal year]
    label : str
        What changed.
    """

    year: float
    label: str


@dataclass(frozen=True, slots=True)
class Beside:
    """Middle values of compared seasons, from the first of them to the last.

    Attributes
    ----------
    years : ndarray, shape (s,)
        The middle of each season. [decimal year]
    places : ndarray, shape (s,)
        Where between the panel's edges. [1] NaN for a season without a compared value.
    inside : ndarray of bool, shape (s,)
        Whether it lies in the picked period; all do when none is picked.
    message : str
        Why nothing is compared, empty where something is or nothing was chosen.
    """

    years: Floats
    places: Floats
    inside: npt.NDArray[np.bool_]
    message: str


NOTHING_BESIDE = Beside(np.array([]), np.array([]), np.array([], dtype=bool), "")


@dataclass(frozen=True, slots=True)
class TrendLine:
    """A found trend over the readings.

    Attributes
    ----------
    years, places : ndarray, shape (n,)
        The line. [decimal year], [1] of the panel's height; NaN where it is interrupted.
    wedge_years, wedge_places : ndarray, shape (m,)
        Outline of what lies between the limits of the slope; empty where they are not known.
    kind : {"trend", "uneven", "bent"}
        One straight line; or season by season, since no straight line describes the values, or since it
        would not be straight on this panel.
    """

    years: Floats
    places: Floats
    wedge_years: Floats
    wedge_places: Floats
    kind: str = "trend"


NO_TREND_LINE = TrendLine(*(np.array([]),) * 4)


@dataclass(frozen=True, slots=True)
class PanelPage:
    """All that one panel shows.

    Attributes
    ----------
    quantity : Quantity
        What was measured.
    title, unit : str
        Heading and the words after it.
    readings : DataFrame
        The drawn readings by date, columns of `READINGS`, with `when` [decimal year] and `place`. [1]
    measured, below, beyond, held : Dots
        Readings with a value; below a limit; beyond one (disk on the bottom); waiting for an answer.
    bands : tuple of Band
        Classes from the panel's lower edge up; empty where no scheme applies.
    usual_years, usual_places : ndarray, shape (m,)
        Outline of the usual range, one closed shape a season, NaN between them.
    beside : Beside
        What is compared.
    trend : TrendLine
        The trend of the whole record where one was found and no period is picked.
    breaks : tuple of Break
        Changes of method.
    axis : Axis
        The vertical axis.
    value : str
        The middle value of the period in words.
    message : str
        What a reader must know, empty if nothing.
    """

    quantity: Quantity
    title: str
    unit: str
    value: str
    readings: pd.DataFrame
    measured: Dots
    below: Dots
    beyond: Dots
    held: Dots
    bands: tuple[Band, ...]
    usual_years: Floats
    usual_places: Floats
    beside: Beside
    trend: TrendLine
    breaks: tuple[Break, ...]
    axis: Axis
    message: str


def sign_of(kind: str, *, downward: bool) -> str:
    """Return the sign that a kind of reading is drawn with.

    Parameters
    ----------
    kind : str
        One of `READINGS`.
    downward : bool
        Whether values grow from the top of the panel down.

    Returns
    -------
    {"measured", "down", "up", "held"}
        Of what is below or beyond a limit, a triangle that points to where the value lies.

    Examples
    --------
    >>> sign_of("beyond", downward=True), sign_of("beyond", downward=False), sign_of("held", downward=True)
    ('down', 'up', 'held')
    """
    if kind in ("below", "beyond"):
        return "down" if (kind == "beyond") == downward else "up"
    return kind
