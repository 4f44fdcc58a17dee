"""What goes together at a station: Carlson's indices side by side, his relations, nitrogen to phosphorus."""

from collections.abc import Mapping
from dataclasses import dataclass

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
from explorer.model.calendar import Period
from explorer.model.programme import Programme
from explorer.model.quantities import name_in_sentence
from explorer.model.words import join_words, say

__all__ = ["Together", "together_lines", "together_values"]

UG_PER_MG = 1000.0
CHLOROPHYLL = ("chlorophyll_a", "chlorophyll_a_uncorrected")  # the first that is known


@dataclass(frozen=True, slots=True)
class Together:
    """What a period's middle values come to, side by side.

    Attributes
    ----------
    indices : mapping of str to float
        Carlson's index by quantity, of those whose middle value is known. [1]
    of_nitrogen : float or None
        The index of Kratzer and Brezonik; None where nitrogen is not known. [1]
    relation : str
        Code of the one of Carlson's relations that fits, empty for none.
    minus_secchi : float
        Index of chlorophyll less that of Secchi depth. [1] NaN where one is not known.
    ratio : str
        Code of nitrogen to phosphorus, empty where nothing is said of it.
    by_mole, by_mass : float
        Nitrogen to phosphorus. [mol/mol], [g/g] NaN where not known.
    """

    indices: Mapping[str, float]
    of_nitrogen: float | None
    relation: str
    minus_secchi: float
    ratio: str
    by_mole: float
    by_mass: float


def together_values(seasons: pd.DataFrame, period: Period, deviation_step: float) -> Together:
    """Return what goes together, from the middle values of a period.

    A middle value that is known as a limit only is left out: no index and no ratio is made of it.

    Parameters
    ----------
    seasons : DataFrame
        The season table of one station, columns of `SEASONS`.
    period : Period
        Seasons that count.
    deviation_step : float
        Difference below which two indices are taken as equal. [1]
    """
    middles = central_values(seasons, period)

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
    deviations = carlson_deviations(
        indices[chlorophyll], indices["total_phosphorus"], indices["secchi_depth"], deviation_step
    ).iloc[0]
    ratio = nutrient_relation(nitrogen, phosphorus, nitrogen.notna() & phosphorus.notna()).iloc[0]
    return Together(
        indices={code: float(index[0]) for code, index in indices.items() if index.notna().all()},
        of_nitrogen=float(tsi_from_total_nitrogen(nitrogen / UG_PER_MG)[0])
        if nitrogen.notna().all()
        else None,
        relation=str(deviations["code"]),
        minus_secchi=float(deviations["minus_secchi"]),
        ratio=str(ratio["code"]),
        by_mole=float(ratio["by_mole"]),
        by_mass=float(ratio["by_mass"]),
    )


def together_lines(seasons: pd.DataFrame, choice: Choice, programme: Programme) -> list[str]:
    """Return the lines about what goes together, from the middle values of the chosen period.

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
    found = together_values(seasons, choice.period, programme.deviation_step)
    if len(found.indices) < 2:
        return []

    def named(code: str, index: float) -> str:
        values = {"quantity": name_in_sentence(programme.quantities[code]), "index": f"{index:.0f}"}
        return say("together.index", values, language)

    said = [named(code, index) for code, index in found.indices.items()]
    lines = [say("together.indices", {"indices": join_words(said, language)}, language)]
    if found.of_nitrogen is not None:
        index = named("total_nitrogen", found.of_nitrogen)
        lines.append(say("together.nitrogen", {"index": index}, language))
    if found.relation:
        lines.append(say(f"relation.{found.relation}", language=language))
    if found.ratio:
        values = {"mole": f"{found.by_mole:.0f}", "mass": f"{found.by_mass:.0f}"}
        lines += [say(f"relation.{found.ratio}", values, language), say("together.limits", language=language)]
    return [*lines, say("together.caution", language=language)]
