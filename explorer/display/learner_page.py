"""A page per learner to keep: what was practised, how well readings agreed, what to practise again."""

import csv
import io
from collections.abc import Sequence
from datetime import date
from math import ceil

import numpy as np

from explorer.display.downloads import letters_of
from explorer.display.numbers import date_text
from explorer.display.practice_page import GO, ways_to, with_keys
from explorer.display.practice_screens import title_of
from explorer.display.practice_values import Button, ButtonRow, PracticePage
from explorer.display.spreadsheet_text import guarded
from explorer.model.errors import unknown_name
from explorer.model.practice_rules import PracticeRules
from explorer.model.words import say
from explorer.practice.learner import Learner, to_practise_again

__all__ = ["LEARNER_KINDS", "build_keep_page", "learner_download"]

LEARNER_KINDS = ("pdf", "csv")
MOST_ROUNDS = 4  # of the group, the last ones: the page stays one page
LINE_LETTERS = 88  # of a sentence in one line of the page
LINES_FOR_AGAIN = 33.0  # lines that a page has for what to practise again, when nothing else stands on it
LINES_OF_A_ROW, LINES_OF_A_ROUND, LINES_BETWEEN = 1.5, 2.4, 0.5
HEADINGS = ("exercise", "tries", "points", "agreement")
COLUMNS = (
    "nickname", "day", "what", "tries", "points", "of", "spread_percent", "written", "middle",
    "to_practise_again",
)  # fmt: skip


def build_keep_page(learner: Learner, people: Sequence[str], rules: PracticeRules) -> PracticePage:
    """Return the screen on which somebody takes a nickname and saves a page.

    Parameters
    ----------
    learner : Learner
        Whose page would be saved.
    people : sequence of str
        Nicknames of those who have a page, the empty one for whoever took none.
    rules : PracticeRules
        Give the language.

    Examples
    --------
    >>> build_keep_page(Learner("Ada"), ("Ada",), PracticeRules()).told
    ('The page is for Ada.', 'Nothing has been practised yet.')
    """

    def said(code: str, **values: str) -> str:
        return say(f"training.{code}", values, rules.language)

    def said_of(code: str, name: str) -> str:
        return said(code, name=name) if name else said(f"{code}_none")

    rows = [
        ButtonRow(said("keep_row_name"), (Button(f"{GO}name", said("keep_do_name"), said("keep_ask_name")),))
    ]
    if len(people) > 1:
        buttons = tuple(Button(f"{GO}person:{each}", said_of("keep_whose", each)) for each in people)
        rows.append(ButtonRow(said("keep_row_people"), buttons))
    told = [said_of("keep_name", learner.nickname)]
    if not learner.practised and not learner.rounds:
        told.append(said("keep_none"))
    page = PracticePage(
        "keep",
        said("keep_title"),
        task=said("keep_task"),
        told=tuple(told),
        rows=tuple(rows),
        ways=ways_to(("start", "erase"), rules.language),
    )
    return with_keys(page)


def learner_download(
    kind: str, learner: Learner, programme_name: str, rules: PracticeRules, day: date
) -> tuple[str, bytes]:
    """Return a learner's page as a file.

    Parameters
    ----------
    kind : {"pdf", "csv"}
        One page for paper, or a table.
    learner : Learner
        Whose.
    programme_name : str
        As the programme calls itself.
    rules : PracticeRules
        Give the language.
    day : date
        Day of the practice.

    Returns
    -------
    name : str
        A name that every file system takes.
    content : bytes
        The file.

    Raises
    ------
    UnknownNameError
        If there is no such kind.
    """
    if kind not in LEARNER_KINDS:
        raise unknown_name("kind of file", kind, LEARNER_KINDS, "among the downloads")
    parts = ["practice", letters_of(learner.nickname), day.isoformat()]
    name = f"{'_'.join(part for part in parts if part)}.{kind}"
    if kind == "csv":
        return name, _csv(learner, rules, day)
    from explorer.display.typeset import typeset  # a third of a second, and only for the page on paper

    values = _page_values(learner, programme_name, rules, day)
    return name, typeset("learner_page", values, made_on=day)


def _page_values(learner: Learner, programme_name: str, rules: PracticeRules, day: date) -> dict[str, object]:
    def said(code: str, **values: str) -> str:
        return say(f"learner_page.{code}", values, rules.language)

    rows = [
        [
            title_of(code, rules),
            str(tries),
            f"{score.points} / {score.of}",
            said("none") if score.spread is None else said("spread", spread=f"{score.spread:.0f}"),
        ]
        for code, tries, score in learner.last_tries()
    ]
    first = max(0, len(learner.rounds) - MOST_ROUNDS)
    rounds = [
        said(
            f"round_{'agrees' if each.agrees else 'apart'}", number=str(number), written=each.written,
            middle=each.middle, count=str(each.count), spread=f"{each.spread:.0f}",
        )
        for number, each in enumerate(learner.rounds[first:], first + 1)
    ]  # fmt: skip
    room = LINES_FOR_AGAIN - LINES_OF_A_ROW * len(rows) - LINES_OF_A_ROUND * len(rounds)
    sentences = [remark.say(rules.language) for remark in to_practise_again(learner)]
    shown = _that_fit(sentences, room)
    if len(shown) < len(sentences):
        shown.append(said("again_more", count=str(len(sentences) - len(shown))))
    words = ("practised", "rounds", "again", "nothing", "not_certificate", "safety", "apart_means")
    return {
        "title": said("title"),
        "name": said("for_name", name=learner.nickname) if learner.nickname else "",
        "day": said("made_on", date=date_text(np.datetime64(day), rules.language)),
        "programme": said("programme", name=programme_name),
        "language": rules.language,
        "columns": [said(f"column_{each}") for each in HEADINGS],
        "rows": rows,
        "rounds": rounds,
        "again": shown or [said("again_none")],
        "words": {word: said(word) for word in words},
    }


def _that_fit(sentences: Sequence[str], room: float) -> list[str]:
    """Return the first sentences for which so many lines are enough."""
    shown: list[str] = []
    for sentence in sentences:
        room -= ceil(len(sentence) / LINE_LETTERS) + LINES_BETWEEN
        if room < 0:
            break
        shown.append(sentence)
    return shown


def _csv(learner: Learner, rules: PracticeRules, day: date) -> bytes:
    """Return one row an exercise and one a round of the group; UTF-8 with a byte order mark."""
    common = {"nickname": learner.nickname, "day": day.isoformat()}
    rows: list[dict[str, object]] = []
    for code, tries, score in learner.last_tries():
        again = " ".join(remark.say(rules.language) for remark in score.mistakes)
        spread = "" if score.spread is None else f"{score.spread:.1f}"
        rows.append(
            {
                **common, "what": title_of(code, rules), "tries": tries, "points": score.points,
                "of": score.of,
                "spread_percent": spread, "to_practise_again": guarded(again),
            }
        )  # fmt: skip
    for each in learner.rounds:
        rows.append(
            {
                **common, "what": title_of("group", rules), "spread_percent": f"{each.spread:.1f}",
                "written": each.written, "middle": each.middle,
            }
        )  # fmt: skip
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode("utf-8-sig")
