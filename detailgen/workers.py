"""The same work on many things, shared out over the cores of the machine.

What comes out is the same as if one had done it all: results stand in the order of the
things, and where work cannot be shared out it is done here.
"""

import gc
import os
import signal
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from threading import Thread
from typing import Final, TypeVar

MOST: Final = 4
"""So many processes at once; each needs its memory."""

_ROUNDS: Final = 8
"""So many times each process takes some more, where work is handed out in small parts."""

_T = TypeVar("_T")
_given: list[Callable[[Sequence[int]], Sequence[object]]] = []
"""What a process that has just been forked finds to do."""


def shared_out(
    work: Callable[[Sequence[int]], list[_T]],
    count: int,
    few: int,
    done: Callable[[int], None] | None = None,
) -> list[_T]:
    """Return the results of some work on the things from 0 to `count` - 1, in order.

    Args:
        work: Does its work on the things with the numbers given; its results are pickled.
        count: How many things there are.
        few: With fewer things than this, sharing out costs more than it saves.
        done: Told the number of each thing that is done, in any order. Where this is
            given, work is handed out in small parts, which suits long and uneven work.
    """
    processes = min(_cores(), MOST, count)
    if count < few or processes < 2 or sys.platform != "linux":
        return _here(work, count, done)
    _given.append(work)
    try:
        if done:
            return _in_small_parts(count, processes, done)  # type: ignore[return-value]
        return _in_equal_parts(work, count, processes)
    except (BrokenProcessPool, OSError):  # no room for more processes: do it here
        return _here(work, count, done)
    finally:
        _given.pop()


def one_by_one(
    work: Callable[[int], _T], count: int, few: int, done: Callable[[int], None]
) -> list[_T]:
    """Return the results of long work on the things from 0 to `count` - 1, in order.

    As `shared_out` with `done`, for work on one thing at a time.
    """
    return shared_out(lambda numbers: [work(n) for n in numbers], count, few, done)


def _here(
    work: Callable[[Sequence[int]], list[_T]],
    count: int,
    done: Callable[[int], None] | None,
) -> list[_T]:
    if not done:
        return work(range(count))
    found: list[_T] = []
    for number in range(count):
        found += work([number])
        done(number)
    return found


def _in_equal_parts(
    work: Callable[[Sequence[int]], list[_T]], count: int, processes: int
) -> list[_T]:
    """Do a part here and the others elsewhere, for work that is short and even."""
    parts = [range(n, count, processes) for n in range(processes)]
    tidied = gc.isenabled()
    gc.disable()  # what is made here is kept: looking through it for waste is in vain
    try:
        with _pool(processes - 1, gc.disable) as pool:
            others = pool.map(_do, parts[1:])  # they begin at once
            results: list[Sequence[object]] = [work(parts[0]), *others]
    finally:
        if tidied:
            gc.enable()
    found: dict[int, object] = {}
    for part, some in zip(parts, results, strict=True):
        found |= dict(zip(part, some, strict=True))
    return [found[n] for n in range(count)]  # type: ignore[misc]


def _in_small_parts(
    count: int, processes: int, done: Callable[[int], None]
) -> list[object]:
    """Hand out a few things at a time to whoever is free; only wait here."""
    size = max(1, count // (processes * _ROUNDS))
    found: dict[int, object] = {}
    pool = _pool(processes, gc.freeze)
    try:
        parts = (range(n, min(n + size, count)) for n in range(0, count, size))
        waiting = {pool.submit(_do_tidily, part): part for part in parts}
        for future in as_completed(waiting):
            part = waiting.pop(future)
            found |= dict(zip(part, future.result(), strict=True))
            for number in part:
                done(number)
    finally:
        # When somebody has stopped the program, what nobody has begun is left undone.
        pool.shutdown(cancel_futures=True)
    return [found[n] for n in range(count)]


def _pool(processes: int, first: Callable[[], None]) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(
        processes, mp_context=get_context("fork"), initializer=_begin, initargs=(first,)
    )


def _begin(first: Callable[[], None]) -> None:
    """Settle into a new process: it ends when it is told to by the one that began it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    first()


def _end_with(parent: int) -> None:
    """End this process soon after the one that began it, which may have been killed."""
    while os.getppid() == parent:
        time.sleep(0.5)
    os._exit(1)


def _do(part: Sequence[int]) -> Sequence[object]:
    return _given[-1](part)


def _do_tidily(part: Sequence[int]) -> Sequence[object]:
    found = _do(part)
    gc.collect()  # what one part has left behind is not there while the next is done
    return found


def _cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
