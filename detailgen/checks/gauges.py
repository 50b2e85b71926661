"""Rules on how thick sheets and metal are."""

from collections.abc import Sequence
from math import fsum, hypot

from detailgen.checks._case import Case
from detailgen.checks._rule import WALL, Idle, Measured, Verdict, rule
from detailgen.geometry.columns import Column
from detailgen.geometry.measures import strip_thickness
from detailgen.section import Body, Role

FACES = (
    Role.EDGE_METAL,
    Role.COUNTERFLASHING,
    Role.COPING,
    Role.SLEEVE,
    Role.HOOD,
    Role.COLLAR,
    Role.PAN,
    Role.DRAIN_LEAD,
    Role.LINER,
    Role.JOINT_COVER,
)
KINDS = ("aluminium", "stainless", "galvanized", "copper")
METALS = (*KINDS, "lead")


def _bands(case: Case) -> frozenset[str]:
    """Return the ids of draw bands: strips that hold a collar and keep no water out."""
    collars = {b.id for b in case.all(Role.COLLAR, Role.HOOD)}
    return frozenset(
        j.upper for j in case.section.joints if j.upper in collars and j.lower in collars
    )


def _thinnest_metal(
    case: Case, stem: str, roles: Sequence[Role], kinds: Sequence[str] = KINDS
) -> Verdict | None:
    """Return the metal that is thinnest against what its kind of metal must be."""
    found: list[tuple[float, float, str, Body]] = []
    bands = _bands(case)
    for body in case.all(*roles):
        kind = case.material(body).kind
        if kind in kinds and body.id not in bands:
            actual = min(strip_thickness(body.region), body.thickness)
            row = f"{stem}_{kind}"
            found.append((actual - case.rules.value(row), actual, row, body))
    if not found:
        return None
    _, actual, row, body = min(found, key=lambda f: f[0])
    x, y = case.corners(body)[0]
    return Measured(actual, (x, y), (body.id,), row=row)


@rule(
    *(f"metal_least_{kind}" for kind in METALS),
    wrong="The metal is too thin.",
    built=FACES,
)
def thin_metal(case: Case) -> Verdict:
    """Guards edge metal, counterflashing, coping, sleeves and the like against tearing.

    Measured square to the metal, from the area and the outline of its profile, and held
    against the row for its kind of metal. The one with the least to spare is told; a draw
    band, which only holds a collar, is left out.
    """
    found = _thinnest_metal(case, "metal_least", FACES, METALS)
    if found is not None:
        return found
    if case.first(*FACES) is not None:
        return Idle("the rule set says nothing of this kind of metal")
    return Idle("no sheet metal is exposed in this section")


@rule(
    *(f"cleat_least_{kind}" for kind in KINDS),
    wrong="The cleat is too thin.",
    built=(Role.CLEAT,),
)
def light_cleat(case: Case) -> Verdict:
    """Guards the cleat, which must not give way before the face that it holds.

    Measured square to the cleat, from the area and the outline of its profile, and held
    against the row for its kind of metal.
    """
    found = _thinnest_metal(case, "cleat_least", (Role.CLEAT,))
    return found or Idle("no continuous cleat holds the metal")


def _thickness(
    case: Case, pieces: Sequence[Body], zone: Sequence[Column], tilt: float
) -> float:
    """Return how thick a sheet is over half of a zone or less; 0 when it is not there.

    All its pieces count as one. Where it drapes over the ends of other sheets and at its
    own ends a column cuts it askew, so that the extremes say nothing.
    """
    ids = {b.id for b in pieces}
    spans = sorted(
        (s[1] - s[0], c.width) for c in zone for s in c.spans if case.body_of(s).id in ids
    )
    half = fsum(width for _, width in spans) / 2.0
    for thickness, width in spans:
        half -= width
        if half <= 0.0:
            return thickness / hypot(1.0, tilt)
    return 0.0


@rule(
    "base_ply_thickness_least",
    kinds=(WALL,),
    wrong="The base ply is too thin.",
    built=(Role.BASE_PLY,),
)
def thin_base_ply(case: Case) -> Verdict:
    """Guards the first sheet, which alone keeps water out until the second one comes.

    Measured square to the sheet on the roof field, as half of it is at most.
    """
    foot = case.at("cant.toe")
    plies = case.all(Role.BASE_PLY)
    if not plies:
        return Measured(0.0, foot, reason="There is no base ply.")
    thickness = _thickness(case, plies, case.field, case.section.slope)
    return Measured(thickness, foot, (plies[0].id,))


@rule(
    "granule_sheet_thickness_least",
    kinds=(WALL,),
    wrong="A granule-surfaced sheet is too thin.",
    built=(Role.FINISH_PLY,),
)
def thin_granule_sheet(case: Case) -> Verdict:
    """Guards the sheet that takes the weather, in which the granules themselves lie.

    Measured square to the sheet: the finish ply on the roof field, the flashing sheets on
    the wall, each as half of it is at most. The thinnest granule-surfaced sheet is told.
    """
    zones = {
        Role.FINISH_PLY: (case.field, case.section.slope),
        Role.FLASHING: (case.upright, 0.0),
        Role.UPPER_FLASHING: (case.upright, 0.0),
    }
    found: list[tuple[float, Body]] = []
    for role, (zone, tilt) in zones.items():
        pieces = [b for b in case.all(role) if case.material(b).surface == "granules"]
        if pieces:
            found.append((_thickness(case, pieces, zone, tilt), pieces[0]))
    if not found:
        return Idle("no sheet of this section is granule-surfaced")
    thickness, body = min(found, key=lambda f: f[0])
    x, y = case.corners(body)[0]
    return Measured(thickness, (x, y), (body.id,))
