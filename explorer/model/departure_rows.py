"""Unusual readings as rows of a table, as they are stored, and back again."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

import pandas as pd

from explorer.model.evidence import Amount, Departure, Evidence, Value

__all__ = ["DEPARTURE_ROWS", "SCORE_ROWS", "departure_rows", "departures_of"]

DEPARTURE_ROWS: Mapping[str, str] = {
    "reading_id": "int64",
    "station_code": "str",
    "quantity": "str",
    "taken_on": "str",  # local date, ISO 8601
    "value": "float64",
    "sign": "str",
    "status": "str",
    "stratum": "str",
    "tail_probability": "float64",
    "others": "int64",
    "years": "int64",
    "expected": "float64",
    "low": "float64",
    "high": "float64",
    "direction": "str",
    "by": "str",
    "companion": "str",
    "beside": "float64",
    "scope": "str",
    "next_step": "str",
    "likeliest": "str",  # code of the first line of evidence
    "evidence": "str",  # JSON
}
# What a station says of its own readings, from which it is told which of all readings are unusual.
SCORE_ROWS: Mapping[str, str] = {"station_code": "str", "quantity": "str", "scores": "object"}
_PLAIN = tuple(name for name in DEPARTURE_ROWS if name not in ("likeliest", "evidence"))


def departure_rows(departures: Iterable[Departure]) -> pd.DataFrame:
    """Return unusual readings as a table.

    Parameters
    ----------
    departures : iterable of Departure
        In any order; it is kept.

    Returns
    -------
    DataFrame
        Columns of `DEPARTURE_ROWS`, one row each.

    Examples
    --------
    >>> len(departure_rows([]))
    0
    """
    rows = [
        {
            **{name: getattr(each, name) for name in _PLAIN},
            "likeliest": each.evidence[0].code,
            "evidence": json.dumps([_stored(line) for line in each.evidence], ensure_ascii=False),
        }
        for each in departures
    ]
    return pd.DataFrame(
        {name: pd.Series([row[name] for row in rows], dtype=kind) for name, kind in DEPARTURE_ROWS.items()}
    )


def departures_of(rows: pd.DataFrame) -> tuple[Departure, ...]:
    """Return the unusual readings of a table.

    Parameters
    ----------
    rows : DataFrame
        Columns of `DEPARTURE_ROWS`.

    Returns
    -------
    tuple of Departure
        In the order of the rows.

    Examples
    --------
    >>> line = Evidence("batch", "for", {"batch": "D1", "count": 3, "of": 4}, 2.0)
    >>> found = Departure(7, "HM1", "total_phosphorus", "2024-07-15", 84.0, "=", "accepted", "surface", 0.001,
    ...                   30, 12, 20.0, 9.0, 44.0, "higher", "month", "", -1.0, "station", (line,),
    ...                   "ask_the_laboratory")
    >>> departures_of(departure_rows([found])) == (found,)
    True
    """
    columns = [rows[name].tolist() for name in (*_PLAIN, "evidence")]
    return tuple(
        Departure(**dict(zip(_PLAIN, cells, strict=True)), evidence=_lines(text))
        for *cells, text in zip(*columns, strict=True)
    )


def _stored(line: Evidence) -> dict[str, Any]:
    values = {
        name: asdict(value) if isinstance(value, Amount) else value
        for name, value in line.values.items()  # noqa: PD011
    }
    return {"code": line.code, "verdict": line.verdict, "weight": line.weight, "values": values}


def _lines(text: str) -> tuple[Evidence, ...]:
    return tuple(
        Evidence(
            each["code"],
            each["verdict"],
            {name: _value(value) for name, value in each["values"].items()},
            each["weight"],
        )
        for each in json.loads(text)
    )


def _value(stored: Any) -> Value:
    return Amount(**stored) if isinstance(stored, dict) else stored
