"""The practice screen at one moment, from what a learner may see and do, and the keys of its buttons."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from explorer.display.practice_pictures import picture_of
from explorer.display.practice_values import Button, ButtonRow, Paper, PaperLine, PracticePage
from explorer.model.practice import Card, Option, View
from explorer.model.practice_rules import PracticeRules
from explorer.model.words import say

__all__ = ["DO", "GO", "build_exercise_page", "keys_of", "ways_to", "with_keys"]

KEYS = "1234567890abcdefghijklmnopqrstuvwxyz"
DO, GO = "do:", "go:"  # before the code of an action, and of a way from one screen to another


def build_exercise_page(
    kind: str, title: str, view: View, options: Sequence[Option], ways: Iterable[str], rules: PracticeRules
) -> PracticePage:
    """Return the page of an exercise, or of a group, from what a learner may see and do.

    Parameters
    ----------
    kind : str
        "exercise" or "group".
    title : str
        Its name.
    view : View
        What the learner may see.
    options : sequence of Option
        What is possible now.
    ways : iterable of str
        Codes of the ways to other screens; their words are `training.go_<code>`.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> view = View("none", "Which?", (), {}, (Card("Label", (("date", "May"),)),))
    >>> page = build_exercise_page("exercise", "Test", view, [Option("stop", "Stop")], (), PracticeRules())
    >>> page.rows[0].buttons[0]
    Button(code='do:stop', label='Stop', asks='', key='1')
    """
    at_lines = {(option.row, option.line): option for option in options if option.line}
    papers = tuple(_paper(card, at_lines, view.task) for card in view.cards)
    rows: dict[str, list[Button]] = {}
    for option in options:
        if not option.line:
            rows.setdefault(option.row, []).append(Button(DO + option.code, option.label, option.asks))
    page = PracticePage(
        kind=kind,
        title=title,
        task=view.task,
        told=view.told,
        picture=picture_of(view, rules),
        caution=view.caution,
        papers=tuple(paper for paper in papers if paper.lines),
        rows=tuple(ButtonRow(name, tuple(buttons)) for name, buttons in rows.items()),
        ways=ways_to(ways, rules.language),
        is_secret=kind == "group",
        scene=view.scene,
    )
    keyed = with_keys(page)
    return replace(keyed, rows=tuple(sorted(keyed.rows, key=lambda row: not _asks(row))))


def _asks(row: ButtonRow) -> bool:
    """Return whether something can be written in a row: what is written next stands first."""
    return any(button.asks for button in row.buttons)


def _paper(card: Card, at_lines: dict[tuple[str, str], Option], task: str) -> Paper:
    """Return a card with the buttons at its lines, without what stands as the task already."""
    lines = []
    for name, text in card.lines:
        if text == task:
            continue
        option = at_lines.get((card.title, name))
        button = Button(DO + option.code, option.label) if option else None
        lines.append(PaperLine(name, text, button))
    return Paper(card.title, tuple(lines))


def ways_to(codes: Iterable[str], language: str) -> tuple[Button, ...]:
    """Return the buttons that lead to other screens.

    Parameters
    ----------
    codes : iterable of str
        Each has its words in `training.go_<code>`.
    language : str
        Language of the words.

    Examples
    --------
    >>> [button.code for button in ways_to(("start",), "en")]
    ['go:start']
    """
    return tuple(Button(GO + code, say(f"training.go_{code}", language=language)) for code in codes)


def with_keys(page: PracticePage, held: Mapping[str, str] = MappingProxyType({})) -> PracticePage:
    """Return a page whose buttons have a key each: tiles, rows, or else its ways.

    Parameters
    ----------
    page : PracticePage
        A page.
    held : mapping of str to str
        Keys of the pages before, by the code of the button. While a page shares a button with them, every
        button keeps its key and a new one gets a key that none has had: a key pressed twice does one thing.

    Examples
    --------
    >>> page = PracticePage("exercise", "T", rows=(ButtonRow("", (Button("a", "A"), Button("b", "B"))),))
    >>> [button.key for button in with_keys(page, {"b": "1", "c": "2"}).rows[0].buttons]
    ['3', '1']
    """
    codes = [tile.button.code for tile in page.tiles] + [
        button.code for row in page.rows for button in row.buttons
    ]
    kept = dict(held) if not held.keys().isdisjoint(codes) else {}
    taken = {kept[code] for code in codes if code in kept}
    fresh = [key for key in KEYS if key not in kept.values()]
    again = [key for key in KEYS if key in kept.values() and key not in taken]
    free = iter((*fresh, *again))
    keys = {code: kept.get(code) or next(free, "") for code in codes}

    def keyed(button: Button) -> Button:
        return replace(button, key=keys[button.code])

    tiles = tuple(replace(tile, button=keyed(tile.button)) for tile in page.tiles)
    rows = tuple(replace(row, buttons=tuple(map(keyed, row.buttons))) for row in page.rows)
    ways = page.ways
    if not codes:
        ways = tuple(replace(way, key=key) for way, key in zip(ways, KEYS, strict=False))
    return replace(page, tiles=tiles, rows=rows, ways=ways)


def keys_of(page: PracticePage, held: Mapping[str, str] = MappingProxyType({})) -> dict[str, str]:
    """Return the keys of a page's tiles and rows, and of the pages before that share a button with it.

    Parameters
    ----------
    page : PracticePage
        A page of `with_keys`.
    held : mapping of str to str
        As for `with_keys`.
    """
    buttons = [tile.button for tile in page.tiles] + [each for row in page.rows for each in row.buttons]
    keys = {button.code: button.key for button in buttons if button.key}
    return keys if keys.keys().isdisjoint(held) else {**held, **keys}
