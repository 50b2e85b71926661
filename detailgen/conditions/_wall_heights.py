"""How high a wall's flashing and strip-in go by default, so that what covers them laps."""

from math import ceil, fsum

from detailgen.conditions._condition import Site
from detailgen.units import inches

STEP = inches(0.25)
"""A height that is not the rule's own is taken in steps of this, mm."""
CLEAR = inches(0.125)
"""How far the strip-in goes up behind a hem, and an upper sheet ends above the cant, mm."""
BELOW_TOP = inches(0.25)
"""How far the strip-in at least ends below the top of the flashing, mm."""


def sheets_at_toe(site: Site) -> float:
    """Return how much the sheets at the toe raise the roof, from which heights count."""
    roof = site.roof
    plies = (roof.base_ply, roof.base_ply, roof.finish_ply)
    return fsum(site.catalog.materials[m].thickness for m in plies)


def hem_floor(site: Site, cant_height: float, drop: float) -> float:
    """Return the lowest hem above the datum at which the metal clears the cant, mm.

    Args:
        site: Roof, catalogue, rules.
        cant_height: Vertical leg of the cant.
        drop: How far the toe lies below the foot of the wall.
    """
    above = max(site.rules.value("hem_above_cant_least"), inches(0.25))
    return cant_height + drop - sheets_at_toe(site) + above


def height_for_lap(floor: float, lap: float, *, coped: bool) -> float:
    """Return the height of a flashing that what covers it laps clear of the cant, mm.

    Args:
        floor: Lowest hem above the datum.
        lap: Of the counterflashing or of the upper sheet.
        coped: Whether an upper sheet laps it, which may end nearer to the cant than a hem.
    """
    need = floor - (CLEAR if coped else 0.0) + lap
    return ceil(need / STEP - 1e-6) * STEP


def rise_behind_hem(site: Site, over_cant: float, lap: float) -> float:
    """Return the rise of a strip-in that ends behind a counterflashing, mm.

    Args:
        site: Roof and catalogue.
        over_cant: Height of the flashing less the cant's and less the toe's drop.
        lap: Of the counterflashing.
    """
    hem = over_cant + sheets_at_toe(site) - lap + CLEAR
    return min(hem, over_cant - BELOW_TOP)
