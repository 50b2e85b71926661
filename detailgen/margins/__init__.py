"""How much a detail can stray on site before a rule fails.

The margin of a rule against a tolerance is the smallest multiple of the tolerance at
which the rule fails: 1 is as far as the tolerance allows, 0 is at once. Each tolerance is
tried by itself; the drawn values are kept for all that it does not move.
"""

from detailgen.margins._astray import Astray, settled
from detailgen.margins._curves import Curve, curves
from detailgen.margins._margins import FURTHEST, Margin, Use, margins
from detailgen.margins._slack import slack
from detailgen.margins._when import shown_at

__all__ = [
    "FURTHEST",
    "Astray",
    "Curve",
    "Margin",
    "Use",
    "curves",
    "margins",
    "settled",
    "shown_at",
    "slack",
]
