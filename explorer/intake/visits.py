"""Where, when and by whom: what a row of a data sheet or of a probe's file says of its visit."""

from typing import Any

import numpy as np
import numpy.typing as npt

from explorer.intake.depths import read_depths
from explorer.intake.layout import Cells
from explorer.intake.sheet_dates import read_sheet_dates
from explorer.intake.station_names import FoundStations, StationNames
from explorer.intake.table_reader import Marks, TableReader
from explorer.intake.volumes import read_volumes
from explorer.records.cells import Texts, is_empty, read_each, read_flags, read_numbers
from explorer.records.dates import read_times

__all__ = ["NOT_ON_ICE", "read_dates_of", "read_depths_of", "read_moment", "read_visits", "read_volumes_of"]

NOT_ON_ICE = "no"  # in the place of the time at which the samples went on ice
_KEPT = ("trained_on", "line_checked_on", "calibrated_on")
_AIR_CHECKS = ("air_check_before", "air_check_after")
_REMARKED = ("wind", "air_temperature", *_AIR_CHECKS)
_VOLUMES = ("volume_filtered", "volume_poured", "volume_topped_up")


def read_visits(
    reader: TableReader, stations: StationNames, *, in_order: bool, needed: Marks | bool = True
) -> dict[str, Any]:
    """Return what every row says of its visit; rows without a station or a date are held.

    Parameters
    ----------
    reader : TableReader
        The table; takes the problems.
    stations : StationNames
        What stations are called.
    in_order : bool
        Whether neighbouring rows are of the same days.
    needed : bool, or ndarray of bool, shape (rows,)
        Whether a row must say its station and its date: where the code of a sample leads to its data sheet it
        need not, and a name of the laboratory's own is only pointed out.

    Returns
    -------
    dict of str to ndarray, shape (rows,)
        Columns of `VISIT_COLUMNS`.
    """
    found, written = _stations(reader, stations, np.broadcast_to(needed, reader.count))
    visits: dict[str, Any] = {
        "row": reader.rows,
        "station_code": found.code,
        "station_as_written": written,
        "taken_on": read_dates_of(reader, "date", needed=needed, in_order=in_order),
    }
    time, problem = read_times(reader.texts("time"), reader.texts("date"))
    reader.hold(reader.cells("time"), problem)
    visits |= {"taken_time": time}
    visits |= {name: reader.texts(name) for name in ("observer", "weather", "sunglasses")}
    visits["remark"] = _remarks(reader)
    visits["bottom_depth_m"] = read_depths_of(reader, "bottom_depth")
    for role in _VOLUMES:
        visits[f"{role}_ml"], visits["volume_parts" if role == _VOLUMES[0] else ""] = read_volumes_of(
            reader, role
        )
    _take_total(reader, visits)
    refused = read_flags(reader.texts("on_ice_time"))
    without_ice = (refused[1] == "") & ~refused[0] & (reader.texts("on_ice_time") != "")
    visits["on_ice_time"] = np.where(without_ice, NOT_ON_ICE, read_moment(reader, "on_ice_time")[1])
    visits["frozen_on"], visits["frozen_time"] = read_moment(reader, "frozen_on")
    for role in _KEPT:
        date = read_sheet_dates(reader.texts(role), _form(reader, role))
        visits[role] = np.where(date.problem == "", date.date, reader.texts(role))
    visits |= {f"{role}_percent": _percent(reader, role) for role in _AIR_CHECKS}
    visits["reason"] = reader.row_reasons
    del visits[""]
    return visits


def _take_total(reader: TableReader, visits: dict[str, Any]) -> None:
    """Take the sum of both parts where the sheet leaves the total out; one part alone tells no total."""
    unsaid = np.array(read_each(reader.texts("volume_filtered"), is_empty), dtype=bool)
    total = visits["volume_poured_ml"] + visits["volume_topped_up_ml"]
    summed = unsaid & ~np.isnan(total)
    visits["volume_filtered_ml"] = np.where(summed, total, visits["volume_filtered_ml"])
    read_as = np.array([f"{each:g} mL" for each in total], dtype=object)
    reader.note(reader.cells("volume_poured"), np.where(summed, "total_added_up", ""), read_as=read_as)


def _remarks(reader: TableReader) -> Texts:
    """Return the remarks, with wind, the air's temperature and the probe's checks in air behind them."""
    known = (*reader.layout.stated, *(column.role for column in reader.layout.columns))
    more = [role for role in _REMARKED if role in known]
    texts = [reader.texts("remark"), *(_named(reader, role) for role in more)]
    return np.array(["; ".join(filter(None, row)) for row in zip(*texts, strict=True)], dtype=object)


def _named(reader: TableReader, role: str) -> Texts:
    columns = reader.layout.columns_of(role)
    heading = columns[0].heading if columns else role.replace("_", " ").capitalize()
    return np.array([f"{heading}: {text}" if text else "" for text in reader.texts(role)], dtype=object)


def _percent(reader: TableReader, role: str) -> npt.NDArray[np.float64]:
    """Return what is written in percent, NaN for the rest: the remark has it as it is written."""
    column, texts = reader.first(role), reader.texts(role)
    in_percent = np.array(
        ["%" in text or "%" in (column.heading if column else "") for text in texts], dtype=np.bool_
    )
    number, sign, _ = read_numbers([text.replace("%", "").strip() for text in texts], reader.decimal)
    return np.where(in_percent & (sign == "="), number, np.nan)


def _stations(reader: TableReader, stations: StationNames, needed: Marks) -> tuple[FoundStations, Texts]:
    """Return the station of every row; the water comes from its column or from the title."""
    layout = reader.layout
    has_station = bool(layout.columns_of("station")) or "station" in layout.stated
    has_water = bool(layout.columns_of("water")) or "water" in layout.stated
    role = "station" if has_station else "water"
    texts = reader.texts(role)
    title = " ".join((*layout.titles, layout.table.sheet)).strip()
    water = list(reader.texts("water")) if has_water and has_station else [title] * reader.count
    found = stations.find(texts, water)
    said: dict[str, Any] = {}
    if role not in layout.stated and not layout.columns_of(role):  # neither column nor line: the title alone
        found = stations.find([stations.water_of(title) or title] * reader.count)
        said = {"found": title[:60]}
    elif not has_water:
        alone = stations.find(texts)
        helped = (found.problem == "") & (alone.problem != "")
        reader.note(reader.cells(role), np.where(helped, "water_from_title", ""), once=True, title=title[:60])
    reader.hold_rows(role, np.where(needed, found.problem, ""), near=found.near, **said)
    own_name = ~needed & np.isin(found.problem, ("unknown_sheet_station", "several_stations"))
    reader.note(reader.cells(role), np.where(own_name, "name_of_laboratory", ""))
    reader.note(reader.cells(role), found.note, read_as=found.code)
    return found, texts


def read_dates_of(
    reader: TableReader, role: str, *, needed: Marks | bool = False, in_order: bool = False
) -> npt.NDArray[np.datetime64]:
    """Return a column of local dates, NaT where there is none; what cannot be read is held.

    Parameters
    ----------
    reader : TableReader
        The table; takes the problems.
    role : str
        Role of the column.
    needed : bool, or ndarray of bool, shape (rows,)
        Whether a row without its date is held.
    in_order : bool
        Whether neighbouring rows are of the same days.
    """
    dates = read_sheet_dates(reader.texts(role), _form(reader, role), in_order=in_order)
    reader.hold_rows(role, np.where(needed, dates.problem, ""), likely=dates.likely)
    settled = needed | (dates.problem == "no_date")
    reader.hold(reader.cells(role), np.where(settled, "", dates.problem), likely=dates.likely)
    reader.note(reader.cells(role), np.where(dates.settled, "date_order_settled", ""), once=True)
    return dates.date.astype("datetime64[D]").astype("datetime64[ms]")


def _form(reader: TableReader, role: str) -> str:
    """Return the order of a date's parts that the heading of a column spells out."""
    column = reader.first(role)
    return column.unit if column else ""


def read_moment(reader: TableReader, role: str) -> tuple[npt.NDArray[np.datetime64], Texts]:
    """Return the date and the time of day that a column states, whichever of them it does.

    A bare yes or no is kept as a cell and says neither.
    """
    texts = reader.texts(role)
    dates = read_sheet_dates(texts, _form(reader, role))
    time, wrong_time = read_times(np.where(dates.problem == "", "", texts), texts)
    spoken = read_flags(texts)[1] == ""
    problem = np.where((dates.problem != "") & (wrong_time != "") & ~spoken, dates.problem, "")
    reader.hold(reader.cells(role), problem, likely=dates.likely)
    time = np.where(wrong_time == "", time, "")
    return dates.date.astype("datetime64[D]").astype("datetime64[ms]"), time


def read_depths_of(reader: TableReader, role: str) -> npt.NDArray[np.float64]:
    """Return a column of depths. [m] NaN where there is none; what cannot be read is held."""
    column = reader.first(role)
    default = next((each.unit for each in reader.layout.columns if each.quantity == "secchi_depth"), "")
    unit = (column.unit if column else "") or default
    depths = read_depths(reader.texts(role), unit, decimal=reader.decimal)
    at_surface = np.array(read_each(reader.texts(role), _is_nought), dtype=bool) & (role == "depth_m")
    problem = np.where(at_surface, "", depths.problem)
    once = problem == "no_depth_unit"
    reader.hold(reader.cells(role), np.where(once, "", problem), quantity="A depth")
    reader.hold(reader.cells(role), np.where(once, problem, ""), once=True, quantity="A depth")
    unsure = (depths.sign != "=") & (problem == "")
    reader.hold(reader.cells(role), np.where(unsure, "not_a_depth", ""))
    return np.where(at_surface, 0.0, np.where((problem == "") & ~unsure, depths.depth_m, np.nan))


def _is_nought(text: str) -> bool:
    return "0" in text and text.strip("0.,") == ""


def read_volumes_of(reader: TableReader, role: str) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.int64]]:
    """Return a column of volumes [mL] and of how many each is the sum; what cannot be read is held."""
    column = reader.first(role)
    unit = column.unit if column else ""
    volumes = read_volumes(reader.texts(role), unit or "mL", decimal=reader.decimal)
    cells: Cells = reader.cells(role)
    reader.hold(cells, volumes.problem)
    read_as = np.array([f"{each:g} mL" for each in volumes.total_ml], dtype=object)
    reader.note(cells, volumes.note, read_as=read_as)
    if column is not None and not unit:
        bare = ~np.isnan(volumes.total_ml) & (volumes.note != "other_volume_unit")
        reader.note(cells, np.where(bare, "volume_taken_for_ml", ""), once=True)
    return volumes.total_ml, volumes.parts
