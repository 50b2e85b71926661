"""Parameters of a corner of a wall's flashing, inside or outside."""

from typing import Literal

from detailgen.conditions._wall_parameters import WallSheets
from detailgen.parameters import Length, choice, degrees, length
from detailgen.patterns.corners import BLUNTEST, SHARPEST


class CornerOfWall(WallSheets, frozen=True):
    """Parameters of sheets that turn up two walls and go round their corner."""

    corner_angle: float = degrees(
        "Plan angle between the two wall faces, degrees: inside, the roof lies within it; "
        "outside, the walls do.",
        default=90.0,
        least=SHARPEST,
        most=BLUNTEST,
    )
    first_wall: Literal["right", "left"] = choice(
        "Wall that the corner piece belongs to, for one who stands on the roof and looks "
        "at the corner; the next piece, on the other wall, ends square at the arris.",
        default="right",
    )
    corner_lap: Length | None = length(
        "How far tabs and patch reach past the line at which they start, and so how wide "
        "the wall beside the arris is covered twice. Without it: what the rules ask.",
        default=None,
        least="1 in",
        most="8 in",
    )
