"""Text on pictures: plain characters only, measured, wrapped and cut so that nothing runs out of its room."""

import re
import unicodedata
from functools import cache

from matplotlib.font_manager import FontProperties, get_font_names
from matplotlib.textpath import text_to_path

__all__ = ["cut_text", "picture_font", "plain_text", "text_width_pt", "wrapped_text"]

# matplotlib brings the first; the others are asked for letters that it lacks, where they are installed.
_FAMILIES = ("DejaVu Sans", "Noto Sans", "Noto Sans CJK SC", "Noto Sans CJK JP")
_CUT_SIGN = "…"
_MOST_CHARACTERS = 2_000  # of one text on a picture: more would not fit at any size
_NARROWEST = 0.2  # [1] of the size: what stands in a line beyond so many letters is not measured any more
_WHITE = re.compile(r"[\t\n\v\f\r\x1c-\x1f\x85\u2028\u2029 ]+")  # a no-break space holds together


@cache
def _families() -> list[str]:
    installed = [name for name in _FAMILIES[1:] if name in get_font_names()]
    return [_FAMILIES[0], *installed, "sans-serif"]


@cache
def picture_font(points: float, *, bold: bool = False) -> FontProperties:
    """Return the font of a size.

    Parameters
    ----------
    points : float
        Size. [pt]
    bold : bool
        Whether it is bold.

    Examples
    --------
    >>> picture_font(9.0).get_family()[0]
    'DejaVu Sans'
    """
    return FontProperties(family=_families(), size=points, weight="bold" if bold else "normal")


def plain_text(text: str) -> str:
    """Return a text on one line, without characters that a picture's format does not allow.

    Parameters
    ----------
    text : str
        Anything, such as a name from a file.

    Examples
    --------
    >>> plain_text("North\\nbasin")
    'North basin'
    """
    line = _WHITE.sub(" ", text[: 2 * _MOST_CHARACTERS]).strip(" ")
    cleaned = "".join("\N{REPLACEMENT CHARACTER}" if _forbidden(letter) else letter for letter in line)
    return cleaned[:_MOST_CHARACTERS]


def _forbidden(letter: str) -> bool:
    return unicodedata.category(letter) in ("Cc", "Cs", "Cn")


def text_width_pt(text: str, font: FontProperties) -> float:
    """Return how wide a text is drawn. [pt]

    Examples
    --------
    >>> text_width_pt("", picture_font(9.0))
    0.0
    """
    if not text:
        return 0.0
    return float(text_to_path.get_text_width_height_descent(text, font, ismath=False)[0])


def cut_text(text: str, room_pt: float, font: FontProperties) -> str:
    """Return a text, shortened where it is wider than its room.

    Parameters
    ----------
    text : str
        One line.
    room_pt : float
        Width that it may take. [pt]
    font : FontProperties
        What it is drawn with.

    Examples
    --------
    >>> cut_text("a very long name", 40.0, picture_font(9.0))
    'a very…'
    """
    if len(text) <= _most_letters(room_pt, font) and text_width_pt(text, font) <= room_pt:
        return text
    return text[: _fitting(text, room_pt, font, _CUT_SIGN)].rstrip(" ") + _CUT_SIGN


def _most_letters(room_pt: float, font: FontProperties) -> int:
    return max(int(room_pt / (_NARROWEST * font.get_size_in_points())), 0)


def _fitting(text: str, room_pt: float, font: FontProperties, after: str = "") -> int:
    """Return how many of a text's first letters fit into a room together with what follows them."""
    least, most = 0, min(len(text), _most_letters(room_pt, font))
    while least < most:
        middle = (least + most + 1) // 2
        if text_width_pt(text[:middle] + after, font) <= room_pt:
            least = middle
        else:
            most = middle - 1
    return least


def wrapped_text(text: str, room_pt: float, font: FontProperties, most: int) -> list[str]:
    """Return a text as lines that fit side by side into their room.

    Parameters
    ----------
    text : str
        Words; one that is wider than the room is broken within.
    room_pt : float
        Width of a line. [pt]
    font : FontProperties
        What it is drawn with.
    most : int
        Lines at most; the last one is cut where more would be needed.

    Examples
    --------
    >>> wrapped_text("Ferrow Tarn, north basin", 70.0, picture_font(9.0), 3)
    ['Ferrow Tarn,', 'north basin']
    """
    lines: list[str] = []
    words = text.split(" ")
    while words and len(lines) < most:
        line, words = _first_line(words, room_pt, font)
        lines.append(line)
    if words:
        lines[-1] = cut_text(" ".join([lines[-1], *words]), room_pt, font)
    return lines


def _first_line(words: list[str], room_pt: float, font: FontProperties) -> tuple[str, list[str]]:
    """Return what fits on one line, and the words that are left."""
    count = 1
    while count < len(words) and text_width_pt(" ".join(words[: count + 1]), font) <= room_pt:
        count += 1
    line = " ".join(words[:count])
    if count > 1 or (len(line) <= _most_letters(room_pt, font) and text_width_pt(line, font) <= room_pt):
        return line, words[count:]
    letters = max(_fitting(line, room_pt, font), 1)
    return line[:letters], [line[letters:], *words[1:]]
