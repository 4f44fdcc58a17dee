"""Chance that comes out the same everywhere: one stream of numbers per subject, named by a text.

Only PCG64's uniform numbers are used, which numpy keeps as they are, and the normal quantile of Python's own
library; a new water or quantity leaves the chance of all others as it was.
"""

import math
import zlib
from statistics import NormalDist

import numpy as np

SEED = 20060520

_NORMAL = NormalDist()


class Chance:
    """Numbers for one subject, such as one station's visit."""

    def __init__(self, *subject: object) -> None:
        name = ":".join(str(part) for part in subject)
        self._generator = np.random.Generator(np.random.PCG64([SEED, zlib.crc32(name.encode())]))

    def share(self) -> float:
        """Return a number from 0 to 1."""
        return float(self._generator.random())

    def normal(self, spread: float = 1.0) -> float:
        """Return a normal number around 0, within three spreads."""
        middle = min(max(self.share(), 0.00135), 0.99865)
        return spread * _NORMAL.inv_cdf(middle)

    def factor(self, log_spread: float) -> float:
        """Return a lognormal factor around 1."""
        return math.exp(self.normal(log_spread))

    def whole(self, low: int, high: int) -> int:
        """Return a whole number from low to high, both included."""
        return low + min(int(self.share() * (high - low + 1)), high - low)
