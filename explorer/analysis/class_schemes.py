"""Class schemes as data: read from TOML with every mistake named, and the class that a value falls to."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from explorer.analysis.scheme_checks import check_scheme
from explorer.model.classes import ClassScheme, Limits
from explorer.model.errors import unknown_name
from explorer.model.quantities import QUANTITIES, Quantity
from explorer.model.setting_checks import Mistakes
from explorer.model.setting_place import SettingPlace, read_tables

__all__ = ["class_index", "programme_schemes", "read_scheme", "schemes"]

SAME_VALUE = 1e-9  # relative: a value this near to a limit lies on it, whatever unit it was converted from

_FOLDER = Path(__file__).parent / "schemes"


def class_index(values: npt.ArrayLike, limits: Limits, higher_is_worse: bool) -> npt.NDArray[np.int64]:
    """Return the number of the class that each value falls to, the best class being 0.

    Parameters
    ----------
    values : array_like, shape (...)
        What is held against the limits. [unit of the limits] Infinity is allowed; NaN where not known.
    limits : Limits
        The limits; its `boundary` says where a value exactly on a limit falls.
    higher_is_worse : bool
        Direction of the quantity.

    Returns
    -------
    ndarray of int, shape (...)
        From 0 to the number of limits; -1 where the value is NaN.

    Examples
    --------
    >>> secchi = schemes()["carlson_simpson_1996"].limits["secchi_depth"]
    >>> class_index([8.0, 3.0, 2.0, 0.2, float("nan")], secchi, higher_is_worse=False).tolist()
    [0, 1, 2, 3, -1]
    """
    sign = 1.0 if higher_is_worse else -1.0
    number = sign * np.asarray(values, dtype=np.float64)
    slack = SAME_VALUE if limits.boundary == "better" else -SAME_VALUE
    upper = sign * np.asarray(limits.upper)
    index = np.searchsorted(upper + slack * np.abs(upper), number, side="left")
    return np.where(np.isnan(number), -1, index).astype(np.int64)


def read_scheme(text: str, file_name: str, quantities: Mapping[str, Quantity] = QUANTITIES) -> ClassScheme:
    """Return the class scheme that a TOML text describes.

    Parameters
    ----------
    text : str
        Content of the file.
    file_name : str
        Its name for messages; without its ending it is the scheme's key.
    quantities : mapping of str to Quantity
        The programme's quantities by code.

    Returns
    -------
    ClassScheme
        Limits of a quantity named under `also_for` are given under its own code, too.

    Raises
    ------
    ProgrammeError
        If the text is no TOML, a key is unknown or missing, or a value cannot be right; with file, line, key
        and cure.

    Examples
    --------
    >>> read_scheme("format = 1\\nclases = []", "county.toml")
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: county.toml, line 2, "clases": there is no such key. Did ...
    """
    found, broken = read_tables(text, file_name)
    Mistakes(broken).refuse()
    return _scheme(found, Path(file_name).stem, SettingPlace(text, file_name), quantities)


def _scheme(
    found: Mapping[str, Any], own_key: str, place: SettingPlace, quantities: Mapping[str, Quantity]
) -> ClassScheme:
    check_scheme(found, quantities, place)
    return ClassScheme(
        key=own_key,
        name=found["name"],
        source=found["source"],
        kinds=tuple(found["kinds"]),
        classes=tuple(found["classes"]),
        letters=tuple(found["letters"]),
        priority=tuple(found["priority"]),
        limits=_limits(found["limits"]),
        note=found.get("note", ""),
    )


def programme_schemes(
    settings: str, file_name: str, quantities: Mapping[str, Quantity] = QUANTITIES
) -> Mapping[str, ClassScheme]:
    """Return the class schemes that a programme can choose from: those of the explorer and its own.

    Parameters
    ----------
    settings : str
        The programme's TOML; each table [class_schemes.<key>] holds what a file of a scheme holds.
    file_name : str
        Its name for messages.
    quantities : mapping of str to Quantity
        The programme's quantities by code.

    Returns
    -------
    mapping of str to ClassScheme
        By key, the programme's own first.

    Raises
    ------
    ProgrammeError
        As for `read_scheme`, if an own scheme takes the key of one of the explorer's, or if the programme
        has chosen a scheme that there is not.

    Examples
    --------
    >>> list(programme_schemes("", "programme.toml")) == list(schemes())
    True
    """
    found, broken = read_tables(settings, file_name)
    place, mistakes, own = SettingPlace(settings, file_name), Mistakes(broken), {}
    inner = place.inside("class_schemes")
    tables = found.get("class_schemes", {})
    with mistakes.gathered():
        if not isinstance(tables, dict):
            raise place("class_schemes", "write a table [class_schemes.own] for each rule, its lines below.")
        for key, table in tables.items():
            with mistakes.gathered():
                if key in schemes() or not isinstance(table, dict):
                    what = "is a scheme of the explorer" if key in schemes() else "is no table"
                    raise inner(key, f"{what}. Choose another key or write a table.")
                own[key] = _scheme(table, key, inner.inside(key), quantities)
    every = {**own, **schemes()}
    chosen = found.get("scheme", next(iter(every)))
    with mistakes.gathered():
        if chosen not in (every if isinstance(chosen, str) else ()) and chosen not in (tables or ()):
            raise place("scheme", str(unknown_name("class scheme", str(chosen), every, "for this programme")))
    mistakes.refuse()
    return every


@cache
def schemes() -> Mapping[str, ClassScheme]:
    """Return the class schemes that come with the explorer, by key.

    Examples
    --------
    >>> sorted(schemes())
    ['burns_1999', 'carlson_simpson_1996', 'nurnberg_1996', 'oecd_1982_fixed']
    """
    read = (read_scheme(path.read_text("utf-8"), path.name) for path in sorted(_FOLDER.glob("*.toml")))
    return {scheme.key: scheme for scheme in read}


def _limits(tables: Mapping[str, Any]) -> dict[str, Limits]:
    return {
        quantity: Limits(
            quantity=quantity,
            statistic=entry["statistic"],
            window=entry["window"],
            upper=tuple(float(limit) for limit in entry["upper"]),
            boundary=entry["boundary"],
        )
        for code, entry in tables.items()
        for quantity in (code, *entry.get("also_for", ()))
    }
