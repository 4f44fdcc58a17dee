"""What goes together at a station: nitrogen with phosphorus, and the three indices of Carlson."""

import numpy as np
import pandas as pd

from explorer.analysis.indices import require_above_zero
from explorer.model.units import NITROGEN, PHOSPHORUS

__all__ = ["carlson_deviations", "nutrient_relation"]

MOLAR_PER_MASS = PHOSPHORUS / NITROGEN  # [mol/mol per g/g]

# S. J. Guildford and R. E. Hecky, Limnol. Oceanogr., vol. 45, pp. 1213-1223, 2000 (from memory).
NITROGEN_SCARCE_BELOW = 20.0  # [mol/mol]
PHOSPHORUS_SCARCE_ABOVE = 50.0  # [mol/mol]

# Where both nutrients stand above the limits of the highest class of G. K. Nürnberg, Lake Reserv. Manage.,
# vol. 12, pp. 432-447, 1996 (from memory), their ratio tells nothing of what is scarce (common practice).
PLENTIFUL_NITROGEN_UG_PER_L = 1200.0
PLENTIFUL_PHOSPHORUS_UG_PER_L = 100.0


def nutrient_relation(
    total_nitrogen_ug_per_l: pd.Series, total_phosphorus_ug_per_l: pd.Series, measured: pd.Series
) -> pd.DataFrame:
    """Return total nitrogen to total phosphorus by number of atoms and by weight, and what goes with it.

    Parameters
    ----------
    total_nitrogen_ug_per_l, total_phosphorus_ug_per_l : Series, shape (n,)
        Of the same sample or season. [µg/L] NaN where not known.
    measured : Series of bool, shape (n,)
        Whether both were measured: a ratio with "<" or ">" in it is not given.

    Returns
    -------
    DataFrame, same index
        by_mole [mol/mol] and by_mass [g/g], NaN where a value is not known or not measured; code: sentence in
        the group "relation" ("nitrogen_few" below 20 by mole, "nitrogen_many" above 50, else
        "nitrogen_middle"), empty without a ratio and where both nutrients are plentiful.

    Raises
    ------
    ValueError
        If a concentration is zero or negative.

    References
    ----------
    .. [1] S. J. Guildford and R. E. Hecky, "Total nitrogen, total phosphorus, and nutrient limitation in
       lakes and oceans: is there a common relationship?" Limnol. Oceanogr., vol. 45, pp. 1213-1223, 2000
       (limits from memory).

    Examples
    --------
    >>> found = nutrient_relation(pd.Series([700.0]), pd.Series([20.0]), pd.Series([True]))
    >>> found.round(1).values.tolist()
    [[77.4, 35.0, 'nitrogen_many']]
    """
    require_above_zero(total_nitrogen_ug_per_l, "Total nitrogen", "µg/L")
    require_above_zero(total_phosphorus_ug_per_l, "Total phosphorus", "µg/L")
    by_mass = (total_nitrogen_ug_per_l / total_phosphorus_ug_per_l).where(measured)
    by_mole = by_mass * MOLAR_PER_MASS
    plentiful = (total_nitrogen_ug_per_l >= PLENTIFUL_NITROGEN_UG_PER_L) & (
        total_phosphorus_ug_per_l >= PLENTIFUL_PHOSPHORUS_UG_PER_L
    )
    code = np.select(
        [by_mole.isna() | plentiful, by_mole < NITROGEN_SCARCE_BELOW, by_mole > PHOSPHORUS_SCARCE_ABOVE],
        ["", "nitrogen_few", "nitrogen_many"],
        "nitrogen_middle",
    )
    codes = pd.Series(code.astype(object), index=by_mole.index, dtype="str")
    return pd.DataFrame({"by_mole": by_mole, "by_mass": by_mass, "code": codes})


def carlson_deviations(
    tsi_chlorophyll_a: pd.Series, tsi_total_phosphorus: pd.Series, tsi_secchi: pd.Series, step: float
) -> pd.DataFrame:
    """Return how far Carlson's indices stand apart, and which of his five relations fits.

    Parameters
    ----------
    tsi_chlorophyll_a, tsi_total_phosphorus, tsi_secchi : Series, shape (n,)
        Trophic state indices of the same season. [1] NaN where not known.
    step : float
        Difference below which two indices are taken as equal, as `Programme.deviation_step`. [1]

    Returns
    -------
    DataFrame, same index
        minus_phosphorus, minus_secchi: index of chlorophyll less that of phosphorus and of Secchi depth; [1]
        NaN where one is not known. code: sentence in the group "relation", empty where none of the five
        relations holds or an index is not known:
        all three equal: "algae_cloud_the_water"; chlorophyll above Secchi: "large_particles"; phosphorus and
        Secchi equal, both above chlorophyll: "colour_or_silt"; Secchi and chlorophyll equal, both above
        phosphorus: "phosphorus_scarce"; both below phosphorus: "phosphorus_left_over".

    References
    ----------
    .. [1] R. E. Carlson, "Expanding the trophic state concept to identify non-nutrient limited lakes and
       reservoirs," Proc. Enhancing the States' Lake Management Programs, Chicago, pp. 59-71, 1991.
    .. [2] R. E. Carlson and J. Simpson, A Coordinator's Guide to Volunteer Lake Monitoring Methods, North
       American Lake Management Society, 1996.

    Examples
    --------
    >>> found = carlson_deviations(pd.Series([45.0]), pd.Series([58.0]), pd.Series([46.0]), step=5.0)
    >>> found.values.tolist()
    [[-13.0, -1.0, 'phosphorus_left_over']]
    """
    minus_phosphorus = tsi_chlorophyll_a - tsi_total_phosphorus
    minus_secchi = tsi_chlorophyll_a - tsi_secchi
    secchi_equal = minus_secchi.abs() < step
    phosphorus_below = (minus_phosphorus >= step) & (tsi_secchi - tsi_total_phosphorus >= step)
    phosphorus_above = (minus_phosphorus <= -step) & (tsi_secchi - tsi_total_phosphorus <= -step)
    others_equal = (tsi_total_phosphorus - tsi_secchi).abs() < step
    code = np.select(
        [
            minus_phosphorus.isna() | minus_secchi.isna(),
            minus_secchi >= step,
            secchi_equal & (minus_phosphorus.abs() < step) & others_equal,
            others_equal & (minus_phosphorus <= -step) & (minus_secchi <= -step),
            secchi_equal & phosphorus_below,
            secchi_equal & phosphorus_above,
        ],
        ["", "large_particles", "algae_cloud_the_water", "colour_or_silt", "phosphorus_scarce",
         "phosphorus_left_over"],
        "",
    )  # fmt: skip
    codes = pd.Series(code.astype(object), index=minus_secchi.index, dtype="str")
    return pd.DataFrame({"minus_phosphorus": minus_phosphorus, "minus_secchi": minus_secchi, "code": codes})
