"""How the sheets and metals of a run are divided into pieces."""

from detailgen.pieces._courses import Course, Laid, Line, Way, courses, laid
from detailgen.pieces._row import Asked, Gave, Row, lay
from detailgen.pieces._run import Placed, along

__all__ = [
    "Asked", "Course", "Gave", "Laid", "Line", "Placed", "Row", "Way", "along", "courses",
    "laid", "lay",
]  # fmt: skip
