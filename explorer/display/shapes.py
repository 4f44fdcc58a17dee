"""Shapes of our own pictures as SVG text; colours are the page's variables, words are escaped."""

from collections.abc import Iterable

from explorer.display.markup import escaped
from explorer.display.palette import PICTURE_INKS, THEMES

__all__ = ["PREFIX", "drawing", "ink", "lettering", "on_paper", "path", "shape"]

PREFIX = "--se-"  # of the page's variables that hold an ink


def ink(name: str) -> str:
    """Return a colour by its name in `palette.THEMES` or `palette.PICTURE_INKS`, as the page's variable.

    Parameters
    ----------
    name : str
        "ink", "deep-water".

    Examples
    --------
    >>> ink("soft-ink")
    'var(--se-soft-ink)'
    """
    return f"var({PREFIX}{name})"


def shape(name: str, *inside: str, **attributes: object) -> str:
    """Return an SVG element.

    Parameters
    ----------
    name : str
        Its tag.
    *inside : str
        Elements within it, as SVG text.
    **attributes : object
        Attributes; an underscore stands for a dash, numbers are rounded to a tenth.

    Examples
    --------
    >>> shape("circle", r=3.14159, stroke_width=2)
    '<circle r="3.1" stroke-width="2"/>'
    """
    pairs = "".join(f' {key.replace("_", "-")}="{_value(value)}"' for key, value in attributes.items())
    return f"<{name}{pairs}>{''.join(inside)}</{name}>" if inside else f"<{name}{pairs}/>"


def _value(value: object) -> str:
    return f"{round(value, 1):g}" if isinstance(value, float) else escaped(value)


def path(points: Iterable[tuple[float, float]], closed: bool = False, **attributes: object) -> str:
    """Return a line through points.

    Parameters
    ----------
    points : iterable of (float, float)
        Places across and down. [px]
    closed : bool
        Whether the last is joined to the first.
    **attributes : object
        As for `shape`.

    Examples
    --------
    >>> path([(0, 0), (10.0, 5.25)], fill="none")
    '<path d="M0 0L10 5.2" fill="none"/>'
    """
    steps = "L".join(f"{round(x, 1):g} {round(y, 1):g}" for x, y in points)
    return shape("path", d=f"M{steps}{'Z' if closed else ''}", **attributes)


def lettering(text: object, x: float, y: float, size: float = 18.0, **attributes: object) -> str:
    """Return words in a picture.

    Parameters
    ----------
    text : object
        The words; escaped here.
    x, y : float
        Where their baseline begins, or as `text_anchor` says. [px]
    size : float
        Height of the letters. [px]
    **attributes : object
        As for `shape`.

    Examples
    --------
    >>> lettering("5 < 6", 0, 10)
    '<text x="0" y="10" font-size="18" fill="var(--se-ink)">5 &lt; 6</text>'
    """
    return shape(
        "text", escaped(text), **{"x": x, "y": y, "font_size": size, "fill": ink("ink"), **attributes}
    )


def drawing(width: float, height: float, label: str, *inside: str) -> str:
    """Return a whole picture with what it shows in words.

    Parameters
    ----------
    width, height : float
        Its own size. [px] It is shown as wide as there is room.
    label : str
        What it shows, for whoever does not see it.
    *inside : str
        Elements.

    Examples
    --------
    >>> drawing(10, 5, "A pond.", shape("rect"))
    '<svg xmlns="..." viewBox="0 0 10 5" role="img" aria-label="A pond."><rect/></svg>'
    """
    return shape(
        "svg", *inside, xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {width:g} {height:g}", role="img",
        aria_label=label,
    )  # fmt: skip


def on_paper(svg: str) -> str:
    """Return a picture with the light theme's colours in the place of the page's variables.

    Parameters
    ----------
    svg : str
        Of `drawing`.

    Examples
    --------
    >>> on_paper(shape("rect", fill=ink("ink")))
    '<rect fill="#1d2b36"/>'
    """
    for name, colour in {**THEMES["light"], **PICTURE_INKS["light"]}.items():
        svg = svg.replace(ink(name), colour)
    return svg
