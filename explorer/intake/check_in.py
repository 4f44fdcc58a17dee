"""Checks files in: looks at all of them together, and lets them land in one change, or not at all."""

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pandas as pd

from explorer.intake.cell_fates import CellFates
from explorer.intake.checks import find_all, problems_of
from explorer.intake.corrected_files import DIFFERENCES, Comparison, compare_with_before, current_files
from explorer.intake.delivery import DELIVERED, DELIVERED_CONTAINERS, Delivery, gather, joined, sample_of
from explorer.intake.known_samples import known_containers, waiting_entries
from explorer.intake.own_headings import heading_names
from explorer.intake.reading import FileReading, read_file
from explorer.intake.reconcile import match_table, reconcile
from explorer.intake.station_names import StationNames
from explorer.intake.station_past import StationPast, station_past
from explorer.model.check_in import CellAccount, CheckedFile, CheckIn, FileState
from explorer.model.problems import Problem
from explorer.model.programme import Programme
from explorer.model.readings import CONTAINERS, ENTRIES, VISITS, empty_frame
from explorer.records.copies import make_dated_copy
from explorer.records.corrections import said_by, writable_path
from explorer.records.ledger import Arrival, enter
from explorer.records.record import Record

__all__ = ["accept", "check_in"]

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class _File:
    """A file on its way in."""

    name: str
    content: bytes
    sha256: str
    state: FileState
    known_since: int
    before: str  # checksum of the file that it may correct
    reading: FileReading | None


def check_in(
    files: Mapping[str, bytes] | Iterable[tuple[str, bytes]],
    record: Record,
    programme: Programme | None = None,
    *,
    today: date | None = None,
    progress: Progress | None = None,
) -> CheckIn:
    """Look at files together and against the record; nothing is written.

    Parameters
    ----------
    files : mapping of str to bytes, or iterable of (str, bytes)
        Content by name: data sheets, freezer logs, a laboratory's and a probe's files, in any order.
    record : Record
        An open record.
    programme : Programme, optional
        Settings; the record's own when left out.
    today : date, optional
        Day of the check-in; the computer's when left out.
    progress : callable, optional
        Called before each file with its name, how many are done, and of how many; once more, without a name,
        before all of it is held against the record.

    Returns
    -------
    CheckIn
        What `accept` would bring into the record. Whatever the files hold, this does not raise.

    Raises
    ------
    ProgrammeError
        If the settings have a wrong table [headings] or [checks].
    RecordError
        If the record can no longer be read.
    """
    settings = programme or record.programme
    version = record.version()
    pairs = files.items() if isinstance(files, Mapping) else files
    read = _read_files(list(pairs), record, settings, progress)
    if progress is not None:
        progress("", len(read), len(read))
    arrived = [each.reading for each in read if each.reading is not None and each.state != "known"]
    stations = {each.code: each for each in record.station_list()}
    delivery = gather(arrived, settings, stations, record.lakes(), today or date.today())
    superseded = {each.before for each in read if each.before}
    delivery, problems = reconcile(_with_record(delivery, record, superseded))
    delivery = replace(delivery, past=_past(record, delivery, superseded))
    return _Judgement(record, version, read, delivery, problems).result()


def accept(record: Record, checked: CheckIn, *, who: str, remark: str = "") -> int:
    """Let a check-in land: a dated copy of the record first, then all of it in one transaction.

    Accepted and held readings, visits, bottles and filters, every doubt and the files' bytes enter together.
    The stored season tables of the stations are out of date afterwards: `explorer.intake.refresh.refresh`
    computes them anew.

    Parameters
    ----------
    record : Record
        The record that the check-in was held against.
    checked : CheckIn
        From `check_in`.
    who : str
        Who checks it in, as typed.
    remark : str
        Why, or with what in mind; may be empty.

    Returns
    -------
    int
        The record's new version; the present one where the check-in brings nothing.

    Raises
    ------
    RecordError
        If somebody else changed the record since, or it cannot be written: then nothing was changed.
    """
    path = writable_path(record)
    why = remark.strip() or "Checked in: " + ", ".join(checked.contents)
    author, reason = said_by(who, why)
    if checked.brings_nothing:
        return record.version()
    frames = [frame for frame in (checked.accepted, checked.held) if len(frame)]
    arrival = Arrival(
        lakes=(),
        outlines={},
        stations=(),
        entries=pd.concat(frames).sort_index() if frames else empty_frame(ENTRIES),
        files=checked.contents,
        problems=checked.problems,
        visits=checked.visits,
        containers=checked.containers,
        replaces=checked.replaces,
        gone=checked.gone,
        corrected_files=checked.corrected_files,
    )
    make_dated_copy(path)
    return enter(path, arrival, kind="check-in", who=author, why=reason, seen=checked.record_version)


def _read_files(
    pairs: list[tuple[str, bytes]], record: Record, settings: Programme, progress: Progress | None
) -> list[_File]:
    """Read every file that the record does not hold; two of one name get different ones."""
    names = heading_names(settings.headings, settings.quantities)
    stations = StationNames({each.code: each for each in record.station_list()}, record.lakes())
    standing = current_files(record)
    since = dict(zip(standing["sha256"], standing["entered_in"], strict=True))
    by_name = dict(zip(standing["name"], standing["sha256"], strict=True))
    read: list[_File] = []
    taken: dict[str, str] = {}
    for number, (given, content) in enumerate(pairs):
        if progress is not None:
            progress(given, number, len(pairs))
        sha256 = hashlib.sha256(content).hexdigest()
        name = _free_name(given, taken)
        found = read_file(name, content, stations=stations, names=names)
        is_known = sha256 in since or sha256 in taken.values()
        before = "" if is_known else by_name.get(name, "")
        came_in = int(since.get(before or sha256, 0))
        state: FileState = "known" if is_known else "new" if found.tables else "unread"
        taken[name] = sha256
        read.append(_File(name, content, sha256, state, came_in, before, found))
    return read


def _free_name(name: str, taken: Mapping[str, str]) -> str:
    if name not in taken:
        return name
    return next(f"{name} ({n})" for n in range(2, len(taken) + 3) if f"{name} ({n})" not in taken)


def _with_record(delivery: Delivery, record: Record, superseded: set[str]) -> Delivery:
    """Add what the record knows of the samples: sheets that came before, and results that wait for these."""
    own = set(sample_of(delivery.containers["sample_code"])) | set(sample_of(delivery.entries["sample_code"]))
    known = known_containers(record, sorted(own - {""}))
    known = known[~known["sha256"].isin(superseded)]
    waiting = waiting_entries(record)
    sheets = delivery.containers[delivery.containers["kind"] == "data_sheet"]
    named = set(sample_of(sheets["sample_code"])) - {""}
    waiting = waiting[sample_of(waiting["sample_code"]).isin(named) & ~waiting["sha256"].isin(superseded)]
    return replace(
        delivery,
        containers=joined([delivery.containers, known], DELIVERED_CONTAINERS),
        entries=joined([delivery.entries, waiting], DELIVERED),
    )


def _past(record: Record, delivery: Delivery, superseded: set[str]) -> StationPast:
    past = station_past(record, delivery.entries)
    standing = past.standing[~past.standing["sha256"].isin(superseded)]
    return replace(past, standing=standing)


class _Judgement:
    """A delivery on its way to a check-in: checks look, readings are held or refused, files compared."""

    def __init__(
        self,
        record: Record,
        version: int,
        files: list[_File],
        delivery: Delivery,
        problems: tuple[Problem, ...],
    ) -> None:
        self.record, self.version, self.files = record, version, files
        self.delivery = delivery
        self.entries = delivery.entries.copy()
        readings = [each.reading for each in files if each.reading is not None]
        self.fates = CellFates(readings)
        self.refused = np.zeros(len(self.entries), dtype=bool)
        self.problems = [problem for each in readings for problem in each.problems if self._is_new(each)]
        self._take_extracts(problems)

    def _is_new(self, reading: FileReading) -> bool:
        return any(each.reading is reading and each.state != "known" for each in self.files)

    def _take_extracts(self, problems: tuple[Problem, ...]) -> None:
        """Hold the cells of extracts whose readings wait."""
        self.problems.extend(problems)
        for problem in problems:
            place = problem.source
            cell = {
                "sha256": [place.sha256],
                "sheet": [place.sheet],
                "row": [place.row],
                "column": [place.column],
            }
            self.fates.judge(problem.severity, pd.DataFrame(cell), problem.code)

    def _look(self) -> None:
        """Let every check look, and hold or refuse what it finds."""
        for check, findings in find_all(self.delivery):
            self.problems.extend(problems_of(check, findings))
            chosen = findings.entries
            if check.severity == "note":
                continue
            self.fates.judge(check.severity, findings.places, check.code)
            self.fates.judge(check.severity, self.entries.loc[chosen], check.code)
            if check.severity == "refuse":
                self.refused[chosen] = True
                continue
            free = chosen[(self.entries.loc[chosen, "reason"] == "").to_numpy()]
            self.entries.loc[free, "reason"] = check.code
            kept = chosen[(self.entries.loc[chosen, "status"] != "rejected").to_numpy()]
            self.entries.loc[kept, "status"] = "held"

    def _compare(self) -> list[Comparison]:
        """Compare files with those that came before under their names."""
        comparisons = []
        for place, each in enumerate(self.files):
            if not each.before:
                continue
            own = self.entries[(self.entries["sha256"] == each.sha256) & ~self.refused]
            found = compare_with_before(self.record, each.before, own)
            if found.is_correction:
                self.files[place] = replace(each, state="corrected")
                comparisons.append(found)
        return comparisons

    def result(self) -> CheckIn:
        """Return the check-in."""
        self._look()
        comparisons = self._compare()
        entries = self.entries
        lands = ~self.refused & self._has_moved()
        waiting = entries.loc[(entries["waits_as"] > 0) & lands, "waits_as"]
        replaces = pd.concat([waiting, *(each.replaces for each in comparisons)])
        for each in comparisons:
            lands[each.unchanged] = False
        held = (entries["status"] == "held").to_numpy()
        own = self.delivery.containers[~self.delivery.containers["of_record"]]
        own = own[own["kind"] != "laboratory"]
        new = [each for each in self.files if each.state != "known"]
        accounts = [self._account(each) for each in self.files]
        return CheckIn(
            files=tuple(
                self._checked(each, account) for each, account in zip(self.files, accounts, strict=True)
            ),
            accepted=entries.loc[lands & ~held, list(ENTRIES)],
            held=entries.loc[lands & held, list(ENTRIES)],
            refused=self.fates.refused(),
            problems=tuple(self.problems),
            differences=joined([each.differences for each in comparisons], dict(DIFFERENCES)),
            matches=match_table(self.delivery),
            visits=self.delivery.visits.loc[self.delivery.visits["station_code"] != "", list(VISITS)],
            containers=own[list(CONTAINERS)],
            account=sum(accounts, CellAccount()),
            record_version=self.version,
            contents={each.name: each.content for each in new},
            replaces=replaces.reindex(entries.index[lands]).astype("Int64"),
            gone=tuple(number for each in comparisons for number in each.gone),
            corrected_files=tuple(each.before for each in self.files if each.state == "corrected"),
        )

    def _has_moved(self) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Return which entries are new, or waited in the record and have found their sheet now."""
        waited = (self.entries["waits_as"] > 0).to_numpy()
        return ~waited | (self.entries["station_code"] != "").to_numpy()

    def _account(self, file: _File) -> CellAccount:
        assert file.reading is not None
        if file.state != "known":
            return self.fates.account(file.sha256)
        own = file.reading.account
        return CellAccount(own.read, 0, 0, own.read - own.empty, own.empty)

    def _checked(self, file: _File, account: CellAccount) -> CheckedFile:
        assert file.reading is not None
        kinds = tuple(dict.fromkeys(rows.kind for rows in file.reading.tables))
        since = file.known_since if file.state in ("known", "corrected") else 0
        return CheckedFile(file.name, file.sha256, file.state, kinds, account, since)
