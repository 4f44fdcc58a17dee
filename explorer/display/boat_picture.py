"""Boat, line and disk from the side, and the view down: drawn from a view whose scene is "boat"."""

from collections.abc import Mapping
from itertools import pairwise
from math import cos, radians, sin

from explorer.display.shapes import drawing, ink, path, shape
from explorer.display.view_down_picture import draw_view_down

__all__ = ["draw_boat"]

WIDTH, HEIGHT = 720.0, 470.0
WATER_TOP = 236.0  # [px] where the surface lies
LINE_X, HAND_Y = 372.0, 30.0
FAINTEST = 0.2  # [1] opacity of a disk that is only just in sight: a projector shows no less
NEAREST_PX, FARTHEST_PX = 62.0, 178.0  # line under water, for a disk near the surface and one nearly gone
MARK_WIDTHS = {1.0: (18.0, 3.0), 2.0: (38.0, 7.0), 3.0: (38.0, 6.0)}  # short, long, double: across and thick

Figures = Mapping[str, float | tuple[float, ...]]


def draw_boat(figures: Figures, marks_to_long: int, label: str, words: str) -> str:
    """Return boat, line, marks, water and disk as an SVG picture, and the disk from above.

    The disk fades with its clearness, which the contrast law of `explorer.analysis.contrast` gives.

    Parameters
    ----------
    figures : mapping of str to float or tuple of float
        Of a view of the disk exercise.
    marks_to_long : int
        Short marks from one long mark to the next.
    label : str
        What it shows, in words.
    words : str
        What the view down is called in the picture.

    Returns
    -------
    str
        SVG.
    """
    parts = [_sky(figures), _water(figures), _line_in_air(figures, marks_to_long)]
    if _number(figures, "in_water"):
        parts += [_under_water(figures)]
    parts += [_surface(figures), _boat(figures)]
    if not _number(figures, "in_water"):
        parts.append(_disk(LINE_X - 128, 92, 50, 16, 1.0))
    else:
        parts.append(draw_view_down(figures, _opacity(figures), words))
    if _number(figures, "sunglasses"):
        parts.append(
            shape("rect", width=WIDTH, height=HEIGHT, fill=ink("black"), opacity=0.34)
            + _glasses(LINE_X - 214, 46)
        )
    return drawing(WIDTH, HEIGHT, label, *parts)


def _number(figures: Figures, name: str) -> float:
    value = figures[name]
    assert isinstance(value, float), name
    return value


def _sky(figures: Figures) -> str:
    sky = shape("rect", width=WIDTH, height=WATER_TOP, fill=ink("sky"))
    if _number(figures, "sun"):
        return sky + shape("circle", cx=636, cy=62, r=32, fill=ink("jacket"), opacity=0.85)
    puffs = ((560, 70, 34), (604, 56, 42), (650, 70, 32))
    cloud = "".join(shape("circle", cx=x, cy=y, r=r) for x, y, r in puffs)
    return sky + shape("g", cloud, fill=ink("glass"), opacity=0.6)


def _water(figures: Figures) -> str:
    fade = shape(
        "linearGradient",
        shape("stop", offset="0", stop_color=ink("upper-water")),
        shape("stop", offset="0.62", stop_color=ink("deep-water")),
        id="boat-depth", x1="0", x2="0", y1="0", y2="1",
    )  # fmt: skip
    rest = HEIGHT - WATER_TOP
    water = shape("rect", y=WATER_TOP, width=WIDTH, height=rest, fill="url(#boat-depth)")
    cloudiness = _number(figures, "cloudiness")
    if cloudiness > 0:
        opacity = min(0.7, 0.2 + 0.6 * cloudiness)
        water += shape(
            "rect", y=WATER_TOP, width=WIDTH, height=rest, fill=ink("mud"), opacity=f"{opacity:.2f}"
        )
    return shape("defs", fade) + water


def _line_in_air(figures: Figures, marks_to_long: int) -> str:
    step = (WATER_TOP - HAND_Y - 10) / marks_to_long
    heights, kinds = figures["mark_heights"], figures["mark_kinds"]
    assert isinstance(heights, tuple)
    assert isinstance(kinds, tuple)
    line = path([(LINE_X, HAND_Y), (LINE_X, WATER_TOP)], stroke=ink("ink"), stroke_width=3)
    return line + "".join(
        _mark(WATER_TOP - height * step, kind) for height, kind in zip(heights, kinds, strict=True)
    )


def _mark(y: float, kind: float) -> str:
    across, thick = MARK_WIDTHS[kind]
    colour = ink("ink") if kind == 1 else ink("focus")
    places = (y - 6, y + 6) if kind == 3 else (y,)
    return "".join(
        shape("rect", x=LINE_X - across / 2, y=place - thick / 2, width=across, height=thick, fill=colour)
        for place in places
    )


def _under_water(figures: Figures) -> str:
    clearness, slant = _number(figures, "disk_clearness"), radians(_number(figures, "slant_deg"))
    is_seen, is_low = clearness > 0, bool(_number(figures, "on_bottom"))
    length = FARTHEST_PX if not is_seen else NEAREST_PX + (1 - clearness) * (FARTHEST_PX - NEAREST_PX)
    x, y = LINE_X + length * sin(slant), WATER_TOP + length * cos(slant)
    ends = [(LINE_X, WATER_TOP), (x, y)] if is_seen else [(LINE_X, WATER_TOP), _part((x, y), 0.62)]
    parts = []
    if is_low and is_seen:
        parts.append(_bottom(y + 14))
    parts.append(path(ends, stroke=ink("white"), stroke_width=2.5, opacity=0.75))
    if _number(figures, "in_plants"):
        parts.append(_fronds(LINE_X + 0.6 * (x - LINE_X)))
    if is_seen:
        size = 44 + 26 * clearness
        parts.append(_disk(x, y, size, 0.34 * size, _opacity(figures)))
    return "".join(parts)


def _opacity(figures: Figures) -> float:
    return FAINTEST + (1 - FAINTEST) * _number(figures, "disk_clearness")


def _part(end: tuple[float, float], share: float) -> tuple[float, float]:
    return LINE_X + share * (end[0] - LINE_X), WATER_TOP + share * (end[1] - WATER_TOP)


def _disk(x: float, y: float, across: float, down: float, opacity: float) -> str:
    """Four quarters in turn white and black, seen from the side."""
    rim = ((0, -down), (across, 0), (0, down), (-across, 0), (0, -down))
    quarters = "".join(
        shape(
            "path",
            d=f"M{x:.1f} {y:.1f}l{a[0]:.1f} {a[1]:.1f}"
            f"A{across:.1f} {down:.1f} 0 0 1 {x + b[0]:.1f} {y + b[1]:.1f}Z",
            fill=ink("white" if number % 2 else "black"),
        )
        for number, (a, b) in enumerate(pairwise(rim))
    )
    edge = shape("ellipse", cx=x, cy=y, rx=across, ry=down, fill="none", stroke=ink("white"), stroke_width=2)
    return shape("g", quarters + edge, opacity=f"{opacity:.3f}", **{"class": "secchi-disk"})


def _bottom(y: float) -> str:
    ground = [(0.0, y + 10), (160.0, y + 2), (360.0, y + 8), (560.0, y), (WIDTH, y + 9)]
    floor = path([*ground, (WIDTH, HEIGHT), (0, HEIGHT)], closed=True, fill=ink("mud"))
    stones = ((120, 18), (300, 26), (520, 20), (660, 30))
    return floor + "".join(
        shape("ellipse", cx=x, cy=y + down, rx=17, ry=8, fill=ink("glass"), opacity=0.6) for x, down in stones
    )


def _fronds(middle: float) -> str:
    stems = []
    for number in range(9):
        foot = middle - 96 + 24 * number
        lean = -12 if number % 2 else 12
        stems.append(
            f"M{foot:.0f} {HEIGHT:.0f}C{foot - lean:.0f} 420 {foot + lean:.0f} 380 "
            f"{foot + lean / 2:.0f} {318 + 9 * (number % 3)}"
        )
    return shape(
        "path", d="".join(stems), fill="none", stroke=ink("plants"), stroke_width=11, stroke_linecap="round"
    )


def _surface(figures: Figures) -> str:
    waves = "".join(f"q22.5 {-7 if number % 2 else 7} 45 0" for number in range(16))
    parts = [shape("path", d=f"M0 {WATER_TOP:.0f}{waves}", fill="none", stroke=ink("white"), stroke_width=3)]
    side, sun = _number(figures, "side"), _number(figures, "sun")
    if _number(figures, "viewer"):
        box = [
            (LINE_X - 78, WATER_TOP - 40),
            (LINE_X - 36, WATER_TOP - 40),
            (LINE_X - 26, WATER_TOP + 22),
            (LINE_X - 88, WATER_TOP + 22),
        ]
        parts.append(path(box, closed=True, fill=ink("black"), stroke=ink("glass"), stroke_width=4))
    elif side == 2 and sun:
        parts += [
            shape("ellipse", cx=LINE_X + dx, cy=WATER_TOP + dy, rx=rx, ry=5, fill=ink("white"), opacity=0.85)
            for dx, dy, rx in ((-60, 14, 54), (70, 20, 70), (10, 34, 60), (-110, 40, 40), (120, 46, 48))
        ]
    if side == 1:
        shade = [
            (0.0, WATER_TOP),
            (LINE_X + 90, WATER_TOP),
            (LINE_X + 30, WATER_TOP + 52),
            (0.0, WATER_TOP + 52),
        ]
        parts.append(path(shade, closed=True, fill=ink("black"), opacity=0.3))
    return "".join(parts)


def _boat(figures: Figures) -> str:
    hull = [(0, 128), (286, 110), (258, 262), (0, 270)]
    rim = [(0, 112), (304, 94), (300, 116), (0, 134)]
    body = shape("path", d="M92 120L104 62Q122 40 148 58L182 112Z", fill=ink("jacket"))
    buckles = path([(112, 84), (168, 80)], stroke=ink("ink"), stroke_width=4)
    head = shape("circle", cx=LINE_X - 240, cy=34, r=23, fill=ink("skin"))
    cap = shape("path", d="M108 28a24 24 0 0 1 48 -2l14 2Z", fill=ink("hull-edge"))
    arm = path(
        [(140, 68), (226, 62), (LINE_X, HAND_Y)],
        fill="none", stroke=ink("jacket"), stroke_width=17, stroke_linejoin="round", stroke_linecap="round",
    )  # fmt: skip
    hand = shape("circle", cx=LINE_X, cy=HAND_Y, r=12, fill=ink("skin"))
    return (
        path(hull, closed=True, fill=ink("hull"))
        + body + buckles + arm + head + cap + hand
        + path(rim, closed=True, fill=ink("hull-edge"))
    )  # fmt: skip


def _glasses(x: float, y: float) -> str:
    lens = "".join(
        shape("ellipse", cx=x - 22 + dx, cy=y - 8, rx=9, ry=7, fill=ink("black")) for dx in (0, 20)
    )
    return lens + path([(x - 42, y - 10), (x + 6, y - 10)], stroke=ink("black"), stroke_width=3)
