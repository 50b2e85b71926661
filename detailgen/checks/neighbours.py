"""Rules on two conditions that come close to each other, where the job says how close."""

from detailgen.checks._case import Case
from detailgen.checks._rule import Idle, Measured, Verdict, rule
from detailgen.geometry import Point
from detailgen.neighbours import face, reach
from detailgen.section import Neighbour, Stand

_ALONE = "the job does not say that anything stands near it"
_UPRIGHT = frozenset({Stand.WALL, Stand.EDGE, Stand.CURB})


@rule(
    "clear_pipes_least",
    "clear_upright_least",
    "clear_curbs_least",
    "clear_drain_least",
    wrong="Two details stand too near each other to be flashed one by one.",
)
def crowded_neighbours(case: Case) -> Verdict:
    """Guards the room that hands and sheets need between two details.

    Measured between the faces of the two, as the job tells it: of a pipe, a post or a
    pocket to another (`clear_pipes_least`), to a wall, a curb or a roof edge
    (`clear_upright_least`); of a curb to another curb or a wall (`clear_curbs_least`); of a
    drain to a wall, a curb, a roof edge or a hot stack (`clear_drain_least`), while a drain
    beside another pipe is held to what pipes need. The one with the least to spare is told.
    """
    asked = [(n, row) for n in case.section.neighbours if (row := _row(case, n))]
    asked = [(n, row) for n, row in asked if case.rules.row(row).demanded]
    if not asked:
        return Idle(_ALONE)
    near, row = min(asked, key=lambda a: a[0].clear - case.rules.value(a[1]))
    reason = f"It stands too near {near.mark} to be flashed by itself."
    return Measured(near.clear, _foot(case), row=row, reason=reason)


def _row(case: Case, near: Neighbour) -> str:
    """Return the row for a pair; nothing where no rule speaks of such a pair."""
    stand = case.section.stand
    if stand is None:
        return ""
    pair = {stand, near.stand}
    hot = (stand is Stand.PIPE and case.section.hot) or (
        near.stand is Stand.PIPE and near.hot
    )
    if Stand.DRAIN in pair and (hot or pair & _UPRIGHT):
        return "clear_drain_least"
    if Stand.PIPE in pair:
        return "clear_upright_least" if pair & _UPRIGHT else "clear_pipes_least"
    if Stand.CURB in pair and pair <= {Stand.CURB, Stand.WALL}:
        return "clear_curbs_least"
    return ""


@rule(
    "clear_sheets_least",
    wrong="The sheets of two details meet: each covers what the other must stick to.",
)
def meeting_sheets(case: Case) -> Verdict:
    """Guards the bond of flanges and strip-ins that come near those of another detail.

    Measured as what is left of the clear distance, as the job tells it, when how far the
    flange, cant or outermost sheet of each of the two comes out from its face, measured on
    its section, is taken off.
    """
    if case.section.stand is None or not case.section.neighbours:
        return Idle(_ALONE)
    own = reach(case.section)
    near = min(case.section.neighbours, key=lambda n: n.clear - n.reach)
    at = face(case.section) - own
    reason = f"Its sheets and those of {near.mark} lie over each other."
    left = near.clear - near.reach - own
    return Measured(left, (at, _foot(case)[1]), reason=reason)


def _foot(case: Case) -> Point:
    """Return where the face stands on the finished roof."""
    return face(case.section), case.section.points.get("roof.datum", (0.0, 0.0))[1]
