"""What the panels of a page really show, in words: the entries of its legend."""

from explorer.display.panel_values import READINGS, PanelPage, sign_of
from explorer.display.station_page import StationPage
from explorer.model.words import say

__all__ = ["legend_entries"]

BEYOND = {"secchi_depth": "legend.beyond_bottom", "transparency_tube": "legend.beyond_tube"}  # else a limit
LINES = (("trend", "trend"), ("uneven", "medians"), ("bent", "medians"))  # kinds of line, with their signs


def legend_entries(page: StationPage, language: str = "en") -> tuple[tuple[str, str], ...]:
    """Return the marks that stand on a page's panels, each with its words.

    Parameters
    ----------
    page : StationPage
        The page.
    language : str
        Language of the words.

    Returns
    -------
    tuple of (str, str)
        A sign of readings (see `sign_of`), "usual", "trend", "medians" or "beside", and what it means. A sign
        stands more than once where it means different things on different panels.
    """
    signs = (
        (sign_of(kind, downward=panel.axis.downward), _code(kind, panel))
        for kind in READINGS
        for panel in page.panels
        if getattr(panel, kind).rows.size
    )
    entries = [(sign, say(code, language=language)) for sign, code in dict.fromkeys(signs)]
    if any(panel.usual_years.size for panel in page.panels):
        entries.append(("usual", say("legend.usual", language=language)))
    lines = {panel.trend.kind for panel in page.panels if panel.trend.years.size}
    entries += [(sign, say(f"legend.{kind}", language=language)) for kind, sign in LINES if kind in lines]
    return (*entries, *([("beside", page.comparison.name)] if page.comparison.name else ()))


def _code(kind: str, panel: PanelPage) -> str:
    return BEYOND.get(panel.quantity.code, "legend.beyond_limit") if kind == "beyond" else f"legend.{kind}"
