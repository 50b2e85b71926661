"""What would mend it: the smallest change of a job's parameters that makes its rules hold.

Smallest is: nothing of the roof, which moves all conditions, unless nothing else helps; no
kinds unless nothing else helps; then the fewest parameters; then the least sum of steps. Or
the rules that cannot hold together, and by how much.
"""

from detailgen.mend._handles import Handle, Sort, Tier, handles
from detailgen.mend._keep import kept_of
from detailgen.mend._mend import Broken, mend, mend_all
from detailgen.mend._result import (
    ROOF,
    Cause,
    Change,
    Conflict,
    Mend,
    Mended,
    Short,
    Verdict,
)
from detailgen.mend._written import shown, written

__all__ = [
    "ROOF",
    "Broken",
    "Cause",
    "Change",
    "Conflict",
    "Handle",
    "Mend",
    "Mended",
    "Short",
    "Sort",
    "Tier",
    "Verdict",
    "handles",
    "kept_of",
    "mend",
    "mend_all",
    "shown",
    "written",
]
