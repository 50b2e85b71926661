"""The same work on many things, shared out over the cores of the machine.

What comes out is the same as if one had done it all: results stand in the order of the
things, and where work cannot be shared out it is done here.
"""

import gc
import os
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from typing import Final, TypeVar

MOST: Final = 4
"""So many processes at once; each needs its memory."""

_T = TypeVar("_T")
_given: list[Callable[[Sequence[int]], Sequence[object]]] = []
"""What a process that has just been forked finds to do."""


def shared_out(work: Callable[[Sequence[int]], list[_T]], count: int, few: int) -> list[_T]:
    """Return the results of some work on the things from 0 to `count` - 1, in order.

    Args:
        work: Does its work on the things with the numbers given; its results are pickled.
        count: How many things there are.
        few: With fewer things than this, sharing out costs more than it saves.
    """
    processes = min(_cores(), MOST)
    if count < few or processes < 2 or sys.platform != "linux":
        return work(range(count))
    parts = [range(n, count, processes) for n in range(processes)]
    tidied = gc.isenabled()
    _given.append(work)
    gc.disable()  # what is made here is kept: looking through it for waste is in vain
    try:
        with ProcessPoolExecutor(processes - 1, mp_context=get_context("fork")) as pool:
            others = pool.map(_do, parts[1:])  # they begin at once
            done: list[Sequence[object]] = [work(parts[0]), *others]
    except (BrokenProcessPool, OSError):  # no room for more processes: do it here
        return work(range(count))
    finally:
        _given.pop()
        if tidied:
            gc.enable()
    found: dict[int, object] = {}
    for part, results in zip(parts, done, strict=True):
        found |= dict(zip(part, results, strict=True))
    return [found[n] for n in range(count)]  # type: ignore[misc]


def _do(part: Sequence[int]) -> Sequence[object]:
    gc.disable()  # the process ends with its work: nothing need be tidied up before
    return _given[-1](part)


def _cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
