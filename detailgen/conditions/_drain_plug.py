"""The plug that keeps debris out of a drain's outlet while the roof is built."""

from collections.abc import Sequence

from detailgen.conditions._condition import Site
from detailgen.conditions._drain_parameters import DrainSizes
from detailgen.geometry.regions import polygon
from detailgen.section import Body, Role, Stage
from detailgen.units import inches

SEATED = inches(2)
"""How far a plug sits in the outlet (common practice, no source)."""
GRIP = inches(1.25)
"""How far its grip stands up in the bowl, below the ends of the sheets (common practice,
no source)."""
_STEM = inches(0.25)
"""Half the width of the stem of the grip."""
_BAR = inches(0.75)
"""Half the length of the bar on the stem, and less in a small outlet."""
_ROUND = inches(0.375)
"""Thickness of that bar."""


def plug_of(
    s: DrainSizes, site: Site, rim_level: float, stages: Sequence[Stage]
) -> tuple[Body, ...]:
    """Return the plug, which stands from the first stage until the last one takes it out.

    Args:
        s: Sizes of the drain.
        site: For the catalogue.
        rim_level: Level of the bowl's flange, mm.
        stages: The order of building.
    """
    low, bar = rim_level - s.depth, min(_BAR, s.outlet)
    right = [
        (s.outlet, low - SEATED),
        (s.outlet, low),
        (_STEM, low),
        (_STEM, low + GRIP - _ROUND),
        (bar, low + GRIP - _ROUND),
        (bar, low + GRIP),
    ]
    left = [(-x, y) for x, y in reversed(right)]
    return (
        Body(
            "plug",
            Role.PLUG,
            site.catalog.materials["outlet-plug"].id,
            polygon([*right, *left]),
            stages[0].number,
            "Plug in the outlet",
            sticks=f"wedged in tight, taken out in stage {stages[-1].number}",
            until=stages[-1].number,
        ),
    )
