"""How a check's sentence names readings: their quantity, their value with its unit."""

from collections.abc import Callable

import pandas as pd

from explorer.intake.delivery import Delivery
from explorer.intake.findings import number_texts
from explorer.intake.lookups import texts_by

__all__ = ["quantity_names", "values_shown"]


def quantity_names(delivery: Delivery) -> pd.Series:
    """Return the name of every reading's quantity.

    Parameters
    ----------
    delivery : Delivery
        Its readings and the programme's quantities.
    """
    known = delivery.programme.quantities
    return texts_by(delivery.entries["quantity"], {code: each.name for code, each in known.items()})


def values_shown(delivery: Delivery) -> Callable[[pd.DataFrame], list[str]]:
    """Return what makes values with the unit of the record of readings that were found.

    Parameters
    ----------
    delivery : Delivery
        The programme's quantities.
    """
    units = {code: each.unit for code, each in delivery.programme.quantities.items()}

    def texts(found: pd.DataFrame) -> list[str]:
        pairs = zip(number_texts(found["value"]), found["quantity"], strict=True)
        return [f"{value} {units.get(code, '')}" for value, code in pairs]

    return texts
