"""The learner's own view straight down beside the boat: an inset of the boat's picture."""

from collections.abc import Mapping
from itertools import pairwise
from math import radians, sin

from explorer.display.shapes import ink, lettering, path, shape

__all__ = ["draw_view_down"]

MIDDLE_X, MIDDLE_Y, RADIUS = 606.0, 346.0, 106.0
NEAREST_R, FARTHEST_R = 58.0, 26.0  # a disk near the surface, and one nearly gone
FARTHEST_OFF = 70.0  # how far a slanting line takes the disk aside, at a right angle
WORDS_Y = 226.0

Figures = Mapping[str, float | tuple[float, ...]]


def draw_view_down(figures: Figures, opacity: float, words: str) -> str:
    """Return what the learner sees looking down along the line, in a round frame.

    Parameters
    ----------
    figures : mapping of str to float or tuple of float
        Of a view of the disk exercise.
    opacity : float
        Of the disk, by the same law as in the picture from the side. [1]
    words : str
        What the frame is called.

    Returns
    -------
    str
        A part of an SVG picture.
    """
    values = {name: value for name, value in figures.items() if isinstance(value, float)}
    aside = MIDDLE_X + FARTHEST_OFF * sin(radians(values["slant_deg"]))
    clearness = values["disk_clearness"]
    seen = [_water(values)]
    if clearness > 0:
        seen += [_line(aside), _disk(aside, FARTHEST_R + (NEAREST_R - FARTHEST_R) * clearness, opacity)]
    if values["in_plants"]:
        seen.append(_plants())
    seen += [_light(values), _boat_edge(values)]
    frame = shape("circle", cx=MIDDLE_X, cy=MIDDLE_Y, r=RADIUS)
    dark = values["viewer"] > 0
    rim = shape(
        "circle", cx=MIDDLE_X, cy=MIDDLE_Y, r=RADIUS, fill="none",
        stroke=ink("black" if dark else "white"), stroke_width=16 if dark else 4,
    )  # fmt: skip
    return (
        shape("defs", shape("clipPath", frame, id="view-down"))
        + shape("g", *seen, clip_path="url(#view-down)", **{"class": "view-down"})
        + rim
        + lettering(words, MIDDLE_X, WORDS_Y, 18, text_anchor="middle")
    )


def _round(**attributes: object) -> str:
    return shape("circle", cx=MIDDLE_X, cy=MIDDLE_Y, r=RADIUS, **attributes)


def _water(values: Mapping[str, float]) -> str:
    water = _round(fill=ink("deep-water"))
    if values["on_bottom"] and values["disk_clearness"] > 0:
        water += _round(fill=ink("mud"), opacity=0.8)
    if values["cloudiness"] > 0:
        water += _round(fill=ink("mud"), opacity=f"{min(0.7, 0.2 + 0.6 * values['cloudiness']):.2f}")
    return water


def _line(aside: float) -> str:
    top = (MIDDLE_X - 30, MIDDLE_Y - RADIUS)
    return path([top, (aside, MIDDLE_Y)], stroke=ink("white"), stroke_width=2.5, opacity=0.75)


def _disk(x: float, radius: float, opacity: float) -> str:
    """Four quarters in turn white and black, seen from above."""
    rim = ((0, -radius), (radius, 0), (0, radius), (-radius, 0), (0, -radius))
    quarters = "".join(
        shape(
            "path",
            d=f"M{x:.1f} {MIDDLE_Y:.1f}l{a[0]:.1f} {a[1]:.1f}"
            f"A{radius:.1f} {radius:.1f} 0 0 1 {x + b[0]:.1f} {MIDDLE_Y + b[1]:.1f}Z",
            fill=ink("white" if number % 2 else "black"),
        )
        for number, (a, b) in enumerate(pairwise(rim))
    )
    edge = shape("circle", cx=x, cy=MIDDLE_Y, r=radius, fill="none", stroke=ink("white"), stroke_width=2)
    return shape("g", quarters + edge, opacity=f"{opacity:.3f}", **{"class": "disk-from-above"})


def _plants() -> str:
    leaves = [
        f"M{MIDDLE_X + x:.0f} {MIDDLE_Y + y:.0f}q{18 if x < 0 else -18} -26 {30 if y < 0 else -30} -58"
        for x in (-60, -20, 20, 60)
        for y in (-30, 30, 80)
    ]
    return shape(
        "path", d="".join(leaves), fill="none", stroke=ink("plants"), stroke_width=13, stroke_linecap="round"
    )


def _light(values: Mapping[str, float]) -> str:
    """Glare on the sunny side, the boat's shade on the other; none of either through a viewer box."""
    if values["viewer"]:
        return ""
    if values["side"] == 1:
        return _round(fill=ink("black"), opacity=0.16)
    if values["side"] == 2 and values["sun"]:
        return "".join(
            shape("ellipse", cx=MIDDLE_X + x, cy=MIDDLE_Y + y, rx=rx, ry=6, fill=ink("white"), opacity=0.6)
            for x, y, rx in ((-34, -52, 44), (30, -18, 52), (-12, 16, 38), (42, 44, 46), (-30, 66, 40))
        )
    return ""


def _boat_edge(values: Mapping[str, float]) -> str:
    """The boat's rim beside which the learner looks down; a viewer box hides it."""
    if values["viewer"]:
        return ""
    left = MIDDLE_X - RADIUS
    return shape("rect", x=left, y=MIDDLE_Y - RADIUS, width=26, height=2 * RADIUS, fill=ink("hull-edge"))
