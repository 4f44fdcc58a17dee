"""The question cards: one file that the office may change, every mistake named; numbers from the record."""

from datetime import date
from pathlib import Path

import pytest
from plain_language import forbidden_in, reading_grade

from explorer.demo import demo_folder
from explorer.display.question_cards import (
    CARD_VALUES,
    CARDS_FILE,
    cards_text,
    filled_cards,
    read_cards,
)
from explorer.model.errors import ProgrammeError

CARD = '[[card]]\nquestion = "Where?"\nanswer = ["Here."]\n'
VALUES = {
    "lake": "Hollow Mere", "season": "2024", "programme": "Hollow programme", "contact": "Ask Mr Reed.",
    "pairs": "12", "agreeing": "11", "readings": "240", "passed": "236",
    "beside": "Clarity: 3.0 m here, 2.4 m in the middle of 4 stations elsewhere (5 visits here, 20 there).",
    "next": "Keep on: a visit in every month of the season, May to September.",
}  # fmt: skip


@pytest.mark.parametrize("values", [VALUES, {}])
def test_usual_cards_say_nothing_that_they_may_not_and_are_plain(values):
    assert set(VALUES) == set(CARD_VALUES)
    cards = filled_cards(read_cards(*cards_text(Path("nowhere/lakes.gpkg"), "en")), values)
    assert len(cards) == 6
    for card in cards:
        whole = " ".join(card.answer)
        assert forbidden_in(whole) == []
        assert all(line[-1] == "." and "{" not in line for line in card.answer)
    assert reading_grade(" ".join(line for card in cards for line in card.answer)) <= 8
    said = " ".join(line for card in cards for line in card.answer)
    assert all((each in said) == bool(values) for each in (VALUES["beside"], "11 of 12", "236 of 240"))
    assert cards[0].answer[0].startswith("We cannot tell.")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[card]\n", "cannot be read as TOML"),
        ("[[cards]]\n", 'line 1, "cards": there is no such key. A card begins with [[card]].'),
        ("[card]\nquestion = 'x'\n", 'line 1, "card": a card begins with [[card]]'),
        (CARD * 10, "found 10 cards, and there are keys for 9"),
        ('[[card]]\nquestion = "Where?"\n', 'line 1, "card": card 1 has no answer. Add the line.'),
        (
            '[[card]]\nquestion = "Where?"\nanswer = "Here."\n',
            "line 3, \"answer\": found 'Here.'. Write a list",
        ),
        (CARD + "asnwer = 3\n", 'line 4, "asnwer": a card has no such key'),
        (CARD.replace("Here", "{lakes}"), "there is no value {lakes}. Did you mean {lake}?"),
        (CARD.replace("Here", "{lake.__class__}"), "there is no value {lake.__class__}"),
        (CARD.replace("Here", "{lake!r}"), "there is no value {lake}"),
        (CARD.replace("Here", "{"), "Write {{ for a brace that is meant."),
    ],
)
def test_mistake_in_the_file_is_named_with_its_line_and_cure(text, said):
    with pytest.raises(ProgrammeError) as found:
        read_cards(text)
    assert CARDS_FILE in str(found.value)
    assert said in str(found.value)


def test_file_of_the_office_stands_beside_the_record(tmp_path):
    (tmp_path / CARDS_FILE).write_text(CARD, encoding="utf-8")
    for place in (tmp_path, tmp_path / "lakes.gpkg"):
        assert read_cards(*cards_text(place, "en"))[0].question == "Where?"
    (tmp_path / CARDS_FILE).write_bytes(b"\xff\xfe\x00")
    with pytest.raises(ProgrammeError, match="Save it as UTF-8"):
        cards_text(tmp_path, "en")


def test_demo_has_cards_of_its_own_that_say_nothing_that_they_may_not():
    cards = read_cards(*cards_text(demo_folder(), "en"))
    usual = read_cards(*cards_text(Path("nowhere/lakes.gpkg"), "en"))
    assert {card.question for card in usual} < {card.question for card in cards}
    assert cards[0].answer[0] == "We cannot tell. These measurements are not made for that."
    assert any("the health office" in line.casefold() for line in cards[0].answer)
    for values in (VALUES, {}):
        said = [line for card in filled_cards(cards, values) for line in card.answer]
        assert forbidden_in(" ".join(said)) == []
        assert reading_grade(" ".join(said)) <= 8


def test_values_of_the_demo_are_counted_and_name_no_other_water(demo_meetings):
    lakes = demo_meetings.lakes()
    for lake in map(demo_meetings.find, ("FER", "SED", "SAL")):
        cards = demo_meetings.meeting(lake, date(2026, 1, 15)).cards
        said = " ".join(line for card in cards for line in card.answer)
        assert "33 of 33 second samples from all waters" in said
        assert "lakes@vellory.example" in said
        assert "1050 of 1053 readings" in said
        assert [each.name for each in lakes if each.name in said] == []
        assert "trophic" not in said
        alone = lake.kind == "stream"
        assert ("There is no other water of this kind" in said) == alone
