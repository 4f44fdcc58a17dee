"""Bottles and filters named in a table: the code on each, and when it went into the freezer and out."""

import re
from typing import Any

import numpy as np
import pandas as pd

from explorer.intake.file_rows import CONTAINER_COLUMNS, filled_frame
from explorer.intake.layout import Cells
from explorer.intake.sample_codes import CONTAINERS, read_sample_codes
from explorer.intake.table_reader import TableReader
from explorer.records.cells import is_empty

__all__ = ["CONTAINER_ROLES", "read_containers"]

# What a column of codes holds, and the containers that may stand there.
CONTAINER_ROLES = {
    "sample": ("sample", tuple(CONTAINERS.values())),
    "bottle": ("bottle", ("bottle", "second bottle")),
    "filter": ("filter", ("filter", "second filter")),
    "bottle_duplicate": ("second bottle", ("second bottle",)),
    "filter_duplicate": ("second filter", ("second filter",)),
    "bottle_blank": ("blank bottle", ("bottle",)),
    "filter_blank": ("blank filter", ("filter",)),
}
_SEVERAL = re.compile(r"\s*[,;&+]\s*")


def read_containers(reader: TableReader, **beside: Any) -> pd.DataFrame:
    """Return one row for every code in the table's columns of codes; what cannot be read is held.

    Parameters
    ----------
    reader : TableReader
        The table; takes the problems.
    **beside
        Further columns of `CONTAINER_COLUMNS`, arrays of shape (rows,).
    """
    frames = []
    for role, (container, allowed) in CONTAINER_ROLES.items():
        for column in reader.layout.columns_of(role):
            texts = reader.column_texts(column)
            places, parts = _parted(texts.tolist())
            codes = read_sample_codes(parts)
            kinds = np.array([CONTAINERS.get(each, each) for each in codes.container], dtype=object)
            is_blank = container.startswith("blank")  # its code does not tell that
            stranger = (codes.container != "") & ~np.isin(kinds, allowed)
            problem = np.where((codes.problem == "") & stranger, "other_container", codes.problem)
            cells = Cells(places, np.full(len(places), column.position, dtype=np.int64))
            reader.hold(cells, problem, near=codes.near, container=container)
            reader.note(cells, codes.note, read_as=codes.code)
            chosen = ~reader.refused_rows[places]
            values = {
                "row": reader.rows[places],
                "column": column.heading,
                "as_written": np.array(parts, dtype=object),
                "container": np.where((codes.container != "") & ~is_blank, kinds, container),
                "sample_code": np.where(problem == "", codes.code, ""),
                "near": codes.near,
                "reason": problem,
                **{name: values[places] for name, values in beside.items()},
            }
            frame = filled_frame(CONTAINER_COLUMNS, values, len(places))
            frames.append(frame[chosen])
    full = [frame for frame in frames if len(frame)]
    if not full:
        return filled_frame(CONTAINER_COLUMNS, {}, 0)
    return pd.concat(full).sort_values("row", kind="stable", ignore_index=True)


def _parted(texts: list[str]) -> tuple[np.ndarray[tuple[int], np.dtype[np.int64]], list[str]]:
    """Return each code and the row that it stands in; a cell may hold several."""
    pairs = [
        (place, part)
        for place, text in enumerate(texts)
        if not is_empty(text)
        for part in _SEVERAL.split(text)
        if part
    ]
    return np.array([place for place, _ in pairs], dtype=np.int64), [part for _, part in pairs]
