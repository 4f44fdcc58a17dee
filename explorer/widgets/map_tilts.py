"""Short tilted lines on the map: drawn by style rules at each station, so that no data is sent anew."""

from collections.abc import Sequence
from math import cos, radians, sin

from explorer.display.map_groups import Tilt

__all__ = ["tilt_drawing", "tilt_style"]

HALF_PX = 14  # half the line's length
RADIUS_PX = 8  # of a station's circle, whose outline begins at its left


def tilt_drawing(tilt: Tilt) -> str:
    """Return a line and its wedge as SVG around the point (0, 0).

    Examples
    --------
    >>> tilt_drawing(Tilt(0, 0, 0)).count("<path")
    3
    """
    wedge = "".join(
        f"M0 0L{_end(tilt.low_degrees + turn)}A{HALF_PX} {HALF_PX} 0 0 0 {_end(tilt.high_degrees + turn)}Z"
        for turn in (0, 180)
    )
    line = f"M{_end(tilt.degrees + 180)}L{_end(tilt.degrees)}"
    return (
        f'<path d="{wedge}" class="tilt-wedge"/><path d="{line}" class="tilt-halo"/>'
        f'<path d="{line}" class="tilt-line"/>'
    )


def _end(degrees: int) -> str:
    return f"{HALF_PX * cos(radians(degrees)):.1f} {-HALF_PX * sin(radians(degrees)):.1f}"


def tilt_style(tilts: Sequence[Tilt | None]) -> str:
    """Return rules and definitions that show each station's line in the middle of its circle.

    Parameters
    ----------
    tilts : sequence of Tilt or None
        One for each station; station 7 is the path of class `stn-7`.

    Returns
    -------
    str
        A style element and the lines' definitions, each once, as SVG that takes no room; empty without lines.

    Examples
    --------
    >>> tilt_style([None])
    ''
    """
    stations: dict[Tilt, list[str]] = {}
    for number, tilt in enumerate(tilts):
        if tilt is not None:
            stations.setdefault(tilt, []).append(f".stn-{number}")
    if not stations:
        return ""
    rules = "".join(
        f"{','.join(some)}{{marker-start:url(#{_mark(tilt)})}}" for tilt, some in stations.items()
    )
    marks = "".join(
        f'<marker id="{_mark(tilt)}" markerUnits="userSpaceOnUse" overflow="visible" viewBox="0 0 1 1" '
        f'markerWidth="1" markerHeight="1" refX="{-RADIUS_PX}" refY="0">{tilt_drawing(tilt)}</marker>'
        for tilt in stations
    )
    hidden = (
        f'<svg width="0" height="0" aria-hidden="true" style="position:absolute"><defs>{marks}</defs></svg>'
    )
    return f"<style>{rules}</style>{hidden}"


def _mark(tilt: Tilt) -> str:
    return f"se-tilt-{tilt.degrees}-{tilt.low_degrees}-{tilt.high_degrees}"
