r"""Inside corner: two walls that close in the roof between them.

In plan, for one who stands on the roof and looks at the corner:

                 arris
        second   / \   first wall: the corner piece is set on it, and its
        wall    /   \  tabs go on to the second wall
               /     \
              / angle \  corner_angle, the roof within it

The section is the straight run on the first wall; the pieces of each sheet have one pattern
a piece. The next piece, on the second wall, ends square at the arris, and its cant and roof
end on the mitre. `first_wall` tells on which hand the first wall lies.
"""

from detailgen.conditions._condition import Condition, Site
from detailgen.conditions._corner_parameters import CornerOfWall
from detailgen.conditions._corner_section import (
    build_corner,
    corner_impossible,
    corner_taken,
)
from detailgen.section import LayeredSection


class InsideCorner(CornerOfWall, frozen=True):
    """Parameters of an inside corner."""


def build(p: InsideCorner, site: Site) -> LayeredSection:
    """Build the wall beside an inside corner, with the pieces that go round it."""
    return build_corner("inside", p, site)


CONDITION = Condition(
    kind="inside-corner",
    title="Inside corner of a wall base flashing",
    about="Turn-up in a corner that walls close in, with the pattern of every piece",
    parameters=InsideCorner,
    build=build,
    impossible=corner_impossible,
    taken=corner_taken,
    families=frozenset({"wall"}),
)
