"""What the map's colours mean: the class, the months that still lack a visit, or nothing but the place."""

from dataclasses import dataclass

import pandas as pd

from explorer.display.choice import Choice
from explorer.display.numbers import count_text, period_text
from explorer.display.palette import class_colours, ring_patterns
from explorer.model.classes import ClassScheme
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["MAP_SHOWS", "MapGroups", "Tilt", "class_groups", "place_groups", "visit_groups"]

MAP_SHOWS = (
    "class",
    "visits",
    "unusual",
    "trend_clarity",
    "trend_chlorophyll",
    "trend_phosphorus",
    "trend_nitrogen",
    "places",
)
VISIT_STEPS = (0, 2)  # months without a visit at which one group ends and the next begins


@dataclass(frozen=True, slots=True)
class Tilt:
    """A short tilted line and the wedge around it, as angles from the horizontal, upwards to the right.

    Attributes
    ----------
    degrees : int
        Of the line. [deg]
    low_degrees, high_degrees : int
        Ends of the wedge. [deg]
    """

    degrees: int
    low_degrees: int
    high_degrees: int


@dataclass(frozen=True, slots=True)
class MapGroups:
    """Stations sorted into groups that share a colour.

    Attributes
    ----------
    indexes : tuple of int
        Group of each station, -1 for none.
    labels : tuple of str
        What the list and the pointer say of each station.
    names, letters, colours, patterns : tuple of str
        Name, letter, colour "#rrggbb" and ring of each group, best first.
    rest : str
        Name of what belongs to no group, empty where every station has one.
    caption : str
        What the colours mean.
    tilts : tuple of Tilt or None
        Line of each station; empty where the map shows none.
    sample_tilts : tuple of Tilt or None
        Line of each group in the legend; empty where the map shows none.
    marks : tuple of str
        The label in a few letters, for the list; empty where the label is short enough.
    """

    indexes: tuple[int, ...]
    labels: tuple[str, ...]
    names: tuple[str, ...]
    letters: tuple[str, ...]
    colours: tuple[str, ...]
    patterns: tuple[str, ...]
    rest: str
    caption: str
    tilts: tuple[Tilt | None, ...] = ()
    sample_tilts: tuple[Tilt | None, ...] = ()
    marks: tuple[str, ...] = ()


def class_groups(
    classes: pd.DataFrame, choice: Choice, scheme: ClassScheme, programme: Programme
) -> MapGroups:
    """Return the stations by their class in the period.

    Parameters
    ----------
    classes : DataFrame, one row a station
        Columns class_index, letter, visits, missing.
    choice : Choice
        Period and language.
    scheme : ClassScheme
        The scheme that gave the classes.
    programme : Programme
        For the period's words.

    Returns
    -------
    MapGroups
    """
    language = choice.language
    rows = zip(classes["letter"], classes["visits"], classes["missing"], strict=True)
    labels = tuple(
        say(
            "list.classed" if letter else f"list.{missing}",
            {"letter": letter, "visits": count_text("count.visit", int(visits), language=language)},
            language,
        )
        for letter, visits, missing in rows
    )
    values = {"scheme": scheme.name, "period": period_text(choice.period, programme.season, language)}
    return MapGroups(
        indexes=tuple(classes["class_index"].astype("int64").tolist()),
        labels=labels,
        names=scheme.classes,
        letters=scheme.letters,
        colours=class_colours(len(scheme.classes)),
        patterns=ring_patterns(scheme.classes),
        rest=say("map.no_class", language=language),
        caption=say("map.caption", values, language),
        marks=tuple(letter or say("list.no_letter", language=language) for letter in classes["letter"]),
    )


def visit_groups(missing: pd.Series, year: int, choice: Choice, programme: Programme) -> MapGroups:
    """Return the stations by the months of a season that still lack a visit.

    Parameters
    ----------
    missing : Series of int, one entry a station
        Months without a visit.
    year : int
        The season.
    choice : Choice
        Language.
    programme : Programme
        For the season's words.

    Returns
    -------
    MapGroups
    """
    language = choice.language
    counts = missing.tolist()
    names = tuple(say(f"map.visits_{number}", language=language) for number in range(len(VISIT_STEPS) + 1))
    return MapGroups(
        indexes=tuple(sum(count > step for step in VISIT_STEPS) for count in counts),
        labels=tuple(count_text("list.due", int(count), language=language) for count in counts),
        names=names,
        letters=("",) * len(names),
        colours=class_colours(len(names)),
        patterns=ring_patterns(names),
        rest="",
        caption=say("map.caption_visits", {"season": programme.season.label(year)}, language),
        marks=tuple(count_text("list.due_mark", int(count), language=language) for count in counts),
    )


def place_groups(stations: int, choice: Choice) -> MapGroups:
    """Return the stations without any meaning of colour.

    Parameters
    ----------
    stations : int
        How many there are.
    choice : Choice
        Language.

    Returns
    -------
    MapGroups
    """
    caption = say("map.caption_places", language=choice.language)
    return MapGroups((-1,) * stations, ("",) * stations, (), (), (), (), "", caption)
