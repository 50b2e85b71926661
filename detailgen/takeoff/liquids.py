"""What comes in pails and cartridges: primer, cement, asphalt and adhesive, sealant."""

from math import fsum
from typing import Final

from detailgen.catalog import Material
from detailgen.errors import Problem, UserError
from detailgen.quantity import Measure, Quantity
from detailgen.section import Bond, Coat, Joint, Role
from detailgen.takeoff._found import Found, Halves, common_name, ids
from detailgen.takeoff._measured import Measured
from detailgen.takeoff.purchase import CARTRIDGE, bead_run, bed_coverage

_SPREAD: Final = {
    Bond.HOT_ASPHALT: "bitumen",
    Bond.COLD_ADHESIVE: "adhesive",
    Bond.CEMENT: "cement",
}
"""Family of what is spread for a bond that takes a rate per area. A torch takes none."""
_MEASURES: Final = {"L": Measure.VOLUME, "kg": Measure.MASS}
_PREFORMED: Final = "preformed"
"""Kind of a sealant that comes as a strip and is bought by its length."""


def primer(job: Measured) -> list[Quantity]:
    """Return the primer for each coat: its area times the rate.

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
    not counted again. A sheet that is stuck in cement beside its bed as well, where it is
    turned down into a bowl, say, takes it from the same bed.
    """
    return [_bed(job, halves) for halves in job.things(Role.CEMENT)]


def spread(job: Measured) -> list[Quantity]:
    """Return asphalt, adhesive or cement spread between sheets: bonded area times rate.

    A joint of a bed that the section shows as a body, and of a sheet that lies in one, is
    left to `cement`.
    """
    found: list[Quantity] = []
    for bond, family in _SPREAD.items():
        joints = [j for j in _stuck(job, bond) if bond is not Bond.CEMENT or _bare(job, j)]
        area = job.ways.spread(joints) if joints else Found(0.0, "")
        if area.amount > 0.0:
            uppers = tuple(dict.fromkeys(j.upper for j in joints))
            label = _label(job, family, uppers)
            found.append(_by_rate(job, family, (f"spread-{family}", label), area, uppers))
    return found


def _stuck(job: Measured, bond: Bond) -> list[Joint]:
    """Return the joints with a bond whose bed the section does not show."""
    beds = {b.id for b in job.section.of_role(Role.CEMENT)}
    drawn = {b.id for b in job.section.bodies}
    return [
        j
        for j in job.section.joints
        if j.bond is bond and j.upper in drawn and not beds & {j.upper, j.lower}
    ]


def _bare(job: Measured, joint: Joint) -> bool:
    """Return whether the upper body of a joint lies in no bed."""
    beds = {b.id for b in job.section.of_role(Role.CEMENT)}
    return not any(j.upper == joint.upper and j.lower in beds for j in job.section.joints)


def _beside(job: Measured, halves: Halves) -> list[Joint]:
    """Return the joints in cement beside a bed, of the first bed that a body lies in."""
    first: dict[str, str] = {}
    beds = {b.id for b in job.section.of_role(Role.CEMENT)}
    for joint in job.section.joints:
        if joint.lower in beds:
            first.setdefault(joint.upper, joint.lower)
    mine = ids(halves)
    return [j for j in _stuck(job, Bond.CEMENT) if first.get(j.upper) in mine]


def sealant(job: Measured) -> list[Quantity]:
    """Return the sealant of each bead, from its section and its length."""
    return [_bead(job, halves) for halves in job.things(Role.BEAD)]


def fills(job: Measured) -> list[Quantity]:
    """Return what is poured or packed into a pocket, by volume."""
    found: list[Quantity] = []
    for halves in job.things(Role.FILL, Role.POURED_SEALANT):
        first, volume = halves[0], job.ways.fill(halves)
        named = (first.id, common_name(halves), first.material)
        found.append(
            job.quantity(
                named, Measure.VOLUME, volume.amount, volume.told, bodies=ids(halves)
            )
        )
    return found


def _coat(job: Measured, stretches: list[Coat]) -> Quantity:
    # What follows in a coat's name is how it is done, or which face of a flange it is on.
    name = stretches[0].name.partition(":")[0].partition(",")[0]
    if "prime" not in name.lower():
        name += ", primer"
    bodies = tuple(dict.fromkeys(c.body for c in stretches))
    area = job.ways.coat(stretches)
    return _by_rate(job, "primer", (stretches[0].id, name), area, bodies)


def _label(job: Measured, family: str, uppers: tuple[str, ...]) -> str:
    """Return what is spread, and for what if it is for one thing."""
    name = _spreadable(job, family).name
    things = {b.name.partition(",")[0] for i in uppers if (b := job.section.body(i))}
    if family != "cement" or len(things) != 1:
        return name
    thing = things.pop()
    return f"{name}, {thing[:1].lower()}{thing[1:]}"


def _bed(job: Measured, halves: Halves) -> Quantity:
    first, volume = halves[0], job.ways.bed(halves)
    thick = first.thickness or 1.0
    told = f"; 1 L covers {bed_coverage(thick):.2f} m2 {thick:.1f} mm thick)"
    amount, beside = volume.amount, _beside(job, halves)
    if beside:
        more = job.ways.spread(beside).amount
        amount += more * thick
        told += f" + {more:.4f} m2 beside it"
    return job.quantity(
        (first.id, common_name(halves), first.material),
        Measure.VOLUME,
        amount,
        volume.told + told,
        bodies=ids(halves),
    )


def _by_rate(
    job: Measured,
    family: str,
    named: tuple[str, str],
    area: Found,
    bodies: tuple[str, ...],
) -> Quantity:
    """Return the amount of what is spread over an area at the catalogue's rate.

    A cement has no rate but the thickness of its bed, which comes to the same: 1 mm thick
    is 1 L/m2.
    """
    material = _spreadable(job, family)
    rate, unit = material.rate or material.thickness, material.rate_unit or "L"
    return job.quantity(
        (named[0], named[1] or material.name, material.id),
        _MEASURES[unit],
        area.amount * rate,
        f"{area.told} x {rate:.3g} {unit}/m2",
        source=material.source,
        bodies=bodies,
    )


def _bead(job: Measured, halves: Halves) -> Quantity:
    first, length = halves[0], job.ways.bead(halves)
    named = (first.id, common_name(halves), first.material)
    area = fsum(b.region.area for b in halves) / len(halves)
    if _preformed(job, first.material):
        return job.quantity(
            named,
            Measure.LENGTH,
            length.amount,
            f"{length.told}, section {area:.1f} mm2",
            bodies=ids(halves),
        )
    run = bead_run(area)
    return job.quantity(
        named,
        Measure.VOLUME,
        area * length.amount / 1000.0,
        (
            f"section of the bead {area:.1f} mm2 x {length.amount:.3f} m ({length.told}); "
            f"a {CARTRIDGE * 1000.0:.0f} mL cartridge runs {run:.1f} m "
            f"({run / 0.3048:.1f} ft)"
        ),
        bodies=ids(halves),
    )


def _preformed(job: Measured, material: str) -> bool:
    known = job.catalog.materials.get(material)
    return known is not None and known.kind == _PREFORMED


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
