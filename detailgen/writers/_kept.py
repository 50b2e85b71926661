"""Results kept for the sheets last worked on: every format asks for the same ones."""

from collections import deque
from collections.abc import Callable
from functools import wraps
from typing import Final, TypeVar

from detailgen.scene import Scene

MOST: Final = 4
"""Sheets whose results are kept."""
_ResultT = TypeVar("_ResultT")


def kept(work: Callable[[Scene], _ResultT]) -> Callable[[Scene], _ResultT]:
    """Do a piece of work once for a scene; an equal scene is another one.

    Comparing scenes by value would cost as much as the work.
    """
    done: deque[tuple[Scene, _ResultT]] = deque(maxlen=MOST)

    @wraps(work)
    def once(scene: Scene) -> _ResultT:
        for known, result in done:
            if known is scene:
                return result
        result = work(scene)
        done.append((scene, result))
        return result

    return once
