"""How the experts of 1982 would have named a value: the open boundaries of the OECD study."""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from explorer.analysis.censored import Floats
from explorer.model.errors import unknown_name

__all__ = ["OPEN_CLASSES", "naming_shares"]

OPEN_CLASSES = ("oligotrophic", "mesotrophic", "eutrophic")  # the table has no row for a hypertrophic lake

# R. A. Vollenweider and J. Kerekes, Eutrophication of Waters: Monitoring, Assessment and Control, OECD,
# Paris, 1982, table of the preliminary classification: of each class the mean less two standard deviations on
# a logarithmic scale, the mean, and the mean plus two. All numbers are from memory. Nitrogen is left out: at
# low values its rows contradict the order of the classes.
_TABLES: Mapping[str, tuple[tuple[float, float, float], ...]] = {
    "total_phosphorus": ((2.9, 8.0, 22.1), (7.9, 26.7, 90.8), (16.8, 84.4, 424.0)),
    "chlorophyll_a": ((0.4, 1.7, 7.1), (1.9, 4.7, 11.6), (3.1, 14.3, 66.0)),
    "secchi_depth": ((3.6, 9.9, 27.5), (1.4, 4.2, 13.0), (0.9, 2.45, 6.7)),
}
DEVIATIONS_OF_RANGE = 4.0  # from mean less two to mean plus two standard deviations


def naming_shares(values: npt.ArrayLike, quantity: str) -> Floats:
    """Return the share of each class among the names that the study's experts gave to lakes of such a value.

    A value that lies more than one standard deviation outside the mean of the first or the last class is
    taken as lying there: further out, curves of different width would put the classes in a wrong order.

    Parameters
    ----------
    values : array_like, shape (n,)
        Mean over the year of total phosphorus [µg/L], chlorophyll a [µg/L] or Secchi depth [m].
    quantity : {"total_phosphorus", "chlorophyll_a", "secchi_depth"}
        Which of them.

    Returns
    -------
    ndarray, shape (n, 3)
        Shares of `OPEN_CLASSES`, each row with the sum 1. [1] NaN where the value is NaN. This is a question
        of naming: it does not say how sure a measurement is.

    Raises
    ------
    UnknownNameError
        If the study has no table for the quantity.

    References
    ----------
    .. [1] R. A. Vollenweider and J. Kerekes, Eutrophication of Waters: Monitoring, Assessment and Control,
       OECD, Paris, 1982 (numbers from memory).

    Examples
    --------
    >>> naming_shares([8.0, 26.7], "total_phosphorus").round(2).tolist()
    [[0.89, 0.11, 0.01], [0.05, 0.74, 0.2]]
    """
    if quantity not in _TABLES:
        raise unknown_name("quantity", quantity, _TABLES, "in the table of open boundaries")
    low, mean, high = np.log(np.array(_TABLES[quantity])).T
    deviation = (high - low) / DEVIATIONS_OF_RANGE
    with np.errstate(divide="ignore"):
        place = np.log(np.asarray(values, dtype=np.float64))
    order = np.sign(mean[-1] - mean[0])  # rising from the first class to the last, or falling
    ends = np.sort([mean[0] - order * deviation[0], mean[-1] + order * deviation[-1]])
    place = np.clip(place, ends[0], ends[1])
    height = np.exp(-(((place[:, None] - mean) / deviation) ** 2) / 2.0) / deviation
    shares: Floats = height / height.sum(axis=1, keepdims=True)
    return shares
