"""What a scheme's authors say besides its class: names for a value, or a level from several quantities."""

from collections.abc import Callable, Mapping
from math import isnan

import pandas as pd

from explorer.analysis.open_boundaries import OPEN_CLASSES, naming_shares
from explorer.analysis.trophic_level import (
    BURNS_CLEAREST_M,
    trophic_level_from_chlorophyll_a,
    trophic_level_from_secchi,
    trophic_level_from_total_nitrogen,
    trophic_level_from_total_phosphorus,
    trophic_level_index,
)
from explorer.display.class_explanation import shares_text
from explorer.display.explained import Explained, name_in_list
from explorer.display.judged_seasons import judged_period
from explorer.model.words import join_words

__all__ = ["BESIDE", "beside_class"]

ONE_QUANTITY = {"chlorophyll_a_uncorrected": "chlorophyll_a"}  # neither source tells the two apart
LEVELS: Mapping[str, Callable[[pd.Series], pd.Series]] = {
    "chlorophyll_a": trophic_level_from_chlorophyll_a,
    "total_phosphorus": trophic_level_from_total_phosphorus,
    "total_nitrogen": trophic_level_from_total_nitrogen,
    "secchi_depth": trophic_level_from_secchi,
}


def beside_class(explained: Explained, seasons: pd.DataFrame) -> tuple[str, list[str]]:
    """Return the code of a heading and the lines under it; no lines where there is nothing to say.

    Parameters
    ----------
    explained : Explained
        The values behind a class.
    seasons : DataFrame
        The season table of the station, columns of `SEASONS`.

    Returns
    -------
    code : str
        The heading is `explanation.title_<code>`.
    lines : list of str
        Plain text.
    """
    code, lines_of = BESIDE.get(explained.scheme.key, ("", _nothing))
    return code, lines_of(explained, seasons) if explained.result.label else []


def _nothing(_: Explained, __: pd.DataFrame) -> list[str]:
    return []


def _naming_lines(explained: Explained, _: pd.DataFrame) -> list[str]:
    """Return how the experts of the OECD study would have named the value behind the class."""
    quantity = explained.result.quantity
    judged = explained.judged[quantity]
    if isnan(judged.value):
        return []
    shares = naming_shares([judged.value], ONE_QUANTITY.get(quantity, quantity))[0]
    values = {
        "quantity": name_in_list(explained.programme.quantities[quantity]),
        "value": explained.value(quantity, judged.value, judged.low, judged.high),
        "shares": shares_text(dict(zip(OPEN_CLASSES, shares, strict=True)), explained),
    }
    return [explained.say(code, values) for code in ("naming", "naming_limits")]


def _level_lines(explained: Explained, seasons: pd.DataFrame) -> list[str]:
    """Return Burns' level of each quantity, and their mean where none is missing."""
    levels: dict[str, pd.Series] = {}
    said, missing = [], []
    for code, level_of in LEVELS.items():
        found = _mean_over_the_year(explained, seasons, code)
        names = explained.programme.quantities
        if found is None:
            missing.append(name_in_list(names[code]))
            continue
        measured, value = found
        levels[code] = level_of(pd.Series([value]))
        values = {"quantity": name_in_list(names[measured]), "level": f"{levels[code].iloc[0]:.1f}"}
        said.append(explained.say("level_one", values))
    if not levels:
        return []
    language = explained.choice.language
    lines = [explained.say("levels", {"levels": join_words(said, language)})]
    if missing:
        lines.append(explained.say("level_missing", {"missing": join_words(missing, language)}))
    else:
        index = trophic_level_index(*levels.values()).iloc[0]
        lines.append(explained.say("level_index", {"index": f"{index:.1f}"}))
    return [*lines, explained.say("level_source")]


def _mean_over_the_year(explained: Explained, seasons: pd.DataFrame, code: str) -> tuple[str, float] | None:
    """Return which quantity was measured and its mean, None where no level can be made of it."""
    scheme, programme = explained.scheme, explained.programme
    for each in (code, *(other for other, same in ONE_QUANTITY.items() if same == code)):
        judged = judged_period(
            seasons, each, explained.choice.period, scheme, programme, explained.history.lake.kind
        )
        is_known = judged.value > 0 and not (code == "secchi_depth" and judged.value >= BURNS_CLEAREST_M)
        if is_known:
            return each, judged.value
    return None


BESIDE: Mapping[str, tuple[str, Callable[[Explained, pd.DataFrame], list[str]]]] = {
    "oecd_1982_fixed": ("naming", _naming_lines),
    "burns_1999": ("levels", _level_lines),
}
