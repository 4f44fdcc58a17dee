"""A lake's meeting from a record: its five steps and all that a hand-out says besides."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

import numpy as np

from explorer.analysis.class_schemes import programme_schemes
from explorer.analysis.compared_seasons import season_middles
from explorer.analysis.season_quality import season_quality
from explorer.display.comparison import District
from explorer.display.lake_names import find_lake, lakes_of
from explorer.display.limit_words import class_text
from explorer.display.meeting_basis import MeetingBasis, speaking_station
from explorer.display.meeting_pages import build_meeting_pages
from explorer.display.meeting_values import MeetingStep
from explorer.display.numbers import date_text
from explorer.display.question_cards import QuestionCard, cards_text, filled_cards, read_cards
from explorer.display.question_values import quality_values, question_values
from explorer.display.record_facts import RecordFacts
from explorer.display.station_words import capitalised
from explorer.intake.refresh import current_summaries
from explorer.model.calendar import Period
from explorer.model.errors import unknown_name
from explorer.model.places import Lake
from explorer.model.words import has_words, say
from explorer.records.record import Record
from explorer.records.season_rows import season_rows

__all__ = ["Meeting", "MeetingRecord", "check_cards"]

WORDS = {
    "algae": "chlorophyll_a", "clarity": "secchi_depth", "total_phosphorus": "total_phosphorus",
    "total_nitrogen": "total_nitrogen",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Meeting:
    """All that is shown and handed out about one lake.

    Attributes
    ----------
    lake : Lake
        The water.
    title, subtitle : str
        What it is about; for whom, from whom and when.
    steps : tuple of MeetingStep
        Five.
    cards : tuple of QuestionCard
        Questions that are asked, with their answers.
    terms : tuple of (str, str)
        Words and what they mean.
    sources : tuple of str
        Where limits and methods come from.
    thanks, ask, facts : str
        Thanks to the volunteers by their number; whom to ask; record, version and software.
    programme : str
        The programme's name.
    language : str
        Language of the words.
    paper : {"a4", "us-letter"}
        Size of paper that is usual where the programme works.
    made_on : date
        Day of making.
    """

    lake: Lake
    title: str
    subtitle: str
    steps: tuple[MeetingStep, ...]
    cards: tuple[QuestionCard, ...]
    terms: tuple[tuple[str, str], ...]
    sources: tuple[str, ...]
    thanks: str
    ask: str
    facts: str
    programme: str
    language: str
    paper: str
    made_on: date

    def say(self, code: str, **values: object) -> str:
        """Return a sentence of the group "meeting"."""
        return say(f"meeting.{code}", values, self.language)


class MeetingRecord:
    """The meetings of a record's lakes: season tables and trends are read once.

    Parameters
    ----------
    record : Record
        An open record; it is only read.
    progress : callable, optional
        Called while seasons are computed, with how many stations are done, and of how many.
    season : int, optional
        The season that is spoken of; the record's latest when left out.

    Attributes
    ----------
    year : int
        That season.
    """

    def __init__(
        self,
        record: Record,
        progress: Callable[[int, int], None] | None = None,
        season: int | None = None,
    ) -> None:
        self.record = record
        self._facts = RecordFacts(record.title, record.opened_from, record.version(), record.settings_hash)
        schemes = programme_schemes(record.settings, "programme.toml", record.programme.quantities)
        self._scheme = schemes[record.programme.scheme]
        self._cards = check_cards(record)
        self._summaries = current_summaries(record, progress)
        seasons = self._summaries.seasons
        own = seasons[(seasons["window"] == "season").to_numpy()]
        visits = own.groupby("station_code")["visits"].sum()
        self._district = District(record.station_list(), record.lakes(), season_middles(seasons))
        self._visits = {str(code): int(count) for code, count in visits.items()}
        self.year = season or (int(own["year"].max()) if len(own) else date.today().year)

    def lakes(self) -> tuple[Lake, ...]:
        """Return the waters that have a station, by name."""
        return lakes_of(self.record)

    def find(self, name: str) -> Lake:
        """Return the lake of a name or code, see `find_lake`."""
        return find_lake(self.record, name)

    def meeting(self, lake: Lake, made_on: date) -> Meeting:
        """Return a lake's meeting.

        Parameters
        ----------
        lake : Lake
            One of `lakes()`.
        made_on : date
            Day of making.
        """
        basis = self.basis(lake)
        steps = build_meeting_pages(basis)
        own = question_values(basis, steps, self._district)
        language, programme = basis.language, basis.programme
        day = date_text(np.datetime64(made_on), language)
        values: Mapping[str, object] = {"lake": lake.name, "programme": programme.name, "date": day}
        return Meeting(
            lake=lake,
            title=basis.say("handout_title", **values),
            subtitle=basis.say("handout_by", **values),
            steps=steps,
            cards=filled_cards(self._cards, {**self._quality, **own}),
            terms=_terms(basis),
            sources=_sources(basis),
            thanks=_thanks(basis),
            ask=programme.contact.strip() or basis.say("handout_ask_office", **values),
            facts=self._facts.line(language),
            programme=programme.name,
            language=language,
            paper="us-letter" if programme.length_unit == "ft" else "a4",
            made_on=made_on,
        )

    @cached_property
    def _quality(self) -> Mapping[str, str]:
        first, after = self.record.programme.season.year_bounds(self.year)
        rows = season_rows(self.record, first, after)
        return quality_values(season_quality(rows, {}, self.record.programme.quality))

    def basis(self, lake: Lake) -> MeetingBasis:
        """Return what a lake's steps are made from.

        Parameters
        ----------
        lake : Lake
            One of `lakes()`.
        """
        station = speaking_station(lake, self.record.station_list(), self._visits)
        if station is None:
            raise unknown_name("station", lake.code, self._visits, f"on {lake.name}")
        seasons = self._summaries.seasons
        own = seasons[(seasons["station_code"] == station.code).to_numpy()]
        trends = {code: each for (at, code), each in self._summaries.trends.items() if at == station.code}
        history = self.record.history(station.code)
        return MeetingBasis(history, own, trends, self._scheme, self.record.programme, self.year)


def check_cards(record: Record) -> tuple[QuestionCard, ...]:
    """Return the question cards of a record's programme, not filled in yet.

    Parameters
    ----------
    record : Record
        An open record.

    Raises
    ------
    ProgrammeError
        If the office's own file of cards holds a mistake; with file, line and cure.
    """
    return read_cards(*cards_text(record.opened_from, record.programme.language))


def _terms(basis: MeetingBasis) -> tuple[tuple[str, str], ...]:
    """Return the words of the steps that want an explanation, the class's first."""
    scheme, language = basis.scheme, basis.language
    terms = []
    for label in (basis.result.label, basis.result.also):
        if label:
            own = f"glossary.class_{label}"
            values = {
                "place": scheme.classes.index(label) + 1, "count": len(scheme.classes), "scheme": scheme.name
            }  # fmt: skip
            text = say(own if has_words(own) else "glossary.any_class", values, language)
            terms.append((capitalised(class_text(label, language)), text))
    measured = set(basis.counted["quantity"])
    for word, code in WORDS.items():
        if code in measured:
            terms.append((capitalised(basis.name(code)), say(f"glossary.text_{word}", language=language)))
    return tuple(terms)


def _sources(basis: MeetingBasis) -> tuple[str, ...]:
    lines = [basis.say("source_usual"), basis.say("source_trend"), basis.say("source_sure")]
    if basis.lake.kind == "stream":
        return tuple(lines[:2])
    scheme = basis.say("source_scheme", source=basis.scheme.source)
    return (scheme, basis.say("source_index"), *lines)


def _thanks(basis: MeetingBasis) -> str:
    """Return thanks to the volunteers, by their number."""
    readings = basis.counted
    if readings.empty:
        return basis.say("thanks_none")
    years = readings["year"].to_numpy()
    season = basis.programme.season
    period = Period(int(years.min()), int(years.max()))
    people = int(readings.loc[(readings["observer"] != "").to_numpy(), "observer"].nunique())
    return basis.say(
        "thanks" if people else "thanks_nobody",
        volunteers=capitalised(basis.count("meeting.volunteer", people)),
        visits=basis.count("count.visit", int(readings["taken_on"].nunique())),
        first=season.label(period.first_year),
        last=season.label(period.last_year),
    )
