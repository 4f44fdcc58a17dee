"""The station screen in plotly's FigureWidget and in Panel with Bokeh, as code of a notebook and a program.

Both do in a click what ours does: the same call reads the record, judges the station and builds the page;
then bands with their names, usual range, readings, those below a limit, numbers at the left, the strip of
seasons and the heading are drawn, all in one update of the library. The list, the folds and the page's
address, which ours also keeps up to date, are left out.
"""

__all__ = ["MAP_PX", "PANEL_PAGE", "PANEL_PX", "PLOTLY_PAGE", "SAME_JOB"]

MAP_PX, PANEL_PX = 400, 860

SAME_JOB = """
import numpy as np
from explorer.default_record import default_record
from explorer.display.choice import Choice
from explorer.display.markup import element
from explorer.display.palette import class_colours, tint
from explorer.display.record_pages import RecordPages
from explorer.display.station_page import DRAWN

record = default_record()
stations = record.station_list()
pages = RecordPages(record)

def page_of(number):
    return pages.station(Choice(stations[number].code, pages.latest), DRAWN).page

def heading_of(page):
    return element("h1", page.heading) + "".join(element("p", sentence) for sentence in page.sentences)

def strip_of(page):
    return "".join(element("span", cell.letter, f"cell class-{cell.class_index}") for cell in page.strip)

first = page_of(len(stations) - 1)
colours = [tint(colour, "#ffffff") for colour in class_colours(len(first.scheme.classes))]
"""

PLOTLY_PAGE = """
import ipyleaflet, ipywidgets, plotly.graph_objects as go
from plotly.subplots import make_subplots

def bands_of(panel, page):
    left, right = page.first_year, page.last_year + 1
    corners = {band.class_index: [band.low, band.low, band.high, band.high] for band in panel.bands}
    return [([left, right, right, left], corners.get(number, [])) for number in range(len(colours))]

def labels_of(panel, page):
    names = [(page.last_year + 1, band.name_place, band.name) for band in panel.bands]
    return names, [(page.first_year, place, label) for place, label in panel.axis.ticks]

def columns(rows):
    return [list(column) for column in zip(*rows)] if rows else [[], [], []]

def traces_of(panel, page):
    # x, y and text of the panel's traces, in their order
    bands = [(x, y, None) for x, y in bands_of(panel, page)]
    dots = [(dots.years, dots.places, None) for dots in (panel.measured, panel.below)]
    labels = [columns(rows) for rows in labels_of(panel, page)]
    return [*bands, (panel.usual_years, panel.usual_places, None), *dots, *labels]

plain = dict(hoverinfo="skip", showlegend=False, cliponaxis=False)
def empty_traces():
    for colour in colours:
        yield go.Scatter(mode="none", fill="toself", fillcolor=colour, **plain)
    yield go.Scatter(mode="none", fill="toself", fillcolor="rgba(255,255,255,0.5)", **plain)
    yield go.Scatter(mode="markers", marker=dict(size=6, color="black"), **plain)
    yield go.Scatter(mode="markers", marker=dict(size=8, symbol="triangle-down-open", color="black"), **plain)
    yield go.Scatter(mode="text", textposition="middle right", **plain)
    yield go.Scatter(mode="text", textposition="middle left", **plain)

drawing = make_subplots(4, 1, shared_xaxes=True, vertical_spacing=0.03)
for row in range(1, 5):
    for trace in empty_traces():
        drawing.add_trace(trace, row, 1)
drawing.update_layout(width=860, height=600, margin=dict(l=50, r=110, t=10, b=20), template="none")
drawing.update_yaxes(range=[0, 1], visible=False)
drawing.update_xaxes(range=[first.first_year, first.last_year + 1])

def draw(drawing, page):
    found = [trace for panel in page.panels for trace in traces_of(panel, page)]
    for trace, (x, y, text) in zip(drawing.data, found, strict=True):
        trace.x, trace.y = x, y
        if text is not None:
            trace.text = text
    span = [page.first_year, page.last_year + 1]
    if list(drawing.layout.xaxis.range) != span:
        drawing.update_xaxes(range=span)

draw(drawing, first)
figure = go.FigureWidget(drawing)
figure.add_class("panel-figure")
heading, strip = ipywidgets.HTML(heading_of(first)), ipywidgets.HTML(strip_of(first))

def show(page):
    with figure.batch_update():
        draw(figure, page)
    heading.value, strip.value = heading_of(page), strip_of(page)

features = [
    {"type": "Feature", "geometry": {"type": "Point", "coordinates": [s.longitude_deg, s.latitude_deg]},
     "properties": {"number": i, "style": {"className": f"stn stn-{i}"}}}
    for i, s in enumerate(stations)
]
layer = ipyleaflet.GeoJSON(
    data={"type": "FeatureCollection", "features": features}, point_style={"radius": 5}
)
layer.on_click(lambda properties, **_: show(page_of(properties["number"])))
layout = ipywidgets.Layout(width="400px", height="400px", min_width="400px", flex="0 0 auto")
map_ = ipyleaflet.Map(layers=(layer,), center=(45.0, -29.72), zoom=9, layout=layout)
ipywidgets.HBox([ipywidgets.VBox([heading, strip, figure]), map_])
"""

# The stations are a figure without a frame, so that their places in pixels follow from their numbers.
PANEL_PAGE = """
import panel as pn
from bokeh.models import ColumnDataSource, TapTool
from bokeh.plotting import figure

def columns_of(panel, page):
    # of each kind of mark, the columns of its source
    bands = panel.bands
    ends = {"left": page.first_year, "right": page.last_year + 1}
    shapes = np.split(np.column_stack([panel.usual_years, panel.usual_places]),
                      np.flatnonzero(np.isnan(panel.usual_years)) + 1)[:-1]
    return {
        "bands": {"low": [b.low for b in bands], "high": [b.high for b in bands],
                  "colour": [colours[b.class_index] for b in bands],
                  **{name: [end] * len(bands) for name, end in ends.items()}},
        "names": {"x": [ends["right"]] * len(bands), "y": [b.name_place for b in bands],
                  "text": [b.name for b in bands]},
        "ticks": {"x": [ends["left"]] * len(panel.axis.ticks), "y": [place for place, _ in panel.axis.ticks],
                  "text": [label for _, label in panel.axis.ticks]},
        "usual": {"xs": [shape[:-1, 0] for shape in shapes], "ys": [shape[:-1, 1] for shape in shapes]},
        "measured": {"x": panel.measured.years, "y": panel.measured.places},
        "below": {"x": panel.below.years, "y": panel.below.places},
    }

sources, figures = [], []
for panel in first.panels:
    own = {kind: ColumnDataSource(columns) for kind, columns in columns_of(panel, first).items()}
    shared = {"x_range": figures[0].x_range if figures else (first.first_year, first.last_year + 1)}
    drawing = figure(width=PANEL_PX, height=150, toolbar_location=None, y_range=(0, 1), min_border_left=50,
                     min_border_right=110, **shared)
    drawing.yaxis.visible = drawing.grid.visible = False
    drawing.quad("left", "right", "high", "low", color="colour", source=own["bands"])
    drawing.patches("xs", "ys", color="white", alpha=0.5, source=own["usual"])
    drawing.scatter("x", "y", size=6, color="black", source=own["measured"])
    drawing.scatter("x", "y", size=8, marker="inverted_triangle", fill_color=None, source=own["below"])
    for kind, side in (("names", "right"), ("ticks", "left")):
        drawing.text("x", "y", "text", text_font_size="9pt", text_baseline="middle", text_align=side,
                     source=own[kind])
    sources.append(own)
    figures.append(drawing)
heading, strip = pn.pane.HTML(heading_of(first)), pn.pane.HTML(strip_of(first))

places = ColumnDataSource({"x": list(range(len(stations))), "y": [0.0] * len(stations)})
stations_map = figure(frame_width=MAP_PX, frame_height=MAP_PX, min_border=0, toolbar_location=None, tools="",
                      x_range=(-1, len(stations)), y_range=(-1, 1), outline_line_color=None)
stations_map.axis.visible = False
stations_map.add_tools(TapTool())
stations_map.scatter("x", "y", source=places, size=10)

def picked(_, __, indices):
    if not indices:
        return
    page = page_of(indices[0])
    with pn.io.hold():
        for own, panel in zip(sources, page.panels, strict=True):
            for kind, columns in columns_of(panel, page).items():
                own[kind].data = columns
        figures[0].x_range.update(start=page.first_year, end=page.last_year + 1)
        heading.object, strip.object = heading_of(page), strip_of(page)
places.selected.on_change("indices", picked)
pn.Row(pn.Column(heading, strip, *figures), stations_map).servable()
"""
