"""Which station a sheet means: by code, by name, by the part of a name that its water leaves no doubt about.

What fits none exactly is asked about with the nearest; nothing is taken for what it only resembles.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from explorer.intake.heading_forms import folded
from explorer.model.errors import nearest_name
from explorer.model.places import Lake, Station
from explorer.records.cells import Column, Texts, is_empty

__all__ = ["FoundStations", "StationNames"]


@dataclass(frozen=True, slots=True)
class FoundStations:
    """Stations of a column, each array of shape (n,).

    Attributes
    ----------
    code : ndarray of str
        Station code, empty where it waits for an answer.
    problem : ndarray of str
        "", "no_station", "unknown_sheet_station" or "several_stations".
    near : ndarray of str
        The nearest station, or those that could be meant.
    note : ndarray of str
        "" or "station_spelling" where the code was written with other marks or case.
    """

    code: Texts
    problem: Texts
    near: Texts
    note: Texts


class StationNames:
    """Finds stations by what sheets call them.

    Parameters
    ----------
    stations : mapping of str to Station
        By code.
    lakes : mapping of str to Lake
        By code.

    Examples
    --------
    >>> lakes = {"FER": Lake("FER", "Ferrow Tarn", "lake", frozenset(), 2.1, 312.0, 17.5)}
    >>> stations = {"FER1": Station("FER1", "Ferrow Tarn, north basin", "FER", -30.0, 45.0, 16.5, True)}
    >>> names = StationNames(stations, lakes)
    >>> names.find(["north basin", "FER-1", "Ferow north"], "Ferrow Tarn 2025").code.tolist()
    ['FER1', 'FER1', '']
    """

    def __init__(self, stations: Mapping[str, Station], lakes: Mapping[str, Lake]) -> None:
        self._stations, self._lakes = stations, lakes
        self._by_name: dict[str, set[str]] = {}
        for code, station in stations.items():
            lake = lakes.get(station.lake_code)
            whole = folded(station.name)
            waters = {folded(lake.name), folded(lake.code)} if lake else set()
            within = next(
                (whole.removeprefix(f"{name} ") for name in waters if whole.startswith(f"{name} ")), whole
            )
            for name in {whole, within} - {""}:
                self._by_name.setdefault(name, set()).add(code)
            for name in waters:
                self._by_name.setdefault(name, set()).add(code)  # enough where the water has one station
        self._bare = {code: _bare(code) for code in stations}

    def water_of(self, text: str) -> str:
        """Return the code of the one water that a text names, "" where it names none or several.

        Parameters
        ----------
        text : str
            A cell, a title: "Ferrow Tarn 2025".
        """
        spoken = f" {folded(text)} "
        named = {code for code, lake in self._lakes.items() if f" {folded(lake.name)} " in spoken}
        named |= {code for code in self._lakes if f" {folded(code)} " in spoken}
        return named.pop() if len(named) == 1 else ""

    def find(self, texts: Column, water: str | Iterable[str] = "") -> FoundStations:
        """Return the station of every cell.

        Parameters
        ----------
        texts : sequence of str, shape (n,)
            Codes or names as written.
        water : str or sequence of str, shape (n,)
            Text that says which water they lie in, for all or for each; empty where none does.
        """
        waters = [water] * len(texts) if isinstance(water, str) else list(water)
        known: dict[tuple[str, str], tuple[str, str, str, str]] = {}
        for pair in zip(texts, waters, strict=True):
            if pair not in known:
                known[pair] = self._find(*pair)
        rows = [known[pair] for pair in zip(texts, waters, strict=True)]
        columns = zip(*rows, strict=True) if rows else [[]] * 4
        return FoundStations(*(np.array(list(each), dtype=object) for each in columns))

    def _find(self, text: str, water: str) -> tuple[str, str, str, str]:
        if is_empty(text):
            return "", "no_station", "", ""
        if text in self._stations:
            return text, "", "", ""
        alike = [code for code, bare in self._bare.items() if bare == _bare(text)]
        if len(alike) == 1:
            return alike[0], "", "", "station_spelling"
        lake = self.water_of(water)
        named = self._within(self._by_name.get(folded(text), set()), lake)
        if len(named) == 1:
            return named.pop(), "", "", ""
        if named:
            return "", "several_stations", ", ".join(sorted(named)), ""
        return "", "unknown_sheet_station", self._nearest(text, lake), ""

    def _within(self, codes: set[str], lake: str) -> set[str]:
        inside = {code for code in codes if self._stations[code].lake_code == lake}
        return inside if lake else set(codes)

    def _nearest(self, text: str, lake: str) -> str:
        known = {name: codes for name, codes in self._by_name.items() if self._within(codes, lake)}
        known |= {code.casefold(): {code} for code in self._within(set(self._stations), lake)}
        near = nearest_name(folded(text), known)
        return ", ".join(sorted(self._within(known[near], lake))) if near else ""


def _bare(text: str) -> str:
    return folded(text).replace(" ", "")
