"""Checks files in: looks at all of them together, and lets them land in one change, or not at all."""

import hashlib
from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import replace
from datetime import date

import pandas as pd

from explorer.intake.corrected_files import current_files, versions_of
from explorer.intake.delivery import DELIVERED_CONTAINERS, Delivery, gather, joined
from explorer.intake.earlier_results import EarlierResults, earlier_results
from explorer.intake.judgement import FileIn, Judgement
from explorer.intake.known_samples import known_containers
from explorer.intake.own_headings import heading_names
from explorer.intake.reading import FileReading, read_file
from explorer.intake.reconcile import reconcile
from explorer.intake.sample_codes import sample_of
from explorer.intake.station_names import StationNames
from explorer.intake.station_past import StationPast, station_past
from explorer.model.check_in import CheckIn, FileState
from explorer.model.programme import Programme
from explorer.model.readings import ENTRIES, empty_frame
from explorer.records.copies import make_dated_copy
from explorer.records.corrections import said_by, writable_path
from explorer.records.ledger import Arrival, enter
from explorer.records.record import Record
from explorer.records.text_decoding import clean_text

__all__ = ["accept", "check_in"]

Progress = Callable[[str, int, int], None]
Reader = Callable[[str, bytes], FileReading]


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
    reader = _reader(record, settings)
    read = _read_files(list(pairs), record, reader, progress)
    if progress is not None:
        progress("", len(read), len(read))
    arrived = [each.reading for each in read if each.state != "known"]
    superseded = {version for each in read for version in each.versions}
    earlier = earlier_results(record, arrived, superseded, reader)
    stations = {each.code: each for each in record.station_list()}
    together = gather([*arrived, *earlier.files], settings, stations, record.lakes(), today or date.today())
    delivery, problems = reconcile(_with_record(together, record, superseded, earlier))
    delivery = replace(delivery, entries=earlier.placed(delivery.entries))
    delivery = replace(delivery, past=_past(record, delivery, superseded | earlier.checksums))
    return Judgement(record, version, read, delivery, earlier, problems).result()


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


def _reader(record: Record, settings: Programme) -> Reader:
    """Return what reads a file by the names of a programme and of a record's stations."""
    names = heading_names(settings.headings, settings.quantities)
    stations = StationNames({each.code: each for each in record.station_list()}, record.lakes())
    return lambda name, content: read_file(name, content, stations=stations, names=names)


def _read_files(
    pairs: list[tuple[str, bytes]], record: Record, reader: Reader, progress: Progress | None
) -> list[FileIn]:
    """Read every file; two of one name get different ones."""
    standing = current_files(record)
    since = dict(zip(standing["sha256"], standing["entered_in"], strict=True))
    by_name = dict(zip(standing["name"], standing["sha256"], strict=True))
    read: list[FileIn] = []
    taken: dict[str, str] = {}
    for number, (called, content) in enumerate(pairs):
        given = _in_one_line(called)
        if progress is not None:
            progress(given, number, len(pairs))
        sha256 = hashlib.sha256(content).hexdigest()
        name = _free_name(given, taken)
        found = reader(name, content)
        is_known = sha256 in since or sha256 in taken.values()
        before = "" if is_known else by_name.get(name, "")
        came_in = int(since.get(before or sha256, 0))
        state: FileState = "known" if is_known else "new" if found.tables else "unread"
        taken[name] = sha256
        versions = versions_of(record, before) if before else ()
        read.append(FileIn(name, content, sha256, state, came_in, before, versions, found))
    return read


def _in_one_line(name: str) -> str:
    """Return a file's name without what would break a line, or a terminal."""
    return clean_text(name).translate({ord(each): " " for each in "\t\n\r\u2028\u2029"})


def _free_name(name: str, taken: Mapping[str, str]) -> str:
    if name not in taken:
        return name
    return next(f"{name} ({n})" for n in range(2, len(taken) + 3) if f"{name} ({n})" not in taken)


def _with_record(
    delivery: Delivery, record: Record, superseded: set[str], earlier: EarlierResults
) -> Delivery:
    """Add what the record knows of the samples: on which sheets they came before."""
    codes = pd.concat([delivery.containers["sample_code"], delivery.entries["sample_code"]])
    own = set(sample_of(codes).tolist())
    known = known_containers(record, sorted(own - {""}), superseded, earlier.checksums)
    return replace(delivery, containers=joined([delivery.containers, known], DELIVERED_CONTAINERS))


def _past(record: Record, delivery: Delivery, without: Set[str]) -> StationPast:
    past = station_past(record, delivery.entries)
    standing = past.standing[~past.standing["sha256"].isin(without)]
    return replace(past, standing=standing)
