"""The cooler and how warm bottle and filter have become: drawn from a view whose scene is "road"."""

from collections.abc import Mapping, Sequence
from math import ceil, isfinite

from explorer.analysis.cooling import COOL_DEGC
from explorer.display.shapes import drawing, ink, lettering, path, shape

__all__ = ["draw_road"]

WIDTH, HEIGHT = 720.0, 430.0
LEFT, RIGHT, TOP, BOTTOM = 312.0, 700.0, 36.0, 372.0  # the field of the course
WARMEST_DEGC = 40.0
LEAST_MINUTES = 60.0
BAG_KG = 0.5  # of ice, one block of the picture

Figures = Mapping[str, float | tuple[float, ...]]


def draw_road(figures: Figures, words: Mapping[str, str], label: str) -> str:
    """Return cooler, ice, thermometer and the course of both temperatures as an SVG picture.

    Parameters
    ----------
    figures : mapping of str to float or tuple of float
        Of a view of the cold exercise.
    words : mapping of str to str
        "bottle", "filter" and "minutes" as they are called in the picture.
    label : str
        What it shows, in words.

    Returns
    -------
    str
        SVG.
    """
    values = {name: value for name, value in figures.items() if isinstance(value, float)}
    bottle, filtered = figures["course_bottle_degc"], figures["course_filter_degc"]
    assert isinstance(bottle, tuple)
    assert isinstance(filtered, tuple)
    return drawing(
        WIDTH,
        HEIGHT,
        label,
        shape("rect", width=WIDTH, height=HEIGHT, fill=ink("field")),
        _cooler(values),
        _thermometer(values["bottle_degc"]),
        _field(len(bottle) - 1, words["minutes"]),
        _course(bottle, words["bottle"], ink("ink"), "", -14),
        _course(filtered, words["filter"], ink("beside"), "9 6", 26),
    )


def _cooler(values: Mapping[str, float]) -> str:
    box = shape("rect", x=20, y=190, width=190, height=190, rx=10, fill=ink("glass"), opacity=0.45)
    wall = shape(
        "rect", x=20, y=190, width=190, height=190, rx=10, fill="none", stroke=ink("ink"), stroke_width=5
    )
    lid = shape("rect", x=10, y=164, width=210, height=24, rx=8, fill=ink("warm"))
    blocks = []
    for number in range(ceil(values["ice_kg"] / BAG_KG - 0.05)):
        row, column = divmod(number, 2)
        blocks.append(
            shape(
                "rect",
                x=30 + 54 * column,
                y=318 - 58 * row,
                width=48,
                height=52,
                rx=8,
                fill=ink("ice"),
                stroke=ink("ink"),
                stroke_width=2,
            )
        )
    bottle = shape(
        "path",
        d="M150 372v-96q0 -14 12 -18v-22h20v22q12 4 12 18v96Z",
        fill=ink("white"),
        stroke=ink("ink"),
        stroke_width=3,
    )
    label = shape(
        "rect", x=151, y=298, width=42, height=38, fill=ink("picked"), stroke=ink("ink"), stroke_width=1.5
    )
    return box + "".join(blocks) + bottle + label + wall + lid


def _thermometer(bottle_degc: float) -> str:
    y = 140 - 110 * min(max(bottle_degc, 0.0), WARMEST_DEGC) / WARMEST_DEGC
    tube = shape(
        "rect", x=56, y=22, width=22, height=126, rx=11, fill=ink("white"), stroke=ink("ink"), stroke_width=3
    )
    column = path([(67, 140), (67, y)], stroke=ink("warm"), stroke_width=10, stroke_linecap="round")
    words = lettering(f"{bottle_degc:.0f} °C", 100, 96, 40, font_weight=700)
    return tube + column + words


def _across(minute: float, last: float) -> float:
    return LEFT + (RIGHT - LEFT) * minute / max(last, LEAST_MINUTES)


def _down(degc: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * min(max(degc, 0.0), WARMEST_DEGC) / WARMEST_DEGC


def _field(minutes: int, minutes_word: str) -> str:
    parts = [
        shape(
            "rect",
            x=LEFT,
            y=_down(COOL_DEGC),
            width=RIGHT - LEFT,
            height=BOTTOM - _down(COOL_DEGC),
            fill=ink("ice"),
            opacity=0.7,
        )
    ]
    for degc in range(0, int(WARMEST_DEGC) + 1, 10):
        y = _down(degc)
        parts.append(path([(LEFT, y), (RIGHT, y)], stroke=ink("line"), stroke_width=1.5))
        parts.append(lettering(f"{degc} °C", LEFT - 8, y + 6, 17, text_anchor="end"))
    last = max(float(minutes), LEAST_MINUTES)
    for minute in range(0, int(last) + 1, 60):
        x = _across(minute, last)
        parts.append(path([(x, BOTTOM), (x, BOTTOM + 8)], stroke=ink("ink"), stroke_width=2))
        parts.append(lettering(minute, x, BOTTOM + 27, 17, text_anchor="middle"))
    parts.append(lettering(minutes_word, (LEFT + RIGHT) / 2, BOTTOM + 48, 17, text_anchor="middle"))
    parts.append(
        path([(LEFT, TOP), (LEFT, BOTTOM), (RIGHT, BOTTOM)], fill="none", stroke=ink("ink"), stroke_width=2.5)
    )
    return "".join(parts)


def _course(temperatures: Sequence[float], name: str, colour: str, dash: str, beside: float) -> str:
    last = len(temperatures) - 1
    points = [
        (_across(minute, last), _down(degc)) for minute, degc in enumerate(temperatures) if isfinite(degc)
    ]
    if not points:
        return ""
    x, y = points[-1]
    end = shape("circle", cx=x, cy=y, r=7, fill=colour)
    anchor = "end" if x > (LEFT + RIGHT) / 2 else "start"
    word = lettering(
        name,
        x + (-10 if anchor == "end" else 12),
        y + beside,
        20,
        fill=colour,
        font_weight=700,
        text_anchor=anchor,
    )
    return path(points, fill="none", stroke=colour, stroke_width=4, stroke_dasharray=dash) + end + word
