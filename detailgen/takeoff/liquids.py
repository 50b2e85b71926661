"""What comes in pails and cartridges: primer, cement, asphalt and adhesive, sealant."""

from detailgen.catalog import Material
from detailgen.errors import Problem, UserError
from detailgen.geometry.measures import length_beyond
from detailgen.quantity import Measure, Quantity
from detailgen.section import Body, Bond, Coat, Role
from detailgen.takeoff._measured import GEOMETRY, Measured, metres
from detailgen.takeoff.purchase import CARTRIDGE, bead_run, bed_coverage

_SPREAD = {
    Bond.HOT_ASPHALT: "bitumen",
    Bond.COLD_ADHESIVE: "adhesive",
    Bond.CEMENT: "cement",
}
"""Family of what is spread for a bond that takes a rate per area. A torch takes none."""
_MEASURES = {"L": Measure.VOLUME, "kg": Measure.MASS}


def primer(job: Measured) -> list[Quantity]:
    """Return the primer for each coat: its length times the rate.

    A coat over several bodies is one line: its stretches share an id.
    """
    coats: dict[str, list[Coat]] = {}
    for coat in job.section.coats:
        coats.setdefault(coat.id, []).append(coat)
    return [_coat(job, stretches) for stretches in coats.values()]


def cement(job: Measured) -> list[Quantity]:
    """Return the cement of each bed that the section shows, from its area.

    A bed is drawn as thick as it is when the sheet or the flange lies in it. Where the
    method spreads cement on both faces, the two thin coats become this one bed: they are
    not counted again.
    """
    return [_bed(job, body) for body in job.section.of_role(Role.CEMENT)]


def spread(job: Measured) -> list[Quantity]:
    """Return asphalt, adhesive or cement spread between sheets: bonded width times rate.

    A joint of a bed that the section shows as a body is left to `cement`.
    """
    beds = {b.id for b in job.section.of_role(Role.CEMENT)}
    found: list[Quantity] = []
    for bond, family in _SPREAD.items():
        joints = [
            j
            for j in job.section.joints
            if j.bond is bond and not beds & {j.upper, j.lower}
        ]
        width = sum(length_beyond(j.line, job.start) for j in joints)
        if width > 0.0:
            uppers = tuple(dict.fromkeys(j.upper for j in joints))
            found.append(_by_rate(job, family, (f"spread-{family}", ""), width, uppers))
    return found


def sealant(job: Measured) -> list[Quantity]:
    """Return the sealant of each bead, from the area of its section."""
    return [_bead(body) for body in job.section.of_role(Role.BEAD)]


def _coat(job: Measured, stretches: list[Coat]) -> Quantity:
    # What follows in a coat's name is how it is done, or which face of a flange it is on.
    name = stretches[0].name.partition(":")[0].partition(",")[0]
    if "prime" not in name.lower():
        name += ", primer"
    width = sum(length_beyond(c.line, job.start) for c in stretches)
    bodies = tuple(dict.fromkeys(c.body for c in stretches))
    return _by_rate(job, "primer", (stretches[0].id, name), width, bodies)


def _bed(job: Measured, body: Body) -> Quantity:
    area = body.region.area
    width, _ = job.width(body)
    return Quantity(
        id=body.id,
        label=body.name,
        material=body.material,
        measure=Measure.VOLUME,
        per_metre=area / 1000.0,
        formula=(
            f"section of the bed {area / 100.0:.2f} cm2 x 1 m "
            f"({metres(width)} wide, all its coats together; 1 L covers "
            f"{bed_coverage(body.thickness):.2f} m2 {body.thickness:.1f} mm thick)"
        ),
        source=GEOMETRY,
        bodies=(body.id,),
    )


def _by_rate(
    job: Measured,
    family: str,
    named: tuple[str, str],
    width: float,
    bodies: tuple[str, ...],
) -> Quantity:
    """Return the amount of what is spread over a width at the catalogue's rate.

    A cement has no rate but the thickness of its bed, which comes to the same: 1 mm thick
    is 1 L/m2.
    """
    material = _spreadable(job, family)
    rate, unit = material.rate or material.thickness, material.rate_unit or "L"
    return Quantity(
        id=named[0],
        label=named[1] or material.name,
        material=material.id,
        measure=_MEASURES[unit],
        per_metre=width / 1000.0 * rate,
        formula=f"{metres(width)} wide x 1 m x {rate:.3g} {unit}/m2",
        source=material.source,
        bodies=bodies,
    )


def _bead(body: Body) -> Quantity:
    area = body.region.area
    run = bead_run(area)
    return Quantity(
        id=body.id,
        label=body.name,
        material=body.material,
        measure=Measure.VOLUME,
        per_metre=area / 1000.0,
        formula=(
            f"section of the bead {area:.1f} mm2 x 1 m; a {CARTRIDGE * 1000.0:.0f} mL "
            f"cartridge runs {run:.1f} m ({run / 0.3048:.1f} ft)"
        ),
        source=GEOMETRY,
        bodies=(body.id,),
    )


def _spreadable(job: Measured, family: str) -> Material:
    """Return the first material of a family with a rate of use or a thickness of bed.

    Raises:
        UserError: The catalogue has none.
    """
    for material in job.catalog.of_family(family):
        if material.rate or material.thickness:
            return material
    raise UserError([
        Problem(
            f"no material of the family {family!r} has a rate of use",
            key="rate",
            mend="Give one of them a rate in the catalogue.",
        )
    ])
