"""What a heading means: its role or its quantity, and the unit in it.

The names are a documented list, see `heading_list`; a programme adds its own, see `own_headings`.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from explorer.intake.heading_forms import folded, folded_unit, without_form
from explorer.model.errors import nearest_name
from explorer.model.quantities import Quantity
from explorer.model.units import UNITS

__all__ = [
    "BESIDE_A_RESULT",
    "DATED",
    "FEET_AND_INCHES",
    "KINDS",
    "LIMITS",
    "LONGEST_HEADING",
    "READING",
    "HeadingNames",
    "KnownHeadings",
    "Meaning",
]

KINDS = ("laboratory", "freezer_log", "probe", "data_sheet")  # the more particular one first
READING = "reading"
LONGEST_HEADING = 80  # characters
LIMITS = ("detection_limit", "reporting_limit")
FEET_AND_INCHES = "ft in"  # a unit of two numbers: the cells say which is which
BESIDE_A_RESULT = ("qualifier", "sign", "detection_limit", "reporting_limit", "unit", "analysed_on", "method")

# What a unit behind a heading must measure to be one; other columns have none.
_DIMENSIONS: Mapping[str, str] = {
    **dict.fromkeys(("depth_m", "bottom_depth", "secchi_lowered", "secchi_raised", "path_length"), "length"),
    **dict.fromkeys(("volume_filtered", "volume_poured", "volume_topped_up", "extract_volume"), "volume"),
    **dict.fromkeys(("air_temperature", "freezer_temperature"), "temperature"),
}
# Columns whose heading may spell out how a date or a time is written.
DATED = frozenset(("date", "time", "frozen_on", "frozen_time", "taken_out_on", "analysed_on", "received_on",
                    "on_ice_time", "trained_on", "line_checked_on", "calibrated_on"))  # fmt: skip
_IN_BRACKETS = re.compile(r"\s*[(\[]([^()\[\]]*)[)\]]\s*")
_LONGEST_UNIT = 4  # words


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a heading says.

    Attributes
    ----------
    role : str
        What its column is for, "reading" where it holds a quantity, empty where nobody knows.
    quantity : str
        Code of the quantity, empty for any other column.
    unit : str
        Unit that the heading names, of a date the order of its parts; empty where it names none.
    """

    role: str = ""
    quantity: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class HeadingNames:
    """All names that headings may have.

    Attributes
    ----------
    roles : mapping of str to mapping of str to str
        By kind of file: role by folded name.
    quantity_names : mapping of str to str
        Code of a quantity by folded name.
    units : mapping of str to str
        Name of a unit by spelling.
    stated_units : mapping of str to str
        Unit by folded heading, from the programme.
    left_out : frozenset of str
        Folded headings of columns that are not to be read.
    qualifiers : mapping of str to str
        Meaning of a laboratory's mark, by the mark in capitals.
    words : mapping of str to tuple of str
        Words in cells: on_bottom, in_plants, line_too_short, summary; the longest first.
    quantities : mapping of str to Quantity
        The programme's quantities by code.
    """

    roles: Mapping[str, Mapping[str, str]]
    quantity_names: Mapping[str, str]
    units: Mapping[str, str]
    stated_units: Mapping[str, str]
    left_out: frozenset[str]
    qualifiers: Mapping[str, str]
    words: Mapping[str, tuple[str, ...]]
    quantities: Mapping[str, Quantity]

    def unit_of(self, text: str) -> str:
        """Return the name of the unit that a text spells, "" where it spells none.

        Parameters
        ----------
        text : str
            "ug/L as P", "in feet", "tenths of feet".
        """
        bare = folded_unit(text.strip(" \t.,;:-"))
        return self.units.get(bare) or self.units.get(bare.removeprefix("in "), "")

    def dimension_of(self, unit: str) -> str:
        """Return what a unit measures, "" where it is none."""
        if unit == FEET_AND_INCHES:
            return "length"
        return UNITS[unit].dimension if unit in UNITS else ""

    def meaning(self, heading: str, kind: str) -> Meaning:
        """Return what a heading means in a kind of file.

        Parameters
        ----------
        heading : str
            As written.
        kind : str
            One of `KINDS`.

        Examples
        --------
        >>> from explorer.intake.heading_list import documented_names
        >>> documented_names().meaning("Secchi (ft)", "data_sheet")
        Meaning(role='reading', quantity='secchi_depth', unit='ft')
        >>> documented_names().meaning("mL", "data_sheet").role
        'volume_filtered'
        >>> documented_names().meaning("Date (MM/DD/YYYY)", "data_sheet").unit
        'month/day/year'
        """
        if (bare := without_form(heading))[0] != heading:
            role = self._known(folded(bare[0]), kind)[0]
            if role in DATED:
                return Meaning(role, "", bare[1])
        whole = folded(heading)
        if not whole:
            return Meaning()
        if whole in self.left_out:
            return Meaning("left_out")
        parted = list(self._parted(heading))
        stated = self.stated_units.get(whole, "") or next((unit for _, unit in parted), "")
        role, quantity = self._known(whole, kind)
        if role:
            return Meaning(role, quantity, stated if self.fits(stated, role, quantity) else "")
        for name, unit in parted:
            role, quantity = self._known(name, kind)
            if role and not quantity and not self.fits(unit, role, ""):  # "water °C" is no name of a lake
                quantity = self.quantity_names.get(name, "")
                role = READING if quantity else ""
            if role:
                return Meaning(role, quantity, self.stated_units.get(whole, unit))
        for name, unit in [(whole, ""), *parted]:
            found = self._of_a_quantity(name, kind)
            if found.role and (not unit or self.fits(unit, found.role, found.quantity)):
                return Meaning(found.role, found.quantity, unit)
        return Meaning()

    def _of_a_quantity(self, whole: str, kind: str) -> Meaning:
        """Return the meaning of "TP flag", "TN MDL": a role and the quantity that it belongs to."""
        words = whole.split()
        for count in range(1, len(words)):
            role = self.roles[kind].get(" ".join(words[count:]), "")
            quantity = self.quantity_names.get(" ".join(words[:count]), "")
            if role in BESIDE_A_RESULT and quantity:
                return Meaning(role, quantity)
        return Meaning()

    def fits(self, unit: str, role: str, quantity: str) -> bool:
        """Return whether a unit measures what a column holds.

        Parameters
        ----------
        unit, role, quantity : str
            Name of the unit, and what the column is for.
        """
        if role in LIMITS and not quantity:  # of whichever result stands beside it
            return bool(self.dimension_of(unit))
        wanted = (
            UNITS[self.quantities[quantity].unit].dimension if quantity else _DIMENSIONS.get(role, "none")
        )
        return self.dimension_of(unit) == wanted

    def _known(self, name: str, kind: str) -> tuple[str, str]:
        if role := self.roles[kind].get(name, ""):
            return role, ""
        quantity = self.quantity_names.get(name, "")
        return (READING, quantity) if quantity else ("", "")

    def _parted(self, heading: str) -> Iterator[tuple[str, str]]:
        """Yield the heading without a unit in brackets or behind it, and that unit."""
        for found in _IN_BRACKETS.finditer(heading):
            if unit := self.unit_of(found[1]):
                yield folded(heading[: found.start()] + " " + heading[found.end() :]), unit
        words = heading.replace("_", " ").replace(",", " , ").split()
        for count in range(min(_LONGEST_UNIT, len(words)), 0, -1):
            if unit := self.unit_of(" ".join(words[-count:])):
                yield folded(" ".join(words[:-count])), unit

    def nearest(self, heading: str, kind: str) -> str:
        """Return the known name that is spelt most like a heading, "" where none is near."""
        names = [*self.roles[kind], *self.quantity_names]
        parted = [folded(heading), *(name for name, _ in self._parted(heading) if name)]
        return nearest_name(min(parted, key=len), names)


class KnownHeadings:
    """What cells mean as headings of one kind of file, each looked up once.

    Parameters
    ----------
    names : HeadingNames
        What headings may be called.
    kind : str
        One of `KINDS`.
    """

    def __init__(self, names: HeadingNames, kind: str) -> None:
        self.names, self.kind = names, kind
        self._known: dict[str, Meaning] = {}

    def meaning(self, cell: str) -> Meaning:
        """Return what a cell would mean as a heading."""
        if cell not in self._known:
            is_wordy = bool(cell) and len(cell) <= LONGEST_HEADING
            self._known[cell] = self.names.meaning(cell, self.kind) if is_wordy else Meaning()
        return self._known[cell]

    def recognised(self, row: Iterable[str]) -> set[str]:
        """Return the roles and quantities that the cells of a row would name."""
        meanings = [self.meaning(cell) for cell in row]
        return {each.quantity or each.role for each in meanings} - {"", "left_out"}
