"""Readings side by side: one row and one dot each, the middle, and where readings lie that agree with it."""

from collections.abc import Mapping, Sequence

from explorer.display.axes import round_ticks
from explorer.display.shapes import drawing, ink, lettering, path, shape
from explorer.model.units import FOOT_M

__all__ = ["draw_dot_strip"]

WIDTH = 720.0
LEFT, RIGHT = 190.0, 690.0
TOP = 40.0
LONGEST_NAME = 14  # letters of a name that have room beside the dots
TALLEST_ROW, LEAST_ROW, MOST_HEIGHT = 40.0, 17.0, 420.0

Figures = Mapping[str, float | tuple[float, ...]]


def draw_dot_strip(
    figures: Figures, names: Sequence[str], unit: str, words: Mapping[str, str], label: str
) -> str:
    """Return readings as rows of dots with their middle and the range of those that agree.

    Parameters
    ----------
    figures : mapping of str to float or tuple of float
        Of `explorer.practice.agreement.agreement_figures`.
    names : sequence of str, length n
        Whose or which each reading is.
    unit : {"m", "ft"}
        Unit of the axis.
    words : mapping of str to str
        "middle" and "agree" as they are called in the picture.
    label : str
        What it shows, in words.

    Returns
    -------
    str
        SVG.
    """
    readings = figures["readings_m"]
    assert isinstance(readings, tuple)
    in_unit = 1.0 if unit == "m" else FOOT_M
    depths = [depth / in_unit for depth in readings]
    middle, low, high = (
        _number(figures, name) / in_unit for name in ("middle_m", "agree_low_m", "agree_high_m")
    )
    least, most = min([*depths, low]), max([*depths, high])
    margin = 0.06 * (most - least)
    row = max(LEAST_ROW, min(TALLEST_ROW, MOST_HEIGHT / len(depths)))
    bottom = TOP + row * len(depths)

    def across(depth: float) -> float:
        return LEFT + (RIGHT - LEFT) * (depth - least + margin) / (most - least + 2 * margin)

    size = min(20.0, 0.62 * row)
    parts = [
        shape("rect", width=WIDTH, height=bottom + 62, fill=ink("field")),
        shape(
            "rect",
            x=across(low),
            y=TOP,
            width=across(high) - across(low),
            height=bottom - TOP,
            fill=ink("water"),
        ),
        path([(across(middle), TOP - 6), (across(middle), bottom)], stroke=ink("ink"), stroke_width=3),
        lettering(words["middle"], across(middle), TOP - 14, 18, text_anchor="middle", font_weight=700),
        lettering(words["agree"], WIDTH / 2, bottom + 54, 17, text_anchor="middle"),
    ]
    for tick in round_ticks(least, most, log=False):
        parts.append(
            path([(across(tick), bottom), (across(tick), bottom + 7)], stroke=ink("ink"), stroke_width=2)
        )
        parts.append(lettering(f"{tick:g} {unit}", across(tick), bottom + 27, 17, text_anchor="middle"))
    for number, (name, depth) in enumerate(zip(names, depths, strict=True)):
        y = TOP + row * (number + 0.5)
        apart = not low <= depth <= high
        parts.append(path([(LEFT, y), (RIGHT, y)], stroke=ink("line"), stroke_width=1))
        parts.append(lettering(_short(name), LEFT - 12, y + size / 3, size, text_anchor="end"))
        parts.append(_dot(across(depth), y, min(10.0, 0.36 * row), apart))
    return drawing(WIDTH, bottom + 62, label, *parts)


def _number(figures: Figures, name: str) -> float:
    value = figures[name]
    assert isinstance(value, float), name
    return value


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1] + "…"


def _dot(x: float, y: float, radius: float, apart: bool) -> str:
    """Return a dot, or a diamond in another colour for a reading that lies apart."""
    if not apart:
        return shape("circle", cx=x, cy=y, r=radius, fill=ink("ink"))
    reach = 1.4 * radius
    return path(
        [(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)],
        closed=True, fill=ink("focus"), stroke=ink("ink"), stroke_width=1.5,
    )  # fmt: skip
