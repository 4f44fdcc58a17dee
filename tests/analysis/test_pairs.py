"""Readings of two quantities that belong together, and the line on which Carlson's indices are equal."""

import numpy as np
import pandas as pd
import pytest

from explorer.analysis.indices import tsi_from_chlorophyll_a, tsi_from_secchi, tsi_from_total_phosphorus
from explorer.analysis.pairs import chlorophyll_of_equal_index, clarity_of_equal_index, visit_pairs


def readings(*rows: tuple[str, int, str, float, str]) -> pd.DataFrame:
    frame = pd.DataFrame(rows, columns=["taken_on", "visit_id", "quantity", "value", "sign"])
    return frame.assign(
        taken_on=pd.to_datetime(frame["taken_on"]), stratum="surface", status="accepted",
        sample_type="routine", reading_id=range(1, len(frame) + 1),
    )  # fmt: skip


def pairs(frame: pd.DataFrame) -> list[tuple[float, float]]:
    found = visit_pairs(frame, "tp", "chl")
    return list(zip(found["first"].tolist(), found["second"].tolist(), strict=True))


def test_readings_of_one_visit_are_a_pair() -> None:
    frame = readings(("2024-07-01", 1, "tp", 20, "="), ("2024-07-01", 1, "chl", 7, "<"))
    found = visit_pairs(frame, "tp", "chl")
    assert pairs(frame) == [(20, 7)]
    assert (found["first_sign"].item(), found["second_sign"].item()) == ("=", "<")
    assert (found["first_id"].item(), found["second_id"].item()) == (1, 2)


def test_readings_of_two_days_are_none() -> None:
    assert pairs(readings(("2024-07-01", 1, "tp", 20, "="), ("2024-07-02", 2, "chl", 7, "="))) == []


def test_laboratory_and_sheet_of_one_day_are_a_pair_where_nothing_else_can_be_meant() -> None:
    assert pairs(readings(("2024-07-01", 1, "tp", 20, "="), ("2024-07-01", 2, "chl", 7, "="))) == [(20, 7)]


def test_two_visits_of_one_day_are_never_mixed() -> None:
    frame = readings(
        ("2024-07-01", 1, "tp", 20, "="), ("2024-07-01", 1, "chl", 7, "="),
        ("2024-07-01", 2, "tp", 30, "="), ("2024-07-01", 3, "chl", 9, "="),
    )  # fmt: skip
    assert pairs(frame) == [(20, 7)]


def test_held_deep_and_zero_readings_are_left_out() -> None:
    frame = readings(*[("2024-07-0" + str(day), day, "tp", 20, "=") for day in (1, 2, 3)],
                     *[("2024-07-0" + str(day), day, "chl", 7, "=") for day in (1, 2, 3)])  # fmt: skip
    frame.loc[0, "status"] = "held"
    frame.loc[4, "stratum"] = "bottom"
    frame.loc[5, "value"] = 0
    assert pairs(frame) == []


@pytest.mark.parametrize("phosphorus", [2.0, 12.0, 48.0, 300.0])
def test_line_of_equal_index_has_one_index_on_both_axes(phosphorus: float) -> None:
    """Carlson 1977: the equations of `explorer.analysis.indices`, solved for the other quantity."""
    chlorophyll = chlorophyll_of_equal_index([phosphorus])
    clarity = clarity_of_equal_index(chlorophyll)
    three = (
        tsi_from_total_phosphorus(pd.Series([phosphorus])),
        tsi_from_chlorophyll_a(pd.Series(chlorophyll)),
        tsi_from_secchi(pd.Series(clarity)),
    )
    assert np.ptp([each.item() for each in three]) == pytest.approx(0, abs=1e-9)
