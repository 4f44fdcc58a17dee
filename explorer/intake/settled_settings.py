"""A programme's settings before they are taken: read as they will be used, with every mistake named."""

import tomllib
from collections.abc import Iterable

from explorer.analysis.class_schemes import programme_schemes
from explorer.intake.check_settings import settled_checks
from explorer.intake.checks import CHECKS
from explorer.intake.own_headings import heading_names
from explorer.model.errors import ProgrammeError, unknown_name
from explorer.model.programme import Programme
from explorer.model.programme_text import line_of_key, read_programme
from explorer.model.quantities import QUANTITIES
from explorer.model.setting_checks import Mistakes

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
    new.toml, "headings.statoin": there is no such column. Did you mean "station"? ...
    """
    mistakes, programme = Mistakes(), None
    with mistakes.gathered():
        programme = read_programme(text, file_name)
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        mistakes.refuse()
        raise
    with mistakes.gathered():
        list(settled_checks(tables.get("checks", {}), CHECKS, file_name))
    if programme is not None or "quantities" not in tables:  # else nobody knows all quantities yet
        quantities = programme.quantities if programme else QUANTITIES
        with mistakes.gathered():
            heading_names(tables.get("headings"), quantities, file_name)
        with mistakes.gathered():
            programme_schemes(text, file_name, quantities)
    known = frozenset(stations)
    for code in programme.plan.stations if programme else ():
        if code not in known:
            with mistakes.gathered():
                unknown = unknown_name("station", code, known, "in the record")
                line = line_of_key(text, code)
                raise ProgrammeError(f'{file_name}, line {line}, "{code}": {unknown}')
    mistakes.refuse()
    assert programme is not None
    return programme
