"""How large a change the record could have missed, and how many more years would show one that matters."""

import numpy as np
import numpy.typing as npt

from explorer.analysis.recensored import held_to
from explorer.analysis.seasonal_kendall import kendall_scores, standard_score
from explorer.analysis.sen_slope import LIMITS_CONFIDENCE
from explorer.analysis.tail_probability import normal_quantile

__all__ = ["POWER", "smallest_found", "years_needed"]

Floats = npt.NDArray[np.float64]

POWER = 0.80  # [1] share of such records in which the change is found; common practice
REPLICATES = 100
SEED = 1982
WIDEST = 8.0  # [1] a change so many times steeper than the first guess counts as never found
HALVINGS = 6  # of the ratio of steepest to flattest: the answer is within 4 %
BLOCK = 32  # series simulated at once, so that the arrays stay in the processor's cache


def smallest_found(
    values: npt.ArrayLike,
    slope: npt.ArrayLike,
    limits: tuple[npt.ArrayLike, npt.ArrayLike],
    *,
    times: npt.ArrayLike | None = None,
    below: npt.ArrayLike = -np.inf,
    above: npt.ArrayLike = np.inf,
    level: float = 0.05,
    replicates: int = REPLICATES,
    seed: int = SEED,
) -> Floats:
    """Return the steepness that the test would have found in four of five records like each of these.

    The series' own residuals, whole years at a time, are put in a new order again and again; a slope is laid
    over them, rising in half of the orders and falling in the other, values beyond a limit are censored
    again, and the test is run. The slope at which the share of findings passes `POWER` is searched by
    halving. The orders are the same for every series, so that the answer does not depend on its neighbours.
    Years that follow one another closely are torn apart by this: for such a series the answer is too small.
    Equal readings are spread over the step to which they were rounded, for a slope laid over equal numbers
    would put them in order, however small it is.

    Parameters
    ----------
    values : array_like, shape (series, years, seasons)
        The values that were tested. [record unit] NaN where nothing was measured.
    slope : array_like, shape (series,)
        Sen slope of the same values. [record unit per year]
    limits : pair of array_like, shape (series,)
        Its lower and upper limit. [record unit per year]
    times : array_like, shape (years,), optional
        Years, rising; 0, 1, 2 ... when left out.
    below, above : array_like, shape (series,) or ()
        Limits at which values are censored. [record unit]
    level : float
        Two-sided level of the test. [1]
    replicates : int
        Orders tried.
    seed : int
        Seed of the orders.

    Returns
    -------
    ndarray, shape (series,)
        Slope, zero or more. [record unit per year] NaN where there is no slope; infinite where even a
        change `WIDEST` times steeper than expected is not found so often.

    References
    ----------
    .. [1] Power by simulation from a record's own residuals: Helsel et al. 2020, chapter 13 (from memory).

    Examples
    --------
    >>> from explorer.analysis.sen_slope import sen_slopes
    >>> rng = np.random.default_rng(1)
    >>> noisy = rng.normal(10.0, 1.0, (1, 20, 5)) * np.array([1.0, 2.0])[:, None, None]
    >>> found = sen_slopes(noisy, kendall_scores(noisy).variance)
    >>> small, large = smallest_found(noisy, found.slope, (found.low, found.high))
    >>> round(float(small), 3), round(float(large / small), 3)
    (0.037, 2.0)
    """
    number = np.asarray(values, dtype=np.float64)
    series, years, _ = number.shape
    time = np.arange(years, dtype=np.float64) if times is None else np.asarray(times, dtype=np.float64)
    lowest, highest = (np.broadcast_to(np.asarray(each, np.float64), (series,)) for each in (below, above))
    keys = np.random.default_rng((seed, 0)).random((years, replicates))
    places = np.random.default_rng((seed, 1)).uniform(-1.0, 1.0, number.shape[1:])
    passed = normal_quantile(level)
    smallest = np.full(series, np.nan)
    steepness = np.asarray(slope, dtype=np.float64)
    width = np.asarray(limits[1], dtype=np.float64) - np.asarray(limits[0], dtype=np.float64)
    known = np.flatnonzero(~np.isnan(steepness))
    for start in range(0, len(known), BLOCK):
        rows = known[start : start + BLOCK]
        used = np.asarray((~np.isnan(number[rows])).any(axis=2))
        nth = np.maximum(np.cumsum(used, axis=1) - 1, 0)  # empty years before or after change nothing
        unrounded = _unrounded(number[rows], (lowest[rows], highest[rows]), places[nth])
        centre, noise = _residuals(unrounded, steepness[rows], time)
        orders = _year_orders(used, keys[nth].transpose(0, 2, 1))
        pool = centre[:, None] + np.take_along_axis(noise[:, None], orders[..., None], axis=2)
        guess = _first_guess(width[rows], noise, np.where(used, time, np.nan), passed)
        smallest[rows] = _search(_by_year(pool), time, guess, (lowest[rows], highest[rows]), passed)
    return smallest


def _unrounded(number: Floats, censored: tuple[Floats, Floats], places: Floats) -> Floats:
    """Return numbers with equal ones spread half way to their neighbours, as before they were rounded."""
    flat = number.reshape(len(number), -1)
    order = np.argsort(flat, axis=1, kind="stable")
    row = np.take_along_axis(flat, order, axis=1)
    step = np.diff(row, axis=1) > 0
    edge = np.full((len(row), 1), np.inf)
    under = np.maximum.accumulate(np.hstack([-edge, np.where(step, row[:, :-1], -np.inf)]), axis=1)
    over = np.hstack([np.where(step, row[:, 1:], np.inf), edge])
    over = np.minimum.accumulate(over[:, ::-1], axis=1)[:, ::-1]
    down, up = row - under, over - row
    down, up = np.where(np.isinf(down), up, down), np.where(np.isinf(up), down, up)
    alone = np.hstack([edge > 0, step]) & np.hstack([step | np.isnan(row[:, 1:]), edge > 0])
    known = (row >= censored[0][:, None]) & (row <= censored[1][:, None])
    place = np.take_along_axis(places.reshape(flat.shape), order, axis=1)
    moved = row + 0.5 * place * np.where(place < 0, down, up)
    kept = np.where(known & ~alone & np.isfinite(moved), moved, row)
    spread = np.empty_like(flat)
    np.put_along_axis(spread, order, kept, axis=1)
    return spread.reshape(number.shape)


def _residuals(number: Floats, slope: Floats, time: Floats) -> tuple[Floats, Floats]:
    """Return each season's level and the values about it, spread for the two numbers that were fitted."""
    years = (~np.isnan(number)).any(axis=2).sum(axis=1)
    flat = number - slope[:, None, None] * (time - time.mean())[:, None]
    measured = ~np.isnan(flat)
    count = np.maximum(measured.sum(axis=1, keepdims=True), 1)
    centre = np.where(measured, flat, 0.0).sum(axis=1, keepdims=True) / count
    spread = np.sqrt(years / np.maximum(years - 2, 1))
    return centre, (flat - centre) * spread[:, None, None]


def _year_orders(used: npt.NDArray[np.bool_], keys: Floats) -> npt.NDArray[np.int64]:
    """Return for each series and order whose values stand in each year; empty years stay in place."""
    shuffled = np.argsort(np.where(used[:, None], keys, 2.0), axis=2, kind="stable")
    places = np.argsort(~used, axis=1, kind="stable")[:, None]
    orders = np.empty_like(shuffled)
    np.put_along_axis(orders, np.broadcast_to(places, shuffled.shape), shuffled, axis=2)
    return orders


def _first_guess(width: Floats, noise: Floats, time: Floats, passed: float) -> Floats:
    """Return the slope that would be found so often were it normal with the error that its limits show."""
    from_limits = width / (2.0 * normal_quantile(1.0 - LIMITS_CONFIDENCE))
    about = time - np.nanmean(time, axis=1, keepdims=True)
    from_spread = np.sqrt(np.nanmean(noise**2, axis=(1, 2)) / np.nansum(about**2, axis=1))
    error = np.fmax(from_limits, from_spread)  # equal readings may leave the limits no width
    return np.asarray((passed + normal_quantile(2.0 * (1.0 - POWER))) * error)


def _by_year(pool: Floats) -> npt.NDArray[np.float32]:
    """Return a pool (series, replicates, years, seasons) as (years, seasons, series, replicates)."""
    return np.ascontiguousarray(pool.transpose(2, 3, 0, 1), dtype=np.float32)


def _search(
    pool: npt.NDArray[np.float32], time: Floats, guess: Floats, censored: tuple[Floats, Floats], passed: float
) -> Floats:
    """Halve the range of slopes about the guess until its ends are 7 % apart; the middle is the answer."""
    least, most = guess / WIDEST, guess * WIDEST
    never = _share_found(pool, time, most, censored, passed) < POWER
    for _ in range(HALVINGS):
        middle = np.sqrt(least * most)
        often = _share_found(pool, time, middle, censored, passed) >= POWER
        least, most = np.where(often, least, middle), np.where(often, middle, most)
    return np.where(never & (guess > 0), np.inf, np.sqrt(least * most))  # without spread any change is found


def _share_found(
    pool: npt.NDArray[np.float32], time: Floats, slope: Floats, censored: tuple[Floats, Floats], passed: float
) -> Floats:
    """Return the share of a pool (years, seasons, series, replicates) in which the slope is found."""
    years, seasons, series, replicates = pool.shape
    direction = np.where(np.arange(replicates) % 2 == 0, 1.0, -1.0)
    rise = (time - time.mean())[:, None, None] * (slope[:, None] * direction)
    tried = pool + rise[:, None].astype(np.float32)
    if any(np.isfinite(each).any() for each in censored):
        tried = held_to(tried, censored[0][:, None], censored[1][:, None])
    scores = kendall_scores(np.moveaxis(tried.reshape(years, seasons, -1), -1, 0))
    z = standard_score(scores.statistic_s, scores.variance).reshape(series, replicates)
    return np.asarray((z * direction >= passed).mean(axis=1))


def years_needed(smallest: npt.ArrayLike, years: npt.ArrayLike, wanted: npt.ArrayLike) -> Floats:
    """Return how many more years of such visits would show a wanted change.

    The error of a slope over n evenly spaced years falls with the square root of n (n**2 - 1).

    Parameters
    ----------
    smallest : array_like, shape (n,)
        Slope that can be found now. [record unit per year]
    years : array_like of int, shape (n,)
        Years behind it.
    wanted : array_like, shape (n,)
        Slope that should be found. [record unit per year]

    Returns
    -------
    ndarray, shape (n,)
        Whole years, zero where it can be found now. [years] NaN where a slope is not finite or not above
        zero.

    References
    ----------
    .. [1] Standard error of a least-squares slope on equally spaced times, e.g. Helsel et al. 2020,
       chapter 9; Sen's slope keeps a constant ratio to it (Sen 1968).

    Examples
    --------
    >>> years_needed([0.4, 0.1, float("inf")], [10, 10, 8], [0.2, 0.2, 0.2]).tolist()
    [6.0, 0.0, nan]
    """
    now, count, goal = (np.asarray(each, dtype=np.float64) for each in (smallest, years, wanted))
    known = np.isfinite(now) & np.isfinite(goal) & (goal > 0) & (now >= 0)
    ratio = np.where(known, now, 0.0) / np.where(known, goal, 1.0)
    squares = ratio**2 * count * (count**2 - 1.0)
    total = np.floor(np.cbrt(squares))
    for _ in range(2):
        total += total * (total**2 - 1.0) < squares * (1.0 - 1e-12)
    return np.where(known, np.maximum(total - count, 0.0), np.nan)
