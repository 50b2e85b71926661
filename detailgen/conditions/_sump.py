"""Boards tapered down to a drain or a scupper: whole layers below, one tapered board."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import fsum

from detailgen.conditions._condition import Site
from detailgen.conditions._ground import Plane
from detailgen.geometry import Point
from detailgen.geometry.regions import box, cut, polygon
from detailgen.section import Body, Role
from detailgen.units import inches

LEAVE = inches(1)
"""Insulation that stays at the lowest point of a sump (common practice, no source)."""
_THINNEST = inches(0.25)
"""Least tapered board on a whole layer (common practice, no source)."""
_FAR = 1e4


@dataclass(frozen=True, slots=True)
class Sump:
    """Where boards sink; distances count from x = 0 outward to the left, mm."""

    edge: float
    """From where the boards sink."""
    level: float
    """Level of their surface there."""
    slope: float
    """Fall per run toward x = 0."""
    board_end: float
    cover_end: float
    """Where the cover board ends, if there is one."""
    name: str
    """What the tapered board is called."""

    def at(self, x: float, above: float = 0.0) -> Point:
        """Return the point of the surface so far out, or above it."""
        return (-x, self.level - self.slope * (self.edge - x) + above)


def room_for_sump(site: Site) -> float:
    """Return how deep a sump the insulation has room for, mm."""
    return max(fsum(site.roof.insulation) - LEAVE, 0.0)


def sunken(site: Site, plane: Plane, boards: Sequence[Body], sump: Sump) -> list[Body]:
    """Return the boards with a sump cut into them and filled with what is tapered.

    Layers that lie whole below the sump go on under it; the others end at its edge.

    Args:
        site: Roof, catalogue, rules.
        plane: Of the roof beside the sump.
        boards: Insulation and cover board beside it, lowest first.
        sump: Where they sink.
    """
    cover = next((b for b in boards if b.role is Role.COVER_BOARD), None)
    thick = cover.thickness if cover else 0.0
    inside = box(-sump.edge, -_FAR, _FAR, _FAR)
    end = sump.at(sump.board_end, -thick)
    lowest = sump.at(sump.cover_end, -thick)
    room = lowest[1] - plane.at(lowest[0])[1] - _THINNEST
    out: list[Body] = []
    below = level = -fsum(b.thickness for b in boards)
    for body in boards:
        level += body.thickness
        if body.role is Role.INSULATION and level <= room:
            below = level
            out.append(body)
        else:
            out.append(replace(body, region=cut(body.region, [inside])[0]))
    board = site.catalog.materials["insulation-board"]
    ring = [
        sump.at(sump.edge, -thick),
        end,
        plane.at(end[0], below),
        plane.at(-sump.edge, below),
    ]
    name = f"{board.name}, {sump.name}"
    out.append(Body("sump-board", Role.INSULATION, board.id, polygon(ring), 0, name))
    if cover:
        ring = [
            sump.at(sump.edge),
            sump.at(sump.cover_end),
            lowest,
            sump.at(sump.edge, -thick),
        ]
        out.append(replace(cover, id="sump-cover", region=polygon(ring)))
    return out
