from itertools import combinations

import numpy as np
import pytest
from colorspacious import cspace_convert, deltaE

from explorer.display.palette import (
    RING_PATTERNS,
    THEMES,
    class_colours,
    contrast,
    ink_on,
    ring_patterns,
    tint,
)

# W3C, Web Content Accessibility Guidelines 2.2: 4.5 for text (1.4.3), 3 for parts of a picture (1.4.11).
TEXT, PARTS = 4.5, 3.0


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("ink", ["ink", "soft-ink"])
@pytest.mark.parametrize("ground", ["paper", "field", "picked"])
def test_text_stands_out_from_every_ground(theme, ink, ground):
    assert contrast(THEMES[theme][ink], THEMES[theme][ground]) >= TEXT


@pytest.mark.parametrize("theme", THEMES)
def test_ring_of_a_station_stands_out_from_land_and_water(theme):
    inks = THEMES[theme]
    assert min(contrast(inks["ink"], inks[ground]) for ground in ("land", "water")) >= PARTS


@pytest.mark.parametrize("count", range(1, 8))
def test_letter_on_a_class_colour_can_be_read(count):
    assert all(contrast(ink_on(colour), colour) >= TEXT for colour in class_colours(count))


def test_contrast_of_black_and_white_is_that_of_the_guideline():
    # WCAG 2.2 defines the ratio to run from 1 to 21.
    assert contrast("#000000", "#ffffff") == 21.0
    assert contrast("#777777", "#777777") == 1.0


def test_every_class_of_a_scheme_has_a_ring_of_its_own():
    assert len(set(RING_PATTERNS)) == len(RING_PATTERNS) >= 7
    assert ring_patterns(["a", "b", "c"]) == RING_PATTERNS[:3]


# Machado, Oliveira & Fernandes 2009 simulate the deficiency, CAM02-UCS measures the difference; both as the
# library colorspacious has them. The design asks for at least 14 between any two classes of four.
LEAST_DIFFERENCE = 14.0


@pytest.mark.parametrize("deficiency", ["deuteranomaly", "protanomaly", "tritanomaly", None])
def test_four_classes_stay_apart_under_each_colour_vision_deficiency(deficiency):
    colours = np.array([[int(c[i : i + 2], 16) / 255 for i in (1, 3, 5)] for c in class_colours(4)])
    if deficiency:
        space = {"name": "sRGB1+CVD", "cvd_type": deficiency, "severity": 100}
        colours = np.clip(cspace_convert(colours, space, "sRGB1"), 0, 1)
    differences = [deltaE(a, b, input_space="sRGB1") for a, b in combinations(colours, 2)]
    assert min(differences) >= LEAST_DIFFERENCE


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("count", range(1, 8))
def test_what_is_compared_stands_out_from_every_band_and_from_the_field(theme, count):
    inks = THEMES[theme]
    grounds = [inks["field"], *(tint(colour, inks["field"]) for colour in class_colours(count))]
    assert min(contrast(inks["beside"], ground) for ground in grounds) >= PARTS
