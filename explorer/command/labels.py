"""`station-explorer labels`: labels, data sheets, roster and hand-over sheet for planned visits."""

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from explorer.command.options import add_record_option, place_option
from explorer.command.paper import open_named, register_of, write_file, write_page
from explorer.command.terminal import STOPPED, tell

if TYPE_CHECKING:
    import pandas as pd

    from explorer.records.record import Record

__all__ = ["DESCRIPTION", "ENDING", "SUMMARY", "add_options", "month_option", "run"]

SUMMARY = "print labels, data sheets, roster and hand-over sheet for a month or a list of visits"
DESCRIPTION = (
    "Gives every planned visit its sample code and writes what goes along: labels for bottles and filters, "
    "blank data sheets for the boat and as spreadsheets, the roster, and the sheet that hands the samples to "
    "the laboratory. No code is given twice: those given stand in a register beside the record, and the same "
    "visits get the same codes again. The label sheet stands in the programme's settings, under [labels]. "
    "Print labels at their true size, first once on plain paper."
)
ENDING = (
    "Exit status: 0 when written, 2 when an argument, the record, the list of visits or a file is refused, 1 "
    "when something else went wrong."
)


def month_option(text: str) -> tuple[int, int]:
    """Return the year and the month that an option names.

    Raises
    ------
    ArgumentTypeError
        If the text is no month.

    Examples
    --------
    >>> month_option("2025-06")
    (2025, 6)
    """
    try:
        day = date.fromisoformat(f"{text}-01")
    except ValueError as error:
        raise argparse.ArgumentTypeError(f'"{text}" is no month; write it as 2025-06') from error
    return day.year, day.month


def _count_option(text: str) -> int:
    if not (text.isascii() and text.isdigit()):
        raise argparse.ArgumentTypeError(f'"{text}" is no whole number of 0 or more')
    return int(text)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command."""
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument(
        "--visits", type=place_option, metavar="FILE",
        help="a list of visits (CSV or workbook): station, date, and if you like time, observers, duplicate "
        "and blank (yes or no); roster.csv of an earlier run, filled in, is one",
    )  # fmt: skip
    which.add_argument(
        "--month", type=month_option, metavar="YYYY-MM", help="the visits that the plan has for this month"
    )
    add_record_option(parser)
    parser.add_argument(
        "--out", type=place_option, metavar="PLACE", required=True,
        help="a folder for all of it, or a name ending in .pdf for the labels alone",
    )  # fmt: skip
    parser.add_argument(
        "--used", type=_count_option, metavar="N", default=0,
        help="labels of the first sheet that are used already",
    )  # fmt: skip
    parser.add_argument(
        "--after", type=_count_option, metavar="SERIAL", default=0,
        help="go on behind this serial number, where labels were made in another way before",
    )  # fmt: skip


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from explorer.display.label_page import labels_of, labels_pdf

    today = date.today()
    record = open_named(options.record)
    try:
        visits = _coded(record, _visits(record, options), options, today)
        programme = record.programme
        labels = labels_of(visits, programme.language)
        if options.out.suffix.casefold() == ".pdf":
            where = options.out
        else:
            where = options.out / "labels.pdf"
            _write_all(record, visits, options.out, today)
        if labels:
            sheet = programme.label_sheet
            pdf = labels_pdf(labels, sheet, made_on=today, skip=options.used, language=programme.language)
            write_file(where, pdf)
        else:
            tell("No visit takes a bottle or a filter: there are no labels.")
    finally:
        record.close()
    return STOPPED


def _visits(record: "Record", options: argparse.Namespace) -> "pd.DataFrame":
    """Return the visits that are asked for."""
    from explorer.intake.own_headings import heading_names
    from explorer.intake.planned_visits import planned_month, read_visit_list
    from explorer.intake.season_report import season_plan
    from explorer.intake.station_names import StationNames
    from explorer.model.errors import ExplorerError
    from explorer.model.problems import describe_problems

    if options.month:
        year, month = options.month
        visits = planned_month(season_plan(record, year), record.programme.plan, year, month)
        if visits.empty:
            raise ExplorerError(
                f"The plan has no visits in {year}-{month:02d}. Write them into the programme's settings, "
                "under [plan], or give a list: --visits FILE."
            )
        return visits
    try:
        content = options.visits.read_bytes()
    except OSError as error:
        raise ExplorerError(f"{options.visits} cannot be read: {error.strerror or error}.") from error
    stations = StationNames({each.code: each for each in record.station_list()}, record.lakes())
    names = heading_names(record.programme.headings, record.programme.quantities)
    plan = season_plan(record, date.today().year)
    visits, problems = read_visit_list(options.visits.name, content, stations, names, plan)
    if problems or visits.empty:
        what = describe_problems(problems) or f"{options.visits.name} names no visit."
        raise ExplorerError(f"{what}\nNo labels were made and no code was given.")
    return visits


def _coded(
    record: "Record", visits: "pd.DataFrame", options: argparse.Namespace, today: date
) -> "pd.DataFrame":
    """Return the visits with the code of their sample and of their blank."""
    from explorer.intake.label_register import open_register
    from explorer.intake.visit_codes import coded_visits

    path = register_of(record)
    with open_register(path) as register:
        before = len(register.given)
        coded = coded_visits(visits, register, record, today=today, after=options.after)
        new = len(register.given) - before
    tell(f"Sample codes: {new} new. All that were given stand in {path}; keep it beside the record.")
    return coded


def _write_all(record: "Record", visits: "pd.DataFrame", folder: Path, today: date) -> None:
    """Write data sheets, roster and hand-over sheet into a folder."""
    from explorer.display.data_sheet_page import data_sheets_pdf
    from explorer.display.empty_sheets import sheet_csv, sheet_workbook
    from explorer.display.label_page import labels_of
    from explorer.display.sheet_fields import visit_sheets
    from explorer.display.visit_lists import build_hand_over_page, build_roster_page, roster_csv
    from explorer.intake.season_report import season_plan
    from explorer.intake.visit_codes import days_of_containers

    programme = record.programme
    names = {each.code: each.name for each in record.station_list()}
    lakes = {each.code: record.lakes()[each.lake_code] for each in record.station_list()}
    plan = season_plan(record, int(visits["month"].iloc[0][:4]))
    sheets = visit_sheets(visits, names, lakes, plan, programme)
    labels = labels_of(visits, programme.language)
    write_file(folder / "data_sheets.pdf", data_sheets_pdf(sheets, programme, made_on=today))
    write_file(folder / "data_sheet.csv", sheet_csv(sheets), keep=True)
    write_file(folder / "data_sheet.xlsx", sheet_workbook(sheets, made_on=today), keep=True)
    write_page(build_roster_page(visits, names, programme), folder / "roster.pdf", made_on=today)
    write_file(folder / "roster.csv", roster_csv(visits, lakes), keep=True)
    if labels:
        page = build_hand_over_page(labels, days_of_containers(visits), programme)
        write_page(page, folder / "hand_over.pdf", made_on=today)
