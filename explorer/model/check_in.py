"""A check-in, looked at and not yet landed: what its files bring, what waits, what differs from before."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import pandas as pd

from explorer.model.problems import Problem

__all__ = ["CellAccount", "CheckIn", "CheckedFile", "FileState"]

FileState = Literal["new", "known", "corrected", "unread"]


@dataclass(frozen=True, slots=True)
class CellAccount:
    """What became of every cell: read = accepted + held + refused + empty.

    Attributes
    ----------
    read : int
        All cells with text in the file, and the empty ones between them in the table.
    accepted, held, refused, empty : int
        Their sum. Headings and titles count as accepted, a row that is none of the table as refused.

    Examples
    --------
    >>> (CellAccount(2, 1, 1) + CellAccount(1, 0, 0, 1)).adds_up
    True
    """

    read: int = 0
    accepted: int = 0
    held: int = 0
    refused: int = 0
    empty: int = 0

    def __add__(self, other: "CellAccount") -> "CellAccount":
        return CellAccount(
            self.read + other.read,
            self.accepted + other.accepted,
            self.held + other.held,
            self.refused + other.refused,
            self.empty + other.empty,
        )

    @property
    def adds_up(self) -> bool:
        """Whether nothing was lost."""
        return self.read == self.accepted + self.held + self.refused + self.empty


@dataclass(frozen=True, slots=True)
class CheckedFile:
    """One file of a check-in.

    Attributes
    ----------
    name, sha256 : str
        Name without its folder, checksum of its bytes.
    state : {"new", "known", "corrected", "unread"}
        "known": these bytes are in the record already, and nothing of them is entered; "corrected": a file of
        this name came before with other bytes; "unread": no table of it could be read.
    kinds : tuple of str
        What its tables are: data_sheet, laboratory, probe, freezer_log.
    account : CellAccount
        What became of its cells.
    known_since : int
        Change with which these bytes, or for a corrected file the earlier ones, came in; 0 for a new file.
    """

    name: str
    sha256: str
    state: FileState
    kinds: tuple[str, ...]
    account: CellAccount
    known_since: int = 0

    @property
    def told_as(self) -> str:
        """Its state; "twice" where another file that comes with it holds the same bytes."""
        return "twice" if self.state == "known" and not self.known_since else self.state


@dataclass(frozen=True, slots=True)
class CheckIn:
    """What a check-in would bring into the record: a plain value to show, and what `accept` takes.

    Attributes
    ----------
    files : tuple of CheckedFile
        In the order given.
    accepted : DataFrame
        Columns of `ENTRIES`: readings that would land accepted (or rejected by the laboratory's own mark).
    held : DataFrame
        Columns of `ENTRIES`: readings that would land held; `reason` is the code of the first problem. They
        may lack station, quantity, date or value.
    refused : DataFrame
        Cells that would not enter: file_name, sheet, row, column, as_written, reason.
    problems : tuple of Problem
        Every doubt, in the order of the files.
    differences : DataFrame
        What a corrected file changes: reading_id, file_name, row, station_code, taken_on, quantity, before,
        after, change ("changed", "gone", "added"); text as written.
    matches : DataFrame
        Columns of `explorer.intake.sample_matches.MATCHES`: every sample code and where it was found.
    visits : DataFrame
        Columns of `VISITS`.
    containers : DataFrame
        Columns of `CONTAINERS`.
    account : CellAccount
        Sum over the files.
    record_version : int
        Version of the record that all was held against.
    contents : mapping of str to bytes
        Bytes of every file that would enter, by its name.
    replaces : Series of int
        For a row of `accepted` or `held`, by their index: the reading in whose place it would stand.
    gone : tuple of int
        Readings that would leave because a corrected file no longer holds them.
    corrected_files : tuple of str
        Checksums of the earlier files in whose place corrected ones stand.
    """

    files: tuple[CheckedFile, ...]
    accepted: pd.DataFrame
    held: pd.DataFrame
    refused: pd.DataFrame
    problems: tuple[Problem, ...]
    differences: pd.DataFrame
    matches: pd.DataFrame
    visits: pd.DataFrame
    containers: pd.DataFrame
    account: CellAccount
    record_version: int
    contents: Mapping[str, bytes] = field(repr=False)
    replaces: pd.Series = field(repr=False)
    gone: tuple[int, ...] = ()
    corrected_files: tuple[str, ...] = ()

    @property
    def is_clean(self) -> bool:
        """Whether nothing is held or refused."""
        counted = [each.account for each in self.files if each.state != "known"]
        return self.held.empty and not any(each.held or each.refused for each in counted)

    @property
    def brings_nothing(self) -> bool:
        """Whether all its files are in the record already, so that accepting it changes nothing."""
        return not self.contents
