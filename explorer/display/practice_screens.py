"""The practice screens around an exercise: all of them to choose from, safety first, and how it went."""

from collections.abc import Iterable, Mapping
from typing import Any

from explorer.display.practice_page import GO, ways_to, with_keys
from explorer.display.practice_pictures import agreement_picture, picture_of
from explorer.display.practice_values import Button, Listing, PracticePage, Tile
from explorer.model.check_in import CheckIn
from explorer.model.practice import Remark, Score, View
from explorer.model.practice_rules import PracticeRules
from explorer.model.words import say
from explorer.practice.cautions import caution_lists
from explorer.practice.turn import Exercise

__all__ = [
    "build_before_page",
    "build_erase_page",
    "build_score_page",
    "build_start_page",
    "title_of",
]


def title_of(code: str, rules: PracticeRules) -> str:
    """Return the name of an exercise, or of the group.

    Parameters
    ----------
    code : str
        Its code.
    rules : PracticeRules
        Give the language.

    Examples
    --------
    >>> title_of("disk", PracticeRules())
    'Reading the disk'
    """
    return say(f"practice.title_{code}", language=rules.language)


def build_start_page(exercises: Mapping[str, Exercise[Any]], rules: PracticeRules) -> PracticePage:
    """Return the page on which an exercise is chosen.

    Parameters
    ----------
    exercises : mapping of str to Exercise
        By code, in the order in which a day takes them.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> from explorer.practice.exercises import EXERCISES
    >>> build_start_page(EXERCISES, PracticeRules()).tiles[0].button.label
    'Safety first'
    """
    tiles = tuple(
        Tile(
            Button(f"{GO}open:{code}", title_of(code, rules)),
            say(f"practice.about_{code}", language=rules.language),
            say("training.minutes", {"minutes": str(exercise.minutes)}, rules.language),
        )
        for code, exercise in exercises.items()
    )
    page = PracticePage(
        "start",
        say("training.title", language=rules.language),
        task=say("training.lead", language=rules.language),
        caution=say("training.safety_first", language=rules.language),
        tiles=tiles,
        ways=ways_to(("keep", "erase"), rules.language),
    )
    return with_keys(page)


def build_before_page(exercise: Exercise[Any], rules: PracticeRules) -> PracticePage:
    """Return what is read before an exercise begins.

    Parameters
    ----------
    exercise : Exercise
        One that has cautions.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> from explorer.practice.exercises import find_exercise
    >>> [each.title for each in build_before_page(find_exercise("disk"), PracticeRules()).lists]
    ['Before the boat', 'When to stop']
    """
    lists = caution_lists(exercise.cautions, rules)
    title = title_of(exercise.code, rules)
    page = PracticePage(
        "before",
        say("training.first_word", {"title": title}, rules.language),
        task=say("training.before_task", language=rules.language),
        lists=tuple(Listing(each.title, each.lines) for each in lists),
        ways=ways_to(("begin", "start"), rules.language),
    )
    return with_keys(page)


def build_score_page(
    code: str, view: View, score: Score, rules: PracticeRules, checked: CheckIn | None = None
) -> PracticePage:
    """Return how an exercise went: what went well, each slip with its reason, and what came out of it.

    Parameters
    ----------
    code : str
        Code of the exercise.
    view : View
        Its last view.
    score : Score
        Its score.
    rules : PracticeRules
        The programme's rules.
    checked : CheckIn, optional
        What the check-in made of its data sheet, where it has one.
    """
    said = rules.language
    again = _sentences(score.mistakes, said) or (say("training.list_again_none", language=said),)
    lists = [
        Listing(say("training.list_found", language=said), _sentences(score.findings, said)),
        Listing(say("training.list_again", language=said), again, "slip" if score.mistakes else "well"),
        Listing(say("training.list_well", language=said), _sentences(score.well, said), "well"),
    ]
    if checked is not None:
        lists.insert(0, Listing(say("training.list_check", language=said), _found(checked, said)))
    page = PracticePage(
        "score",
        say("training.score_title", {"title": title_of(code, rules)}, said),
        task=say("training.score_task", {"points": str(score.points), "of": str(score.of)}, said),
        told=view.told,
        picture=agreement_picture(view, rules) or picture_of(view, rules),
        lists=tuple(each for each in lists if each.lines),
        ways=ways_to((*(("map",) if checked else ()), "again", "start", "keep"), said),
    )
    return with_keys(page)


def _found(checked: CheckIn, language: str) -> tuple[str, ...]:
    """Return what a check-in has to say, place by place, and what has landed."""
    waits = any(problem.severity != "note" for problem in checked.problems)
    values = {"count": str(len(checked.accepted))}
    end = say(f"training.check_{'held' if waits else 'taken'}", values, language)
    return (*(str(problem) for problem in checked.problems), end)


def _sentences(remarks: Iterable[Remark], language: str) -> tuple[str, ...]:
    return tuple(remark.say(language) for remark in remarks)


def build_erase_page(rules: PracticeRules) -> PracticePage:
    """Return the question before everything is erased.

    Parameters
    ----------
    rules : PracticeRules
        Give the language.

    Examples
    --------
    >>> [way.code for way in build_erase_page(PracticeRules()).ways]
    ['go:start', 'go:erase_yes']
    """
    page = PracticePage(
        "erase",
        say("training.erase_title", language=rules.language),
        task=say("training.erase_task", language=rules.language),
        ways=ways_to(("start", "erase_yes"), rules.language),
    )
    return with_keys(page)
