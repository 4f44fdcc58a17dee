"""How a white disk fades with depth: contrast, the depth where it is lost, and the water behind both."""

import numpy as np
import numpy.typing as npt

__all__ = [
    "CONTRAST_THRESHOLD",
    "INHERENT_CONTRAST",
    "OVERCAST_PATH_FACTOR",
    "TYLER_COUPLING",
    "apparent_contrast",
    "attenuation_from_secchi",
    "coupling_constant",
    "secchi_depth_from_attenuation",
    "sun_path_factor",
]

Floats = npt.NDArray[np.float64]

DISK_REFLECTANCE, WATER_REFLECTANCE = 0.82, 0.02  # [1] Preisendorfer 1986, from memory
INHERENT_CONTRAST = (DISK_REFLECTANCE - WATER_REFLECTANCE) / WATER_REFLECTANCE  # [1] 40, as in Tyler 1968
TYLER_COUPLING = 8.69  # [1] Tyler 1968, from memory; Preisendorfer 1986 finds 8 to 9.6, from memory
CONTRAST_THRESHOLD = INHERENT_CONTRAST * float(np.exp(-TYLER_COUPLING))  # [1] 0.0067, what both imply
POOLE_ATKINS_CONSTANT = 1.7  # [1] diffuse attenuation times Secchi depth; others found 1.4 and more
WATER_REFRACTION = 1.33  # [1] refractive index of fresh water in visible light (handbook value, from memory)
OVERCAST_PATH_FACTOR = 1.197  # [1] path of light under an even sky; Gordon 1989, from memory


def apparent_contrast(
    depth_m: npt.ArrayLike,
    beam_attenuation_per_m: npt.ArrayLike,
    diffuse_attenuation_per_m: npt.ArrayLike,
    inherent_contrast: npt.ArrayLike = INHERENT_CONTRAST,
) -> Floats:
    """Return the contrast of a disk seen from straight above, just under the surface.

    The light from the disk fades along the line of sight by the beam attenuation; the light that falls on it
    fades by the diffuse attenuation. Contrast is (disk less water) / water.

    Parameters
    ----------
    depth_m : array_like, shape (...)
        Depth of the disk. [m]
    beam_attenuation_per_m, diffuse_attenuation_per_m : array_like, shape (...)
        Of the water between. [1/m]
    inherent_contrast : array_like, shape (...)
        Contrast at the disk itself. [1]

    Returns
    -------
    ndarray, shape (...)
        Contrast. [1] NaN where an input is NaN.

    References
    ----------
    .. [1] J. E. Tyler, "The Secchi disc," Limnol. Oceanogr., vol. 13, no. 1, pp. 1-6, 1968.
    .. [2] R. W. Preisendorfer, "Secchi disk science: visual optics of natural waters," Limnol. Oceanogr.,
       vol. 31, no. 5, pp. 909-926, 1986.

    Examples
    --------
    >>> apparent_contrast([0.0, 1.0], 2.0, 0.5).round(3).tolist()
    [40.0, 3.283]
    """
    lost = np.asarray(beam_attenuation_per_m, dtype=np.float64) + np.asarray(diffuse_attenuation_per_m)
    contrast: Floats = np.asarray(inherent_contrast) * np.exp(-lost * np.asarray(depth_m, dtype=np.float64))
    return contrast


def coupling_constant(
    inherent_contrast: npt.ArrayLike = INHERENT_CONTRAST,
    threshold: npt.ArrayLike = CONTRAST_THRESHOLD,
    surface_share: npt.ArrayLike = 1.0,
) -> Floats:
    """Return what links clarity with attenuation: the logarithm of contrast at the disk over that just seen.

    Parameters
    ----------
    inherent_contrast : array_like, shape (...)
        Contrast at the disk itself. [1]
    threshold : array_like, shape (...)
        Least contrast that is seen. [1]
    surface_share : array_like, shape (...)
        Share of the contrast that waves and glare on the surface leave over. [1]

    Returns
    -------
    ndarray, shape (...)
        Beam and diffuse attenuation together times Secchi depth. [1]

    References
    ----------
    .. [1] R. W. Preisendorfer, "Secchi disk science: visual optics of natural waters," Limnol. Oceanogr.,
       vol. 31, no. 5, pp. 909-926, 1986.

    Examples
    --------
    >>> round(float(coupling_constant()), 2)
    8.69
    """
    constant: Floats = np.log(np.asarray(inherent_contrast) * surface_share / np.asarray(threshold))
    return constant


def secchi_depth_from_attenuation(
    beam_attenuation_per_m: npt.ArrayLike,
    diffuse_attenuation_per_m: npt.ArrayLike,
    coupling: npt.ArrayLike = TYLER_COUPLING,
) -> Floats:
    """Return the depth at which a disk is just lost.

    Parameters
    ----------
    beam_attenuation_per_m, diffuse_attenuation_per_m : array_like, shape (...)
        Of the water. [1/m]
    coupling : array_like, shape (...)
        From `coupling_constant`. [1]

    Returns
    -------
    ndarray, shape (...)
        Secchi depth. [m]

    References
    ----------
    .. [1] J. E. Tyler, "The Secchi disc," Limnol. Oceanogr., vol. 13, no. 1, pp. 1-6, 1968.

    Examples
    --------
    >>> secchi_depth_from_attenuation([2.0], [0.5]).round(3).tolist()
    [3.476]
    """
    lost = np.asarray(beam_attenuation_per_m, dtype=np.float64) + np.asarray(diffuse_attenuation_per_m)
    depth: Floats = np.asarray(coupling) / lost
    return depth


def attenuation_from_secchi(secchi_depth_m: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Return the attenuation of a water with a given Secchi depth: of a beam, and of daylight.

    Parameters
    ----------
    secchi_depth_m : array_like, shape (...)
        Secchi depth. [m]

    Returns
    -------
    beam, diffuse : ndarray, shape (...)
        [1/m] Diffuse by Poole and Atkins; beam is what Tyler's constant leaves for it.

    References
    ----------
    .. [1] H. H. Poole and W. R. G. Atkins, "Photo-electric measurements of submarine illumination throughout
       the year," J. Mar. Biol. Assoc. UK, vol. 16, pp. 297-324, 1929.
    .. [2] J. E. Tyler, "The Secchi disc," Limnol. Oceanogr., vol. 13, no. 1, pp. 1-6, 1968.

    Examples
    --------
    >>> beam, diffuse = attenuation_from_secchi([2.0])
    >>> beam.round(3).tolist(), diffuse.tolist()
    ([3.495], [0.85])
    """
    depth = np.asarray(secchi_depth_m, dtype=np.float64)
    diffuse = POOLE_ATKINS_CONSTANT / depth
    return TYLER_COUPLING / depth - diffuse, diffuse


def sun_path_factor(sun_height_deg: npt.ArrayLike) -> Floats:
    """Return how much longer sunlight's way down is than the depth, refracted at a smooth surface.

    Parameters
    ----------
    sun_height_deg : array_like, shape (...)
        Height of the sun over the horizon. [deg]

    Returns
    -------
    ndarray, shape (...)
        Factor of the diffuse attenuation of light from straight above. [1]

    References
    ----------
    .. [1] J. T. O. Kirk, Light and Photosynthesis in Aquatic Ecosystems, chapter 6 (from
       memory); Snell's law.

    Examples
    --------
    >>> sun_path_factor([90.0, 30.0]).round(3).tolist()
    [1.0, 1.318]
    """
    sine = np.cos(np.radians(np.asarray(sun_height_deg, dtype=np.float64))) / WATER_REFRACTION
    return 1.0 / np.sqrt(1.0 - sine**2)
