"""The invented water keeps within what is published, and the geometry of a slanted line."""

from pathlib import Path

import pandas as pd
import pytest

from explorer.analysis.contrast import secchi_depth_from_attenuation, sun_path_factor
from explorer.model.practice_rules import PracticeRules
from explorer.practice.disk_water import (
    WAVES_SHARE,
    LookingManner,
    depth_of_slanted_line,
    draw_water,
    secchi_by_rule,
    sight_of_disk,
)

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "practice_physics.csv", dtype=str)
WATERS = [draw_water(seed) for seed in range(300)]


def test_depth_of_a_slanted_line_agrees_with_its_cosine():
    rows = PUBLISHED[PUBLISHED["quantity"] == "depth of a slanted line"]
    for inputs, expected, tolerance in rows[["inputs", "expected", "tolerance"]].itertuples(index=False):
        line, slant = (float(pair.split("=")[1]) for pair in inputs.split(";"))
        assert depth_of_slanted_line(line, slant) == pytest.approx(float(expected), abs=float(tolerance))


def test_sun_changes_a_secchi_depth_no_more_than_training_slides_say():
    row = PUBLISHED[PUBLISHED["quantity"].str.startswith("sun changes")].iloc[0]
    beam, diffuse = 3.5, 0.85
    low, high = (secchi_depth_from_attenuation(beam, diffuse * sun_path_factor(h)) for h in (35.0, 65.0))
    assert 2.0 < 100 * (high / low - 1) <= float(row["expected"])


def test_waves_change_a_reading_no_more_than_training_slides_say():
    row = PUBLISHED[PUBLISHED["quantity"].str.startswith("waves lower")].iloc[0]
    assert float(row["expected"]) > 100 * 2 * WAVES_SHARE


def test_there_are_deep_shallow_and_weedy_waters():
    rules = PracticeRules()
    shallow = sum(water.bottom_m < secchi_by_rule(water, rules) for water in WATERS)
    weedy = sum(water.plants_m < water.bottom_m for water in WATERS)
    assert min(shallow, weedy) > 30
    assert shallow + weedy < 200


def test_what_is_clear_to_the_bottom_is_so_by_every_rule():
    rules = [
        PracticeRules(boat_side=side, viewer=viewer)
        for side in ("shaded", "sunny")
        for viewer in (False, True)
    ]
    for water in WATERS:
        sides = {water.bottom_m < 0.97 * secchi_by_rule(water, rule) for rule in rules}
        assert len(sides) == 1, "nobody has to guess whether the disk is gone or on the bottom"


def test_disk_is_lost_at_the_depth_of_the_rule():
    manner = LookingManner("shaded", False, False, 0.0, 0.0)
    for water in WATERS[:40]:
        if water.bottom_m < 9 and water.plants_m > water.bottom_m:
            depth = secchi_by_rule(water, PracticeRules()) / water.waves[0]
            above, below = (sight_of_disk(water, manner, depth * factor, 0) for factor in (0.999, 1.001))
            if depth < water.bottom_m:
                assert (above.is_seen, below.is_seen) == (True, False)
