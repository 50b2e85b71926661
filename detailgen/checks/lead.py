"""Rules on lead: where it is not taken, and that no flame comes near it."""

from math import fsum

from detailgen.checks._case import FLANGED, Case
from detailgen.checks._plan import POINTS
from detailgen.checks._rule import FLANGE, NO_LENGTH, Idle, Measured, Verdict, rule
from detailgen.finding import Amount, Relation
from detailgen.geometry.measures import length_near
from detailgen.section import SHEETS, Body, Bond, Joint

LEAD = "lead"
NO_LEAD = "not of lead"
BESIDE = 50.0
"""A flame that is nearer to lead than this, mm, is beside it."""


@rule(
    "sleeve_not_of_lead",
    kinds=POINTS,
    relation=Relation.EXACTLY,
    asked=Amount(words=NO_LEAD),
    wrong="The flashing is of lead.",
    built=FLANGED,
)
def lead_sleeve(case: Case) -> Verdict:
    """Guards against lead where an authority takes none, or rain water is collected.

    Read from what the flanged metal is made of, on both sides.
    """
    metal = case.flange
    if metal is None:
        return Idle("there is no metal that could be of lead")
    words = LEAD if case.material(metal).kind == LEAD else NO_LEAD
    return Measured(words, case.outer_end(metal), (metal.id,))


@rule(
    "lead_torch",
    kinds=(FLANGE,),
    relation=Relation.AT_MOST,
    asked=NO_LENGTH,
    wrong="A flame is turned on lead, or beside it.",
    built=(*SHEETS,),
)
def flame_on_lead(case: Case) -> Verdict:
    """Guards lead, which melts at 621 F (327 C) and lets the flame through to what burns.

    Measured on both sides as the length of torched joints on lead, and within 50 mm of it:
    those of sheets that are laid when the lead lies. What is torched onto a sheet that
    covers the lead is not counted, since that sheet shields it.
    """
    leads = [b for b in case.section.bodies if case.material(b).kind == LEAD]
    if not leads:
        return Idle("no lead lies in this section")
    found: list[tuple[float, Joint, Body]] = []
    for joint in case.section.joints:
        upper, lower = case.section.body(joint.upper), case.section.body(joint.lower)
        if joint.bond is not Bond.TORCHED or upper is None or lower is None:
            continue
        for lead in leads:
            shielded = lower.role in SHEETS and lower.stage > lead.stage
            if upper.stage >= lead.stage and not shielded:
                length = length_near(joint.line, lead.region, BESIDE)
                found += [(length, joint, lead)] if length > ON_LEAD else []
    lead = leads[0]
    if not found:
        return Measured(0.0, case.outer_end(lead), (lead.id,))
    _, joint, lead = max(found, key=lambda f: f[0])
    x0, y0, x1, y1 = joint.line.bounds
    where = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    return Measured(fsum(f[0] for f in found), where, (joint.upper, lead.id))


ON_LEAD = 0.1
"""A shorter joint than this, mm, is a touch of two corners."""
