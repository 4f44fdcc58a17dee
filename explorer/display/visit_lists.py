"""Lists that go with planned visits: the roster, and the sheet that hands the samples to the laboratory."""

import csv
import io
from collections.abc import Mapping, Sequence

import pandas as pd

from explorer.display.label_page import Label
from explorer.display.paper_tables import Cell, PaperColumn, PaperPage, PaperTable, each_row
from explorer.display.spreadsheet_text import guarded
from explorer.model.places import Lake
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["build_hand_over_page", "build_roster_page", "roster_csv"]

# Headings of the roster as a list of visits: the intake reads it again, with days and observers filled in.
ROSTER_HEADINGS = ("Date", "Time", "Station", "Lake", "Observers", "Duplicate", "Blank", "Sample", "Remarks")


def build_roster_page(visits: pd.DataFrame, names: Mapping[str, str], programme: Programme) -> PaperPage:
    """Return who goes where and when.

    Parameters
    ----------
    visits : DataFrame
        Columns of `PLANNED_VISITS`, and sample_code and blank_code.
    names : mapping of str to str
        Name of a station by its code.
    programme : Programme
        Its name, language and paper.
    """
    language = programme.office_language
    rows: list[tuple[Cell, ...]] = []
    for visit in each_row(visits):
        day = visit.month if pd.isna(visit.taken_on) else str(visit.taken_on)[:10]
        takes = [
            say(f"roster.{name}", language=language)
            for name in ("bottle", "filter", "duplicate", "blank")
            if getattr(visit, f"has_{name}")
        ]
        codes = ", ".join(filter(None, (visit.sample_code, visit.blank_code)))
        place = (visit.station_code, names.get(visit.station_code, ""))
        rows.append((day, visit.taken_time, *place, visit.observer, ", ".join(takes), codes))
    codes_of_columns = ("date", "time", "station", "place", "observer", "takes", "codes")
    columns = tuple(
        PaperColumn(say(f"roster.{code}", language=language), is_wide=code in ("place", "observer"))
        for code in codes_of_columns
    )
    title = say("roster.title", language=language)
    return PaperPage(
        title=title,
        lead=(f"{programme.name}. {say('roster.lead', language=language)}",),
        tables=(PaperTable(title, (), columns, tuple(rows)),),
        foot=say("caution.swimming", language=language),
        paper=programme.label_sheet.page,
        language=language,
        is_turned=True,
    )


def roster_csv(visits: pd.DataFrame, lakes: Mapping[str, Lake]) -> bytes:
    """Return the roster as a list of visits, to be filled in and given to the labels again.

    Parameters
    ----------
    visits : DataFrame
        Columns of `PLANNED_VISITS`, and sample_code and blank_code.
    lakes : mapping of str to Lake
        Water by the code of a station.

    Returns
    -------
    bytes
        UTF-8 with a byte order mark, cells parted by commas.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(ROSTER_HEADINGS)
    for visit in each_row(visits):
        day = "" if pd.isna(visit.taken_on) else str(visit.taken_on)[:10]
        flags = ["yes" if flag else "" for flag in (visit.has_duplicate, visit.has_blank)]
        texts = [day, visit.taken_time, visit.station_code, lakes[visit.station_code].name, visit.observer]
        writer.writerow([guarded(text) for text in (*texts, *flags, visit.sample_code, "")])
    return out.getvalue().encode("utf-8-sig", errors="replace")


def build_hand_over_page(labels: Sequence[Label], days: Mapping[str, str], programme: Programme) -> PaperPage:
    """Return the sheet that goes with the samples to the laboratory, which need not know the stations.

    Parameters
    ----------
    labels : sequence of Label
        Bottles and filters.
    days : mapping of str to str
        Day of sampling by sample code with its container, where it is known.
    programme : Programme
        Its name, language and paper.
    """
    language = programme.office_language
    rows: list[tuple[Cell, ...]] = [
        (label.code, label.container, days.get(label.code, ""), "☐", "☐") for label in labels
    ]
    columns = tuple(
        PaperColumn(say(f"hand_over.{code}", language=language))
        for code in ("code", "container", "taken_on", "given", "arrived")
    )
    title = say("hand_over.title", language=language)
    blanks = ("handed_by", "handed_at", "received_by", "received_at", "temperature", "state")
    return PaperPage(
        title=title,
        lead=(f"{programme.name}. {say('hand_over.lead', {'count': len(labels)}, language)}",),
        tables=(PaperTable(title, (), columns, tuple(rows), abreast=2),),
        blanks=tuple(say(f"hand_over.{code}", language=language) for code in blanks),
        foot=title,
        paper=programme.label_sheet.page,
        language=language,
    )
