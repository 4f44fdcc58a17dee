"""Chlorophyll a and pheophytin a from what a laboratory reads: absorbances or fluorescences of an extract.

Results of the procedures below are different quantities, and none of them is turned into another.
"""

import pandas as pd

from explorer.analysis.extract import UG_PER_MG, Extract, Number, require_above

__all__ = [
    "chlorophyll_from_absorbances",
    "chlorophyll_from_fluorescences",
    "chlorophyll_uncorrected",
]

# Lorenzen 1967, for 90 % acetone, as in Standard Methods 10200 H and US EPA Method 446.0.
LORENZEN_FACTOR = 26.7  # [mg/L of extract per absorbance and cm]
LORENZEN_ACID_RATIO = 1.7  # [1] of pure chlorophyll a

# Jeffrey & Humphrey 1975, for 90 % acetone. [mg/L of extract per absorbance and cm]
JEFFREY_HUMPHREY_664, JEFFREY_HUMPHREY_647, JEFFREY_HUMPHREY_630 = 11.85, -1.54, -0.08


def chlorophyll_from_absorbances(
    absorbance_664_before: pd.Series,
    absorbance_665_after: pd.Series,
    extract: Extract,
    *,
    absorbance_750_before: Number = 0.0,
    absorbance_750_after: Number = 0.0,
) -> pd.DataFrame:
    """Return chlorophyll a corrected for pheophytin, and pheophytin a, from absorbances around acid.

    Parameters
    ----------
    absorbance_664_before, absorbance_665_after : Series, shape (n,)
        At 664 nm before and at 665 nm after acid. [1]
    extract : Extract
        In 90 % acetone.
    absorbance_750_before, absorbance_750_after : Series, shape (n,), or float
        Turbidity at 750 nm, taken off. [1]

    Returns
    -------
    DataFrame, same index
        chlorophyll_a, pheophytin_a [µg/L], a negative one as computed; acid_ratio [1], 1.7 for chlorophyll a
        alone, 1.0 for none (these two from memory). NaN where a reading is.

    References
    ----------
    .. [1] C. J. Lorenzen, "Determination of chlorophyll and pheo-pigments: spectrophotometric equations,"
       Limnol. Oceanogr., vol. 12, pp. 343-346, 1967; Standard Methods 10200 H; US EPA Method 446.0 (1997).

    Examples
    --------
    >>> chlorophyll_from_absorbances(pd.Series([0.178]), pd.Series([0.106]), Extract(10, 500)).round(3)
       chlorophyll_a  pheophytin_a  acid_ratio
    0         38.448         1.175       1.679
    """
    before = absorbance_664_before - absorbance_750_before
    after = absorbance_665_after - absorbance_750_after
    per_cm = LORENZEN_FACTOR / extract.path_length_cm
    return pd.DataFrame(
        {
            "chlorophyll_a": extract.in_the_lake(per_cm * (before - after)),
            "pheophytin_a": extract.in_the_lake(per_cm * (LORENZEN_ACID_RATIO * after - before)),
            "acid_ratio": before / after.where(after != 0),
        }
    )


def chlorophyll_uncorrected(
    absorbance_664: pd.Series,
    absorbance_647: pd.Series,
    absorbance_630: pd.Series,
    extract: Extract,
    *,
    absorbance_750: Number = 0.0,
) -> pd.Series:
    """Return chlorophyll a by the trichromatic equation: pheophytin is not told from it.

    Parameters
    ----------
    absorbance_664, absorbance_647, absorbance_630 : Series, shape (n,)
        At these wavelengths in nm. [1]
    extract : Extract
        In 90 % acetone.
    absorbance_750 : Series, shape (n,), or float
        Turbidity, taken off all three. [1]

    Returns
    -------
    Series, shape (n,), same index
        Chlorophyll a, uncorrected. [µg/L] NaN where a reading is.

    References
    ----------
    .. [1] S. W. Jeffrey and G. F. Humphrey, "New spectrophotometric equations for determining chlorophylls a,
       b, c1 and c2," Biochem. Physiol. Pflanzen, vol. 167, pp. 191-194, 1975; US EPA Method 446.0 (1997).

    Examples
    --------
    >>> chlorophyll_uncorrected(pd.Series([0.19]), pd.Series([0.07]), pd.Series([0.04]),
    ...                         Extract(10, 500)).round(2).tolist()
    [42.81]
    """
    weighted = (
        JEFFREY_HUMPHREY_664 * (absorbance_664 - absorbance_750)
        + JEFFREY_HUMPHREY_647 * (absorbance_647 - absorbance_750)
        + JEFFREY_HUMPHREY_630 * (absorbance_630 - absorbance_750)
    )
    return extract.in_the_lake(weighted / extract.path_length_cm)


def chlorophyll_from_fluorescences(
    fluorescence_before: pd.Series,
    fluorescence_after: pd.Series,
    extract: Extract,
    *,
    acid_ratio: Number,
    response_ug_per_l: Number,
) -> pd.DataFrame:
    """Return chlorophyll a corrected for pheophytin, and pheophytin a, from fluorescences around acid.

    Parameters
    ----------
    fluorescence_before, fluorescence_after : Series, shape (n,)
        Readings of the fluorometer before and after acid, less the blank. [instrument units]
    extract : Extract
        In 90 % acetone.
    acid_ratio : Series, shape (n,), or float
        Ratio before to after acid of pure chlorophyll a on this instrument. [1]
    response_ug_per_l : Series, shape (n,), or float
        Chlorophyll a in the extract for one unit. [µg/L]

    Returns
    -------
    DataFrame, same index
        chlorophyll_a, pheophytin_a. [µg/L] A negative one as computed, NaN where a reading is.

    Raises
    ------
    ValueError
        If an acid ratio is not above 1.

    References
    ----------
    .. [1] E. J. Arar and G. B. Collins, US EPA Method 445.0, revision 1.2, 1997.

    Examples
    --------
    >>> chlorophyll_from_fluorescences(pd.Series([120.0]), pd.Series([70.0]), Extract(10, 500),
    ...                                acid_ratio=2.0, response_ug_per_l=0.05).round(5).to_numpy().tolist()
    [[0.1, 0.04]]
    """
    require_above(acid_ratio, 1, "ratio before to after acid", "(it is a property of the instrument)")
    scale = response_ug_per_l / UG_PER_MG * (acid_ratio / (acid_ratio - 1))
    chlorophyll = scale * (fluorescence_before - fluorescence_after)
    pheophytin = scale * (acid_ratio * fluorescence_after - fluorescence_before)
    return pd.DataFrame(
        {"chlorophyll_a": extract.in_the_lake(chlorophyll), "pheophytin_a": extract.in_the_lake(pheophytin)}
    )
