"""Mistakes of work that a section can be built with, so that a class has something to find.

The engine that lays sheets makes them when their turn comes: what is laid afterwards
follows, as it would on site.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final


@dataclass(frozen=True, slots=True)
class Mistakes:
    """What is not built as it should be; nothing, as a rule."""

    left_out: frozenset[str] = frozenset()
    """Ids of the bodies that are never laid."""
    from_left: Mapping[str, float] = field(default_factory=dict[str, float])
    """How much later sheets begin, by id: mm along the surface, at the end towards the
    field. What goes on beyond the drawing is not cut."""
    from_right: Mapping[str, float] = field(default_factory=dict[str, float])
    """How much earlier sheets end, by id, mm."""
    after: Mapping[str, str] = field(default_factory=dict[str, str])
    """Sheets that are laid too late, each with the one after which it is laid."""

    def __bool__(self) -> bool:
        """Return whether anything is wrong."""
        return bool(self.left_out or self.from_left or self.from_right or self.after)


NO_MISTAKES: Final = Mistakes()
