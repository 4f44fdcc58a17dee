"""A second language: a whole meeting in German, with no English sentence borrowed for it."""

import io
import re
import string
from dataclasses import replace
from datetime import date
from pathlib import Path

import pypdf
import pytest

from explorer.display.handout import handout_file
from explorer.display.meeting_pages import build_meeting_pages
from explorer.display.question_cards import CARD_VALUES, cards_text, filled_cards, read_cards
from explorer.model import words

PROOF = "de"


@pytest.fixture
def nothing_borrowed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A language that lacks a sentence fails; of trends a meeting shows the short words only."""
    long = {
        code: text
        for code, text in words._words("en").items()
        if code.startswith(("trend.", "panel.", "beside."))
    }
    monkeypatch.setattr(words, "_known", lambda language: {**long, **words._words(language)})


def names_in(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


def test_sentences_of_the_second_language_are_those_of_the_first_and_name_no_other_value():
    first, second = words._words("en"), words._words(PROOF)
    assert set(second) <= set(first)
    for group in ("meeting.", "meeting_stage."):
        assert {code for code in first if code.startswith(group)} <= set(second)
    optional = {"trend.short_more", "trend.short_less", "trend.short_higher", "trend.short_lower"}
    for code, sentence in second.items():
        given = names_in(first[code]) | (
            {"season", "kind", "scheme"} if code.startswith("meeting.") else set()
        )
        assert names_in(sentence) <= given, code
        lacking = names_in(first[code]) - names_in(sentence) - {"kind", "scheme", "when"}
        assert not lacking or code in optional or code.startswith("meeting."), code


def test_meetings_of_all_lakes_borrow_nothing(demo_meetings, nothing_borrowed):
    german = replace(demo_meetings.record.programme, language=PROOF)
    for lake in demo_meetings.lakes():
        steps = build_meeting_pages(replace(demo_meetings.basis(lake), programme=german))
        for step in steps:
            assert "Baden" in step.caution
            assert step.sentence.endswith(".")
            assert len(step.sentence) <= 110, step.sentence
            assert not {"the", "and", "of", "usual", "visits"} & set(step.sentence.casefold().split())
            said = "\n".join((step.sentence, step.sureness, *step.figures, *step.known))
            if step.picture:
                said += "\n".join((step.picture.alt, *(point.words for point in step.picture.points)))
            assert not re.search(r"\d\.\d|trophic", said), said
    assert "seit 2006 weniger klar" in build_meeting_pages(
        replace(demo_meetings.basis(demo_meetings.find("FER")), programme=german)
    )[2].sentence  # fmt: skip


def test_numbers_and_classes_are_those_of_the_language(demo_meetings, nothing_borrowed):
    german = replace(demo_meetings.record.programme, language=PROOF)
    state, months, years, *_ = build_meeting_pages(
        replace(demo_meetings.basis(demo_meetings.find("GRE")), programme=german)
    )
    assert state.sentence.endswith("war dieser Weiher 2025 hypereutroph: sehr viele Algen.")
    assert "Algen: 86,1\xa0µg/L, der mittlere Wert von 2025." in state.figures
    assert state.picture.names == ("oligotroph", "mesotroph", "eutroph", "hypereutroph")
    assert (months.picture.up[-1][1], years.picture.up[-1][1]) == ("0,6\xa0m", "0,4\xa0m")


def test_language_lacking_a_sentence_borrows_it():
    assert words.say("fold.explanation", language=PROOF) == words.say("fold.explanation")


def test_cards_of_the_second_language_hold_the_same_values():
    place = Path("nowhere/lakes.gpkg")
    first, second = (read_cards(*cards_text(place, language)) for language in ("en", PROOF))
    assert len(first) == len(second)
    for one, other in zip(first, second, strict=True):
        assert names_in(" ".join(one.answer)) == names_in(" ".join(other.answer))
    assert all(card.answer for card in filled_cards(second, dict.fromkeys(CARD_VALUES, "x")))


def test_handout_says_its_language(demo_meetings, nothing_borrowed, monkeypatch):
    german = replace(demo_meetings.record.programme, language=PROOF)
    monkeypatch.setattr(demo_meetings.record, "programme", german)
    meeting = demo_meetings.meeting(demo_meetings.find("UMB"), date(2026, 1, 15))
    reader = pypdf.PdfReader(io.BytesIO(handout_file(meeting, "handout")[1]))
    assert reader.trailer["/Root"]["/Lang"] == PROOF
    assert len(reader.pages) == 2
    assert "15. Januar 2026" in reader.pages[0].extract_text()
    assert b'<html lang="de">' in handout_file(meeting, "html")[1]
