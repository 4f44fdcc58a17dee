"""The time that work takes at best: of some rounds the shortest, least disturbed by other work."""

import time
from collections.abc import Callable


def best_time(
    work: Callable[[], object], rounds: int, clock: Callable[[], float] = time.process_time
) -> float:
    """Return the shortest of some rounds: the processor's time, unless another clock is given. [s]"""
    times = []
    for _ in range(rounds):
        start = clock()
        work()
        times.append(clock() - start)
    return min(times)
