"""A lake's meeting as plain values: five steps with their pictures, the one input of screen and hand-out."""

from dataclasses import dataclass

__all__ = [
    "STEPS",
    "Chart",
    "ClassLadder",
    "IndexRows",
    "MeetingPoint",
    "MeetingStep",
    "Picture",
    "Span",
    "VisitRows",
]

STEPS = ("state", "months", "years", "together", "next")


@dataclass(frozen=True, slots=True)
class MeetingPoint:
    """A point on a picture that can be opened.

    Attributes
    ----------
    across, up : float
        Where on the picture's field, from its left and its lower edge. [1]
    words : str
        What it says when it is opened: a day or season and a value; no person.
    kind : {"measured", "below", "beyond", "due"}
        A value, a limit that it lies below or beyond, or a visit that is still to come.
    """

    across: float
    up: float
    words: str
    kind: str = "measured"


@dataclass(frozen=True, slots=True)
class Span:
    """A usual range on a chart: from where to where. [1] of the field."""

    left: float
    right: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class ClassLadder:
    """The classes of a scheme side by side, best at the left.

    Attributes
    ----------
    alt : str
        What it shows, in words.
    names, letters : tuple of str
        The classes, and what stands for each where there is little room.
    here : tuple of int
        Where the lake stands: one class, two where both are possible, none.
    points : tuple of MeetingPoint
        The value behind the class, at the middle of its class.
    ends : tuple of str
        What there is less of at the left and more of at the right; empty where nobody can say.
    """

    alt: str
    names: tuple[str, ...]
    letters: tuple[str, ...]
    here: tuple[int, ...]
    points: tuple[MeetingPoint, ...]
    ends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """Values over months or years.

    Attributes
    ----------
    alt : str
        What it shows, in words.
    across, up : tuple of (float, str)
        Places [1] and labels of the ticks.
    spans : tuple of Span
        Usual ranges.
    line : tuple of (float, float)
        Ends of a trend's line, empty without one. [1]
    points : tuple of MeetingPoint
        Values.
    """

    alt: str
    across: tuple[tuple[float, str], ...]
    up: tuple[tuple[float, str], ...]
    spans: tuple[Span, ...]
    line: tuple[tuple[float, float], ...]
    points: tuple[MeetingPoint, ...]


@dataclass(frozen=True, slots=True)
class IndexRows:
    """Quantities one below the other on one scale.

    Attributes
    ----------
    alt : str
        What it shows, in words.
    names : tuple of str
        One for each row.
    ends : tuple of str
        What lies at the left and at the right.
    points : tuple of MeetingPoint
        One for each row; `up` is not looked at.
    """

    alt: str
    names: tuple[str, ...]
    ends: tuple[str, str]
    points: tuple[MeetingPoint, ...]


@dataclass(frozen=True, slots=True)
class VisitRows:
    """The months of two seasons: visited, missed, still to come.

    Attributes
    ----------
    alt : str
        What it shows, in words.
    months : tuple of str
        Names of the columns.
    rows : tuple of str
        Names of the rows.
    points : tuple of MeetingPoint
        A visited month is "measured", a missed one "below", one to come "due"; places are column and row.
    """

    alt: str
    months: tuple[str, ...]
    rows: tuple[str, ...]
    points: tuple[MeetingPoint, ...]


Picture = ClassLadder | Chart | IndexRows | VisitRows


@dataclass(frozen=True, slots=True)
class MeetingStep:
    """One step of a meeting; whole sentences throughout.

    Attributes
    ----------
    code : str
        One of `STEPS`.
    title : str
        What it is about.
    sentence : str
        What the numbers say, plainly.
    sureness : str
        One line on how sure that is.
    picture : Picture or None
        What is shown; None where there is nothing to show.
    figures : tuple of str
        The numbers behind it; the first says how many visits by how many volunteers.
    known : tuple of str
        How we know, and what else belongs to it.
    caution : str
        What stands beside every step.
    """

    code: str
    title: str
    sentence: str
    sureness: str
    picture: Picture | None
    figures: tuple[str, ...]
    known: tuple[str, ...]
    caution: str
