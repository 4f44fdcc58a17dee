"""What the panels of a page really show, in words: the entries of its legend."""

from explorer.display.panel_values import PanelPage
from explorer.display.station_page import StationPage
from explorer.model.words import say

__all__ = ["READINGS", "legend_entries"]

READINGS = ("measured", "below", "beyond", "held")  # kinds of readings, in the order of the legend
BEYOND = {"secchi_depth": "legend.beyond_bottom", "transparency_tube": "legend.beyond_tube"}  # else a limit


def legend_entries(page: StationPage, language: str = "en") -> tuple[tuple[str, str], ...]:
    """Return the kinds of marks that stand on a page's panels, each with its words.

    Parameters
    ----------
    page : StationPage
        The page.
    language : str
        Language of the words.

    Returns
    -------
    tuple of (str, str)
        Kind, one of `READINGS`, "usual", "trend", "medians" and "beside", and what it means. A kind stands
        more than once where it means different things on different panels.
    """
    entries = [
        (kind, say(code, language=language))
        for kind in READINGS
        for code in dict.fromkeys(
            _code(kind, panel) for panel in page.panels if getattr(panel, kind).rows.size
        )
    ]
    trends = [panel.trend for panel in page.panels if panel.trend.years.size]
    drawn = {
        "usual": any(panel.usual_years.size for panel in page.panels),
        "trend": any(trend.straight for trend in trends),
        "medians": any(not trend.straight for trend in trends),
    }
    entries += [(kind, say(f"legend.{kind}", language=language)) for kind, shown in drawn.items() if shown]
    return (*entries, *([("beside", page.comparison.name)] if page.comparison.name else ()))


def _code(kind: str, panel: PanelPage) -> str:
    return BEYOND.get(panel.quantity.code, "legend.beyond_limit") if kind == "beyond" else f"legend.{kind}"
