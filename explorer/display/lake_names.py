"""The waters that a record speaks of, and the one that somebody names."""

from explorer.model.errors import unknown_name
from explorer.model.places import Lake
from explorer.records.record import Record

__all__ = ["find_lake", "lakes_of"]


def lakes_of(record: Record) -> tuple[Lake, ...]:
    """Return the waters of a record that have a station, by name.

    Parameters
    ----------
    record : Record
        An open record.
    """
    with_station = {station.lake_code for station in record.station_list()}
    found = [lake for code, lake in record.lakes().items() if code in with_station]
    return tuple(sorted(found, key=lambda lake: (lake.name.casefold(), lake.code)))


def find_lake(record: Record, name: str) -> Lake:
    """Return the lake of a name, a code, or the beginning of one name only, whatever the case.

    Parameters
    ----------
    record : Record
        An open record.
    name : str
        Name, code, or the beginning of a name.

    Raises
    ------
    UnknownNameError
        If there is none, or the name is that of several; with the nearest, or with their codes.
    """
    wanted, lakes = _folded(name), lakes_of(record)
    by_code = [lake for lake in lakes if lake.code.casefold() == wanted]
    by_name = [lake for lake in lakes if _folded(lake.name) == wanted]
    beginning = [lake for lake in lakes if wanted and _folded(lake.name).startswith(wanted)]
    found = by_code or by_name or beginning
    if len(found) == 1:
        return found[0]
    if by_name:
        raise unknown_name("water", name, [lake.code for lake in by_name], "of one water only: name its code")
    if beginning:
        names = [lake.name for lake in beginning]
        raise unknown_name("water", name, names, "alone: several waters' names begin so")
    raise unknown_name("water", name, [lake.name for lake in lakes], "among the record's waters")


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
