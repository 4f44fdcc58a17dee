"""A long table under the column names of the Water Quality Exchange (WQX), an open standard.

Three sets of names are in use: the older result profile with slashes, the 3.0 profile, and the template for
submissions. Values of its domain lists are turned into the record's words here; what the programme does not
measure is counted and named, not taken in.
"""

from collections import Counter
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from explorer.model.quantities import Quantity
from explorer.records.cells import UNMEASURED, Texts, is_empty, read_each
from explorer.records.columns import ColumnsFile
from explorer.records.exchange_names import (
    ALSO_CALLED,
    NAMES,
    QUALITY_CONTROL,
    STATUS_WORDS,
    STRATUM_WORDS,
    WHOLE,
    WITH_VALUE,
)
from explorer.records.findings import Findings
from explorer.records.stated_places import stated_places
from explorer.records.text_tables import TextTable
from explorer.records.written import WrittenReadings

__all__ = ["is_exchange_table", "read_exchange_table"]

NEEDED = ("station_code", "taken_on", "characteristic", "value", "unit")


def is_exchange_table(table: TextTable) -> bool:
    """Return whether a table has the standard's columns of characteristics and values.

    Parameters
    ----------
    table : TextTable
        Any table.

    Examples
    --------
    >>> from explorer.records.text_tables import read_table
    >>> is_exchange_table(read_table("a.csv", b"CharacteristicName,ResultMeasureValue\\npH,7\\n"))
    True
    """
    return all(set(NAMES[name]) & set(table.headings) for name in ("characteristic", "value"))


def read_exchange_table(
    table: TextTable, columns: ColumnsFile, quantities: Mapping[str, Quantity], findings: Findings
) -> WrittenReadings | None:
    """Return the readings of an exchange table as written, None where a column is missing.

    Parameters
    ----------
    table : TextTable
        Columns of the standard; ones that say nothing of a reading are passed over.
    columns : ColumnsFile
        Answers from the file beside it; empty where there is none.
    quantities : mapping of str to Quantity
        The programme's quantities by code, with their exchange names.
    findings : Findings
        Takes the problems, and counts rows of other quantities as refused.
    """
    headings = {
        name: heading for name, known in NAMES.items() for heading in known if heading in table.headings
    }
    missing = [name for name in NEEDED if name not in headings]
    for name in missing:
        findings.add(
            "missing_column", "refuse", table.source(1), NAMES[name][0], known=", ".join(table.headings[:20])
        )
    if missing:
        return None
    cells = {name: np.array(table.column(heading), dtype=object) for name, heading in headings.items()}
    cells |= {name: np.full(len(table.rows), "", dtype=object) for name in NAMES if name not in cells}
    codes = _quantities(cells, quantities)
    kept = _kept(table, cells, codes, findings)
    if not kept.any() and table.rows:
        return None
    for row in np.flatnonzero(kept & (cells["station_code"] == "")):
        findings.add(
            "station_missing", "refuse", table.source(table.row_numbers[row], headings["station_code"])
        )
    texts = _texts(cells, codes, headings["value"])
    places = stated_places(table, cells["station_code"], headings, columns, findings)
    beside = {"sample_type": "activity", "status": "result_status", "stratum": "relative_depth",
              "detection_limit": "limit", "reporting_limit": "limit"}  # fmt: skip
    headings |= {name: headings.get(stated, "") for name, stated in beside.items()}
    rows = np.array(table.row_numbers, dtype=np.int64)[kept]
    texts = {name: column[kept] for name, column in texts.items()}
    return WrittenReadings(
        table, rows, texts, headings, columns.answers, date_form=columns.date_form, places=places
    )


def _quantities(cells: Mapping[str, Texts], quantities: Mapping[str, Quantity]) -> Texts:
    """Return the quantity of every row, "" where the programme measures no such thing."""
    named: dict[str, list[Quantity]] = {}
    for quantity in quantities.values():
        if quantity.exchange_name:
            named.setdefault(quantity.exchange_name.casefold(), []).append(quantity)

    def read(key: str) -> str:
        characteristic, fraction, unit = key.split("\x00")
        if characteristic in ALSO_CALLED:
            return ALSO_CALLED[characteristic] if fraction in WHOLE else ""
        if characteristic == "dissolved oxygen (do)" and unit.startswith("%"):
            return "oxygen_saturation"
        for quantity in named.get(characteristic, ()):
            wanted = quantity.exchange_fraction.casefold()
            if not wanted or fraction == wanted or (wanted == "total" and fraction in WHOLE[1:]):
                return quantity.code
        return ""

    parts = zip(cells["characteristic"], cells["fraction"], cells["unit"], strict=True)
    return np.array(read_each(["\x00".join(part).casefold() for part in parts], read), dtype=object)


def _kept(
    table: TextTable, cells: Mapping[str, Texts], codes: Texts, findings: Findings
) -> npt.NDArray[np.bool_]:
    """Return the rows that are readings of the programme; count and name the others."""
    media = np.array([text.casefold() for text in cells["media"]], dtype=object)
    pairs = zip(cells["characteristic"], cells["fraction"], strict=True)
    names = np.array([f"{name}, {part}" if part else name for name, part in pairs], dtype=object)
    kept = np.ones(len(codes), dtype=bool)
    left: list[tuple[str, Texts]] = []
    for problem, chosen, what in (
        ("other_media", (media != "") & (media != "water"), cells["media"]),
        ("other_quantities", codes == "", names),
        ("not_single_readings", cells["statistic"] != "", cells["statistic"]),
    ):
        left.append((problem, what[kept & chosen]))
        kept &= ~chosen
    for problem, texts in left:
        counted = Counter(texts.tolist()).most_common()
        shown = ", ".join(f"{name} ({count})" for name, count in counted[:8])
        if counted:
            findings.add(problem, "note" if kept.any() else "refuse", table.source(), count=len(texts),
                         kinds=len(counted), shown=shown + (" …" if len(counted) > 8 else ""))  # fmt: skip
    if kept.any():
        findings.cells.read += int((~kept).sum())
        findings.cells.refused += int((~kept).sum())
    return kept


def _texts(cells: Mapping[str, Texts], codes: Texts, value_heading: str) -> dict[str, Texts]:
    """Return the cells under the names of entries, the domain lists' words turned into the record's."""
    condition = np.array([text.casefold() for text in cells["condition"]], dtype=object)
    stated = np.array([not is_empty(text) for text in cells["value"]], dtype=bool)
    spoken = np.array([UNMEASURED.get(text, "") for text in condition], dtype=object)
    limit_type = np.array([text.casefold() for text in cells["limit_type"]], dtype=object)
    detects = np.array(["detection" in text for text in limit_type], dtype=bool)
    below = (spoken == "reporting") | (cells["value_type"] == "Estimated")
    agreed = np.isin(condition, WITH_VALUE)
    both = cells["value"] + " (" + cells["condition"] + ")"  # two statements that exclude each other: held
    by_result = cells["result_depth"] != ""
    units = zip(cells["unit"], cells["speciation"], strict=True)
    methods = zip(cells["method_id"], cells["method_name"], cells["laboratory"], strict=True)
    return {
        "station_code": cells["station_code"],
        "taken_on": cells["taken_on"],
        "taken_time": cells["taken_time"],
        "quantity": codes,
        "column": np.full(len(codes), value_heading, dtype=object),
        "value": np.where(stated, np.where(agreed, cells["value"], both), cells["condition"]),
        "unit": np.array([_unit(*pair) for pair in units], dtype=object),
        "limit_unit": cells["limit_unit"],
        "detection_limit": np.where(detects, cells["limit"], ""),
        "reporting_limit": np.where(detects, "", cells["limit"]),
        "depth_m": np.where(by_result, cells["result_depth"], cells["depth_m"]),
        "depth_unit": np.where(by_result, cells["result_depth_unit"], cells["depth_unit"]),
        "stratum": _turned(cells["relative_depth"], STRATUM_WORDS),
        "status": _turned(cells["result_status"], STATUS_WORDS),
        "sample_type": np.array(read_each(cells["activity"].tolist(), _sample_type), dtype=object),
        "sample_code": cells["sample_code"],
        "qualifier": cells["qualifier"],
        "estimated": np.where(stated & below, "yes", ""),
        "method": np.array([", ".join(filter(None, parts)) for parts in methods], dtype=object),
        "analysed_on": cells["analysed_on"],
        "remark": cells["remark"],
    }


def _unit(unit: str, speciation: str) -> str:
    """Return the unit with what it counts: "mg/l" and "as NO3" make "mg/l as NO3"."""
    return (
        f"{unit} {speciation}"
        if unit and speciation.casefold().startswith("as ") and " as " not in unit
        else unit
    )


def _turned(texts: Texts, words: Mapping[str, str]) -> Texts:
    """Return the record's word for each; one that is in no list stays as written, and will be held."""
    return np.array(read_each(texts.tolist(), lambda text: words.get(text.casefold(), text)), dtype=object)


def _sample_type(activity: str) -> str:
    folded = activity.casefold()
    if not folded.startswith("quality control"):
        return "routine"
    return next((ours for word, ours in QUALITY_CONTROL if word in folded), activity)
