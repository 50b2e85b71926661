"""Small jobs to count, and the bill of each."""

from detailgen.bids import bill_of
from detailgen.bill import Bill, Counted, Line, Prices, Total
from detailgen.loader import Job, job_of

FOOT = 0.3048
HEAD = """
[project]
name = "Invented depot"
units = "feet-inches"

[roof]
deck = "concrete"
deck_thickness = "5 in"
insulation = ["2 in", "1 1/2 in"]
cover_board = "1/2 in"
slope = "1/4 in per ft"
adhesion = "torch"
"""


def condition(kind: str, rest: str = "", mark: str = "X1") -> str:
    return f'\n[[condition]]\nid = "{mark}"\nkind = "{kind}"\n{rest}\n'


def job(*conditions: str, head: str = HEAD) -> Job:
    return job_of(head + "".join(conditions), "job.toml")


def bill(*conditions: str, prices: Prices | None = None) -> Bill:
    return bill_of(job(*conditions), prices or Prices())


def line(counted: Bill | Counted, name: str) -> Line:
    one = counted.conditions[0] if isinstance(counted, Bill) else counted
    (found,) = [x for x in one.lines if x.id == name]
    return found


def total(counted: Bill, item: str) -> Total:
    (found,) = [t for t in counted.totals if t.item == item]
    return found
