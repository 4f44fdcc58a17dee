"""The depth profiles as drawings: SVG whose inks are the page's own, so that both themes read well."""

from explorer.display.markup import element, escaped
from explorer.display.palette import class_colours
from explorer.display.panel_values import FAINT
from explorer.display.profile_day import ProfileDay, ProfilePlot
from explorer.display.profile_seasons import ProfileSeason, ProfileSeasons

__all__ = ["day_html", "seasons_html"]

# Sizes of a plot and of the picture of all days. [px]
PLOT_WIDTH, PLOT_HEIGHT = 178, 270
LEFT, TOP, BOTTOM, GAP = 46, 8, 24, 14
SEASONS_WIDTH, SEASONS_HEIGHT, WIDEST_BLOCK, BLOCK_GAP = 860, 200, 210, 6
LEAST_MONTH_PX = 26  # below which months carry no name


def _text(x: float, y: float, text: str, anchor: str = "middle", css_class: str = "") -> str:
    named = f' class="{css_class}"' if css_class else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"{named}>{escaped(text)}</text>'


def _line(x1: float, y1: float, x2: float, y2: float, css_class: str) -> str:
    return f'<line class="{css_class}" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"/>'


def _rect(x: float, y: float, width: float, height: float, more: str, inside: str = "") -> str:
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" {more}>{inside}</rect>'


def _svg(width: float, height: float, said: str, parts: list[str], css_class: str) -> str:
    return (
        f'<svg class="{css_class}" role="img" aria-label="{escaped(said)}" width="{width:.0f}" '
        f'height="{height:.0f}" viewBox="0 0 {width:.0f} {height:.0f}">{"".join(parts)}</svg>'
    )


def day_html(day: ProfileDay) -> str:
    """Return one day's sentences, plots and table.

    Parameters
    ----------
    day : ProfileDay
        What to show.

    Returns
    -------
    str
        HTML; all text escaped.
    """
    sentences = "".join(element("p", sentence) for sentence in day.sentences)
    plots = "".join(_figure(day, number) for number in range(len(day.plots)))
    heads = "".join(f'<th scope="col">{escaped(name)}</th>' for name in day.columns)
    rows = "".join(
        f'<tr><th scope="row">{escaped(row[0])}</th>{"".join(element("td", cell) for cell in row[1:])}</tr>'
        for row in day.rows
    )
    table = (
        f'<div class="profile-table" tabindex="0" role="region" aria-label="{escaped(day.caption)}">'
        f'<table class="readings-table">{element("caption", day.caption)}<thead><tr>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )
    return (
        f'<div class="profile-said">{sentences}</div>'
        f'<div class="profile-day"><div class="profile-plots">{plots}</div>{table}</div>'
    )


def _figure(day: ProfileDay, number: int) -> str:
    plot = day.plots[number]
    left = LEFT if number == 0 else GAP
    width, height = left + PLOT_WIDTH + GAP, TOP + PLOT_HEIGHT + BOTTOM
    right, floor = left + PLOT_WIDTH, TOP + PLOT_HEIGHT
    parts = [_rect(left, TOP, PLOT_WIDTH, PLOT_HEIGHT, 'class="profile-ground"')]
    for place, label in plot.ticks:
        x = left + place * PLOT_WIDTH
        parts += [_line(x, TOP, x, floor, "profile-grid"), _text(x, floor + 16, label)]
    for place, label in day.depth_ticks:
        y = TOP + place * PLOT_HEIGHT
        parts.append(_line(left, y, right, y, "profile-grid"))
        if number == 0:
            parts.append(_text(left - 6, y + 4, label, "end"))
    if number == 0:
        y = TOP + PLOT_HEIGHT / 2
        turned = f'<g transform="rotate(-90 12 {y:.0f})">{_text(12, y + 4, day.depth_title)}</g>'
        parts.append(turned)
    parts += _marks(day, plot, left)
    title = f'<span class="profile-title" style="padding-left:{left}px">{escaped(plot.title)}</span>'
    return f'<div class="profile-plot">{title}{_svg(width, height, plot.said, parts, "profile-svg")}</div>'


def _marks(day: ProfileDay, plot: ProfilePlot, left: float) -> list[str]:
    """Return thermocline, the programme's mark, and the readings from the surface down."""
    right = left + PLOT_WIDTH
    places = [
        (left + x * PLOT_WIDTH, TOP + y * PLOT_HEIGHT) for x, y in zip(plot.across, plot.down, strict=True)
    ]
    parts = []
    if day.layer_down == day.layer_down:
        y = TOP + day.layer_down * PLOT_HEIGHT
        parts.append(_line(left, y, right, y, "profile-layer"))
        if plot is day.plots[0]:
            parts.append(_text(left + 6, y - 5, day.layer_label, "start", "profile-label"))
    if plot.mark == plot.mark:
        x = left + plot.mark * PLOT_WIDTH
        parts.append(_line(x, TOP, x, TOP + PLOT_HEIGHT, "profile-mark"))
        above = TOP + 14  # where there is more oxygen than at the mark
        parts.append(_text(x + 5, above, plot.mark_label, "start", "profile-label"))
        if day.oxygen_down == day.oxygen_down:
            y = TOP + day.oxygen_down * PLOT_HEIGHT
            parts.append(f'<circle class="profile-crossing" cx="{x:.1f}" cy="{y:.1f}" r="6"/>')
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
    parts.append(f'<polyline class="profile-line" points="{line}"/>')
    for (x, y), below in zip(places, plot.below, strict=True):
        if below:
            parts.append(f'<path class="profile-below" d="M{x + 5:.1f} {y - 5:.1f}v10l-9 -5z"/>')
        else:
            parts.append(f'<circle class="profile-dot" cx="{x:.1f}" cy="{y:.1f}" r="3.2"/>')
    return parts


def seasons_html(seasons: ProfileSeasons) -> str:
    """Return one quantity on all days, with the meaning of its colours.

    Parameters
    ----------
    seasons : ProfileSeasons
        What to show.

    Returns
    -------
    str
        HTML; all text escaped.
    """
    count = len(seasons.seasons)
    block = min((SEASONS_WIDTH - LEFT) / count - BLOCK_GAP, WIDEST_BLOCK)
    floor = TOP + SEASONS_HEIGHT
    named = block / len(seasons.months) >= LEAST_MONTH_PX
    parts = []
    for place, label in seasons.depth_ticks:
        parts.append(_text(LEFT - 6, TOP + place * SEASONS_HEIGHT + 4, label, "end"))
    y = TOP + SEASONS_HEIGHT / 2
    parts.append(f'<g transform="rotate(-90 12 {y:.0f})">{_text(12, y + 4, seasons.depth_title)}</g>')
    colours = class_colours(len(seasons.steps))
    for number, season in enumerate(seasons.seasons):
        left = LEFT + number * (block + BLOCK_GAP)
        parts += _block(season, left, block, colours, seasons.picked)
        if named:
            parts += [_text(left + place * block, floor + 15, month[:1]) for place, month in seasons.months]
        parts.append(
            _text(left + block / 2, floor + (32 if named else 16), season.label, css_class="profile-year")
        )
    width = LEFT + count * (block + BLOCK_GAP)
    svg = _svg(width, floor + (38 if named else 22), f"{seasons.title}. {seasons.how}", parts, "profile-svg")
    steps = "".join(
        f'<span class="legend-entry"><svg width="16" height="16" aria-hidden="true"><rect width="16" '
        f'height="16" fill="{colour}"/></svg>{escaped(words)}</span>'
        for colour, words in zip(colours, seasons.steps, strict=True)
    )
    return (
        f'<div class="profile-seasons">{element("p", seasons.title, "profile-title")}{svg}'
        f'<p class="profile-steps">{steps}</p>{element("p", seasons.how, "profile-how")}</div>'
    )


def _block(
    season: ProfileSeason, left: float, width: float, colours: tuple[str, ...], picked: int
) -> list[str]:
    """Return one year's ground, its fields, and the frame around the picked day."""
    parts = [_rect(left, TOP, width, SEASONS_HEIGHT, 'class="profile-ground"')]
    opacity = "" if season.inside else f' opacity="{FAINT}"'
    frame: list[tuple[float, float, float, float]] = []
    for field in season.fields:
        x, y = left + field.left * width, TOP + field.top * SEASONS_HEIGHT
        across, down = (field.right - field.left) * width, (field.bottom - field.top) * SEASONS_HEIGHT
        fill = f'fill="{colours[field.step]}"{opacity}'
        parts.append(_rect(x, y, across, down, fill, element("title", field.said)))
        if field.visit_id == picked:
            frame.append((x, y, across, down))
    if frame:
        (x, top, across, _), (_, y, _, down) = frame[0], frame[-1]
        parts.append(_rect(x, top, across, y + down - top, 'class="profile-picked"'))
    return parts
