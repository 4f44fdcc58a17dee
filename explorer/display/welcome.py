"""What stands on the screen before a station is picked: what the record holds, and what to do."""

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from explorer.display.numbers import count_text
from explorer.model.places import Lake, Station
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["welcome_sentences"]


def welcome_sentences(
    lakes: Mapping[str, Lake], stations: Sequence[Station], seasons: pd.DataFrame, programme: Programme
) -> tuple[str, str]:
    """Return the sentences of the screen's start.

    Parameters
    ----------
    lakes : mapping of str to Lake
        Waters by code.
    stations : sequence of Station
        The record's stations; where none has a place there is no map to speak of.
    seasons : DataFrame
        The season table, columns of `SEASONS`.
    programme : Programme
        Season and language.

    Examples
    --------
    >>> pond = Station("P1", "Pier", "P", float("nan"), float("nan"), float("nan"), True)
    >>> seasons = pd.DataFrame({"year": [2024]})
    >>> from explorer.model.programme_text import read_programme
    >>> welcome_sentences({}, (pond,), seasons, read_programme(""))
    ('No waters, 1 station, season 2024.', 'Pick a station in the list, or by the name of its water.')
    """
    language, years = programme.office_language, seasons["year"]
    values: dict[str, object] = {
        "waters": count_text("count.water", len(lakes), language=language),
        "stations": count_text("count.station", len(stations), language=language),
    }
    holds = "record_empty"
    if not years.empty:
        first, last = int(years.min()), int(years.max())
        values |= {"first": programme.season.label(first), "last": programme.season.label(last)}
        holds = "record_holds" if first < last else "record_holds_one"
    mapped = not all(np.isnan(station.longitude_deg) for station in stations)
    pick = "choice.pick" if mapped else "choice.pick_listed"
    return say(f"choice.{holds}", values, language), say(pick, language=language)
