"""Contrast of a disk against the published law, its constants, and the attenuation behind a Secchi depth."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.analysis.contrast import (
    CONTRAST_THRESHOLD,
    INHERENT_CONTRAST,
    OVERCAST_PATH_FACTOR,
    TYLER_COUPLING,
    apparent_contrast,
    attenuation_from_secchi,
    coupling_constant,
    secchi_depth_from_attenuation,
    sun_path_factor,
)

PUBLISHED = pd.read_csv(Path(__file__).parents[1] / "published" / "practice_physics.csv", dtype=str)
DEPTHS, ATTENUATIONS = st.floats(0.0, 60.0), st.floats(0.01, 10.0)


def rows_of(quantity: str) -> list[tuple[dict[str, float], float, float]]:
    """Return inputs, expected value and tolerance of each published row."""
    rows = PUBLISHED[PUBLISHED["quantity"] == quantity]
    assert len(rows) > 0
    return [
        (
            {name: float(value) for name, value in (pair.split("=") for pair in inputs.split(";"))},
            float(expected),
            float(tolerance),
        )
        for inputs, expected, tolerance in rows[["inputs", "expected", "tolerance"]].itertuples(index=False)
    ]


def test_inherent_contrast_agrees_with_tyler_1968_and_the_reflectances_of_preisendorfer_1986() -> None:
    [(inputs, expected, tolerance)] = rows_of("inherent contrast")
    assert pytest.approx(expected, abs=tolerance) == INHERENT_CONTRAST
    assert pytest.approx((inputs["disk"] - inputs["water"]) / inputs["water"]) == INHERENT_CONTRAST


def test_coupling_constant_agrees_with_tyler_1968() -> None:
    row = PUBLISHED[PUBLISHED["quantity"] == "coupling constant"].iloc[0]
    expected, tolerance = float(row["expected"]), float(row["tolerance"])
    assert float(coupling_constant()) == pytest.approx(expected, abs=tolerance)
    assert float(coupling_constant(40.0, 0.0067)) == pytest.approx(expected, abs=tolerance)


def test_coupling_constant_lies_in_the_range_of_preisendorfer_1986() -> None:
    low, high = PUBLISHED.set_index("quantity").loc["coupling constant range", "expected"].split(" to ")
    assert float(low) <= TYLER_COUPLING <= float(high)
    assert float(low) <= float(coupling_constant(surface_share=0.55)) <= float(high)


def test_apparent_contrast_agrees_with_the_law_of_tyler_1968() -> None:
    for inputs, expected, tolerance in rows_of("contrast at a depth"):
        found = apparent_contrast(inputs["depth"], inputs["beam"], inputs["diffuse"])
        assert float(found) == pytest.approx(expected, abs=tolerance)


def test_secchi_depth_agrees_with_the_constant_of_tyler_1968() -> None:
    for inputs, expected, tolerance in rows_of("Secchi depth from attenuation"):
        found = secchi_depth_from_attenuation(inputs["beam"], inputs["diffuse"])
        assert float(found) == pytest.approx(expected, abs=tolerance)


def test_diffuse_attenuation_agrees_with_poole_and_atkins_1929() -> None:
    for inputs, expected, tolerance in rows_of("diffuse attenuation from Secchi depth"):
        _, diffuse = attenuation_from_secchi(inputs["secchi"])
        assert float(diffuse) == pytest.approx(expected, abs=tolerance)


def test_sun_path_factor_agrees_with_the_law_of_snell() -> None:
    for inputs, expected, tolerance in rows_of("sun path factor"):
        assert float(sun_path_factor(inputs["height"])) == pytest.approx(expected, abs=tolerance)


def test_overcast_sky_lies_between_high_and_low_sun() -> None:
    assert 1.0 < OVERCAST_PATH_FACTOR < float(sun_path_factor(30.0))


@given(secchi=st.floats(0.05, 50.0))
def test_disk_is_just_at_the_threshold_at_the_secchi_depth(secchi: float) -> None:
    beam, diffuse = attenuation_from_secchi(secchi)
    assert float(secchi_depth_from_attenuation(beam, diffuse)) == pytest.approx(secchi)
    assert float(apparent_contrast(secchi, beam, diffuse)) == pytest.approx(CONTRAST_THRESHOLD)
    assert beam > diffuse > 0


@given(depth=DEPTHS, deeper=st.floats(0.001, 5.0), beam=ATTENUATIONS, diffuse=ATTENUATIONS)
def test_contrast_never_rises_with_depth(depth: float, deeper: float, beam: float, diffuse: float) -> None:
    shallow, deep = apparent_contrast([depth, depth + deeper], beam, diffuse)
    assert INHERENT_CONTRAST >= shallow >= deep >= 0


@given(beam=ATTENUATIONS, diffuse=ATTENUATIONS, murk=st.floats(1.01, 3.0))
def test_murkier_water_hides_the_disk_sooner(beam: float, diffuse: float, murk: float) -> None:
    clear, murky = secchi_depth_from_attenuation([beam, murk * beam], [diffuse, murk * diffuse])
    assert clear / murky == pytest.approx(murk)


def test_contrast_keeps_shape_and_missing_values() -> None:
    found = apparent_contrast([[0.0, np.nan], [1.0, 2.0]], 1.0, [[0.1, 0.1], [np.nan, 0.1]])
    assert np.isnan(found).tolist() == [[False, True], [True, False]]
