"""Which sample codes were given to which visit: no code is given twice, and the same visit keeps its own.

The register is a small CSV file beside the record. A code is taken from behind the highest one that the
record or the register knows, and written there before a label is made.
"""

import csv
import io
import os
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, fields, replace
from datetime import date
from pathlib import Path

from explorer.intake.sample_codes import HIGHEST_SERIAL, read_sample_codes, sample_code, serial_of
from explorer.model.errors import ExplorerError

__all__ = [
    "BLANK",
    "ROUTINE",
    "GivenCode",
    "LabelRegister",
    "given_codes",
    "open_register",
    "register_beside",
]

ROUTINE, BLANK = "sample", "field blank"
ENDING = ".labels.csv"
LOCK_WAIT_S = 10.0


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


_HEADINGS = tuple(each.name for each in fields(GivenCode))


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


def register_beside(record: Path) -> Path:
    """Return the register that belongs to a record: a file of its name, beside it.

    Parameters
    ----------
    record : Path
        GeoPackage, folder or CSV file.

    Examples
    --------
    >>> register_beside(Path("county.gpkg")).name
    'county.gpkg.labels.csv'
    """
    place = record.resolve()
    return place.with_name(place.name + ENDING)


def given_codes(path: Path) -> tuple[GivenCode, ...]:
    """Return the codes of a register, only to look at them.

    Parameters
    ----------
    path : Path
        The file; it may lack.

    Raises
    ------
    ExplorerError
        If it cannot be read.
    """
    return tuple(_read(path))


@contextmanager
def open_register(path: Path) -> Iterator[LabelRegister]:
    """Open a register for giving codes; what was given is on the disk when the block ends.

    Parameters
    ----------
    path : Path
        The file; it is made where it lacks.

    Raises
    ------
    ExplorerError
        If somebody else is giving codes just now, or the file cannot be read or written.
    """
    with _alone(path):
        before = _read(path)
        register = LabelRegister(before)
        yield register
        if register.given != before:
            _write(path, register.given)


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Hold a file beside the register while codes are given."""
    lock = path.with_name(path.name + ".lock")
    until = time.monotonic() + LOCK_WAIT_S
    while True:
        try:
            os.close(os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            break
        except FileExistsError as error:
            if time.monotonic() > until:
                raise ExplorerError(
                    f"Somebody else is giving sample codes just now: {lock} is there. Try again; if nobody "
                    "is, remove that file."
                ) from error
            time.sleep(0.05)
        except OSError as error:
            raise _unwritable(path, error) from error
    try:
        yield
    finally:
        with suppress(FileNotFoundError):
            lock.unlink()


def _read(path: Path) -> list[GivenCode]:
    try:
        text = path.read_text(encoding="utf-8-sig") if path.exists() else ""
    except (OSError, UnicodeDecodeError) as error:
        raise ExplorerError(f"{path} cannot be read: {error}. Put back a copy of it from before.") from error
    rows = list(csv.reader(io.StringIO(text)))
    if not rows:
        return []
    if tuple(rows[0]) != _HEADINGS or any(len(row) != len(_HEADINGS) for row in rows):
        raise ExplorerError(
            f"{path} is no register of sample codes any more: its columns are {', '.join(_HEADINGS)}. Put "
            "back a copy of it from before; without it a code could be given twice."
        )
    wrong = [row[0] for row in rows[1:] if read_sample_codes([row[0]]).problem[0] or not row[0]]
    if wrong:
        raise ExplorerError(
            f'{path}: "{wrong[0]}" is no sample code ({len(wrong)} in all). Put back a copy from before.'
        )
    return [GivenCode(*row) for row in rows[1:]]


def _write(path: Path, given: Iterable[GivenCode]) -> None:
    """Write the whole register under another name and move it into place: a crash leaves the old one."""
    out = io.StringIO()
    rows = [_HEADINGS, *(tuple(getattr(each, name) for name in _HEADINGS) for each in given)]
    csv.writer(out, lineterminator="\n").writerows(rows)
    beside = path.with_name(path.name + ".new")
    try:
        with beside.open("w", encoding="utf-8", newline="") as file:
            file.write(out.getvalue())
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as error:
        raise _unwritable(path, error) from error


def _unwritable(path: Path, error: OSError) -> ExplorerError:
    return ExplorerError(
        f"The register of sample codes {path} cannot be written: {error.strerror or error}. It stands beside "
        "the record so that no code is given twice; let yourself write there."
    )
