"""Which sample codes were given to which visit: no code is given twice, and the same visit keeps its own.

A code is taken from behind the highest one that the record or the register knows, and written into the
register's file (`label_file`) before a label is made.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from explorer.intake.sample_codes import HIGHEST_SERIAL, read_sample_codes, sample_code, serial_of
from explorer.model.errors import ExplorerError

__all__ = [
    "BLANK",
    "ROUTINE",
    "GivenCode",
    "LabelRegister",
]

ROUTINE, BLANK = "sample", "field blank"


@dataclass(frozen=True, slots=True)
class GivenCode:
    """A code that was given.

    Attributes
    ----------
    sample_code : str
        Six digits or more, without container.
    station_code : str
        Station of the visit.
    month, day : str
        Month of the visit, 2025-06, and its day, 2025-06-14; the day is empty while it is open.
    use : str
        "sample" or "field blank".
    given_on : str
        Day on which it was given.
    """

    sample_code: str
    station_code: str
    month: str
    day: str
    use: str
    given_on: str


class LabelRegister:
    """The codes given so far, open for giving more.

    Parameters
    ----------
    given : iterable of GivenCode
        As the file holds them.

    Examples
    --------
    >>> register = LabelRegister([])
    >>> june = [("A1", "2025-06", "", "sample"), ("A1", "2025-06", "", "sample")]
    >>> register.codes_for(june, used=["250114"], today=date(2025, 5, 1))
    ['250122', '250139']
    >>> register.codes_for([("A1", "2025-06", "2025-06-14", "sample")], used=[], today=date(2025, 6, 1))
    ['250122']
    """

    def __init__(self, given: Iterable[GivenCode]) -> None:
        self.given = list(given)

    def codes_for(
        self, visits: Iterable[tuple[str, str, str, str]], used: Iterable[str], today: date, after: int = 0
    ) -> list[str]:
        """Return a code for each visit: its own where it has one, else the next.

        A visit on a day has the code that was given to that station and day; else one that was given to the
        station for the month while the day was open, which is then its day.

        Parameters
        ----------
        visits : iterable of (str, str, str, str)
            Station, month, day (empty while it is open) and use.
        used : iterable of str
            Codes that the record knows.
        today : date
            Written beside new codes.
        after : int
            Serial number behind which to go on in any case.

        Raises
        ------
        ExplorerError
            If a year's numbers are used up.
        """
        known = [str(code) for code in read_sample_codes(list(used)).sample if code]
        known += [each.sample_code for each in self.given]
        highest: dict[str, int] = {}
        for code in known:
            highest[code[:2]] = max(highest.get(code[:2], 0), serial_of(code))
        wanted = list(visits)
        places: dict[tuple[str, str, str, str], list[int]] = {}
        taken: set[int] = set()
        for visit in wanted:
            station, month, day, use = visit
            place = self._own(station, month, day, use, taken)
            if place is None:
                start = month[2:4]
                code = _next_code(int(month[:4]), max(highest.get(start, 0), after))
                highest[start] = serial_of(code)
                self.given.append(GivenCode(code, station, month, day, use, today.isoformat()))
                place = len(self.given) - 1
            elif day and not self.given[place].day:
                self.given[place] = replace(self.given[place], day=day)
            taken.add(place)
            places.setdefault(visit, []).append(place)
        in_order = {visit: iter(sorted(found)) for visit, found in places.items()}
        return [self.given[next(in_order[visit])].sample_code for visit in wanted]

    def _own(self, station: str, month: str, day: str, use: str, taken: set[int]) -> int | None:
        """Return where the code of a visit stands: of the same day, else of the month with an open day."""
        fitting = [
            place
            for place, each in enumerate(self.given)
            if place not in taken and (each.station_code, each.month, each.use) == (station, month, use)
        ]
        if not day:
            return fitting[0] if fitting else None
        same = [place for place in fitting if self.given[place].day == day]
        still_open = [place for place in fitting if not self.given[place].day]
        return (same + still_open)[0] if same or still_open else None


def _next_code(year: int, highest: int) -> str:
    if highest >= HIGHEST_SERIAL:
        raise ExplorerError(
            f"The sample codes of {year} are used up: a year has {HIGHEST_SERIAL} numbers, and {highest} is "
            "the highest in use. Look in the register and in the record for one that is far too high."
        )
    return sample_code(year, highest + 1)
