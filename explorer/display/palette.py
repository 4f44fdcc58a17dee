"""Colours of classes, their tints behind the panels, ring patterns and the page's inks, light and dark."""

from collections.abc import Sequence

__all__ = [
    "PICTURE_INKS",
    "RING_PATTERNS",
    "THEMES",
    "class_colours",
    "contrast",
    "ink_on",
    "relative_luminance",
    "ring_patterns",
    "tint",
]

# F. Crameri, "Scientific colour maps", 2018, doi:10.5281/zenodo.1243862, map "lapaz": 17 equal steps.
_LAPAZ = (
    "#1a0c64", "#202071", "#24327e", "#284289", "#2d5393", "#33629b", "#3d71a0", "#4b80a3", "#5c8ca3",
    "#7097a0", "#869e9b", "#9ca596", "#b5ad96", "#d2bba2", "#ebcfbb", "#f9e2d8", "#fef2f3",
)  # fmt: skip
_FIRST, _LAST = 0.12, 0.90  # the part of the map that is used, deep clear blue to sand

# Dash of the ring around a station, best class to worst: whole, long, short, dotted, then mixed. [px]
RING_PATTERNS = ("", "7 3", "4 3", "1 3", "7 3 1 3", "4 2 1 2", "2 6")

# Inks by theme; names are the style sheet's variables.
THEMES = {
    "light": {
        "paper": "#fcfbf7", "ink": "#1d2b36", "soft-ink": "#4a5c6a", "line": "#c5ccd0", "field": "#ffffff",
        "water": "#cfdfe6", "water-line": "#6f93a5", "land": "#f1eee5", "picked": "#e3e9ea",
        "usual": "rgb(255 255 255 / 62%)", "focus": "#9a3b00", "beside": "#7d1152",
        "wedge": "rgb(29 43 54 / 22%)",
    },
    "dark": {
        "paper": "#14191d", "ink": "#eef2f3", "soft-ink": "#b4c2ca", "line": "#44525b", "field": "#1e262b",
        "water": "#2b3d47", "water-line": "#7fa0b0", "land": "#20241f", "picked": "#2b363d",
        "usual": "rgb(255 255 255 / 22%)", "focus": "#ffb27a", "beside": "#ffd3ec",
        "wedge": "rgb(238 242 243 / 26%)",
    },
}  # fmt: skip

# Inks of our own pictures (boat, bench, road) by theme, under the same kind of name.
PICTURE_INKS = {
    "light": {
        "sky": "#e4eef2", "upper-water": "#5d9aa6", "deep-water": "#12414f", "hull": "#b98a55",
        "hull-edge": "#7a5530", "jacket": "#d2601a", "skin": "#c99272", "mud": "#8a6a45", "plants": "#3f6b3a",
        "algae": "#3d7a2e", "glass": "#8fa9b5", "ice": "#bfe0ee", "warm": "#b3400e", "white": "#ffffff",
        "black": "#10161a",
    },
    "dark": {
        "sky": "#26343c", "upper-water": "#3f7885", "deep-water": "#0c303b", "hull": "#a07646",
        "hull-edge": "#d6a871", "jacket": "#ef8a45", "skin": "#c99272", "mud": "#8a6a45", "plants": "#5c8f55",
        "algae": "#69b054", "glass": "#9fb9c5", "ice": "#8fc4da", "warm": "#ff9d66", "white": "#ffffff",
        "black": "#10161a",
    },
}  # fmt: skip


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _mixed(first: str, second: str, share: float) -> str:
    pairs = zip(_channels(first), _channels(second), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def class_colours(count: int) -> tuple[str, ...]:
    """Return one colour for each class, best to worst.

    Parameters
    ----------
    count : int
        Number of classes.

    Returns
    -------
    tuple of str
        "#rrggbb", evenly spaced over the used part of the map.

    References
    ----------
    .. [1] F. Crameri, "Scientific colour maps", 2018, map lapaz.

    Examples
    --------
    >>> class_colours(2)
    ('#24317d', '#f1d7c7')
    """
    steps = [0.5] if count == 1 else [i / (count - 1) for i in range(count)]
    colours = []
    for step in steps:
        where = (_FIRST + step * (_LAST - _FIRST)) * (len(_LAPAZ) - 1)
        left = int(where)
        colours.append(_mixed(_LAPAZ[left], _LAPAZ[left + 1], where - left))
    return tuple(colours)


def tint(colour: str, paper: str, strength: float = 0.42) -> str:
    """Return a colour thinned on a paper: the band behind a panel.

    Parameters
    ----------
    colour, paper : str
        "#rrggbb".
    strength : float
        Share of the colour, 0 to 1. [1]

    Examples
    --------
    >>> tint("#000000", "#ffffff", 0.5)
    '#808080'
    """
    return _mixed(paper, colour, strength)


def relative_luminance(colour: str) -> float:
    """Return the relative luminance of a colour.

    Parameters
    ----------
    colour : str
        "#rrggbb".

    References
    ----------
    .. [1] W3C, Web Content Accessibility Guidelines 2.2, "relative luminance".

    Examples
    --------
    >>> relative_luminance("#ffffff")
    1.0
    """
    parts = [value / 255 for value in _channels(colour)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return round(0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2], 6)


def contrast(first: str, second: str) -> float:
    """Return the contrast ratio of two colours.

    Parameters
    ----------
    first, second : str
        "#rrggbb".

    References
    ----------
    .. [1] W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio".

    Examples
    --------
    >>> contrast("#000000", "#ffffff")
    21.0
    """
    high, low = sorted((relative_luminance(first), relative_luminance(second)), reverse=True)
    return round((high + 0.05) / (low + 0.05), 2)


def ink_on(colour: str) -> str:
    """Return the ink, dark or light, that reads better on a colour.

    Parameters
    ----------
    colour : str
        "#rrggbb".

    Examples
    --------
    >>> ink_on("#24317d")
    '#ffffff'
    """
    return max(("#ffffff", "#000000"), key=lambda ink: contrast(ink, colour))


def ring_patterns(classes: Sequence[str]) -> tuple[str, ...]:
    """Return the dash of each class's ring on the map, so that colour is not the only sign.

    Parameters
    ----------
    classes : sequence of str
        Class names, best to worst; at most seven.

    Examples
    --------
    >>> ring_patterns(["oligotrophic", "mesotrophic"])
    ('', '7 3')
    """
    return RING_PATTERNS[: len(classes)]
