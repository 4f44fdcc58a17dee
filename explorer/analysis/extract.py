"""The extract of a filter: its volumes and path, by which a concentration in it becomes one in the lake."""

from dataclasses import dataclass

import pandas as pd

__all__ = ["UG_PER_MG", "Extract", "Number", "detection_limit_at_volume", "require_above"]

UG_PER_MG = 1000.0

Number = pd.Series | float


def require_above(values: Number, low: float, name: str, unit: str) -> None:
    """Refuse values that are not above a bound.

    Parameters
    ----------
    values : Series, shape (n,), or float
        [unit] NaN is let through.
    low : float
        The bound. [unit]
    name, unit : str
        For the message.

    Raises
    ------
    ValueError
        If a value is at the bound or below it.

    Examples
    --------
    >>> require_above(0.0, 0, "path", "cm")
    Traceback (most recent call last):
    ValueError: The path must be above 0 cm; found 0 at 0 (1 in all). Leave a missing one empty.
    """
    series = values if isinstance(values, pd.Series) else pd.Series([values])
    too_low = series[series <= low]
    if not too_low.empty:
        raise ValueError(
            f"The {name} must be above {low:g} {unit}; found {too_low.iloc[0]:g} at {too_low.index[0]} "
            f"({len(too_low)} in all). Leave a missing one empty."
        )


@dataclass(frozen=True, slots=True)
class Extract:
    """What a filter was extracted into, and how much water went through it.

    Attributes
    ----------
    volume_ml : Series, shape (n,), or float
        Volume of the extract. [mL]
    volume_filtered_ml : Series, shape (n,), or float
        Total volume that went through the filter. [mL]
    path_length_cm : Series, shape (n,), or float
        Path of the light through the cell. [cm] Nothing to fluorescences.

    Raises
    ------
    ValueError
        If one of them is zero or negative.

    Examples
    --------
    >>> Extract(10.0, 500.0).in_the_lake(pd.Series([1.0])).tolist()
    [20.0]
    """

    volume_ml: Number
    volume_filtered_ml: Number
    path_length_cm: Number = 1.0

    def __post_init__(self) -> None:
        require_above(self.volume_ml, 0, "volume of extract", "mL")
        require_above(self.volume_filtered_ml, 0, "volume filtered", "mL")
        require_above(self.path_length_cm, 0, "path", "cm")

    def in_the_lake(self, extract_mg_per_l: pd.Series) -> pd.Series:
        """Return a concentration in the lake from that in the extract.

        Parameters
        ----------
        extract_mg_per_l : Series, shape (n,)
            [mg/L]

        Returns
        -------
        Series, shape (n,), same index
            [µg/L]
        """
        lake: pd.Series = extract_mg_per_l * UG_PER_MG * self.volume_ml / self.volume_filtered_ml
        return lake


def detection_limit_at_volume(limit_ug_per_l: Number, stated_for: Extract, wanted_for: Extract) -> Number:
    """Return a detection limit for another extract: it rises as less water is filtered.

    What the instrument can tell from nothing is an absorbance or a fluorescence; in the lake that is a
    concentration in proportion to the volume of extract, over the volume filtered and the path.

    Parameters
    ----------
    limit_ug_per_l : Series, shape (n,), or float
        Limit for the extract that it is stated for. [µg/L]
    stated_for, wanted_for : Extract
        Volumes and paths.

    Returns
    -------
    Series, shape (n,), or float
        [µg/L]

    References
    ----------
    .. [1] A river authority's printed procedure after US EPA Method 446.0 and Standard Methods 10200 H,
       2004: about 3 µg/L for 200 mL filtered and 20 mL of extract, in proportion for other volumes.

    Examples
    --------
    >>> round(detection_limit_at_volume(3.0, Extract(20, 200), Extract(20, 1000)), 3)
    0.6
    """
    extracts = wanted_for.volume_ml / stated_for.volume_ml
    volumes = stated_for.volume_filtered_ml / wanted_for.volume_filtered_ml
    paths = stated_for.path_length_cm / wanted_for.path_length_cm
    limit: Number = limit_ug_per_l * extracts * volumes * paths
    return limit
