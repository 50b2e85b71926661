"""Symmetric conditions: the left half is built, and mirrored in the axis x = 0.

A body that touches the axis is united with its image and keeps its id; the others get an
image whose id ends in `-right`, and so do named points.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from detailgen.conditions._mirror import ON_AXIS, Half, both
from detailgen.geometry import Region
from detailgen.geometry.regions import box, flipped_line, joined, mirrored
from detailgen.section import RIGHT, LayeredSection, Zone


def both_sides(half: LayeredSection) -> LayeredSection:
    """Return the whole of a section whose half to the left of x = 0 is given.

    Gauges, stages, notes and layouts stay as they are.
    """
    across = {b.id for b in half.bodies if b.region.bounds[2] > -ON_AXIS}
    names = {b.id: b.id if b.id in across else b.id + RIGHT for b in half.bodies}
    x0, y0, _, y1 = half.extent.bounds
    one = Half(half.bodies, half.joints, half.coats, half.points)
    whole = both(one, one)
    return replace(
        half,
        bodies=whole.bodies,
        joints=whole.joints,
        coats=whole.coats,
        points={**half.points, **_points(half.points)},
        extent=box(x0, y0, -x0, y1),
        breaks=(*half.breaks, *(flipped_line(b) for b in half.breaks)),
        hollows=_hollows(half.hollows),
        must_stay_dry=(
            *half.must_stay_dry,
            *(names[i] for i in half.must_stay_dry if i not in across),
        ),
        dry_within=_dry_within(half.dry_within, across, names),
        zones=tuple(z for zone in half.zones for z in _zones(zone)),
    )


def _points(
    points: Mapping[str, tuple[float, float]],
) -> dict[str, tuple[float, float]]:
    return {n + RIGHT: (-x, y) for n, (x, y) in points.items() if x < -ON_AXIS}


def _hollows(hollows: Iterable[Region]) -> tuple[Region, ...]:
    out: list[Region] = []
    for hollow in hollows:
        if hollow.bounds[2] > -ON_AXIS:
            out.append(joined(hollow, mirrored(hollow)))
        else:
            out += [hollow, mirrored(hollow)]
    return tuple(out)


def _dry_within(
    limits: Mapping[str, Region], across: set[str], names: Mapping[str, str]
) -> dict[str, Region]:
    out: dict[str, Region] = {}
    for body_id, region in limits.items():
        if body_id in across:
            out[body_id] = joined(region, mirrored(region))
        else:
            out |= {body_id: region, names[body_id]: mirrored(region)}
    return out


def _zones(zone: Zone) -> tuple[Zone, ...]:
    if zone.region.bounds[2] > -ON_AXIS:
        return (replace(zone, region=joined(zone.region, mirrored(zone.region))),)
    return zone, replace(zone, region=mirrored(zone.region))
