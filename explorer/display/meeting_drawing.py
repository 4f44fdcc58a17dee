"""Draws the pictures of a meeting: one drawing for screen, hand-out and slides, in letters for a hall."""

from collections.abc import Sequence
from typing import Any

from explorer.display.figure_text import cut_text, picture_font, plain_text, text_width_pt
from explorer.display.meeting_values import Chart, ClassLadder, IndexRows, MeetingPoint, Picture, VisitRows
from explorer.display.palette import class_colours, ink_on
from explorer.display.shapes import drawing, ink, lettering, path, shape

__all__ = ["LETTERS", "WIDTH", "draw_picture"]

# Sizes of a drawing in its own units: on a screen of 1024 x 768 px one of them is one pixel.
WIDTH = 992.0
LETTERS = 40.0  # height of all letters
LINE = 48.0  # of a line of letters
DOT = 11.0
ROOMY = 30.0  # around a point, so that a pointer finds it
CELL = 92.0  # height of a class


def draw_picture(picture: Picture) -> str:
    """Return a picture as SVG text, `WIDTH` units wide.

    Parameters
    ----------
    picture : ClassLadder, Chart, IndexRows or VisitRows
        What to draw. Colours are the page's variables; every point stands in a group with `data-point`, its
        number.

    Examples
    --------
    >>> ladder = ClassLadder("Two classes.", ("clear", "rich"), ("C", "R"), (1,), (), ("less", "more"))
    >>> draw_picture(ladder).startswith('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 992 ')
    True
    """
    if isinstance(picture, ClassLadder):
        height, parts = _ladder(picture)
    elif isinstance(picture, Chart):
        height, parts = _chart(picture)
    elif isinstance(picture, IndexRows):
        height, parts = _index_rows(picture)
    else:
        height, parts = _visit_rows(picture)
    return drawing(WIDTH, height, picture.alt, *parts)


def _width(text: str) -> float:
    return text_width_pt(text, picture_font(LETTERS))


def _words(
    text: str, x: float, y: float, *, anchor: str = "start", room: float = WIDTH, **more: object
) -> str:
    """Return words whose line has its middle at a height; cut where their room ends."""
    said = cut_text(plain_text(text), room, picture_font(LETTERS))
    return lettering(said, x, y + 0.36 * LETTERS, LETTERS, text_anchor=anchor, **more)


def _centred(text: str, x: float, y: float, left: float = 0.0, right: float = WIDTH, **more: object) -> str:
    """Return words around a place, moved so far that they stay between two edges."""
    half = min(_width(plain_text(text)), right - left) / 2
    middle = min(max(x, left + half), right - half)
    return _words(text, middle, y, anchor="middle", room=right - left, **more)


def _point(number: int, x: float, y: float, *marks: str) -> str:
    finder = shape("circle", cx=x, cy=y, r=ROOMY, fill="transparent")
    return shape("g", *marks, finder, **{"class": "lm-point", "data_point": number})


def _mark(point: MeetingPoint, x: float, y: float, size: float = DOT) -> str:
    """Return a dot; for a limit an open triangle that points to where the value may lie."""
    if point.kind == "measured":
        return shape("circle", cx=x, cy=y, r=size, fill=ink("ink"))
    wide, high = 1.25 * size, 1.1 * size
    corners = [(x - wide, y - high), (x + wide, y - high), (x, y + high)]
    return path(corners, closed=True, fill=ink("field"), stroke=ink("ink"), stroke_width=4)


def _ladder(picture: ClassLadder) -> tuple[float, list[str]]:
    """Draw the classes as a row of cells; the lake's are framed, named and pointed at."""
    count = len(picture.names)
    width = WIDTH / count
    top = LINE + 30.0 if picture.here else 6.0
    parts = []
    for number, (colour, letter) in enumerate(zip(class_colours(count), picture.letters, strict=True)):
        parts.append(shape("rect", x=number * width, y=top, width=width, height=CELL, fill=colour))
        middle = ((number + 0.5) * width, top + CELL / 2)
        parts.append(
            _words(letter, *middle, anchor="middle", room=width, fill=ink_on(colour), font_weight=700)
        )
    for number, at in enumerate(picture.here):
        x = (at + 0.5) * width
        tip = [(x - 20, LINE + 2), (x + 20, LINE + 2), (x, LINE + 26)]
        frame = shape(
            "rect", x=at * width + 3, y=top + 3, width=width - 6, height=CELL - 6, fill="none",
            stroke=ink("ink"), stroke_width=7,
        )  # fmt: skip
        halves = (WIDTH / 2 * number, WIDTH / 2 * (number + 1)) if len(picture.here) > 1 else (0.0, WIDTH)
        name = _centred(picture.names[at], x, LINE / 2 - 2, *halves, font_weight=700)
        parts += [path(tip, closed=True, fill=ink("ink")), frame, name]
        parts.append(_point(number, x, top + CELL / 2))
    bottom = top + CELL + 4.0
    if not picture.ends:
        return bottom, parts
    return bottom + LINE, [*parts, *_ends(picture.ends, 0.0, WIDTH, bottom + LINE / 2)]


def _ends(words: Sequence[str], left: float, right: float, y: float) -> tuple[str, str]:
    """Return which way something grows less and more, below both ends of a picture."""
    less, more = f"← {words[0]}", f"{words[1]} →"
    return (
        _words(less, left, y, room=(right - left) / 2, fill=ink("soft-ink")),
        _words(more, right, y, anchor="end", room=(right - left) / 2, fill=ink("soft-ink")),
    )


def _chart(picture: Chart) -> tuple[float, list[str]]:
    """Draw values over months or years, their usual ranges behind them, a trend as a line."""
    left = max((_width(label) for _, label in picture.up), default=0.0) + 16.0
    top, bottom, right = LINE / 2, 188.0, WIDTH - 8.0

    def across(share: float) -> float:
        return left + share * (right - left)

    def down(share: float) -> float:
        return bottom - share * (bottom - top)

    parts = [
        shape("rect", x=left, y=top - 12, width=right - left, height=bottom - top + 24, fill=ink("field"))
    ]
    for place, label in picture.up:
        parts.append(path([(left, down(place)), (right, down(place))], stroke=ink("line"), stroke_width=2))
        parts.append(_words(label, left - 12, down(place), anchor="end"))
    for span in picture.spans:
        box = {"x": across(span.left), "y": down(span.high), "width": across(span.right) - across(span.left)}
        tall = max(down(span.low) - down(span.high), 4.0)
        parts.append(shape("rect", **box, height=tall, rx=6, fill=ink("water"), stroke=ink("water-line")))
    for place, label in picture.across:
        parts.append(_centred(label, across(place), bottom + 12 + LINE / 2, left))
    if picture.line:
        ends = [(across(x), down(y)) for x, y in picture.line]
        parts.append(path(ends, stroke=ink("focus"), stroke_width=7, stroke_linecap="round"))
    for number, point in enumerate(picture.points):
        x, y = across(point.across), down(point.up)
        parts.append(_point(number, x, y, _mark(point, x, y)))
    return bottom + 12 + LINE, parts


def _index_rows(picture: IndexRows) -> tuple[float, list[str]]:
    """Draw a line for each quantity with its dot, and below them which side is more."""
    left = min(max((_width(name) for name in picture.names), default=0.0) + 40.0, WIDTH / 2)
    right = WIDTH - 30.0
    parts = []
    for number, (name, point) in enumerate(zip(picture.names, picture.points, strict=True)):
        y = (number + 0.5) * LINE
        x = left + point.across * (right - left)
        parts.append(_words(name, 0.0, y, room=left - 20))
        parts.append(path([(left, y), (right, y)], stroke=ink("water-line"), stroke_width=4))
        parts.append(_point(number, x, y, _mark(point, x, y, DOT + 5)))
    y = (len(picture.names) + 0.5) * LINE
    parts.extend(_ends(picture.ends, left, right, y))
    return y + LINE / 2, parts


def _visit_rows(picture: VisitRows) -> tuple[float, list[str]]:
    """Draw a row of months for each season: visited, missed, still to come."""
    left = min(max((_width(name) for name in picture.rows), default=0.0) + 20.0, WIDTH / 2)
    step, top = LINE + 16.0, LINE
    width = (WIDTH - left) / len(picture.months)
    parts = [
        _centred(
            month, left + (number + 0.5) * width, LINE / 2, left + number * width, left + (number + 1) * width
        )
        for number, month in enumerate(picture.months)
    ]
    height = top + step * len(picture.rows)
    for number, name in enumerate(picture.rows):
        parts.append(_words(name, 0.0, top + (number + 0.5) * step, room=left - 10))
    for number, point in enumerate(picture.points):
        place = left + point.across * (WIDTH - left), top + (1 - point.up) * (height - top)
        parts.append(_point(number, *place, *_visit(point, *place)))
    return height, parts


def _visit(point: MeetingPoint, x: float, y: float) -> Sequence[str]:
    """Return a filled dot for a visit, a cross for a missed month, a broken ring for one to come."""
    if point.kind == "measured":
        return [shape("circle", cx=x, cy=y, r=20, fill=ink("ink"))]
    line: dict[str, Any] = {"stroke": ink("ink"), "stroke_width": 5, "fill": "none"}
    if point.kind == "due":
        return [shape("circle", cx=x, cy=y, r=18, stroke_dasharray="9 7", **line)]
    return [path([(x - a, y - 14), (x + a, y + 14)], **line) for a in (14, -14)]
