import numpy as np
import pytest
from scipy import stats

from explorer.analysis.tail_probability import chi_square_tail, normal_quantile, two_sided_p


def test_two_sided_p_agrees_with_scipy():
    z = np.linspace(-8, 8, 101)
    assert two_sided_p(z) == pytest.approx(2 * stats.norm.sf(np.abs(z)), rel=1e-12)


@pytest.mark.parametrize("level", [0.2, 0.1, 0.05, 1e-4])
def test_normal_quantile_agrees_with_scipy(level):
    assert normal_quantile(level) == pytest.approx(stats.norm.isf(level / 2), rel=1e-9)


def test_chi_square_tail_agrees_with_scipy():
    value, degrees = (each.ravel() for each in np.meshgrid(np.linspace(0, 60, 25), np.arange(1, 15)))
    assert chi_square_tail(value, degrees) == pytest.approx(stats.chi2.sf(value, degrees), rel=1e-9)


def test_chi_square_tail_without_a_degree_is_nan():
    assert np.isnan(chi_square_tail([3.0, 3.0], [0, -1])).all()


@pytest.mark.parametrize("level", [0.0, 1.0, -0.05, float("nan")])
def test_normal_quantile_of_no_level_is_refused(level):
    with pytest.raises(ValueError, match="between 0 and 1"):
        normal_quantile(level)
