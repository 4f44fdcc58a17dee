"""The bench with jug, vessel, funnel and filter: drawn from a view whose scene is "bench"."""

from collections.abc import Mapping
from math import cos, pi, sin

from explorer.display.shapes import drawing, ink, lettering, path, shape

__all__ = ["draw_bench"]

WIDTH, HEIGHT = 720.0, 470.0
FLOOR = 440.0
FUNNEL_HOLDS_ML = 300.0
SEEN_ML = 13.0  # what the magnifying glass shows over and under the level
LENS_X, LENS_Y, LENS_R = 398.0, 176.0, 118.0
JUG_STRENGTH = {1.0: 0.14, 2.0: 0.4, 3.0: 0.75}  # opacity of the algae, pale to very green

Figures = Mapping[str, float | tuple[float, ...]]


def draw_bench(figures: Figures, most_vacuum_kpa: float, label: str) -> str:
    """Return jug, vessel with its curved surface, funnel, filter and gauge as an SVG picture.

    Parameters
    ----------
    figures : mapping of str to float or tuple of float
        Of a view of the filtering exercise.
    most_vacuum_kpa : float
        Where the gauge's mark stands. [kPa]
    label : str
        What it shows, in words.

    Returns
    -------
    str
        SVG.
    """
    values = {name: value for name, value in figures.items() if isinstance(value, float)}
    parts = [
        shape("rect", width=WIDTH, height=FLOOR, fill=ink("field")),
        shape("rect", y=FLOOR, width=WIDTH, height=HEIGHT - FLOOR, fill=ink("hull")),
        _jug(values),
    ]
    if values["vessel"]:
        parts += [_vessel(values), _lens(values), _eye(values)]
    parts += [_stand(values), _gauge(values, most_vacuum_kpa)]
    return drawing(WIDTH, HEIGHT, label, *parts)


def _liquid(values: Mapping[str, float], outline: str) -> str:
    """Return lake water of the jug's colour within an outline given as an element."""
    strength = JUG_STRENGTH[values["jug_colour"]]
    return (
        shape("g", outline, fill=ink("ice"), opacity=0.6)
        + shape("g", outline, fill=ink("algae"), opacity=strength)
    )  # fmt: skip


def _jug(values: Mapping[str, float]) -> str:
    water = path([(16, 308), (116, 308), (109, 438), (23, 438)], closed=True)
    wall = path(
        [(10, 262), (17, 440), (115, 440), (122, 262)], fill="none", stroke=ink("glass"), stroke_width=6
    )
    handle = shape("path", d="M121 290c38 0 38 100 -3 100", fill="none", stroke=ink("glass"), stroke_width=8)
    if values["swirled"]:
        motion = shape(
            "path",
            d="M32 356c16 -26 52 -26 68 0m-6 -18l6 18l-18 -4M100 396c-16 22 -52 22 -68 0m6 16l-6 -16l18 2",
            fill="none", stroke=ink("ink"), stroke_width=4, stroke_linecap="round",
        )  # fmt: skip
    else:
        sunk = ((30, 428), (46, 432), (62, 426), (80, 431), (97, 427), (104, 433))
        risen = ((34, 314), (66, 316), (98, 313))
        motion = "".join(shape("circle", cx=x, cy=y, r=4.5, fill=ink("algae")) for x, y in (*sunk, *risen))
    return _liquid(values, water) + motion + wall + handle


def _height(values: Mapping[str, float], level_ml: float) -> float:
    return FLOOR - 6 - 330 * level_ml / values["vessel_holds_ml"]


def _vessel(values: Mapping[str, float]) -> str:
    half = 26 if values["vessel"] == 1 else 42
    middle, top = 240.0, _height(values, values["vessel_holds_ml"]) - 16
    left, right = middle - half, middle + half
    level = _height(values, values["level_ml"])
    parts = []
    if values["rim_ml"] > 0:
        rim = _height(values, values["rim_ml"])
        bend = f"Q{middle:.1f} {2 * level - rim:.1f} {right:.1f} {rim:.1f}"
        curve = f"M{left:.1f} {FLOOR - 4:.0f}V{rim:.1f}{bend}V{FLOOR - 4:.0f}Z"
        parts.append(_liquid(values, shape("path", d=curve)))
    for mark in range(10, int(values["vessel_holds_ml"]) + 1, 10):
        y, long = _height(values, mark), mark % 50 == 0
        parts.append(path([(left, y), (left + (22 if long else 12), y)], stroke=ink("ink"), stroke_width=2))
        if long:
            parts.append(lettering(mark, left - 8, y + 6, 17, text_anchor="end"))
    wall = [(left, top), (left, FLOOR - 3), (right, FLOOR - 3), (right, top)]
    foot = shape("rect", x=left - 14, y=FLOOR - 6, width=2 * half + 28, height=8, fill=ink("glass"))
    return "".join(parts) + path(wall, fill="none", stroke=ink("glass"), stroke_width=5) + foot


def _lens(values: Mapping[str, float]) -> str:
    """Return the surface large: marks every 10 mL, the rim of the curve at the walls, its bottom between."""
    scale = (LENS_R - 8) / SEEN_ML

    def place(level_ml: float) -> float:
        return LENS_Y - (level_ml - values["level_ml"]) * scale

    left, right = LENS_X - 74, LENS_X + 74
    parts = [shape("circle", cx=LENS_X, cy=LENS_Y, r=LENS_R, fill=ink("paper"))]
    if values["rim_ml"] > 0:
        rim, bottom = place(values["rim_ml"]), place(values["level_ml"])
        curve = (
            f"M{left:.0f} {LENS_Y + LENS_R:.0f}V{rim:.1f}"
            f"C{left + 22:.0f} {bottom:.1f} {LENS_X - 34:.0f} {bottom:.1f} {LENS_X:.0f} {bottom:.1f}"
            f"S{right - 22:.0f} {bottom:.1f} {right:.0f} {rim:.1f}V{LENS_Y + LENS_R:.0f}Z"
        )
        parts.append(_liquid(values, shape("path", d=curve)))
        parts.append(shape("path", d=curve, fill="none", stroke=ink("ink"), stroke_width=2.5))
    nearest = 10 * round(values["level_ml"] / 10)
    for mark in (nearest - 10, nearest, nearest + 10):
        if mark > 0 and abs(mark - values["level_ml"]) <= SEEN_ML - 2.5:
            y = place(mark)
            parts.append(path([(left, y), (right - 44, y)], stroke=ink("focus"), stroke_width=3.5))
            parts.append(lettering(mark, right - 4, y + 8, 23, font_weight=700, text_anchor="end"))
    for x in (left, right):
        parts.append(path([(x, LENS_Y - LENS_R), (x, LENS_Y + LENS_R)], stroke=ink("glass"), stroke_width=5))
    round_cut = shape("clipPath", shape("circle", cx=LENS_X, cy=LENS_Y, r=LENS_R), id="bench-lens")
    frame = shape("circle", cx=LENS_X, cy=LENS_Y, r=LENS_R, fill="none", stroke=ink("ink"), stroke_width=5)
    grip = path(
        [(LENS_X + 78, LENS_Y + 88), (LENS_X + 104, LENS_Y + 119)],
        stroke=ink("ink"),
        stroke_width=12,
        stroke_linecap="round",
    )
    return shape("defs", round_cut) + grip + shape("g", *parts, clip_path="url(#bench-lens)") + frame


def _eye(values: Mapping[str, float]) -> str:
    x, y = (LENS_X + 158, LENS_Y) if values["eye"] else (LENS_X + 150, LENS_Y - 132)
    sight = path(
        [(x - 24, y), (LENS_X + 40, LENS_Y)], stroke=ink("soft-ink"), stroke_width=2.5, stroke_dasharray="8 6"
    )
    eye = shape(
        "path",
        d=f"M{x - 24:.0f} {y:.0f}q24 -22 48 0q-24 22 -48 0Z",
        fill=ink("white"),
        stroke=ink("ink"),
        stroke_width=3,
    )
    return sight + eye + shape("circle", cx=x - 3, cy=y, r=8, fill=ink("ink"))


def _stand(values: Mapping[str, float]) -> str:
    middle, neck = 636.0, 300.0
    share = min(1.0, values["funnel_ml"] / FUNNEL_HOLDS_ML)
    parts = []
    if share > 0:
        top = neck - 118 * share
        spread = 22 + 44 * share
        water = path(
            [(middle - spread, top), (middle + spread, top), (middle + 22, neck), (middle - 22, neck)],
            closed=True,
        )
        parts.append(_liquid(values, water))
    cup = [(middle - 68, neck - 124), (middle - 22, neck), (middle + 22, neck), (middle + 68, neck - 124)]
    parts.append(path(cup, fill="none", stroke=ink("glass"), stroke_width=6))
    flask = f"M{middle - 13:.0f} {neck + 14:.0f}v34l-42 88h110l-42 -88v-34"
    parts.append(shape("path", d=flask, fill="none", stroke=ink("glass"), stroke_width=6))
    parts.append(_filter(middle, neck + 6, 40, 9, values))
    return "".join(parts) + _filter(LENS_X + 2, 378, 58, 50, values)


def _filter(x: float, y: float, across: float, down: float, values: Mapping[str, float]) -> str:
    """Return the filter: white, and over it the colour of what it has caught."""
    paper = shape(
        "ellipse", cx=x, cy=y, rx=across, ry=down, fill=ink("white"), stroke=ink("ink"), stroke_width=2.5
    )
    strength = f"{min(0.95, 1.15 * values['stain'] ** 0.6):.3f}"
    stain = shape(
        "ellipse", cx=x, cy=y, rx=0.86 * across, ry=0.86 * down, fill=ink("algae"), opacity=strength
    )
    return paper + stain


def _gauge(values: Mapping[str, float], most_vacuum_kpa: float) -> str:
    """Return the vacuum gauge: the needle, and a mark where the programme's limit stands."""
    x, y, radius = 508.0, 388.0, 42.0

    def on_dial(vacuum_kpa: float, length: float) -> tuple[float, float]:
        turn = pi * (1 - vacuum_kpa / (2 * most_vacuum_kpa))
        return x + length * cos(turn), y - length * sin(turn)

    dial = shape(
        "path",
        d=f"M{x - radius:.0f} {y:.0f}a{radius:.0f} {radius:.0f} 0 0 1 {2 * radius:.0f} 0",
        fill="none",
        stroke=ink("soft-ink"),
        stroke_width=5,
    )
    limit = path(
        [on_dial(most_vacuum_kpa, radius - 9), on_dial(most_vacuum_kpa, radius + 9)],
        stroke=ink("warm"),
        stroke_width=5,
    )
    needle = path(
        [(x, y), on_dial(values["vacuum_kpa"], radius - 8)],
        stroke=ink("ink"),
        stroke_width=4,
        stroke_linecap="round",
    )
    word = lettering(f"{most_vacuum_kpa:g} kPa", x, y - radius - 14, 17, text_anchor="middle")
    return dial + limit + needle + word
