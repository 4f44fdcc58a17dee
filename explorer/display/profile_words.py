"""What a day's depth profile says in sentences: layers, oxygen, saturation, what was left out."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.analysis.profiles import Crossing, Thermocline, first_depth_below, thermocline
from explorer.display.choice import Choice
from explorer.display.numbers import count_text, length_text, number_text, reading_text
from explorer.model.history import StationHistory
from explorer.model.programme import Programme
from explorer.model.words import join_words, say

__all__ = ["ProfileSaid", "profile_sentences"]


@dataclass(frozen=True, slots=True)
class ProfileSaid:
    """What was found in a profile.

    Attributes
    ----------
    thermocline : Thermocline
        Where the water cools fastest.
    oxygen : Crossing
        Where oxygen first falls below the programme's mark.
    sentences : tuple of str
        Both in words, and what else to mind.
    """

    thermocline: Thermocline
    oxygen: Crossing
    sentences: tuple[str, ...]


def profile_sentences(
    values: pd.DataFrame,
    history: StationHistory,
    choice: Choice,
    programme: Programme,
    visit_id: int,
    remark: str,
) -> ProfileSaid:
    """Return what a profile says.

    Parameters
    ----------
    values : DataFrame
        From `profile_values`.
    history : StationHistory
        The station, its water and its readings.
    choice : Choice
        Units and language.
    programme : Programme
        The gradient of a thermocline and the mark for oxygen.
    visit_id : int
        The visit.
    remark : str
        What the sheet says of the visit, empty for nothing.

    Returns
    -------
    ProfileSaid
    """
    depth = values.index.to_numpy(dtype=np.float64)
    layers = thermocline(depth, values["water_temperature"], programme.thermocline_gradient_degc_per_m)
    oxygen = first_depth_below(
        depth,
        values["dissolved_oxygen"],
        values["dissolved_oxygen_limit"],
        programme.oxygen_mark_mg_per_l,
    )
    of_visit = history.readings[history.readings["visit_id"] == visit_id]
    held = int(((of_visit["stratum"] == "profile") & (of_visit["status"] == "held")).sum())
    sentences = [
        _layer_sentence(layers, choice, programme),
        *_oxygen_sentences(oxygen, choice, programme),
        _saturation_sentence(values, history, choice),
        count_text("profile.held", held, language=choice.language),
        say("profile.on_the_sheet", {"remark": remark}, choice.language) if remark else "",
    ]
    return ProfileSaid(layers, oxygen, tuple(each for each in sentences if each))


def _layer_sentence(layers: Thermocline, choice: Choice, programme: Programme) -> str:
    least = round(float(programme.thermocline_gradient_degc_per_m), 1)
    values = {
        "gradient": number_text(layers.gradient_degc_per_m, 1, choice.language),
        "least": number_text(least, 0 if least.is_integer() else 1, choice.language),
        **_lengths(layers, ("depth", "top", "bottom", "deepest"), choice),
    }
    return say(f"profile.thermocline_{layers.verdict}", values, choice.language)


def _oxygen_sentences(oxygen: Crossing, choice: Choice, programme: Programme) -> list[str]:
    quantity = programme.quantities["dissolved_oxygen"]
    limit = reading_text(programme.oxygen_mark_mg_per_l, "=", quantity, choice.length_unit, choice.language)
    values = {"limit": limit, **_lengths(oxygen, ("depth", "top", "bottom"), choice)}
    verdict = oxygen.verdict
    code = "between" if verdict == "found" and np.isnan(oxygen.depth_m) else verdict
    said = [say(f"profile.oxygen_{code}", values, choice.language)]
    return said if verdict == "not_read" else [*said, say("profile.oxygen_mark", values, choice.language)]


def _lengths(found: Thermocline | Crossing, names: tuple[str, ...], choice: Choice) -> dict[str, str]:
    known = {name: getattr(found, f"{name}_m") for name in names}
    return {
        name: length_text(depth, choice.length_unit, choice.language)
        for name, depth in known.items()
        if not np.isnan(depth)
    }


def _saturation_sentence(values: pd.DataFrame, history: StationHistory, choice: Choice) -> str:
    computed = values["saturation_computed"].to_numpy(dtype=bool)
    shown = values["oxygen_saturation"].notna().to_numpy()
    altitude = history.lake.altitude_m
    if np.isnan(altitude):
        could = (values["dissolved_oxygen"].notna() & values["water_temperature"].notna() & ~shown).any()
        return say("profile.saturation_no_altitude", language=choice.language) if could else ""
    if not computed.any():
        return ""
    depths = [
        length_text(float(depth), choice.length_unit, choice.language) for depth in values.index[computed]
    ]
    said = {
        "altitude": f"{number_text(altitude, 0, choice.language)}\N{NO-BREAK SPACE}m",
        "depths": join_words(depths, choice.language),
    }
    code = "computed" if computed.sum() == shown.sum() else "partly"
    return say(f"profile.saturation_{code}", said, choice.language)
