r"""Outside corner: two walls that the roof goes round.

In plan, for one who stands on the roof and looks at the corner:

        second  \ angle /  first wall: the corner piece is set on it, and its
        wall     \     /   tabs go on to the second wall
                  \   /
                   \ /    corner_angle, the walls within it
                  arris       roof all round

The section is the straight run on the first wall; the pieces of each sheet have one pattern
a piece. The corner piece opens in a wedge on the cant and one on the roof; the patch closes
both, with a touch of sealant where they start. The next piece, on the second wall, ends
square at the arris. `first_wall` tells on which hand the first wall lies.
"""

from detailgen.conditions._condition import Condition, Site
from detailgen.conditions._corner_parameters import CornerOfWall
from detailgen.conditions._corner_section import (
    build_corner,
    corner_impossible,
    corner_taken,
)
from detailgen.section import LayeredSection


class OutsideCorner(CornerOfWall, frozen=True):
    """Parameters of an outside corner."""


def build(p: OutsideCorner, site: Site) -> LayeredSection:
    """Build the wall beside an outside corner, with the pieces that go round it."""
    return build_corner("outside", p, site)


CONDITION = Condition(
    kind="outside-corner",
    title="Outside corner of a wall base flashing",
    about="Turn-up round a corner that the roof goes round, with patterns and the patch",
    parameters=OutsideCorner,
    build=build,
    impossible=corner_impossible,
    taken=corner_taken,
    families=frozenset({"wall"}),
)
