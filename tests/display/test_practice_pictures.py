"""Pictures of the exercises: they show what the view's numbers say, and only that."""

import math
import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.contrast import CONTRAST_THRESHOLD, INHERENT_CONTRAST, apparent_contrast
from explorer.display.bench_picture import LENS_Y, draw_bench
from explorer.display.boat_picture import FAINTEST, WATER_TOP, draw_boat
from explorer.display.dot_strip import draw_dot_strip
from explorer.display.palette import PICTURE_INKS, THEMES, contrast
from explorer.display.road_picture import draw_road
from explorer.display.shapes import on_paper
from explorer.model.practice import Action
from explorer.practice.agreement import agreement_figures
from explorer.practice.disk import act, start, view
from explorer.practice.exercises import EXERCISES

SVG = "{http://www.w3.org/2000/svg}"
WORDS = {"middle": "middle", "agree": "agree", "bottle": "bottle", "filter": "filter", "minutes": "minutes"}


def disk_opacity(figures) -> float | None:
    """Return how plainly the disk is drawn: as plainly from above as from the side."""
    svg = ElementTree.fromstring(draw_boat(figures, 10, "A boat.", "down"))
    found = {
        each.get("opacity")
        for name in ("secchi-disk", "disk-from-above")
        for each in svg.iterfind(f".//{SVG}g[@class='{name}']")
    }
    assert len(found) < 2
    return float(found.pop()) if found else None


def lowered(seed: int, marks: int):
    state = act(start(seed), Action("side:shaded"))
    for _ in range(marks):
        state = act(state, Action("lower:mark"))
        yield view(state)


@pytest.mark.parametrize("seed", range(5))
def test_disk_fades_by_the_contrast_law_and_is_gone_where_the_view_says_so(seed):
    before, seen = 2.0, 0
    for shown in lowered(seed, 40):
        opacity = disk_opacity(shown.figures)
        assert (opacity is None) == (shown.figures["disk_contrast"] == 0)
        if opacity is not None:
            assert FAINTEST <= opacity <= before
            before, seen = opacity, seen + 1
    assert seen > 3


def test_opacity_is_even_steps_of_the_published_contrast():
    # Tyler 1968: the logarithm of the contrast falls evenly with depth, and so does the opacity.
    depths = [0.5, 1.0, 1.5, 2.0]
    shares = []
    for depth in depths:
        seen = float(apparent_contrast(depth, 2.0, 0.5))
        clearness = math.log(seen / CONTRAST_THRESHOLD) / math.log(INHERENT_CONTRAST / CONTRAST_THRESHOLD)
        figures = {**view(start(1)).figures, "in_water": 1.0, "disk_clearness": clearness}
        shares.append(disk_opacity(figures))
    steps = [a - b for a, b in pairwise(shares)]
    assert steps == pytest.approx([steps[0]] * len(steps), abs=0.002)


def test_marks_stand_where_the_line_has_them():
    shown = list(lowered(3, 12))[-1]
    svg = ElementTree.fromstring(draw_boat(shown.figures, 10, "A boat.", "down"))
    marks = [each for each in svg.iter(f"{SVG}rect") if each.get("width") in ("18", "38")]
    kinds = shown.figures["mark_kinds"]
    assert len(marks) == len(kinds) + kinds.count(3.0)  # a double mark is two
    assert sum(each.get("width") == "38" for each in marks) == sum(
        1 if k == 2 else 2 if k == 3 else 0 for k in kinds
    )
    assert all(float(each.get("y")) < WATER_TOP for each in marks)


def bench(**changed):
    figures = dict(
        EXERCISES["filtering"]
        .view(EXERCISES["filtering"].start(1, EXERCISES["filtering"].start.__defaults__[0]))
        .figures
    )
    return {**figures, "vessel": 1.0, **changed}


@given(st.integers(2, 24))
def test_bottom_of_the_curve_at_a_mark_stands_on_its_line_in_the_glass(tens):
    level = 10.0 * tens
    svg = draw_bench(bench(level_ml=level, rim_ml=level + 3), 20.0, "A bench.")
    line = re.search(
        rf'<path d="M324 ([\d.]+)L[^"]*" stroke="var\(--se-focus\)"[^>]*/><text[^>]*>{level:.0f}</text>', svg
    )
    assert line
    assert float(line[1]) == LENS_Y
    rim = re.search(r"M324 294V([\d.]+)C", svg)
    assert rim
    assert float(rim[1]) < LENS_Y, "the rim stands higher"


def test_stain_darkens_and_the_gauge_keeps_under_its_mark():
    strengths = []
    for stain in (0.0, 0.2, 0.6, 1.0):
        svg = draw_bench(bench(stain=stain), 20.0, "A bench.")
        strengths.append(float(re.findall(r'fill="var\(--se-algae\)" opacity="([\d.]+)"/>', svg)[-1]))
    assert strengths == sorted(strengths)
    assert strengths[0] == 0 < strengths[-1] <= 1
    assert ">15 kPa<" in draw_bench(bench(), 15.0, "A bench.")


@given(st.lists(st.floats(0.5, 30), min_size=2, max_size=40))
def test_dots_stand_in_the_order_and_distance_of_the_readings(depths):
    figures = agreement_figures(depths, 0.1)
    svg = ElementTree.fromstring(
        draw_dot_strip(figures, [f"M{n}" for n in range(len(depths))], "m", WORDS, "Readings.")
    )
    dots = [float(each.get("cx")) for each in svg.iter(f"{SVG}circle")]
    inside = [d for d in depths if figures["agree_low_m"] <= d <= figures["agree_high_m"]]
    assert len(dots) == len(inside)
    span = (max(depths), min(depths))
    for (x, a), (y, b) in zip(
        zip(dots, inside, strict=True), list(zip(dots, inside, strict=True))[1:], strict=False
    ):
        if abs(a - b) > 0.01 * (span[0] - span[1] + 1):
            assert (x < y) == (a < b)
    assert len(svg.findall(f"{SVG}text")) >= len(depths) + 2


def test_names_in_a_picture_stay_text():
    svg = draw_dot_strip(agreement_figures([4.0, 4.1], 0.1), ["<script>", 'a"b'], "m", WORDS, "<i>")
    assert "<script>" not in svg
    assert ElementTree.fromstring(svg).get("aria-label") == "<i>"


def test_strip_in_feet_has_its_axis_in_feet():
    svg = draw_dot_strip(agreement_figures([3.048, 3.2], 0.03), ["Ada", "Ben"], "ft", WORDS, "Readings.")
    assert ">10 ft<" in svg


def test_ice_and_temperature_of_the_road_are_those_of_the_view():
    exercise = EXERCISES["cold_chain"]
    state = exercise.start(4, start(1).rules)
    blocks = []
    for code in ("pack:three", "boat:cooler", "bench:cooler", "drive:cooler"):
        state = exercise.act(state, Action(code))
        figures = exercise.view(state).figures
        svg = draw_road(figures, WORDS, "A road.")
        blocks.append(svg.count('width="48"'))
        assert f">{figures['bottle_degc']:.0f} °C<" in svg
    assert blocks[0] == 6
    assert blocks == sorted(blocks, reverse=True)


def test_on_paper_leaves_no_variable():
    svg = on_paper(
        draw_road(
            EXERCISES["cold_chain"].view(EXERCISES["cold_chain"].start(4, start(1).rules)).figures,
            WORDS,
            "A road.",
        )
    )
    assert "var(" not in svg


@pytest.mark.parametrize("theme", THEMES)
def test_disk_line_and_marks_stand_out(theme):
    inks = {**THEMES[theme], **PICTURE_INKS[theme]}
    # W3C, Web Content Accessibility Guidelines 2.2, 1.4.11: 3 for parts of a picture.
    assert contrast(inks["white"], inks["deep-water"]) >= 3
    assert contrast(inks["ink"], inks["sky"]) >= 3
    assert contrast(inks["focus"], inks["sky"]) >= 3
    assert contrast(inks["warm"], inks["field"]) >= 3
