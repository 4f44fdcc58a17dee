"""A practice day → the page that is on the screen."""

from dataclasses import replace

from explorer.display.learner_page import build_keep_page
from explorer.display.practice_page import build_exercise_page
from explorer.display.practice_screens import (
    build_before_page,
    build_erase_page,
    build_score_page,
    build_start_page,
    title_of,
)
from explorer.display.practice_values import PracticePage
from explorer.model.check_in import CheckIn
from explorer.practice.day import GROUP, Day, on_screen

__all__ = ["build_day_page"]


def build_day_page(day: Day, checked: CheckIn | None = None) -> PracticePage:
    """Return the page of a day's screen; the map has none of its own.

    Parameters
    ----------
    day : Day
        A day.
    checked : CheckIn, optional
        What the check-in made of the day's last data sheet.

    Examples
    --------
    >>> from explorer.model.practice_rules import PracticeRules
    >>> build_day_page(Day(PracticeRules())).kind
    'start'
    """
    page = _page(day, checked)
    told = tuple(remark.say(day.rules.language) for remark in day.told)
    return replace(page, told=(*told, *page.told)) if told else page


def _page(day: Day, checked: CheckIn | None) -> PracticePage:
    rules = day.rules
    if day.screen == "keep":
        return build_keep_page(day.shown_learner, day.people, rules)
    if day.screen == "erase":
        return build_erase_page(rules)
    if day.screen == "before":
        return build_before_page(day.exercise, rules)
    if day.state is None:
        return build_start_page(on_screen(), rules)
    exercise, view = day.exercise, day.exercise.view(day.state)
    if day.screen == "exercise":
        is_group = day.code == GROUP
        ways = ("start", "keep", "erase") if is_group else ("again", "start")
        kind, title = "group" if is_group else "exercise", title_of(day.code, rules)
        return build_exercise_page(kind, title, view, exercise.options(day.state), ways, rules)
    return build_score_page(day.code, view, exercise.score(day.state), rules, checked)
