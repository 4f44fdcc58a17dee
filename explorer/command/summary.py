"""`station-explorer summary`: one row a station, for a spreadsheet, a script or a GIS."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from explorer.command.options import add_record_option, place_option
from explorer.command.paper import open_named, write_file
from explorer.command.terminal import STOPPED, progress_bar
from explorer.model.errors import ExplorerError

if TYPE_CHECKING:
    import geopandas

    from explorer.records.record import Record

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "run"]

SUMMARY = "write one row a station: visits, classes and trends"
DESCRIPTION = (
    "Writes one row a station: place, visits, seasons, the class in the last season by each scheme and how "
    "sure it is, and for each quantity the trend over the whole record with the numbers behind it. Slopes "
    "are in the record's units a year. Only reads the record."
)
ENDING = (
    "Exit status: 0 when written, 2 when an argument, the record or the file is refused, 1 when something "
    "else went wrong."
)
LAYER = "station_summary"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    add_record_option(parser)
    parser.add_argument(
        "--out", type=place_option, metavar="FILE", required=True,
        help="a name ending in .csv, or in .gpkg for a layer that a GIS opens",
    )  # fmt: skip


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    if options.out.suffix.casefold() not in (".csv", ".gpkg"):
        raise ExplorerError(f'"{options.out.name}" ends in neither .csv nor .gpkg. Name a file that does.')
    from explorer.intake.record_summary import record_summary

    record = open_named(options.record)
    try:
        _check_free(options.out, record)
        frame = record_summary(record, progress_bar("Stations"))
    finally:
        record.close()
    write_file(options.out, _csv(frame) if options.out.suffix.casefold() == ".csv" else _layer(frame))
    return STOPPED


def _check_free(where: Path, record: "Record") -> None:
    """Refuse to write over a record, this one or another."""
    from explorer.records.geopackage import is_geopackage

    if not where.exists():
        return
    if where.is_dir():
        raise ExplorerError(f"{where} is a folder. Name a file in it.")
    own = where.samefile(record.opened_from) or where.samefile(record.path)
    if own or (is_geopackage(where) and _holds_record(where)):
        raise ExplorerError(f"{where} is a record; a summary would destroy it. Name another file.")


def _holds_record(where: Path) -> bool:
    import sqlite3

    try:
        with sqlite3.connect(f"{where.resolve().as_uri()}?mode=ro", uri=True) as raw:
            found = raw.execute("SELECT 1 FROM sqlite_schema WHERE name = 'record_info'").fetchone()
        raw.close()
    except sqlite3.Error:
        return True  # nobody can say what it holds
    return found is not None


def _csv(frame: "geopandas.GeoDataFrame") -> bytes:
    """Return the rows with longitude and latitude; no cell is taken for a formula by a spreadsheet."""
    from pandas.api.types import is_numeric_dtype

    from explorer.display.spreadsheet_text import guarded

    table = frame.drop(columns="geometry")
    table.insert(3, "longitude_deg", frame.geometry.x)
    table.insert(4, "latitude_deg", frame.geometry.y)
    for name in table.columns:
        if not is_numeric_dtype(table[name]):
            table[name] = [guarded(cell) if isinstance(cell, str) else "" for cell in table[name]]
    text: str = table.to_csv(index=False, lineterminator="\r\n", float_format="%.6g")
    return text.encode("utf-8-sig")


def _layer(frame: "geopandas.GeoDataFrame") -> bytes:
    """Return a GeoPackage with one layer."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / "summary.gpkg"
        frame.to_file(made, driver="GPKG", layer=LAYER)
        return made.read_bytes()
