"""The registry of checks: run on a delivery as the programme has switched and limited them."""

from collections.abc import Mapping

from explorer.intake.agreement_checks import AGREEMENT_CHECKS
from explorer.intake.batch_checks import BATCH_CHECKS
from explorer.intake.check import Check
from explorer.intake.check_settings import settled_checks
from explorer.intake.delivery import Delivery
from explorer.intake.findings import Findings
from explorer.intake.keeping_checks import KEEPING_CHECKS
from explorer.intake.observer_checks import OBSERVER_CHECKS
from explorer.intake.problem_groups import ProblemGroups
from explorer.intake.sample_checks import SAMPLE_CHECKS
from explorer.intake.value_checks import VALUE_CHECKS
from explorer.intake.visit_checks import VISIT_CHECKS
from explorer.model.problems import Problem, Source

__all__ = ["CHECKS", "find_all", "problems_of"]

# In the order in which they look: the first that finds something gives a reading its reason.
CHECKS: Mapping[str, Check] = {
    check.code: check
    for check in (
        *SAMPLE_CHECKS,
        *KEEPING_CHECKS,
        *VISIT_CHECKS,
        *OBSERVER_CHECKS,
        *VALUE_CHECKS,
        *AGREEMENT_CHECKS,
        *BATCH_CHECKS,
    )
}


def find_all(delivery: Delivery) -> tuple[tuple[Check, Findings], ...]:
    """Return what every check that is switched on finds in a delivery.

    Parameters
    ----------
    delivery : Delivery
        Reconciled, with what the record knows of its stations.

    Returns
    -------
    tuple of (Check, Findings)
        Those that found something.

    Raises
    ------
    ProgrammeError
        If the programme's table [checks] names a check or a limit that there is not.
    """
    found = []
    for check in settled_checks(delivery.programme.checks, CHECKS):
        if check.needs and check.needs not in delivery.kinds:
            continue
        findings = check.look(delivery, check.limits)
        if len(findings):
            found.append((check, findings))
    return tuple(found)


def problems_of(check: Check, findings: Findings) -> tuple[Problem, ...]:
    """Return what a check found as problems; alike ones of one file are one, with their rows.

    Parameters
    ----------
    check : Check
        The check.
    findings : Findings
        What it found.
    """
    groups: dict[tuple[str, str], ProblemGroups] = {}
    places = findings.places
    columns = ("file_name", "sha256", "sheet", "row", "column", "as_written")
    values = list(zip(*findings.values.values(), strict=True)) if findings.values else [()] * len(places)
    for (*where, row, column, text), own in zip(
        zip(*(places[name] for name in columns), strict=True), values, strict=True
    ):
        file_name, sha256, sheet = where
        group = groups.setdefault((sha256, sheet), ProblemGroups())
        source = Source(file_name, sha256, sheet, int(row), column)
        group.add(
            check.code, check.severity, source, text, dict(zip(findings.values, own, strict=True)), int(row)
        )
    return tuple(problem for group in groups.values() for problem in group.all())
