"""A programme's settings before they are taken: read as they will be used, with every mistake named."""

from collections.abc import Iterable, Mapping
from typing import Any

from explorer.analysis.class_schemes import programme_schemes
from explorer.intake.check_settings import settled_checks
from explorer.intake.checks import CHECKS
from explorer.intake.own_headings import heading_names
from explorer.model.errors import unknown_name
from explorer.model.programme import Programme
from explorer.model.programme_text import read_programme
from explorer.model.quantities import QUANTITIES
from explorer.model.setting_checks import Mistakes
from explorer.model.setting_place import SettingPlace, read_tables

__all__ = ["settled_settings"]


def settled_settings(text: str, file_name: str, stations: Iterable[str]) -> Programme:
    """Return the settings that a TOML text sets, when all that stands on them can use them.

    Parameters
    ----------
    text : str
        Content of the file.
    file_name : str
        Its name for messages.
    stations : iterable of str
        Codes of the record's stations, to hold the plan against.

    Raises
    ------
    ProgrammeError
        With every mistake, a line each.

    Examples
    --------
    >>> settled_settings("trend_years = 0\\n[headings]\\nstatoin = ['x']", "new.toml", [])
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: new.toml, line 1, "trend_years": found 0. ...
    new.toml, line 3, "statoin": there is no such column. Did you mean "station"? ...
    """
    tables, broken = read_tables(text, file_name)
    place, mistakes, programme = SettingPlace(text, file_name), Mistakes(broken), None
    with mistakes.gathered():
        programme = read_programme(text, file_name)
    with mistakes.gathered():
        settled_checks(_table(tables, "checks"), CHECKS, place)
    if programme is not None or "quantities" not in tables:  # else nobody knows all quantities yet
        quantities = programme.quantities if programme else QUANTITIES
        with mistakes.gathered():
            heading_names(_table(tables, "headings"), quantities, place)
        with mistakes.gathered():
            programme_schemes(text, file_name, quantities)
    known = frozenset(stations)
    for code in _table(_table(tables, "plan"), "stations"):
        if code not in known:
            with mistakes.gathered():
                unknown = unknown_name("station", code, known, "in the record")
                raise place.inside("plan", "stations")(code, str(unknown))
    mistakes.refuse()
    assert programme is not None
    return programme


def _table(tables: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    """Return a table; where something else stands, which is named as a mistake, an empty one."""
    table = tables.get(key)
    return table if isinstance(table, Mapping) else {}
