"""Why unusual readings may be so: lines of evidence from the record, the likeliest first."""

from collections.abc import Collection, Mapping
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pandas as pd

from explorer.analysis.departure_scope import Reach, reach
from explorer.analysis.evidence_case import Case
from explorer.analysis.evidence_laboratory import batch_lines, handling_lines, volume_line
from explorer.analysis.evidence_odds import clipped
from explorer.analysis.evidence_reading import (
    bottom_lines,
    factor_lines,
    is_too_deep,
    observer_line,
    repeated_line,
)
from explorer.analysis.evidence_record import Surroundings
from explorer.analysis.evidence_water import (
    MOST_AGREEMENT,
    Agreement,
    agreement,
    reach_lines,
    season_line,
    together_line,
    weather_line,
)
from explorer.analysis.next_steps import next_step
from explorer.model.evidence import Departure, Evidence
from explorer.model.places import Station
from explorer.model.programme import Programme
from explorer.model.readings import READINGS, check_frame

__all__ = ["DEPARTURE_FORMULAS", "explain", "explained"]

Ints = npt.NDArray[np.int64]

DEPARTURE_FORMULAS = 7  # raised with every change of what is found unusual, or of why


def explain(
    readings: pd.DataFrame,
    found: pd.DataFrame,
    stations: Mapping[str, Station],
    programme: Programme,
    *,
    visits: pd.DataFrame | None = None,
    reading_ids: Collection[int] | None = None,
) -> tuple[Departure, ...]:
    """Return the unusual readings, each with what speaks for and against every explanation.

    Parameters
    ----------
    readings : DataFrame, n rows
        Columns of `READINGS`, and `analysed_on` (date) where the record has it; blanks and duplicates too.
        The more of the record, the more can be told: the same water, batch, days and observers at least.
    found : DataFrame, n rows
        `departures(readings, programme)`.
    stations : mapping of str to Station
        By code; depths are known from here.
    programme : Programme
        Season, language and quantities.
    visits : DataFrame, optional
        Columns visit_id, weather, remark: what the sheets say beside numbers.
    reading_ids : collection of int, optional
        Only these of the marked readings; all when left out.

    Returns
    -------
    tuple of Departure
        In the order of the readings.

    Raises
    ------
    ExplorerError
        If a column is missing.

    Examples
    --------
    >>> from explorer.analysis.departures import departures
    >>> days = pd.to_datetime([f"{year}-07-15" for year in range(2010, 2025)])
    >>> readings = pd.DataFrame({
    ...     name: pd.Series([0 if kind == "int64" else None] * 15).fillna("").astype(kind)
    ...     if kind in ("str", "int64") else pd.Series([None] * 15, dtype=kind)
    ...     for name, kind in READINGS.items()
    ... }).assign(
    ...     reading_id=range(15), station_code="A1", quantity="secchi_depth", taken_on=days, sign="=",
    ...     stratum="surface", value=[3.0, 3.2, 2.9] * 4 + [3.1, 10.2, 3.0], status="accepted",
    ...     sample_type="routine",
    ... )
    >>> found = departures(readings, Programme())
    >>> [told] = explain(readings, found, {}, Programme())
    >>> told.reading_id, told.direction, told.evidence[0].code, told.next_step
    (13, 'higher', 'feet', 'look_at_the_sheet')
    """
    check_frame(readings, READINGS, "readings")
    asked = found["marked"].to_numpy()
    if reading_ids is not None:
        asked = asked & found["reading_id"].isin(list(reading_ids)).to_numpy()
    if not asked.any():
        return ()
    around = Surroundings.of(readings, found, stations, programme, visits)
    rows = around.judged.rows_of(found["reading_id"].to_numpy()[asked])
    return explained(around, rows, reach(rows, around.judged.places()))


def explained(around: Surroundings, rows: Ints, who: Reach) -> tuple[Departure, ...]:
    """Return some of the marked readings of the waters at hand, each with what speaks for and against.

    Parameters
    ----------
    around : Surroundings
        All judged readings, and what is written of these waters' own.
    rows : ndarray of int, shape (marks,)
        Places of the marked readings among the judged ones.
    who : Reach
        `reach` of these rows.
    """
    return tuple(_departure(around, int(row), who, number) for number, row in enumerate(rows))


def _departure(around: Surroundings, row: int, who: Reach, number: int) -> Departure:
    case = around.case(row)
    rest = agreement(case, around)
    case = replace(case, agreement=-MOST_AGREEMENT if is_too_deep(case) else rest.weight)
    lines = _in_order(_lines(case, around, who, number, rest))
    found = around.judged.marks[row]
    beside = {"beside": found["beside"], "observer": around.read_by_others(row)}
    return Departure(
        reading_id=int(found["reading_id"]),
        station_code=case.station,
        quantity=case.quantity.code,
        taken_on=str(np.datetime64(int(around.judged.scored.day[row]), "D")),
        value=case.value,
        sign=around.said("sign", row),
        status=around.said("status", row),
        stratum=around.said("stratum", row),
        tail_probability=float(found["tail_probability"]),
        others=int(found["others"]),
        years=int(found["years"]),
        expected=case.expected,
        low=float(found["low"]),
        high=float(found["high"]),
        direction="higher" if case.way > 0 else "lower",
        by=found["by"],
        companion=str(found["companion"]) if found["by"] == "beside" else "",
        beside=float(beside.get(found["by"], np.nan)),
        scope=who.scope(number),
        evidence=lines,
        next_step=next_step(
            lines[0],
            from_laboratory=bool(around.said("batch", row) or around.said("sample_code", row)),
            season_open=around.said("status", row) == "preliminary",
        ),
    )


def _in_order(lines: list[Evidence]) -> tuple[Evidence, ...]:
    """Return the lines, the likeliest first; where none speaks for anything, one that says so comes first."""
    speaking = sorted((each for each in lines if each.verdict == "for"), key=lambda each: -each.weight)
    rest = [each for said in ("cannot_tell", "against") for each in lines if each.verdict == said]
    return (*(speaking or [Evidence("unexplained", "cannot_tell")]), *rest)


def _lines(case: Case, around: Surroundings, who: Reach, number: int, rest: Agreement) -> list[Evidence]:
    happened = clipped(float(who.happened[number]), -MOST_AGREEMENT, MOST_AGREEMENT)
    lines: list[Evidence | None] = [
        *reach_lines(case, around, who, number),
        together_line(case, around, rest),
        season_line(case, around),
        weather_line(case, around),
        *batch_lines(case, around, happened + rest.own - rest.second, rest.second),
        observer_line(case, around),
        *bottom_lines(case),
        repeated_line(case, around),
        volume_line(case, around),
        *factor_lines(case, around),
        *handling_lines(case, around),
    ]
    told = [line for line in lines if line is not None]
    remark = around.said("remark", case.row)
    quoted = any(line.code == "handling" for line in told)
    return told if quoted or not remark else [Evidence("remark", "cannot_tell", {"remark": remark}), *told]
