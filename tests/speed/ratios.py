"""How a ratio of two pieces of work is taken so that a busy minute does not decide it."""

import gc
import time

TRIES = 4


def best(work, turns):
    """Return the quickest of several turns [s]: noise only ever adds.

    Of the processor's time: on a busy machine long work is interrupted and short work is not, which would spoil a ratio.
    Garbage is collected before, as timeit has it: while thousands of shapes are made, Python now and then goes through all
    that the process holds, which is more the more tests ran before.
    """
    times = []
    gc.collect()
    gc.disable()
    try:
        for _ in range(turns):
            begin = time.process_time()
            work()
            times.append(time.process_time() - begin)
    finally:
        gc.enable()
    return min(times)


def least(measure, limit):
    """Return the least of a few measurements; no more are taken once one is within the limit."""
    found = []
    for _ in range(TRIES):
        found.append(measure())
        if found[-1] <= limit:
            break
    return min(found)
