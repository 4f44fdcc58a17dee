"""Cards for the questions of a meeting: their words in one file, their numbers from the record."""

import string
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from explorer.model.errors import ProgrammeError, nearest_name
from explorer.model.setting_place import line_of_key
from explorer.model.words import FULL_LANGUAGE
from explorer.records.folder import CARDS_FILE

__all__ = ["CARDS_FILE", "CARD_VALUES", "QuestionCard", "cards_text", "filled_cards", "read_cards"]

CARD_VALUES = (
    "lake", "season", "programme", "contact", "pairs", "agreeing", "readings", "passed", "beside", "next",
)  # fmt: skip
MOST_CARDS = 9  # as many as there are keys
_FOLDER = Path(__file__).with_name("cards")
_KEYS = ("question", "answer", "without")


@dataclass(frozen=True, slots=True)
class QuestionCard:
    """One question and its answer.

    Attributes
    ----------
    question : str
        As it is asked.
    answer : tuple of str
        Lines; what stands in braces is one of `CARD_VALUES`.
    without : tuple of str
        Lines that stand in the place of the answer where the record has not all of its numbers.
    """

    question: str
    answer: tuple[str, ...]
    without: tuple[str, ...] = ()


def cards_text(record_place: Path, language: str) -> tuple[str, str]:
    """Return the text of the cards: the office's own file where there is one, else the usual one.

    Parameters
    ----------
    record_place : Path
        Where the record was opened: its folder or its file.
    language : str
        Language of the usual cards.

    Returns
    -------
    text, name : str
        The file's text, and its name for messages.

    Raises
    ------
    ProgrammeError
        If the office's file cannot be read.
    """
    folder = record_place if record_place.is_dir() else record_place.parent
    own = folder / CARDS_FILE
    if not own.is_file():
        usual = _FOLDER / f"{language}.toml"
        own = usual if usual.is_file() else _FOLDER / f"{FULL_LANGUAGE}.toml"
    try:
        return own.read_text(encoding="utf-8-sig"), own.name
    except (OSError, UnicodeDecodeError) as error:
        raise ProgrammeError(f"{own} cannot be read as UTF-8 text: {error}. Save it as UTF-8.") from error


def read_cards(text: str, file_name: str = CARDS_FILE) -> tuple[QuestionCard, ...]:
    """Return the cards of a file.

    Parameters
    ----------
    text : str
        Its text: a table [[card]] for each, with question, answer and without.
    file_name : str
        Its name for messages.

    Raises
    ------
    ProgrammeError
        If the text is no TOML, or a key, a value or a name in braces is wrong; with file, line and cure.

    Examples
    --------
    >>> read_cards('[[card]]\\nquestion = "Who measures?"\\nanswer = ["Volunteers."]')[0].answer
    ('Volunteers.',)
    >>> read_cards('[[card]]\\nquestion = "Where?"\\nanswer = ["At {lke}."]')
    Traceback (most recent call last):
    explorer.model.errors.ProgrammeError: question_cards.toml, line 3, "answer": there is no value {lke}. ...
    """
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ProgrammeError(f"{file_name} cannot be read as TOML: {error}. Correct that line.") from error

    def wrong(key: str, what: str) -> ProgrammeError:
        return ProgrammeError(f'{file_name}, line {line_of_key(text, key)}, "{key}": {what}')

    for key in found:
        if key != "card":
            raise wrong(key, "there is no such key. A card begins with [[card]].")
    cards = found.get("card", [])
    if not isinstance(cards, list) or not all(isinstance(card, dict) for card in cards):
        raise wrong("card", "a card begins with [[card]], in two brackets each.")
    if len(cards) > MOST_CARDS:
        raise wrong("card", f"found {len(cards)} cards, and there are keys for {MOST_CARDS}. Leave some out.")
    return tuple(_card(card, number, wrong) for number, card in enumerate(cards, 1))


def _card(card: Mapping[str, Any], number: int, wrong: Any) -> QuestionCard:
    for key, value in card.items():
        if key not in _KEYS:
            raise wrong(key, f"a card has no such key. It has {', '.join(_KEYS)}.")
        lines = [value] if key == "question" else value
        if not isinstance(lines, list) or not all(isinstance(line, str) and line.strip() for line in lines):
            form = "a text" if key == "question" else 'a list of texts: ["One line.", "Another."]'
            raise wrong(key, f"found {value!r}. Write {form}.")
        for line in lines:
            _check_names(line, key, wrong)
    for key in _KEYS[:2]:
        if not card.get(key):
            raise wrong("card", f"card {number} has no {key}. Add the line.")
    return QuestionCard(card["question"], tuple(card["answer"]), tuple(card.get("without", ())))


def _check_names(line: str, key: str, wrong: Any) -> None:
    try:
        parts = [part[1:] for part in string.Formatter().parse(line) if part[1] is not None]
    except ValueError as error:
        raise wrong(key, f"{error} in {line!r}. Write {{{{ for a brace that is meant.") from error
    for name, form, conversion in parts:
        if name not in CARD_VALUES or form or conversion:
            near = nearest_name(str(name), CARD_VALUES)
            question = f" Did you mean {{{near}}}?" if near else ""
            known = ", ".join(CARD_VALUES)
            raise wrong(key, f"there is no value {{{name}}}.{question} The values are {known}.")


def filled_cards(cards: tuple[QuestionCard, ...], values: Mapping[str, str]) -> tuple[QuestionCard, ...]:
    """Return cards whose values are filled in.

    Parameters
    ----------
    cards : tuple of QuestionCard
        From `read_cards`.
    values : mapping of str to str
        What is known of `CARD_VALUES`; an empty text is not known.

    Examples
    --------
    >>> card = QuestionCard("How many?", ("{pairs} pairs.",), ("None yet.",))
    >>> [each[0].answer for each in (filled_cards((card,), {"pairs": "4"}), filled_cards((card,), {}))]
    [('4 pairs.',), ('None yet.',)]
    """
    known = {name: values.get(name, "") for name in CARD_VALUES}
    return tuple(_filled(card, known) for card in cards)


def _filled(card: QuestionCard, known: Mapping[str, str]) -> QuestionCard:
    names = {name for line in card.answer for _, name, _, _ in string.Formatter().parse(line) if name}
    lines = card.answer if all(known[name] for name in names) else (card.without or card.answer)
    filled = (" ".join(line.format_map(known).split()) for line in lines)
    return QuestionCard(card.question.format_map(known), tuple(line for line in filled if line))
