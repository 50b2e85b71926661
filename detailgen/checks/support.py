"""Rules on equipment that stands over the roof: on posts, or on sleepers."""

from detailgen.checks._case import Case
from detailgen.checks._rule import SLEEPER, SUPPORT, Idle, Measured, Verdict, rule
from detailgen.equipment import clear_height
from detailgen.finding import Amount, Relation
from detailgen.section import Role

NO_UNIT = Idle("the section does not say what stands here")


@rule(
    "unit_clear_height_least",
    kinds=(SUPPORT,),
    wrong="The unit stands too near the roof.",
    built=(Role.EQUIPMENT,),
)
def low_unit(case: Case) -> Verdict:
    """Guards the roof under a unit, which must be got at to be looked after and renewed.

    Measured upright, from the finished roof beside the sleeve, on the side where the roof
    is higher, to the underside of the unit. What is asked follows from the width of the
    unit by the table in force; where the table can be read in two ways, the larger height
    is asked and both are told.
    """
    carried = case.section.carried
    if carried is None:
        return NO_UNIT
    table = case.catalog.tables.heights[carried.table]
    asked = clear_height(carried.width, table)
    if asked.height is None:
        return Idle(f"no height is asked here: {asked.reason}")
    x, y = case.at("roof.datum")
    unit = case.lowest(Role.EQUIPMENT)
    if unit is None:
        return Measured(0.0, (x, y), required=asked.height, reason="There is no unit.")
    low = unit.region.bounds[1]
    reason = ""
    if asked.ambiguous:
        heights = " or ".join(f"{h / 25.4:.4g} in" for h in asked.heights)
        reason = f"The table can be read to ask {heights}. {asked.reason}"
    return Measured(
        low - y,
        (x, low),
        (unit.id,),
        required=asked.height,
        reason=reason,
        source=table.source,
    )


TAKEN = "on what the table in force takes"


@rule(
    "sleepers_by_table",
    kinds=(SLEEPER,),
    relation=Relation.EXACTLY,
    asked=Amount(words=TAKEN),
    wrong="The table in force takes no sleepers under equipment.",
    title="Unit on sleepers only where the table of heights in force takes them",
    built=(Role.EQUIPMENT,),
)
def unit_on_sleepers(case: Case) -> Verdict:
    """Guards against sleepers where the code in force asks for posts.

    Looks for a unit that stands on a flashed sleeper, and asks the table of heights in
    force whether it takes that.
    """
    carried = case.section.carried
    unit = case.first(Role.EQUIPMENT)
    if carried is None or unit is None:
        return NO_UNIT
    table = case.catalog.tables.heights[carried.table]
    x0, y0, x1, _ = unit.region.bounds
    return Measured(
        TAKEN if table.sleepers else "on sleepers",
        ((x0 + x1) / 2.0, y0),
        (unit.id,),
        source=table.source,
    )
