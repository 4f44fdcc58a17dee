import re
from collections import Counter
from dataclasses import replace
from io import BytesIO
from itertools import combinations, pairwise
from xml.etree import ElementTree

import matplotlib as mpl
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.image import imread
from matplotlib.text import Text

from explorer.analysis.class_schemes import schemes
from explorer.analysis.classes import class_result
from explorer.analysis.season_table import season_table
from explorer.display import figures
from explorer.display.choice import Choice
from explorer.display.figure_marks import legend_handles
from explorer.display.figure_text import cut_text, picture_font, plain_text, text_width_pt, wrapped_text
from explorer.display.figures import draw_panel, draw_station_page
from explorer.display.palette import THEMES, class_colours, tint
from explorer.display.panel_values import READINGS, Break
from explorer.display.station_page import build_station_page
from explorer.model.calendar import Period
from explorer.model.programme import Programme
from explorer.model.words import say

from .trend_examples import station_trend, trend_of

SVG = "{http://www.w3.org/2000/svg}"
SOURCE = "Record of a test, version 3."
DAYS = [f"{year}-{month:02d}-15" for year in range(2018, 2026) for month in (5, 6, 7, 8, 9)]
PICKED = Choice(station="HM1", period=Period(2020, 2022), picked=True)
HOSTILE = ("$x^2$", "<script>alert(1)</script>", r"\frac{1}{2} & ]]>", "name " * 300, "x" * 900)


@pytest.fixture
def history(make_history, make_readings):
    """A pond with dots, both triangles, a cross and a change of method."""
    count = len(DAYS)
    signs = np.where(np.arange(count) % 5 == 0, ">", "=")
    return make_history(
        make_readings(DAYS, 2.0 + np.arange(count) % 7 / 5, list(signs)),
        make_readings(DAYS, 4.0 + np.arange(count) % 9, quantity="chlorophyll_a",
                      status=["held" if number % 20 == 3 else "accepted" for number in range(count)]),
        make_readings(DAYS, 9.0 + np.arange(count) % 6, list("<====" * 8), quantity="total_phosphorus",
                      method=["old lamp"] * 20 + ["new lamp"] * 20),
        kind="pond",
    )  # fmt: skip


@pytest.fixture
def page_of():
    def build(history, choice, **further):
        programme, scheme = Programme(), schemes()[choice.scheme]
        seasons = season_table(history.readings, programme)
        result = class_result(history, seasons, choice.period, scheme, programme)
        return build_station_page(history, seasons, result, choice, scheme, programme, **further)

    return build


@pytest.fixture
def page(page_of, history):
    return page_of(history, PICKED)


def _svg(page, choice=PICKED, source=SOURCE):
    return ElementTree.fromstring(draw_station_page(page, choice, form="svg", source=source))


def _words(root):
    return Counter(" ".join(text.text or "" for text in root.iter(f"{SVG}text")).split())


def _group(root, name):
    return next((group for group in root.iter(f"{SVG}g") if group.get("id") == name), None)


def _said_by(page, source):
    """Return all words that a page says."""
    said = [page.heading, *page.sentences, page.caption, source, say("caution.swimming"), say("strip.title")]
    said += [str(year) for year in page.ticks]
    said += [cell.letter for cell in page.strip]
    said += [handle.get_label() for handle in legend_handles(page)]
    for panel in page.panels:
        said += [panel.title, panel.unit, panel.value or panel.message]
        said += [band.name.capitalize() for band in panel.bands]
        said += [label for _, label in panel.axis.ticks]
        said += [each.label for each in panel.breaks]
    return Counter(" ".join(said).split())


def test_drawing_says_what_the_page_says_and_nothing_else(page):
    assert _words(_svg(page)) == _said_by(page, SOURCE)


def test_drawing_of_a_station_without_readings_says_so(page_of, make_history):
    page = page_of(make_history(), Choice("HM1", Period(2024, 2024)))
    assert _words(_svg(page, source="")) == _said_by(page, "")
    assert "no readings of clarity here" in [panel.message for panel in page.panels]


def test_drawing_of_a_stream_has_no_bands(page_of, make_history, make_readings):
    tube = make_readings(DAYS, [60.0] * len(DAYS), quantity="transparency_tube")
    page = page_of(make_history(tube, kind="stream"), PICKED)
    root = _svg(page)
    assert _words(root) == _said_by(page, SOURCE)
    assert not [group for group in root.iter(f"{SVG}g") if "-band-" in (group.get("id") or "")]
    assert _group(root, "transparency_tube-usual") is not None


def test_drawing_has_one_mark_for_every_reading_fainter_outside_the_period(page):
    root = _svg(page)
    drawn = Counter()
    for panel in page.panels:
        for kind in READINGS:
            inside = getattr(panel, kind).inside
            for where, count in (("inside", inside.sum()), ("outside", (~inside).sum())):
                group = _group(root, f"{panel.quantity.code}-{kind}-{where}")
                marks = [] if group is None else list(group.iter(f"{SVG}use"))
                assert len(marks) == count
                assert all(("opacity: 0.38" in mark.get("style")) == (where == "outside") for mark in marks)
                drawn[kind] += count
    assert set(drawn) == set(READINGS)
    assert all(drawn.values())
    assert drawn.total() == sum(len(panel.readings) for panel in page.panels)


def test_panel_puts_every_reading_where_the_page_has_it(page):
    axes = Figure().add_subplot()
    panel = page.panels[1]
    draw_panel(axes, panel, page, picked=PICKED.period)
    for kind in READINGS:
        dots = getattr(panel, kind)
        for chosen, where in ((dots.inside, "inside"), (~dots.inside, "outside")):
            lines = [line for line in axes.lines if line.get_gid() == f"chlorophyll_a-{kind}-{where}"]
            assert len(lines) == chosen.any()
            for line in lines:
                assert line.get_xdata().tolist() == dots.years[chosen].tolist()
                assert line.get_ydata().tolist() == dots.places[chosen].tolist()
    assert axes.get_xlim() == (page.first_year, page.last_year + 1)
    assert axes.get_ylim() == (0.0, 1.0)


def test_panel_has_a_band_for_every_class_in_its_tint(page):
    axes = Figure().add_subplot()
    draw_panel(axes, page.panels[0], page)
    drawn = {patch.get_gid(): patch for patch in axes.patches if "-band-" in str(patch.get_gid())}
    colours = class_colours(len(page.scheme.classes))
    assert len(drawn) == len(page.panels[0].bands)
    for band in page.panels[0].bands:
        patch = drawn[f"secchi_depth-band-{band.class_index}"]
        field = THEMES["light"]["field"]
        assert mpl.colors.to_hex(patch.get_facecolor()) == tint(colours[band.class_index], field)
        box = patch.get_extents().transformed(axes.transAxes.inverted())
        assert (box.y0, box.y1) == pytest.approx((band.low, band.high))


def test_picked_period_is_framed_in_every_panel_and_on_the_strip(page):
    root = _svg(page)
    for panel in page.panels:
        assert _group(root, f"{panel.quantity.code}-picked") is not None
    axes = Figure().add_subplot()
    draw_panel(axes, page.panels[0], page, picked=PICKED.period)
    frame = next(patch for patch in axes.patches if patch.get_gid() == "secchi_depth-picked")
    assert (frame.get_x(), frame.get_width(), frame.get_height()) == (2020, 3, 1.0)
    framed = [
        cell.year
        for cell in page.strip
        if "stroke: #1d2b36" in ElementTree.tostring(_group(root, f"season-{cell.year}"), "unicode")
    ]
    assert framed == [2020, 2021, 2022]


def test_nothing_is_framed_or_faint_without_a_picked_period(page_of, history):
    choice = replace(PICKED, picked=False)
    ids = [group.get("id") or "" for group in _svg(page_of(history, choice), choice).iter(f"{SVG}g")]
    assert not [name for name in ids if name.endswith(("-picked", "-outside"))]


@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_names_are_drawn_as_plain_text_within_the_picture(page, hostile):
    panels = tuple(
        replace(
            panel,
            title=hostile,
            breaks=(Break(2018.4, hostile), Break(2025.9, hostile)),
            bands=tuple(replace(band, name=hostile) for band in panel.bands),
        )
        for panel in page.panels
    )
    page = replace(page, heading=hostile, sentences=(hostile,) * 3, caption=hostile, panels=panels)
    figure = figures._figure(page, PICKED, hostile)
    _, boxes = _texts(figure)
    for box in boxes:
        assert box.x0 >= 0
        assert box.y0 >= 0
        assert box.x1 <= figure.bbox.x1
        assert box.y1 <= figure.bbox.y1
    raw = draw_station_page(page, PICKED, form="svg", source=hostile)
    root = ElementTree.fromstring(raw)
    assert b"<script" not in raw
    heading = " ".join(text.text for text in root.iter(f"{SVG}text") if "18px" in text.get("style"))
    assert hostile.startswith(heading.replace(" ", "").removesuffix("…")[:3])
    if len(hostile) < 40:
        assert heading == hostile


def _texts(figure):
    figure.draw_without_rendering()
    texts = [text for text in figure.findobj(Text) if text.get_text() and text.get_visible()]
    return texts, [text.get_window_extent() for text in texts]


@pytest.mark.parametrize("picked", [True, False])
def test_no_text_covers_another_or_leaves_the_picture(page_of, history, picked):
    choice = replace(PICKED, picked=picked)
    figure = figures._figure(page_of(history, choice), choice, SOURCE)
    texts, boxes = _texts(figure)
    assert len(texts) > 50
    for box in boxes:
        assert figure.bbox.x0 <= box.x0
        assert figure.bbox.y0 <= box.y0
        assert box.x1 <= figure.bbox.x1
        assert box.y1 <= figure.bbox.y1
    covering = [
        (one.get_text(), other.get_text())
        for (one, box), (other, beside) in combinations(zip(texts, boxes, strict=True), 2)
        if box.padded(-2.0).overlaps(beside)
    ]
    assert covering == []


def test_picture_opens_at_its_size_in_the_colours_of_the_page(page):
    pixels = imread(BytesIO(draw_station_page(page, PICKED, form="png")), format="png")
    wide, high = (
        int(points / 72 * figures.DOTS_PER_INCH) for points in (figures.WIDTH_PT, figures.HEIGHT_PT)
    )
    assert pixels.shape == (high, wide, 4)
    seen = {
        tuple(colour) for colour in np.unique((pixels[::3, ::3, :3] * 255).round().reshape(-1, 3), axis=0)
    }
    wanted = [THEMES["light"]["paper"], THEMES["light"]["ink"]]
    wanted += [class_colours(4)[cell.class_index] for cell in page.strip if cell.class_index >= 0]
    assert all(tuple(int(colour[at : at + 2], 16) for at in (1, 3, 5)) in seen for colour in wanted)


def test_drawing_for_print_is_one_page_with_text_that_can_be_searched(page):
    content = draw_station_page(page, PICKED, form="pdf")
    assert content.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type /Page\b", content)) == 1
    assert b"/CIDFontType2" in content or b"/TrueType" in content


@pytest.mark.parametrize("form", ["png", "svg", "pdf"])
def test_same_page_gives_the_same_bytes_whatever_style_is_set(page, form):
    plain = draw_station_page(page, PICKED, form=form, source=SOURCE)
    loud = {"axes.grid": True, "text.usetex": True, "figure.dpi": 30, "lines.linewidth": 9,
            "svg.fonttype": "path", "xtick.bottom": False, "font.size": 30}  # fmt: skip
    with mpl.rc_context(loud):
        assert draw_station_page(page, PICKED, form=form, source=SOURCE) == plain
        assert mpl.rcParams["font.size"] == 30


def test_panel_can_be_drawn_large_for_a_hall(page):
    sizes = {}
    for points in (9.0, 18.0):
        axes = Figure(figsize=(12, 7)).add_axes((0.1, 0.15, 0.7, 0.7))
        draw_panel(axes, page.panels[0], page, points=points)
        sizes[points] = [text.get_fontsize() for text in axes.texts]
        assert {str(year) for year in page.ticks} <= {text.get_text() for text in axes.texts}
    assert np.allclose(np.array(sizes[9.0]) * 2, sizes[18.0])


def test_panel_above_others_has_no_years(page):
    axes = Figure().add_subplot()
    draw_panel(axes, page.panels[0], page, with_years=False)
    assert not {str(year) for year in page.ticks} & {text.get_text() for text in axes.texts}


TEXTS = st.text(st.characters(codec="utf-8"), max_size=120)


@given(TEXTS)
def test_plain_text_stands_on_one_line_and_in_any_xml(text):
    plain = plain_text(text)
    assert len(plain.splitlines()) <= 1
    assert ElementTree.fromstring(f"<a>{plain.replace('&', '&amp;').replace('<', '&lt;')}</a>") is not None
    assert plain_text(plain) == plain


@given(st.lists(st.text("abcdefgh$\\<", min_size=1, max_size=40), max_size=20), st.floats(30, 400))
def test_wrapped_lines_fit_and_lose_no_letter(words, room):
    font = picture_font(9.0)
    lines = wrapped_text(" ".join(words), room, font, 1000)
    assert all(text_width_pt(line, font) <= room for line in lines)
    assert "".join(lines).replace(" ", "") == "".join(words)


@given(st.text("abcdefgh$\\< ", max_size=200), st.floats(30, 400), st.integers(1, 3))
def test_text_that_does_not_fit_is_cut_and_says_so(text, room, most):
    font = picture_font(9.0)
    lines = wrapped_text(plain_text(text), room, font, most)
    assert len(lines) <= most
    assert all(text_width_pt(line, font) <= room for line in lines)
    cut = cut_text(text, room, font)
    assert cut == text or (cut.endswith("…") and text.startswith(cut[:-1]))


def test_long_legend_goes_on_in_a_row_of_its_own(page_of, history, monkeypatch):
    kept = []
    monkeypatch.setattr(Figure, "savefig", lambda figure, *_, **__: kept.append(figure))
    steep = trend_of(median=40.0, slope_per_year=4.0, slope_low=3.0, slope_high=5.0)
    trends = {
        "secchi_depth": station_trend(trend_of()),
        "chlorophyll_a": station_trend(steep, "chlorophyll_a"),
        "total_phosphorus": station_trend(trend_of(lag1=0.5), "total_phosphorus"),
    }
    choice = Choice("HM1", Period(2024, 2024))
    draw_station_page(page_of(history, choice, trends=trends), choice, form="png")
    [figure] = kept
    renderer = FigureCanvasAgg(figure).get_renderer()
    boxes = [legend.get_window_extent(renderer) for legend in figure.legends]
    assert len(boxes) > 1
    assert max(box.x1 for box in boxes) <= figure.bbox.width
    assert all(upper.y0 >= lower.y1 - 1 for lower, upper in pairwise(sorted(boxes, key=lambda box: box.y0)))


def test_trend_is_drawn_over_its_wedge_and_named_in_the_legend(page_of, history):
    choice = Choice("HM1", Period(2024, 2024))
    page = page_of(history, choice, trends={"secchi_depth": station_trend(trend_of())})
    root = _svg(page, choice)
    assert _group(root, "secchi_depth-trend") is not None
    assert _group(root, "secchi_depth-wedge") is not None
    assert _group(root, "chlorophyll_a-trend") is None
    assert say("legend.trend") in [handle.get_label() for handle in legend_handles(page)]
    assert {"become", "clearer:"} <= set(_words(root))
