"""What goes along with planned visits, each as a file: labels, data sheets, roster, hand-over sheet."""

from collections.abc import Callable
from datetime import date

import pandas as pd

from explorer.display.data_sheet_page import data_sheets_pdf
from explorer.display.empty_sheets import sheet_csv, sheet_workbook
from explorer.display.label_page import labels_of, labels_pdf
from explorer.display.paper_files import page_pdf
from explorer.display.sheet_fields import visit_sheets
from explorer.display.station_name import station_name
from explorer.display.visit_lists import build_hand_over_page, build_roster_page, roster_csv
from explorer.intake.season_report import season_plan
from explorer.intake.visit_codes import days_of_containers
from explorer.records.record import Record

__all__ = ["FILLED_IN", "VisitPapers"]

FILLED_IN = ("data_sheet.csv", "data_sheet.xlsx", "roster.csv")  # somebody may have written into them


class VisitPapers:
    """The papers of some visits, each made when it is asked for.

    Parameters
    ----------
    record : Record
        An open record.
    visits : DataFrame
        Columns of `PLANNED_VISITS`, and sample_code and blank_code; at least one row.
    made_on : date
        Day of making.
    used : int
        Labels of the first sheet that are used already.

    Attributes
    ----------
    names : tuple of str
        Names of the files; labels and hand-over sheet lack where no visit takes a bottle or a filter.
    """

    def __init__(self, record: Record, visits: pd.DataFrame, *, made_on: date, used: int = 0) -> None:
        self._programme = programme = record.programme
        self._visits, self._made_on, self._used = visits, made_on, used
        stations = record.station_list()
        lakes = record.lakes()
        self._lakes = {each.code: lakes[each.lake_code] for each in stations}
        language = programme.office_language
        self._stations = {
            each.code: station_name(each, self._lakes[each.code], language) for each in stations
        }
        plan = season_plan(record, int(visits["month"].iloc[0][:4]))
        self._sheets = visit_sheets(visits, self._stations, self._lakes, plan, programme)
        self._labels = labels_of(visits, programme.office_language)
        makers: dict[str, Callable[[], bytes]] = {
            "data_sheets.pdf": lambda: data_sheets_pdf(self._sheets, programme, made_on=made_on),
            "data_sheet.csv": lambda: sheet_csv(self._sheets),
            "data_sheet.xlsx": lambda: sheet_workbook(self._sheets, made_on=made_on),
            "roster.pdf": self._roster,
            "roster.csv": lambda: roster_csv(self._visits, self._lakes),
        }
        if self._labels:
            makers |= {"hand_over.pdf": self._hand_over, "labels.pdf": self._label_sheets}
        self._makers = makers
        self.names = tuple(makers)

    def make(self, name: str) -> bytes:
        """Return the content of a file.

        Parameters
        ----------
        name : str
            One of `names`.

        Raises
        ------
        ExplorerError
            If a whole sheet of labels is said to be used, or a package for workbooks lacks.
        """
        return self._makers[name]()

    def _roster(self) -> bytes:
        page = build_roster_page(self._visits, self._stations, self._programme)
        return page_pdf(page, made_on=self._made_on)

    def _hand_over(self) -> bytes:
        page = build_hand_over_page(self._labels, days_of_containers(self._visits), self._programme)
        return page_pdf(page, made_on=self._made_on)

    def _label_sheets(self) -> bytes:
        programme = self._programme
        return labels_pdf(
            self._labels, programme.label_sheet, made_on=self._made_on, skip=self._used,
            language=programme.office_language,
        )  # fmt: skip
