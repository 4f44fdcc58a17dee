"""A delivery on its way to a check-in: what the checks find decides on each reading, file and cell."""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from explorer.intake.cell_fates import CellFates
from explorer.intake.checks import find_all, problems_of
from explorer.intake.corrected_files import DIFFERENCES, Comparison, compare_with_before
from explorer.intake.delivery import Delivery, joined
from explorer.intake.earlier_results import OTHER_VOLUME, EarlierResults
from explorer.intake.hand_decisions import ASKED_AGAIN, hand_decisions, problems_of_decisions
from explorer.intake.reading import FileReading
from explorer.intake.sample_matches import match_table
from explorer.model.check_in import CellAccount, CheckedFile, CheckIn, FileState
from explorer.model.problems import Problem, Source
from explorer.model.readings import CONTAINERS, ENTRIES, VISITS
from explorer.records.record import Record

__all__ = ["FileIn", "Judgement"]


@dataclass(frozen=True, slots=True)
class FileIn:
    """A file on its way in.

    Attributes
    ----------
    name, content, sha256 : str, bytes, str
        Its name among the files, its bytes and their checksum.
    state : str
        Whether the record holds it, and whether it could be read.
    known_since : int
        The change in which it, or the file that it may correct, came in; 0 for none.
    before : str
        Checksum of the file that it may correct, empty for none.
    versions : tuple of str
        Checksums of that one and of those before it.
    reading : FileReading
        What stands in it.
    """

    name: str
    content: bytes
    sha256: str
    state: FileState
    known_since: int
    before: str
    versions: tuple[str, ...]
    reading: FileReading


class Judgement:
    """A delivery on its way to a check-in: checks look, readings are held or refused, files compared."""

    def __init__(
        self,
        record: Record,
        version: int,
        files: list[FileIn],
        delivery: Delivery,
        earlier: EarlierResults,
        problems: tuple[Problem, ...],
    ) -> None:
        self.record, self.version, self.files = record, version, files
        self.delivery, self.earlier = delivery, earlier
        self.entries = delivery.entries.copy()
        self.fates = CellFates([each.reading for each in files])
        self.refused = np.zeros(len(self.entries), dtype=bool)
        new = [each.reading for each in files if each.state != "known"]
        self.problems = [problem for each in new for problem in each.problems]
        self._take_extracts(problems)

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
            self._hold(pd.Index(chosen), check.code)

    def _hold(self, chosen: pd.Index, code: str) -> None:
        """Hold readings but those that their file rejects; one that waits already keeps its first reason."""
        found = self.entries.loc[chosen]
        self.entries.loc[chosen[found["reason"] == ""], "reason"] = code
        self.entries.loc[chosen[found["status"] != "rejected"], "status"] = "held"

    def _compare(self) -> list[Comparison]:
        """Compare files with those that came before under their names."""
        comparisons = []
        for place, each in enumerate(self.files):
            if not each.before:
                continue
            own = self.entries[(self.entries["sha256"] == each.sha256) & ~self.refused]
            found = compare_with_before(self.record, each.versions, own)
            if found.is_correction:
                self.files[place] = replace(each, state="corrected")
                comparisons.append(found)
        return comparisons

    def result(self) -> CheckIn:
        """Return the check-in."""
        self._look()
        comparisons = self._compare()
        entries = self.entries
        lands = ~self.refused & self.earlier.moved(entries)
        as_typed = entries["stands_as"].isin(self.earlier.as_typed).to_numpy()
        stays, lands = entries[lands & as_typed], lands & ~as_typed
        from_earlier = (entries["stands_as"] > 0) & lands
        replaces = pd.concat([entries["stands_as"][from_earlier], *(each.replaces for each in comparisons)])
        self._ask_of_figures(entries[from_earlier])
        decided = self._of_decisions(stays, replaces, comparisons)
        again = entries[from_earlier]
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
            problems=(*self._problems_of(again), *decided),
            differences=joined(
                [*(each.differences for each in comparisons), self.earlier.differences(again)],
                dict(DIFFERENCES),
            ),
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

    def _ask_of_figures(self, again: pd.DataFrame) -> None:
        """Hold figures that a laboratory computed when the sheet said another volume."""
        volumes = self.earlier.of_other_volumes(again)
        for number, stood, now in volumes.itertuples(name=None):
            row = self.entries.loc[number]
            place = (row["file_name"], row["sha256"], row["sheet"], int(row["row"]), row["column"])
            values = {"before": f"{stood:g} mL", "after": f"{now:g} mL"}
            self.problems.append(Problem(OTHER_VOLUME, "hold", Source(*place), row["as_written"], values))
        self._hold(volumes.index, OTHER_VOLUME)

    def _of_decisions(
        self, stays: pd.DataFrame, replaces: pd.Series, comparisons: list[Comparison]
    ) -> tuple[Problem, ...]:
        """Hold what takes the place of readings decided on by hand; return what is to be said of these."""
        typed = self.earlier.decisions.loc[stays["stands_as"]]
        said = problems_of_decisions(stays, typed, self.earlier.differences(stays), stays=True)
        decisions = hand_decisions(self.record, replaces.tolist())
        again = replaces[replaces.isin(decisions.index)]
        own = self.entries.loc[again.index]
        results = self.earlier.differences(own[own["stands_as"] > 0])
        told = joined([results, *(each.differences for each in comparisons)], dict(DIFFERENCES))
        waits = problems_of_decisions(own, decisions.loc[again], told, stays=False)
        self.fates.judge("hold", own, ASKED_AGAIN)
        self._hold(own.index, ASKED_AGAIN)
        return (*said, *waits)

    def _problems_of(self, again: pd.DataFrame) -> tuple[Problem, ...]:
        """Return the doubts; of files that are read again only those of what they bring."""
        rows = set(zip(again["sha256"], again["sheet"], again["row"], strict=True))
        return tuple(
            each
            for each in self.problems
            if each.source.sha256 not in self.earlier.checksums
            or (each.source.sha256, each.source.sheet, each.source.row) in rows
        )

    def _account(self, file: FileIn) -> CellAccount:
        if file.state != "known":
            return self.fates.account(file.sha256)
        own = file.reading.account
        return CellAccount(own.read, 0, 0, own.read - own.empty, own.empty)

    def _checked(self, file: FileIn, account: CellAccount) -> CheckedFile:
        kinds = tuple(dict.fromkeys(rows.kind for rows in file.reading.tables))
        since = file.known_since if file.state in ("known", "corrected") else 0
        return CheckedFile(file.name, file.sha256, file.state, kinds, account, since)
