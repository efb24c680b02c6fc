"""How a ratio of two pieces of work is taken so that a busy minute does not decide it."""

import time

TRIES = 4


def best(work, turns):
    """Return the quickest of several turns [s]: noise only ever adds."""
    times = []
    for _ in range(turns):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return min(times)


def least(measure, limit):
    """Return the least of a few measurements; no more are taken once one is within the limit."""
    found = []
    for _ in range(TRIES):
        found.append(measure())
        if found[-1] <= limit:
            break
    return min(found)
