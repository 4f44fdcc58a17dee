"""What goes together at a station: Carlson's indices side by side, his relations, nitrogen to phosphorus."""

from collections.abc import Mapping

import pandas as pd

from explorer.analysis.central_value import NOTHING, central_values
from explorer.analysis.indices import (
    tsi_from_chlorophyll_a,
    tsi_from_secchi,
    tsi_from_total_nitrogen,
    tsi_from_total_phosphorus,
)
from explorer.analysis.relations import carlson_deviations, nutrient_relation
from explorer.display.choice import Choice
from explorer.display.station_words import name_in_sentence
from explorer.model.programme import Programme
from explorer.model.words import join_words, say

__all__ = ["together_lines"]

UG_PER_MG = 1000.0
CHLOROPHYLL = ("chlorophyll_a", "chlorophyll_a_uncorrected")  # the first that is known


def together_lines(seasons: pd.DataFrame, choice: Choice, programme: Programme) -> list[str]:
    """Return the lines about what goes together, from the middle values of the chosen period.

    A middle value that is known as a limit only is left out: no index and no ratio is made of it.

    Parameters
    ----------
    seasons : DataFrame
        The season table of one station, columns of `SEASONS`.
    choice : Choice
        Period and language.
    programme : Programme
        Names of the quantities, and the step below which two indices are taken as equal.

    Returns
    -------
    list of str
        Empty where fewer than two of Carlson's indices are known.
    """
    language = choice.language
    middles = central_values(seasons, choice.period)

    def known(code: str) -> pd.Series:
        middle = middles.get(code, NOTHING)
        return pd.Series([middle.low if middle.low == middle.high and middle.low > 0 else float("nan")])

    chlorophyll = next((code for code in CHLOROPHYLL if known(code).notna().any()), CHLOROPHYLL[0])
    nitrogen, phosphorus = known("total_nitrogen"), known("total_phosphorus")
    indices = {
        chlorophyll: tsi_from_chlorophyll_a(known(chlorophyll)),
        "total_phosphorus": tsi_from_total_phosphorus(phosphorus),
        "secchi_depth": tsi_from_secchi(known("secchi_depth")),
    }
    of_nitrogen = {"total_nitrogen": tsi_from_total_nitrogen(nitrogen / UG_PER_MG)}
    said = _named(indices, programme, language)
    if len(said) < 2:
        return []
    lines = [say("together.indices", {"indices": join_words(said, language)}, language)]
    for index in _named(of_nitrogen, programme, language):
        lines.append(say("together.nitrogen", {"index": index}, language))
    deviations = carlson_deviations(
        indices[chlorophyll], indices["total_phosphorus"], indices["secchi_depth"], programme.deviation_step
    )
    relation = deviations["code"].iloc[0]
    if relation:
        lines.append(say(f"relation.{relation}", language=language))
    ratio = nutrient_relation(nitrogen, phosphorus, nitrogen.notna() & phosphorus.notna()).iloc[0]
    if ratio["code"]:
        values = {"mole": f"{ratio['by_mole']:.0f}", "mass": f"{ratio['by_mass']:.0f}"}
        lines += [
            say(f"relation.{ratio['code']}", values, language),
            say("together.limits", language=language),
        ]
    return [*lines, say("together.caution", language=language)]


def _named(indices: Mapping[str, pd.Series], programme: Programme, language: str) -> list[str]:
    """Return the known ones of some indices, each after the name of its quantity."""
    return [
        say(
            "together.index",
            {"quantity": name_in_sentence(programme.quantities[code]), "index": f"{index[0]:.0f}"},
            language,
        )
        for code, index in indices.items()
        if index.notna().all()
    ]
