"""Outlines of invented waters: smooth closed curves from a few points in kilometres, and where they lie.

The district lies in the open ocean around 45 N, 30 W, more than 500 km from any land, so that no real water
can be mistaken for one of these.
"""

import math
from collections.abc import Sequence
from itertools import pairwise

KmPoint = tuple[float, float]

CENTRE_LATITUDE_DEG = 45.0
CENTRE_LONGITUDE_DEG = -30.0
KM_PER_DEGREE_NORTH = 111.13  # at 45 N
KM_PER_DEGREE_EAST = 78.85  # at 45 N
DEGREE_DECIMALS = 5  # about a metre

COVES = ((0.6, 0.95), (0.4, 0.5), (0.25, 0.3))  # share of the height, length of a cove [km]


def to_degrees(point: KmPoint) -> tuple[float, float]:
    """Return longitude and latitude of a point given in kilometres east and north of the centre."""
    east_km, north_km = point
    return (
        round(CENTRE_LONGITUDE_DEG + east_km / KM_PER_DEGREE_EAST, DEGREE_DECIMALS),
        round(CENTRE_LATITUDE_DEG + north_km / KM_PER_DEGREE_NORTH, DEGREE_DECIMALS),
    )


def smooth_ring(points: Sequence[KmPoint], steps: int = 8) -> list[KmPoint]:
    """Return a closed smooth (Catmull-Rom) curve through the points, the first repeated at the end."""
    count = len(points)
    ring = [
        _between(points[i - 1], points[i], points[(i + 1) % count], points[(i + 2) % count], step / steps)
        for i in range(count)
        for step in range(steps)
    ]
    return [*ring, ring[0]]


def smooth_line(points: Sequence[KmPoint], steps: int = 8) -> list[KmPoint]:
    """Return an open smooth curve through the points."""
    padded = [points[0], *points, points[-1]]
    line = [
        _between(*padded[i : i + 4], step / steps) for i in range(len(points) - 1) for step in range(steps)
    ]
    return [*line, points[-1]]


def _between(before: KmPoint, start: KmPoint, end: KmPoint, after: KmPoint, share: float) -> KmPoint:
    def one(a: float, b: float, c: float, d: float) -> float:
        return 0.5 * (
            2 * b
            + (c - a) * share
            + (2 * a - 5 * b + 4 * c - d) * share**2
            + (3 * b - a - 3 * c + d) * share**3
        )

    return (
        one(before[0], start[0], end[0], after[0]),
        one(before[1], start[1], end[1], after[1]),
    )


def rough_shore(ring: Sequence[KmPoint], phase: float, height_km: float) -> list[KmPoint]:
    """Return the ring with small coves and points, pushed in and out along its normals."""
    inner = list(ring[:-1])
    length_km = sum(math.dist(a, b) for a, b in pairwise(ring))
    waves = [(size, max(2, round(length_km / cove_km)), size * 9 * phase) for size, cove_km in COVES]
    shore, walked_km = [], 0.0
    for i, (x, y) in enumerate(inner):
        (x0, y0), (x1, y1) = inner[i - 1], inner[(i + 1) % len(inner)]
        along = math.hypot(x1 - x0, y1 - y0)
        turn = 2 * math.pi * walked_km / length_km
        push = height_km * sum(size * math.sin(number * turn + start) for size, number, start in waves)
        shore.append((x + push * (y1 - y0) / along, y - push * (x1 - x0) / along))
        walked_km += math.dist((x, y), (x1, y1))
    return [*shore, shore[0]]


def widened_line(points: Sequence[KmPoint], widths_km: tuple[float, float]) -> list[KmPoint]:
    """Return a thin closed ring around a smooth line that widens from its source to its mouth."""
    line = smooth_line(points)
    left, right = [], []
    for i, (x, y) in enumerate(line):
        (x0, y0), (x1, y1) = line[max(i - 1, 0)], line[min(i + 1, len(line) - 1)]
        along = math.hypot(x1 - x0, y1 - y0)
        half = 0.5 * (widths_km[0] + (widths_km[1] - widths_km[0]) * i / (len(line) - 1))
        across = (half * (y0 - y1) / along, half * (x1 - x0) / along)
        left.append((x + across[0], y + across[1]))
        right.append((x - across[0], y - across[1]))
    return [*left, *reversed(right), left[0]]


def island_ring(centre: KmPoint, radius_km: float) -> list[KmPoint]:
    """Return a small lopsided island, clockwise as a hole must run."""
    ring = []
    for i in range(14):
        turn = -2 * math.pi * i / 14
        radius = radius_km * (1 + 0.22 * math.sin(2 * turn + centre[0]) + 0.12 * math.sin(3 * turn))
        ring.append((centre[0] + 1.25 * radius * math.cos(turn), centre[1] + radius * math.sin(turn)))
    return [*ring, ring[0]]


def ring_area_km2(ring: Sequence[KmPoint]) -> float:
    """Return the area that a closed ring encloses, positive where it runs anticlockwise."""
    return 0.5 * sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise(ring))
