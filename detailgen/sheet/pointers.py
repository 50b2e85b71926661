"""Words beside a view with leaders to what they name, in a column at its left."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from detailgen.geometry import Point
from detailgen.lettering import text_width
from detailgen.scene import Align, Item, Leader, Terminator, Text
from detailgen.sheet.flow import TEXT
from detailgen.sheet.plane import Box, cross

_PITCH: Final = 4.6
"""From word to word, mm on paper."""
_OFF: Final = 7.0
"""From the view to where leaders start."""
_AFTER: Final = 1.2
"""From a word to its leader."""


@dataclass(frozen=True, slots=True)
class Word:
    """A word and the place that it names, paper mm about the model's origin."""

    text: str
    at: Point


def pointed(words: Sequence[Word], body: Box, factor: float) -> tuple[list[Item], Box]:
    """Return words with leaders that do not cross, in model mm, and the box that they take.

    Args:
        words: What is named.
        body: The view without annotations, paper mm about the model's origin.
        factor: Model mm per paper mm.
    """
    if not words:
        return [], body
    # level dimensions take what lies below the view
    tall = _PITCH * (len(words) - 1)
    low = max((body[1] + body[3] - tall) / 2, body[1] + TEXT)
    x, high = body[0] - _OFF, low + tall
    ports = [(x, high - n * _PITCH) for n in range(len(words))]
    order = _uncrossed(sorted(words, key=lambda w: (-w.at[1], w.at[0])), ports)
    items: list[Item] = []
    for word, port in zip(order, ports, strict=True):
        items.append(
            Leader(
                (_model(word.at, factor), _model(port, factor)),
                "leaders",
                Terminator.DOT,
                word.text,
            )
        )
        base = (port[0] - _AFTER, port[1] - TEXT / 2)
        items.append(Text(_model(base, factor), word.text, TEXT, "text", Align.RIGHT))
    wide = max(text_width(w.text, TEXT) for w in words)
    return items, (
        x - _AFTER - wide - 1.0,
        ports[-1][1] - _PITCH / 2,
        body[0],
        high + _PITCH / 2,
    )


def _uncrossed(words: list[Word], ports: Sequence[Point]) -> list[Word]:
    """Return the words in an order in which no leader crosses another.

    Two that cross change places, which makes both shorter together: it comes to an end.
    """
    order = list(words)
    changed = True
    while changed:
        changed = False
        for i, j in combinations(range(len(order)), 2):
            if order[i].at != order[j].at and cross(
                (order[i].at, ports[i]), (order[j].at, ports[j])
            ):
                order[i], order[j] = order[j], order[i]
                changed = True
    return order


def _model(point: Point, factor: float) -> Point:
    return point[0] * factor, point[1] * factor
