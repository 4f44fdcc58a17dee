"""What the office takes out of a record on paper: the freezer's list, what a season lacks, its quality."""

from collections.abc import Iterable
from datetime import date

import pandas as pd

from explorer.display.freezer_page import build_freezer_page
from explorer.display.label_page import frozen_labels
from explorer.display.lacking_page import build_lacking_page
from explorer.display.paper_tables import PaperPage
from explorer.display.quality_page import build_quality_page, nothing_taken
from explorer.display.record_facts import RecordFacts
from explorer.display.visit_lists import build_hand_over_page
from explorer.intake.freezer_list import frozen_samples
from explorer.intake.label_register import GivenCode
from explorer.intake.season_report import season_plan, season_report
from explorer.model.errors import ExplorerError
from explorer.records.container_entry import container_list
from explorer.records.record import Record

__all__ = ["facts_of", "freezer_pages", "lacking_page", "quality_page"]


def facts_of(record: Record) -> RecordFacts:
    """Return what stands beside numbers that leave a record.

    Parameters
    ----------
    record : Record
        An open record.
    """
    return RecordFacts(record.title, record.path, record.version(), record.settings_hash)


def freezer_pages(
    record: Record, given: Iterable[GivenCode], today: date, containers: pd.DataFrame | None = None
) -> tuple[PaperPage, PaperPage]:
    """Return the freezer's list, least days left first, and the sheet that hands its samples over.

    Parameters
    ----------
    record : Record
        An open record.
    given : iterable of GivenCode
        The register of its sample codes.
    today : date
        Day for which the list holds.
    containers : DataFrame, optional
        Rows of freezer logs; those in the record when left out.
    """
    if containers is None:
        kept = container_list(record)
        containers = kept[(kept["kind"] == "freezer_log").to_numpy()]
    programme = record.programme
    plan = season_plan(record, today.year)
    samples = frozen_samples(containers, tuple(given), plan, programme.quality, today)
    labels, days = frozen_labels(samples, programme.office_language)
    return (
        build_freezer_page(samples, programme, today=today),
        build_hand_over_page(labels, days, programme),
    )


def lacking_page(record: Record, season: int, today: date) -> PaperPage:
    """Return what a season still lacks by station and month.

    Parameters
    ----------
    record : Record
        An open record.
    season : int
        Year of the season.
    today : date
        What lies ahead is not lacking.
    """
    return build_lacking_page(season_report(record, season), facts_of(record), today=today)


def quality_page(record: Record, season: int, today: date) -> PaperPage:
    """Return a season's quality report.

    Parameters
    ----------
    record : Record
        An open record.
    season : int
        Year of the season.
    today : date
        Day of making.

    Raises
    ------
    ExplorerError
        If the season holds nothing.
    """
    report = season_report(record, season)
    if report.is_empty:
        raise ExplorerError(nothing_taken(report))
    return build_quality_page(report, facts_of(record), made_on=today)
