"""Which picture a view of an exercise gets: one entry a scene."""

from collections.abc import Callable, Mapping

from explorer.display.bench_picture import draw_bench
from explorer.display.boat_picture import draw_boat
from explorer.display.dot_strip import draw_dot_strip
from explorer.display.road_picture import draw_road
from explorer.display.shapes import drawing, ink, shape
from explorer.model.practice import View
from explorer.model.practice_rules import PracticeRules
from explorer.model.words import say
from explorer.practice.disk_line import LINES

__all__ = ["PICTURES", "agreement_picture", "picture_of"]


def picture_of(view: View, rules: PracticeRules) -> str:
    """Return the picture of a view as SVG, empty where its scene has none.

    Parameters
    ----------
    view : View
        What the learner may see.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> picture_of(View("choice", "Which?", (), {"scene": 0.0, "scenes": 3.0}, ()), PracticeRules())[:4]
    '<svg'
    >>> picture_of(View("none", "Which?", (), {}, ()), PracticeRules())
    ''
    """
    draw = PICTURES.get(view.scene)
    return draw(view, rules) if draw else ""


def agreement_picture(view: View, rules: PracticeRules) -> str:
    """Return repeated readings side by side, empty where the view does not hold them.

    Parameters
    ----------
    view : View
        Its last card names the readings, line by line.
    rules : PracticeRules
        Give the unit.
    """
    if "readings_m" not in view.figures:
        return ""
    names = [name for name, _ in view.cards[-1].lines]
    words = {name: say(f"training.strip_{name}", language=rules.language) for name in ("middle", "agree")}
    label = _described(view, len(view.cards) - 1)
    return draw_dot_strip(view.figures, names, LINES[rules.line].unit, words, label)


def _described(view: View, first: int = 0) -> str:
    return ". ".join(f"{name}: {text}" for card in view.cards[first:] for name, text in card.lines)


def _boat(view: View, rules: PracticeRules) -> str:
    words = say("training.view_down", language=rules.language)
    return draw_boat(view.figures, LINES[rules.line].marks_to_long, _described(view, 1), words)


def _bench(view: View, rules: PracticeRules) -> str:
    return draw_bench(view.figures, rules.most_vacuum_kpa, _described(view))


def _road(view: View, rules: PracticeRules) -> str:
    words = {
        name: say(f"training.road_{name}", language=rules.language)
        for name in ("bottle", "filter", "minutes")
    }
    return draw_road(view.figures, words, _described(view))


def _way(view: View, rules: PracticeRules) -> str:
    """Return how far the questions have come, as stones on a way."""
    scene, scenes = view.figures["scene"], view.figures["scenes"]
    assert isinstance(scene, float)
    assert isinstance(scenes, float)
    step, stones = 720.0 / scenes, []
    for number in range(int(scenes)):
        done, here = number < scene, number == scene and not view.finished
        stones.append(
            shape(
                "circle", cx=step * (number + 0.5), cy=30, r=17.0 if here else 12.0,
                fill=ink("ink" if done else "focus" if here else "field"), stroke=ink("ink"), stroke_width=3,
            )
        )  # fmt: skip
    values = {"number": str(min(int(scene) + 1, int(scenes))), "of": str(int(scenes))}
    label = say("practice.question", values, rules.language)
    return drawing(720, 60, label, *stones)


PICTURES: Mapping[str, Callable[[View, PracticeRules], str]] = {
    "boat": _boat,
    "bench": _bench,
    "road": _road,
    "choice": _way,
    "group": agreement_picture,
}
