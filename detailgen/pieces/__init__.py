"""How the sheets and metals of a run are divided into pieces."""

from detailgen.pieces._courses import Course, Laid, Line, Way, courses, laid
from detailgen.pieces._row import Asked, Seam, lay
from detailgen.pieces._run import Gave, Lost, PieceRow, along

__all__ = [
    "Asked",
    "Course",
    "Gave",
    "Laid",
    "Line",
    "Lost",
    "PieceRow",
    "Seam",
    "Way",
    "along",
    "courses",
    "laid",
    "lay",
]
