"""What a station's heading says of change: one trend in full, the others that were found in a few words."""

from collections.abc import Mapping, Sequence

from explorer.display.choice import Choice
from explorer.display.trend_words import trend_words
from explorer.model.programme import Programme
from explorer.model.station_trends import StationTrend
from explorer.model.words import join_words, say

__all__ = ["trend_sentences"]


def trend_sentences(
    trends: Mapping[str, StationTrend], shown: Sequence[str], choice: Choice, programme: Programme
) -> tuple[str, ...]:
    """Return the sentences about change in a station's heading.

    The trend of the whole record is told; of a period that the reader picked nothing is said, for it was
    picked by looking at the readings.

    Parameters
    ----------
    trends : mapping of str to StationTrend
        By quantity.
    shown : sequence of str
        Quantities in the order in which they may lead: the first with a found trend does, else the first.
    choice : Choice
        Period, units and language.
    programme : Programme
        Quantities and season.

    Returns
    -------
    tuple of str
        Verdict of one trend with its numbers, other trends that were found, what must be said beside it.
        Empty for a picked period, and where nothing shown was measured.
    """
    known = [trends[code] for code in dict.fromkeys(shown) if code in trends]
    if choice.picked or not known:
        return ()
    found = [each for each in known if each.found]
    first, *others = [
        trend_words(
            each, programme.quantities[each.quantity], programme.season, length_unit=choice.length_unit,
            language=choice.language,
        )
        for each in found or known[:1]
    ]  # fmt: skip
    shorts = join_words([each.brief for each in others], choice.language)
    also = [say("trend.also", {"shorts": shorts}, choice.language)] if others else []
    return (first.sentence, *also, *first.cautions)
