"""The map by unusual readings: stations by what to do about the latest one of the period."""

from collections.abc import Sequence

import pandas as pd

from explorer.display.choice import Choice
from explorer.display.map_groups import MapGroups
from explorer.display.numbers import period_text
from explorer.display.palette import class_colours, ring_patterns
from explorer.display.unusual_entry import unusual_line
from explorer.display.unusual_page import GROUPS, group_codes, group_title, in_period
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["unusual_groups"]


def unusual_groups(
    rows: pd.DataFrame, codes: Sequence[str], choice: Choice, programme: Programme
) -> MapGroups:
    """Return the stations by what to do about their latest unusual reading in the period.

    Parameters
    ----------
    rows : DataFrame
        Columns of `DEPARTURE_ROWS`, of all stations.
    codes : sequence of str
        Station codes, in the order of the map.
    choice : Choice
        Period, units and language.
    programme : Programme
        Season and quantities.

    Returns
    -------
    MapGroups
        In the order of the work; a station without an unusual reading in the period stands in no group.
    """
    language = choice.language
    inside = rows[in_period(rows, choice.period, programme)]
    newest = inside.sort_values(["taken_on", "reading_id"]).drop_duplicates("station_code", keep="last")
    latest = dict(zip(newest["station_code"], newest.to_dict("records"), strict=True))
    group = dict(zip(newest["station_code"], group_codes(newest), strict=True))
    nothing = say("map.unusual_nothing", language=language)
    names = tuple(group_title(code, language) for code in GROUPS)
    return MapGroups(
        indexes=tuple(GROUPS.index(group[code]) if code in group else -1 for code in codes),
        labels=tuple(
            unusual_line(latest[code], choice, programme) if code in latest else nothing for code in codes
        ),
        names=names,
        letters=("",) * len(names),
        colours=class_colours(len(names)),
        patterns=ring_patterns(names),
        rest=nothing,
        caption=say(
            "map.caption_unusual",
            {"period": period_text(choice.period, programme.season, language)},
            language,
        ),
        marks=tuple(group_title(group[code], language) if code in group else "–" for code in codes),
    )
