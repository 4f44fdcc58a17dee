"""Extracts → chlorophyll a and pheophytin a in the lake, with the total volume filtered on the data sheet.

A volume that the laboratory was told otherwise is asked about, because it changes the result in proportion.
So does a detection limit: it is that of the volume filtered, and a result below it says only so.
"""

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.chlorophyll import (
    chlorophyll_from_absorbances,
    chlorophyll_from_fluorescences,
    chlorophyll_uncorrected,
)
from explorer.analysis.extract import Extract, Number, detection_limit_at_volume
from explorer.intake.file_rows import LABORATORY_ENTRIES, FileRows, filled_frame
from explorer.intake.headings import LIMITS
from explorer.model.extract_limits import ExtractLimit
from explorer.model.problems import Problem
from explorer.records.cells import Texts, is_empty

__all__ = ["chlorophyll_entries"]

_COMPUTED = {
    "acidified": "acetone, acidified (computed)",
    "trichromatic": "acetone, trichromatic (computed)",
    "fluorometric": "acetone, fluorometric, acidified (computed)",
}

# Standard Methods 10200 H, from memory: the ratio before to after acid lies between 1.0 and 1.7 (a little
# room for noise), absorbance at 750 nm under 0.005 per cm and at 664 nm from 0.1 to 1.0.
LOWEST_ACID_RATIO, HIGHEST_ACID_RATIO = 1.0, 1.72
MOST_TURBIDITY_PER_CM = 0.005
WORKING_RANGE = (0.1, 1.0)
SAME_VOLUME_SHARE = 0.01


def chlorophyll_entries(
    rows: FileRows, sheet_volumes_ml: Mapping[str, float], limits: Iterable[ExtractLimit] = ()
) -> tuple[pd.DataFrame, tuple[Problem, ...]]:
    """Return the concentrations that a laboratory's extracts make with the volumes on the data sheets.

    Parameters
    ----------
    rows : FileRows
        A laboratory's file with extracts.
    sheet_volumes_ml : mapping of str to float
        Total volume filtered by code: "250122-2", or by the sample "250122". [mL]
    limits : iterable of ExtractLimit
        The programme's, for extracts whose file states none.

    Returns
    -------
    entries : DataFrame
        `LABORATORY_ENTRIES`: chlorophyll_a and pheophytin_a of acidified and fluorometric extracts,
        chlorophyll_a_uncorrected of trichromatic ones. Held, without a value, where the volume is missing
        or differs from what the laboratory was told, or where the acid ratio cannot be. Chlorophyll below its
        detection limit has the sign "<" and that limit.
    problems : tuple of Problem
        Every doubt.
    """
    extracts = rows.extracts
    if extracts.empty:
        return filled_frame(LABORATORY_ENTRIES, {}, 0), ()
    problems: list[Problem] = []
    volumes = [_sheet_volume(code, sheet_volumes_ml) for code in extracts["sample_code"]]
    sheet = pd.Series(volumes, index=extracts.index, dtype=np.float64)
    told = extracts["volume_filtered_ml"]
    reason = extracts["reason"].astype(object).to_numpy(copy=True)
    differs = ((sheet - told).abs() > SAME_VOLUME_SHARE * sheet).to_numpy()

    def hold(chosen: npt.ArrayLike, code: str, values: pd.DataFrame) -> None:
        asked = np.asarray(chosen, dtype=bool) & (reason == "")
        problems.extend(_problems(rows, extracts[asked], code, "hold", values[asked]))
        reason[asked] = code

    shown = pd.DataFrame(
        {"sheet": [f"{each:g} mL" for each in sheet], "told": [f"{each:g} mL" for each in told]}
    )
    shown.index = extracts.index
    hold(sheet.isna() & told.notna(), "sheet_volume_missing", shown)
    hold(sheet.isna(), "volume_missing", shown)
    hold(differs, "volumes_differ", shown)
    frames = []
    by_quantity = {each.quantity: each for each in limits}
    for name, group in extracts.groupby("procedure", sort=False):
        usable = group[reason[extracts.index.get_indexer(group.index)] == ""]
        computed = _computed(str(name), usable, sheet[usable.index])
        if "acid_ratio" in computed:
            ratio = computed.pop("acid_ratio").reindex(extracts.index)
            outside = (ratio < LOWEST_ACID_RATIO) | (ratio > HIGHEST_ACID_RATIO)
            shown["ratio"] = [f"{each:.2f}" for each in ratio]
            hold(outside, "acid_ratio_outside", shown)
            problems.extend(_pointed_out(rows, usable))
        for quantity in computed:
            value = computed[quantity].reindex(extracts.index)
            own = pd.DataFrame(np.nan, index=extracts.index, columns=list(LIMITS))
            if quantity != "pheophytin_a":
                own = _limits(usable, sheet[usable.index], by_quantity.get(str(quantity))).reindex(
                    extracts.index
                )
                shown["quantity"] = "Chlorophyll a"
                shown["limit"] = [f"{each:.3g} µg/L" for each in own["detection_limit"]]
                below = (value < own["detection_limit"]).to_numpy() & (reason == "")
                problems.extend(
                    _problems(rows, extracts[below], "computed_below_limit", "note", shown[below])
                )
                hold((value <= 0) & ~below, "not_above_zero", shown)
            frames.append((str(quantity), group, own.assign(value=value)))
    return _entries(rows, frames, sheet, reason), tuple(problems)


def _limits(group: pd.DataFrame, sheet_ml: pd.Series, limit: ExtractLimit | None) -> pd.DataFrame:
    """Return both limits for the volumes on the sheets: the file's own, else the programme's."""
    path: Number = group["path_length_cm"].fillna(1.0)
    if len(group) and group["procedure"].iloc[0] == "fluorometric":
        path = limit.path_length_cm if limit else 1.0  # nothing to fluorescences
    told = group["volume_filtered_ml"].fillna(sheet_ml)
    here = Extract(group["extract_volume_ml"], sheet_ml, path)
    stated = Extract(group["extract_volume_ml"], told, path)
    found = pd.DataFrame({name: detection_limit_at_volume(group[name], stated, here) for name in LIMITS})
    if limit is not None:
        stated = Extract(limit.extract_volume_ml, limit.volume_filtered_ml, limit.path_length_cm)
        usual = detection_limit_at_volume(limit.limit_ug_per_l, stated, here) * group["dilution"].fillna(1.0)
        found["detection_limit"] = found["detection_limit"].fillna(usual)
    return found


def _sheet_volume(code: str, volumes: Mapping[str, float]) -> float:
    return volumes.get(code, volumes.get(code.partition("-")[0], float("nan"))) if code else float("nan")


def _computed(procedure: str, group: pd.DataFrame, sheet_ml: pd.Series) -> pd.DataFrame:
    extract = Extract(group["extract_volume_ml"], sheet_ml, group["path_length_cm"].fillna(1.0))
    if procedure == "acidified":
        found = chlorophyll_from_absorbances(
            group["absorbance_664_before"], group["absorbance_665_after"], extract,
            absorbance_750_before=group["absorbance_750_before"],
            absorbance_750_after=group["absorbance_750_after"],
        )  # fmt: skip
    elif procedure == "fluorometric":
        found = chlorophyll_from_fluorescences(
            group["fluorescence_before"], group["fluorescence_after"], extract,
            acid_ratio=group["acid_ratio"], response_ug_per_l=group["response"],
        )  # fmt: skip
    else:
        uncorrected = chlorophyll_uncorrected(
            group["absorbance_664"], group["absorbance_647"], group["absorbance_630"], extract,
            absorbance_750=group["absorbance_750"],
        )  # fmt: skip
        found = pd.DataFrame({"chlorophyll_a_uncorrected": uncorrected})
    diluted = group["dilution"].fillna(1.0)  # the extract was diluted before it was read
    for name in found.columns.drop("acid_ratio", errors="ignore"):
        found[name] = found[name] * diluted
    return found


def _pointed_out(rows: FileRows, extracts: pd.DataFrame) -> list[Problem]:
    turbid = extracts["absorbance_750_before"] > MOST_TURBIDITY_PER_CM * extracts["path_length_cm"]
    low, high = WORKING_RANGE
    outside = (extracts["absorbance_664_before"] < low) | (extracts["absorbance_664_before"] > high)
    nothing = pd.DataFrame(index=extracts.index)
    return [
        *_problems(rows, extracts[turbid], "extract_turbid", "note", nothing[turbid]),
        *_problems(rows, extracts[outside], "absorbance_outside", "note", nothing[outside]),
    ]


def _problems(
    rows: FileRows, extracts: pd.DataFrame, code: str, severity: Any, values: pd.DataFrame
) -> list[Problem]:
    table = rows.layout.table
    places = zip(extracts["row"], extracts["column"], extracts["as_written"], strict=True)
    return [
        Problem(
            code,
            severity,
            table.source(int(row), str(column)),
            str(written)[:60],
            {str(name): values[name].iloc[place] for name in values},
        )
        for place, (row, column, written) in enumerate(places)
    ]


def _entries(
    rows: FileRows, frames: list[tuple[str, pd.DataFrame, pd.DataFrame]], sheet_ml: pd.Series, reason: Texts
) -> pd.DataFrame:
    table = rows.layout.table
    made = []
    for quantity, group, computed_of in frames:
        own_values = computed_of.loc[group.index]
        below = own_values["value"] < own_values["detection_limit"]
        value = own_values["value"].where(~below, own_values["detection_limit"])
        own = reason[rows.extracts.index.get_indexer(group.index)]
        method = [written if not is_empty(written) else "" for written in group["method"]]
        computed = [_COMPUTED[name] for name in group["procedure"]]
        values = {
            **{name: group[name].to_numpy() for name in LABORATORY_ENTRIES if name in group},
            "quantity": quantity,
            "value": np.where(own == "", value, np.nan),
            "sign": np.where(below & (own == ""), "<", "="),
            **{name: own_values[name].to_numpy() for name in LIMITS},
            "method": [stated or usual for stated, usual in zip(method, computed, strict=True)],
            "volume_filtered_ml": sheet_ml[group.index].to_numpy(),
            "unit_as_written": "",
            "stratum": "surface",
            "sample_type": "routine",
            "status": np.where(own == "", "accepted", "held"),
            "reason": own,
            "file_name": table.name,
            "sheet": table.sheet,
            "sha256": table.sha256,
        }
        made.append(filled_frame(LABORATORY_ENTRIES, values, len(group)))
    return pd.concat(made).sort_values("row", kind="stable", ignore_index=True)
