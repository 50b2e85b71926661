"""Details broken on purpose, so that a class finds what is wrong.

A fault is one `Change` of a detail that holds: a measure that is another, a sheet that is
left out, cut short, laid too late or stuck where it should lie loose, a lap turned round.
What counts as a fault is what the rules find on the changed geometry, and nothing else.
"""

from detailgen.faults._bench import Bench, Broken, failing
from detailgen.faults._change import Change, Sort
from detailgen.faults._plant import Fault, NoPaperError, Planted, Planter
from detailgen.faults._seen import LEAST, SECTION
from detailgen.faults._told import told

__all__ = [
    "LEAST",
    "SECTION",
    "Bench",
    "Broken",
    "Change",
    "Fault",
    "NoPaperError",
    "Planted",
    "Planter",
    "Sort",
    "failing",
    "told",
]
