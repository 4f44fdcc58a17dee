"""The one style sheet of the screens: inks by theme, class colours by scheme, and the legend's glyphs."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from explorer.display.legend import legend_entries
from explorer.display.markup import element, escaped
from explorer.display.palette import PICTURE_INKS, THEMES, class_colours, ink_on, tint
from explorer.display.station_page import StationPage
from explorer.model.classes import ClassScheme

__all__ = ["desk_style_html", "legend_html", "meeting_style_html", "practice_style_html", "style_html"]


@cache
def _sheet(name: str) -> str:
    return Path(__file__).with_name(name).read_text(encoding="utf-8")


def style_html(scheme: ClassScheme) -> str:
    """Return the style element of a screen.

    Parameters
    ----------
    scheme : ClassScheme
        Whose classes are coloured.
    """
    count = len(scheme.classes)
    light, dark = (_inks(THEMES[theme]) + _class_inks(theme, count) for theme in ("light", "dark"))
    return f"<style>{_by_theme(light, dark)}{_cells(count)}{_sheet('explorer.css')}</style>"


def practice_style_html() -> str:
    """Return the style element of the practice screen: the same inks, and those of its pictures."""
    light, dark = (_inks({**THEMES[theme], **PICTURE_INKS[theme]}) for theme in ("light", "dark"))
    return f"<style>{_by_theme(light, dark)}{_sheet('practice.css')}</style>"


def meeting_style_html() -> str:
    """Return the style element of a meeting's screen."""
    light, dark = (_inks(THEMES[theme]) for theme in ("light", "dark"))
    return f"<style>{_by_theme(light, dark)}{_sheet('meeting.css')}</style>"


def desk_style_html() -> str:
    """Return the style element of the desk where files are checked in."""
    light, dark = (_inks(THEMES[theme]) for theme in ("light", "dark"))
    return f"<style>{_by_theme(light, dark)}{_sheet('desk.css')}</style>"


def _by_theme(light: str, dark: str) -> str:
    light, dark = f"color-scheme:light;{light}", f"color-scheme:dark;{dark}"
    return (
        f":root{{{light}}}"
        f"@media (prefers-color-scheme:dark){{body:not([data-jp-theme-light='true']){{{dark}}}}}"
        f"body[data-jp-theme-light='false'],body.explorer-dark{{{dark}}}body.explorer-light{{{light}}}"
    )


def _inks(inks: Mapping[str, str]) -> str:
    return "".join(f"--se-{name}:{value};" for name, value in inks.items())


def _cells(classes: int) -> str:
    return "".join(
        f".season-class-{index}{{background:var(--se-class-{index});color:var(--se-class-ink-{index})}}"
        for index in range(classes)
    )


def _class_inks(theme: str, classes: int) -> str:
    pairs: list[tuple[str, str]] = []
    for index, colour in enumerate(class_colours(classes)):
        pairs.append((f"--se-class-{index}", colour))
        pairs.append((f"--se-band-{index}", tint(colour, THEMES[theme]["field"])))
        pairs.append((f"--se-class-ink-{index}", ink_on(colour)))
    return "".join(f"{name}:{value};" for name, value in pairs)


_GLYPHS = {
    "measured": '<circle cx="8" cy="8" r="3.5" style="fill:var(--se-ink)"/>',
    "down": '<path d="M3 4h10l-5 8z" style="fill:none;stroke:var(--se-ink);stroke-width:1.8"/>',
    "up": '<path d="M3 12h10l-5 -8z" style="fill:none;stroke:var(--se-ink);stroke-width:1.8"/>',
    "held": '<path d="M4 8h8M8 4v8" style="stroke:var(--se-ink);stroke-width:3"/>',
    "usual": '<rect x="1" y="3" width="14" height="10" style="fill:var(--se-usual);stroke:var(--se-line)"/>',
    "trend": '<path d="M0 13L32 6V1z" style="fill:var(--se-wedge)"/>'
    '<path d="M0 13L32 3.5" style="stroke:var(--se-ink);stroke-width:2"/>',
    "medians": '<path d="M0 4h9L16 12h16" style="fill:none;stroke:var(--se-ink);stroke-width:2"/>',
    "beside": '<path d="M0 8h8M24 8h8" style="stroke:var(--se-beside);stroke-width:2"/>'
    '<path d="M12.5 4.5h7v7h-7z" style="fill:var(--se-field);stroke:var(--se-beside);stroke-width:1.8"/>',
}
_WIDTHS = {"trend": 32, "medians": 32, "beside": 32}  # [px]


def legend_html(page: StationPage, language: str = "en") -> str:
    """Return the legend of what the panels of a page really show, and what the bands mean.

    Parameters
    ----------
    page : StationPage
        The page on the screen.
    language : str
        Language of the words.
    """
    entries = (_entry(kind, words) for kind, words in legend_entries(page, language))
    return f'<p class="panel-legend">{"".join(entries)}</p>' + element("p", page.caption, "panel-caption")


def _entry(kind: str, words: str) -> str:
    width = _WIDTHS.get(kind, 16)
    size = f'width="{width}" height="16" viewBox="0 0 {width} 16"'
    glyph = f'<svg {size} aria-hidden="true">{_GLYPHS[kind]}</svg>'
    return f'<span class="legend-entry legend-{kind}">{glyph}{escaped(words)}</span>'
