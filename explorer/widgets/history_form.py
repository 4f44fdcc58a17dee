"""A record's past on the desk: its changes, and buttons that take out a file, or a station as it stood."""

import ipywidgets

from explorer.display.history_page import change_table, file_table, states_csv
from explorer.display.markup import element
from explorer.display.table_html import table_html
from explorer.model.errors import ExplorerError
from explorer.model.words import say
from explorer.records.past import changes_of, file_content, files_of, readings_at, readings_by_change
from explorer.records.record import Record
from explorer.widgets.keep_bar import KeepBar
from explorer.widgets.part_fold import PartFold
from explorer.widgets.written_line import written_line

__all__ = ["HistoryForm"]


class HistoryForm:
    """The changes of a record and the files that came in, as `station-explorer history` lists them.

    Parameters
    ----------
    record : Record
        An open record; it is only read.
    language : str
        Language of the words.
    """

    def __init__(self, record: Record, language: str) -> None:
        self._record, self._language = record, language
        self.files = ipywidgets.Dropdown(description=self._say("pick_file"))
        self.station = ipywidgets.Dropdown(
            description=self._say("station"), options=sorted(each.code for each in record.station_list())
        )
        self.version = written_line(self._say("at"), self._say("at_hint"))
        self.file_bar = KeepBar(self.file_as_it_came, language, ("as_it_came",))
        self.state_bar = KeepBar(self.readings_then, language, ("as_it_stood",))
        self.tables = ipywidgets.HTML()
        rows = [
            ipywidgets.HBox([self.files, self.file_bar]),
            ipywidgets.HBox([self.station, self.version, self.state_bar]),
        ]
        for row in rows:
            row.add_class("paper-row")
        self.fold = PartFold(self._say("title"), [*rows, self.tables], self._fill, "history")

    def _say(self, code: str, **values: object) -> str:
        return say(f"history.{code}", values, self._language)

    def _fill(self) -> str:
        files = files_of(self._record)
        latest = files.iloc[::-1]
        lines = [
            (self._say("file_line", name=name, version=version), sha256)
            for name, version, sha256 in zip(
                latest["name"], latest["entered_in"], latest["sha256"], strict=True
            )
        ]
        known = {sha256 for _, sha256 in lines}
        picked = self.files.value if self.files.value in known else next((each for _, each in lines), None)
        self.files.options = lines
        self.files.value = picked
        self.version.value = self.version.value or str(self._record.version())
        self.file_bar.about = self.state_bar.about = self._record.title
        changes = change_table(changes_of(self._record), readings_by_change(self._record), self._language)
        tables = (changes, file_table(files, self._language))
        self.tables.value = "".join(table_html(each) for each in tables)
        return element("p", self._say("words"))

    def file_as_it_came(self, kind: str) -> tuple[str, bytes]:
        """Return the picked file, byte for byte, under its own name."""
        if self.files.value is None:
            raise ExplorerError(self._say("none_came"))
        files = files_of(self._record).set_index("sha256")["name"]
        name = files[[self.files.value]].iloc[0]
        return str(name), file_content(self._record, self.files.value)

    def readings_then(self, kind: str) -> tuple[str, bytes]:
        """Return the picked station's readings as the record held them after a version."""
        text, last = self.version.value.strip(), self._record.version()
        if not (text.isascii() and text.isdigit() and 1 <= int(text) <= last):
            raise ExplorerError(self._say("no_version", found=text, last=last))
        readings = readings_at(self._record, int(text), self.station.value)
        return f"{self.station.value}_version_{int(text)}.csv", states_csv(readings)
