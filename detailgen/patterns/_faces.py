"""The faces of a corner, each with coordinates of its own, and how they meet.

Wall 1 is to the right of the arris for one who stands on the roof and looks at it, wall 2
to the left. Each wall, its cant and the roof before it are developed into one strip:

    y = slant + up    top of a sheet            <- wall
    y = slant         top of the cant           <- cant (slant = hypot(height, run))
    y = 0             toe of the bare cant      <- roof
    y = -out          outer end of a sheet

x is zero at the arris and runs to the right in both strips, so that wall 1 has x > 0 and
wall 2 x < 0. The roof plane as a whole has the coordinates of strip 1.

Round the corner, the vertex is where the arris meets the tops of both cants; the toe
corner is where the two toes meet; the mitre, on which the cants meet, joins them.
"""

from dataclasses import dataclass
from math import asin, atan2, cos, degrees, hypot, pi, radians, sin, tan
from typing import Literal

from detailgen.geometry import Point
from detailgen.patterns._plane import Motion, Side, left_of, right_of

CornerKind = Literal["inside", "outside"]


@dataclass(frozen=True, slots=True)
class Corner:
    """Two walls that meet, with a cant along the foot of both."""

    kind: CornerKind
    angle: float
    """Plan angle between the wall faces, degrees, less than 180: inside, the roof lies
    within it; outside, the walls do."""
    height: float
    run: float

    @property
    def roof_angle(self) -> float:
        """Plan angle through the roof from one wall face to the other, radians."""
        inner = radians(self.angle)
        return inner if self.kind == "inside" else 2.0 * pi - inner

    @property
    def slant(self) -> float:
        """Width of the cant's face, mm."""
        return hypot(self.height, self.run)

    @property
    def skew(self) -> float:
        """How far mitred lines move along the walls for each mm out from them.

        Positive inside, where they draw back from the arris; negative outside.
        """
        return 1.0 / tan(self.roof_angle / 2.0)

    @property
    def lean(self) -> float:
        """Angle on the cant's face between its line of fall and the mitre, radians."""
        return atan2(self.skew * self.run, self.slant)

    # --- turns of the folds, degrees -------------------------------------------

    @property
    def toe_turn(self) -> float:
        """Fold at the toe."""
        return degrees(atan2(self.height, self.run))

    @property
    def top_turn(self) -> float:
        """Fold at the top of the cant."""
        return 90.0 - self.toe_turn

    @property
    def arris_turn(self) -> float:
        """Fold at the arris: a valley inside, a ridge outside."""
        return 180.0 - degrees(self.roof_angle)

    @property
    def mitre_turn(self) -> float:
        """Fold on the mitre, between the two cants."""
        half = radians(self.arris_turn) / 2.0
        return 2.0 * degrees(asin(self.height / self.slant * sin(half)))

    # --- points and limits -----------------------------------------------------

    @property
    def vertex(self) -> Point:
        """The vertex, in both strips."""
        return (0.0, self.slant)

    @property
    def toe1(self) -> Point:
        """The toe corner in strip 1."""
        return (self.skew * self.run, 0.0)

    @property
    def toe2(self) -> Point:
        """The toe corner in strip 2."""
        return (-self.skew * self.run, 0.0)

    @property
    def beside_mitre1(self) -> Side:
        """What lies on cant 1's side of the mitre, in strip 1."""
        return left_of(self.vertex, self.toe1)

    @property
    def beside_mitre2(self) -> Side:
        """What lies on cant 2's side of the mitre, in strip 2."""
        return right_of(self.vertex, self.toe2)

    # --- developing ------------------------------------------------------------

    @property
    def cant2_beside_cant1(self) -> Motion:
        """Strip 2 laid beside strip 1 by the mitre."""
        return Motion.laying(self.vertex, self.toe2, self.vertex, self.toe1)

    @property
    def strip2_in_roof(self) -> Motion:
        """Strip 2 laid into the roof plane by its toe."""
        turn = pi - self.roof_angle
        bare = Motion(cos(turn), sin(turn))
        x, y = bare(self.toe2)
        return Motion(bare.cos, bare.sin, self.toe1[0] - x, self.toe1[1] - y)
