"""Rules on how high a curb stands out of the roof."""

from detailgen.checks._case import Case
from detailgen.checks._hems import top_of_upright
from detailgen.checks._rule import CURB, JOINT, SLEEPER, Idle, Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.section import Role

NO_CURB = "There is no curb."


def _above(case: Case, datum: str) -> Verdict:
    """Return how high the curb's top stands above a named level, at its roof face."""
    x, y = case.at(datum)
    top = top_of_upright(case)
    if top is None:
        return Measured(0.0, (x, y), reason=NO_CURB)
    ids = tuple(b.id for b in case.all(Role.BLOCKING) if b.region.bounds[3] >= top - 1.0)
    return Measured(top - y, (case.at("cant.top")[0], top), ids)


@rule(
    "curb_height_least",
    kinds=(CURB, SLEEPER),
    wrong="The curb is too low.",
    built=(Role.WALL, Role.BLOCKING),
)
def low_curb(case: Case) -> Verdict:
    """Guards against water that backs up at a curb and stands over its flashing.

    Measured upright, from the top of the finish ply at the toe of the cant of the upslope
    face to the top of the curb's nailer at its roof face. Where the section is cut through
    another face, the level of the upslope face is carried over. A cricket is left out: it
    has its own rule.
    """
    return _above(case, "upslope.datum" if case.has("upslope.datum") else "roof.datum")


@rule(
    "curb_above_cricket_least",
    kinds=(CURB,),
    wrong="The curb stands too little out of the cricket before it.",
    built=(Role.WALL, Role.BLOCKING),
)
def low_curb_over_cricket(case: Case) -> Verdict:
    """Guards the upslope face where a cricket has taken away from its height.

    Measured upright, from the high point of the cricket, on top of the finish ply, to the
    top of the curb's nailer at its roof face.
    """
    if not case.has("cricket.datum"):
        return Idle("no cricket turns the water aside before this curb")
    return _above(case, "cricket.datum")


@rule(
    "joint_curb_height_least",
    kinds=(JOINT,),
    wrong="The curb of the joint is too low.",
    built=(Role.WALL, Role.BLOCKING),
)
def low_joint_curb(case: Case) -> Verdict:
    """Guards a joint or a divider against standing in water, which gets into every cover.

    Measured on both sides, upright: from the top of the finish ply at the toe of the cant
    to the top of the nailer at the curb's roof face.
    """
    return _above(case, "roof.datum")


@rule(
    "joint_curb_height_most",
    kinds=(JOINT,),
    relation=Relation.AT_MOST,
    wrong="The curb of the joint is taller than is usual.",
    built=(Role.WALL, Role.BLOCKING),
)
def tall_joint_curb(case: Case) -> Verdict:
    """Warns of a curb so tall that what drifts or is piled against it pushes it over.

    Measured as the height of the curb is: on both sides, from the finish ply at the toe of
    the cant to the top of the nailer at the curb's roof face.
    """
    return _above(case, "roof.datum")
