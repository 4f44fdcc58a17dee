"""The level along which a series is judged: one level, a steady line, or a step, whichever fits its years."""

import numpy as np
import numpy.typing as npt

from explorer.analysis.order_statistics import row_medians

__all__ = ["TREND_YEARS", "trend_levels"]

Floats = npt.NDArray[np.float64]

TREND_YEARS = 8  # years with readings below which no series has a line or a step; as for trends
STEP_YEARS = 3  # years on either side of a step
POLISHES = 2  # rounds of taking out months and years in turn
NO_CHANGE = 1e-12  # squares that are rounding

# Extra terms of a model and what each costs: G. Schwarz, "Estimating the dimension of a model," Ann. Stat.,
# vol. 6, pp. 461-464, 1978, charges ln(n) a term. Three times that keeps a chance run of years from being
# taken for a trend in more than about one series of a hundred (simulated); a step also chooses its year.
LINE_COST, STEP_COST = 3.0, 5.0  # [ln(n)]


def trend_levels(values: npt.ArrayLike) -> Floats:
    """Return the level of each month of each year, as far as it follows a trend of the series.

    Months and years are taken out in turn by medians. The years' medians then follow one level, a straight
    line, or a step between two levels: the simplest that fits. A step is moved from New Year to the month
    within a year of it that the values agree with best. A series of fewer than eight years has one level.

    Parameters
    ----------
    values : array_like, shape (series, years, months)
        Monthly values, on a logarithmic scale for concentrations. NaN where nothing was measured.

    Returns
    -------
    ndarray, shape (series, years, months)
        Level about the series' middle, on the scale of the values; also where nothing was measured.

    References
    ----------
    .. [1] J. W. Tukey, Exploratory Data Analysis, Addison-Wesley, 1977, chapter 10: median polish.

    Examples
    --------
    >>> step = np.r_[np.zeros(17), np.ones(19)].reshape(1, 12, 3) + [0.0, 0.1, -0.1]
    >>> trend_levels(step)[0, 4:7].round(1).tolist()
    [[-0.5, -0.5, -0.5], [-0.5, -0.5, 0.5], [0.5, 0.5, 0.5]]
    """
    number = np.asarray(values, dtype=np.float64)
    months, middles = _polished(number)
    known = ~np.isnan(middles)
    count = known.sum(axis=1)
    weight = known.astype(np.float64)
    mean = _divided(np.where(known, middles, 0.0).sum(axis=1), count)[:, None]
    value = np.where(known, middles - mean, 0.0)
    flat_left = (value**2).sum(axis=1)
    line, line_left = _line(value, weight)
    cut, first, second, step_left = _step(value, weight)
    left = np.maximum(np.stack([flat_left, line_left, step_left]), np.finfo(np.float64).tiny)
    cost = np.array([[0.0], [LINE_COST], [STEP_COST]]) * np.log(np.maximum(count, 2))
    best = np.argmin(np.maximum(count, 1) * np.log(left) + cost, axis=0)
    best[(count < TREND_YEARS) | (flat_left < NO_CHANGE)] = 0
    levels = np.zeros(number.shape)
    levels[best == 1] = line[best == 1][:, :, None]
    some = best == 2
    rest = number[some] - months[some][:, None, :] - mean[some][:, :, None]
    levels[some] = _step_by_month(rest, cut[some], first[some], second[some])
    return levels


def _polished(values: Floats) -> tuple[Floats, Floats]:
    """Return the months' own levels, and the years' medians about them."""
    years = np.zeros(values.shape[:2])
    for _ in range(POLISHES):
        months = row_medians(np.swapaxes(values - years[:, :, None], 1, 2))
        medians = row_medians(values - months[:, None, :])
        years = np.where(np.isnan(medians), 0.0, medians)
    return months, medians


def _line(value: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """Return the least-squares line and the squares that it leaves; the values' mean is zero."""
    year = np.arange(value.shape[1], dtype=np.float64)
    centre = _divided((weight * year).sum(axis=1), weight.sum(axis=1))
    apart = year - centre[:, None]
    slope = _divided((value * apart).sum(axis=1), (weight * apart**2).sum(axis=1))
    line = slope[:, None] * apart
    return line, (weight * (value - line) ** 2).sum(axis=1)


def _step(value: Floats, weight: Floats) -> tuple[npt.NDArray[np.int64], Floats, Floats, Floats]:
    """Return the last year before the step that leaves least, both levels, and the squares that it leaves."""
    if value.shape[1] < 2:
        nothing = np.zeros(len(value))
        return nothing.astype(np.int64), nothing, nothing, np.full(len(value), np.inf)
    total = np.cumsum(value, axis=1)
    years = np.cumsum(weight, axis=1)
    before, after = years[:, :-1], years[:, -1:] - years[:, :-1]
    first, second = _divided(total[:, :-1], before), _divided(total[:, -1:] - total[:, :-1], after)
    taken = before * first**2 + after * second**2
    taken[(before < STEP_YEARS) | (after < STEP_YEARS)] = -np.inf
    cut = np.argmax(taken, axis=1)
    rows = np.arange(len(value))
    return cut, first[rows, cut], second[rows, cut], (value**2).sum(axis=1) - taken[rows, cut]


def _step_by_month(rest: Floats, cut: npt.NDArray[np.int64], first: Floats, second: Floats) -> Floats:
    """Return two levels, the step in the month that leaves least distance, at most a year from its cut."""
    months = rest.shape[2]
    flat = rest.reshape(len(rest), rest.shape[1] * months)
    nearer = np.nan_to_num(np.abs(flat - first[:, None]) - np.abs(flat - second[:, None]))
    gain = np.cumsum(nearer, axis=1)  # least where all before it is nearer to the first level
    place = np.arange(flat.shape[1])
    new_year = (cut + 1)[:, None] * months - 1
    last = np.argmin(np.where(np.abs(place - new_year) <= months, gain, np.inf), axis=1)
    levels: Floats = np.where(place <= last[:, None], first[:, None], second[:, None])
    return levels.reshape(rest.shape)


def _divided(above: Floats, below: npt.ArrayLike) -> Floats:
    number = np.asarray(below, dtype=np.float64)
    return np.divide(above, number, out=np.zeros_like(above), where=number > 0)
