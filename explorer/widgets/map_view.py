"""The map: waters and stations without any tile server; colours change by style sheet, not by data."""

import json
from collections.abc import Callable, Collection
from typing import Any

import ipyleaflet
import ipywidgets
import numpy as np

from explorer.display.map_groups import MapGroups, Tilt
from explorer.display.map_page import MapPage, fitted_view
from explorer.display.markup import element, escaped
from explorer.model.words import say
from explorer.widgets.map_tilts import tilt_drawing, tilt_style

__all__ = ["MapView"]

ASSUMED_SIZE_PX = (300, 240)  # of the map before anybody has seen it


class MapView:
    """The map with its legend.

    Parameters
    ----------
    outlines : GeoDataFrame
        Waters with an outline. [deg, WGS 84]
    on_pick : callable
        Called with the code of the station that was clicked.
    """

    def __init__(self, outlines: Any, on_pick: Callable[[str], None]) -> None:
        self._on_pick = on_pick
        self.page: MapPage | None = None
        self._colours = ipywidgets.HTML()
        self._legend = ipywidgets.HTML()
        self._pointed = ipywidgets.HTML()
        self._message = ipywidgets.HTML()
        self._pointed.add_class("map-pointed")
        self._waters = ipyleaflet.GeoJSON(
            data=json.loads(outlines[["geometry"]].to_json()),
            style={"interactive": False, "className": "water"},
        )
        self.stations = self._layer([])
        self.map = ipyleaflet.Map(
            layers=(),
            zoom_snap=0.25,
            zoom_delta=0.5,
            attribution_control=False,
            scroll_wheel_zoom=True,
            world_copy_jump=False,
            panes={"picked": {"zIndex": 450}},  # over the stations
            layout=ipywidgets.Layout(width="100%", min_height="0"),
        )
        self._ring = ipyleaflet.CircleMarker(
            location=(0.0, 0.0),
            radius=14,
            weight=4,
            color="var(--se-ink)",
            fill=False,
            opacity=0.0,
            pane="picked",
        )
        self.map.add_class("stations-map")
        self.map.add(self._waters)
        self.map.add(self._ring)
        self.map.add(self.stations)
        self._tiles: Any = None
        self._size_px = ASSUMED_SIZE_PX
        self.map.observe(self._resized, names="pixel_bounds")
        self.all_stations, self.this_water = (
            ipywidgets.Button(description=say(f"map.{name}")) for name in ("all_stations", "this_water")
        )
        fits = ipywidgets.HBox([self.this_water, self.all_stations])
        fits.add_class("map-fits")
        self._with_places = ipywidgets.VBox([self.map, self._pointed, self._legend, fits])
        self.widget = ipywidgets.VBox([self._colours, self._message, self._with_places])
        self.widget.add_class("map-part")

    def _layer(self, features: list[dict[str, Any]]) -> ipyleaflet.GeoJSON:
        layer = ipyleaflet.GeoJSON(
            data={"type": "FeatureCollection", "features": features},
            point_style={"radius": 8, "weight": 2.5, "fillOpacity": 1},
        )
        layer.on_click(self._clicked)
        layer.on_hover(self._hovered)
        return layer

    def show(self, page: MapPage) -> None:
        """Show a page: places when they are new, else only colours and words.

        Parameters
        ----------
        page : MapPage
            What to show.
        """
        new = self.page is None or self.page.codes != page.codes
        self.page = page
        if new:
            self._place(page)
        self._colours.value = f"<style>{self._rules(page)}</style>{tilt_style(page.groups.tilts)}"
        self._legend.value = self._legend_html(page.groups)
        self._pointed.value = ""  # it told of the page before
        self._message.value = element("p", page.message, "map-message") if page.message else ""

    @property
    def colours(self) -> str:
        """The style rules that colour the stations now."""
        return str(self._colours.value)

    def lay_under(self, address: str) -> None:
        """Show map tiles under the waters.

        Parameters
        ----------
        address : str
            With {z}, {x} and {y}; empty for none.
        """
        layers = [layer for layer in self.map.layers if layer is not self._tiles]
        self._tiles = ipyleaflet.TileLayer(url=address) if address else None
        self.map.layers = ([self._tiles] if self._tiles else []) + layers

    def mark(self, code: str) -> None:
        """Ring one station as the picked one, and none other.

        Parameters
        ----------
        code : str
            Its code, empty for none.
        """
        number = self.page.codes.index(code) if self.page is not None and code in self.page.codes else -1
        placed = self.page is not None and number >= 0 and not np.isnan(self.page.longitudes_deg[number])
        with self._ring.hold_sync():
            self._ring.opacity = float(placed)
            if self.page is not None and placed:
                self._ring.location = (
                    float(self.page.latitudes_deg[number]),
                    float(self.page.longitudes_deg[number]),
                )

    def _place(self, page: MapPage) -> None:
        placed = np.flatnonzero(~np.isnan(page.longitudes_deg))
        features = [
            {
                "type": "Feature",
                "geometry": {
                    "type": "Point",
                    "coordinates": [float(page.longitudes_deg[i]), float(page.latitudes_deg[i])],
                },
                "properties": {"number": int(i), "style": {"className": f"stn stn-{i}"}},
            }
            for i in placed.tolist()
        ]
        layer = self._layer(features)
        self.map.substitute(self.stations, layer)
        self.stations = layer
        self._with_places.layout.display = "" if features else "none"
        self.fit()

    def fit(self, codes: Collection[str] | None = None) -> None:
        """Show stations as large as the map allows.

        Parameters
        ----------
        codes : collection of str, optional
            The stations; all when left out.
        """
        if self.page is None:
            return
        wanted = np.array([codes is None or code in codes for code in self.page.codes], dtype=bool)
        placed = wanted & ~np.isnan(self.page.longitudes_deg)
        if placed.any():
            center, zoom = fitted_view(
                self.page.longitudes_deg[placed], self.page.latitudes_deg[placed], *self._size_px
            )
            with self.map.hold_sync():
                self.map.center, self.map.zoom = center, zoom

    def _resized(self, change: Any) -> None:
        """Fit again when the map has another size, not when the reader moved it."""
        (left, top), (right, bottom) = change["new"]
        size = (round(right - left), round(bottom - top))
        if size != self._size_px and min(size) > 0:
            self._size_px = size
            self.fit()

    def _rules(self, page: MapPage) -> str:
        groups = page.groups
        chosen: dict[int, list[str]] = {}
        for number, index in enumerate(groups.indexes):
            chosen.setdefault(index, []).append(f".stn-{number}")
        rules = []
        for index, selectors in chosen.items():
            dash = "none" if index < 0 else groups.patterns[index] or "none"
            rules.append(f"{','.join(selectors)}{{fill:{_fill(groups, index)};stroke-dasharray:{dash}}}")
        return "".join(rules)

    def _legend_html(self, groups: MapGroups) -> str:
        entries = [
            (f"{letter} {name}".strip(), _ring(_fill(groups, index), dash, tilt))
            for index, (name, letter, dash, tilt) in enumerate(
                zip(groups.names, groups.letters, groups.patterns, _sample_tilts(groups), strict=True)
            )
        ]
        if groups.rest:
            entries.append((groups.rest, _ring(_fill(groups, -1), "", None)))
        spans = "".join(
            f'<span class="legend-entry">{ring}{escaped(words)}</span>' for words, ring in entries
        )
        return element("p", groups.caption, "map-caption") + f'<p class="map-legend">{spans}</p>'

    def _clicked(self, **event: Any) -> None:
        if self.page is not None:
            self._on_pick(self.page.codes[int(event["properties"]["number"])])

    def _hovered(self, **event: Any) -> None:
        if self.page is not None:
            number = int(event["properties"]["number"])
            said = self.page.groups.labels[number]
            line = self.page.names[number] + (f": {said}" if said else "")
            self._pointed.value = element("p", line)


def _fill(groups: MapGroups, index: int) -> str:
    """Return a group's colour; under tilted lines it is thinned, so that they are seen."""
    colour = "" if index < 0 else groups.colours[index]
    if not colour:
        return "var(--se-field)"
    return f"color-mix(in srgb, {colour} 55%, var(--se-field))" if groups.tilts else colour


def _sample_tilts(groups: MapGroups) -> tuple[Tilt | None, ...]:
    return groups.sample_tilts or (None,) * len(groups.names)


def _ring(fill: str, dash: str, tilt: Tilt | None) -> str:
    """Return a station as the legend shows it; one with a line takes more room."""
    half = 9 if tilt is None else 15
    return (
        f'<svg width="{2 * half}" height="18" viewBox="{-half} -9 {2 * half} 18" aria-hidden="true">'
        f'<circle r="6.5" style="fill:{fill};stroke:var(--se-ink);stroke-width:2;'
        f'stroke-dasharray:{dash or "none"}"/>{tilt_drawing(tilt) if tilt else ""}</svg>'
    )
