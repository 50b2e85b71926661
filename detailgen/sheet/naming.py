"""What gets a number, what its keynote says, and where its leader may point."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot
from typing import Final

from detailgen.geometry import Region
from detailgen.geometry.regions import vertices
from detailgen.geometry.views import run_into, spots
from detailgen.section import RIGHT, SHEETS, Body, Coat, LayeredSection, Role
from detailgen.sheet.blocks import Keynote
from detailgen.sheet.bodies import coat_runs
from detailgen.sheet.callouts import OFF, Aim
from detailgen.sheet.plane import Box, Segment
from detailgen.sheet.request import SheetRequest
from detailgen.units import show_thickness

_THICK: Final = 3.0
"""Room about a spot that is as good as any more, mm on paper."""
_THIN: Final = 1.3
"""With less room a leader should meet a body squarely, mm on paper."""
_AIMS: Final = 9
"""Spots that are tried for one label."""
_FEW: Final = 4


@dataclass(frozen=True, slots=True)
class Named:
    """What one number on the drawing stands for."""

    keynote: Keynote
    aims: tuple[Aim, ...]


def key_of(body: Body) -> tuple[str, str, str]:
    """Return what bodies have in common that share a number."""
    return body.role.value, body.name, body.material


def named_parts(
    request: SheetRequest, drawn: LayeredSection, factor: float, labels: tuple[Box, str]
) -> list[Named]:
    """Return what gets a number, in the order of building; like bodies share one.

    Args:
        request: The condition.
        drawn: The section as it is drawn.
        factor: Of the scale.
        labels: The view's box on paper, and the side at which its labels stand.
    """
    groups: dict[tuple[str, str, str], list[Body]] = {}
    for body in drawn.bodies:
        groups.setdefault(key_of(body), []).append(body)
    order: list[tuple[int, int, Keynote, tuple[Aim, ...]]] = []
    for number, (key, bodies) in enumerate(groups.items()):
        aims = [a for b in bodies for a in aims_of(b.region, factor)]
        name, detail = describe(request, bodies)
        note = Keynote("", name, detail, "|".join(key), key[0])
        order.append((bodies[0].stage, number, note, tuple(aims)))
    films: dict[str, list[Aim]] = {}
    stages: dict[str, int] = {}
    for coat in drawn.coats:
        films.setdefault(coat.name, []).extend(film_aims(drawn, coat, factor))
        stages.setdefault(coat.name, coat.stage)
    for number, (name, aims) in enumerate(films.items(), len(groups)):
        if aims:
            order.append((stages[name], number, Keynote("", name, "", name), tuple(aims)))
    order.sort(key=lambda o: o[:2])
    chosen = reached([o[3] for o in order], drawn, factor, labels)
    return [
        Named(replace(note, number=str(i)), aims)
        for i, ((_, _, note, _), aims) in enumerate(zip(order, chosen, strict=True), 1)
    ]


def reached(
    groups: Sequence[Sequence[Aim]],
    drawn: LayeredSection,
    factor: float,
    labels: tuple[Box, str],
) -> list[tuple[Aim, ...]]:
    """Return the best spots of each group, told how many bodies lie on the way there."""
    (x0, y0, x1, y1), side = labels
    flat = [aim for group in groups for aim in group]
    ways: list[list[Segment]] = []
    if side != "top":
        ways.append([((x0 - OFF, min(max(a.at[1], y0), y1)), a.at) for a in flat])
    if side == "top":
        ways.append([((min(max(a.at[0], x0), x1), y1 + OFF), a.at) for a in flat])
    regions = [b.region for b in drawn.bodies]
    counts = [
        run_into([_scaled(segment, factor) for segment in way], regions) for way in ways
    ]
    over = [min(each) for each in zip(*counts, strict=True)]
    told = iter(replace(a, over=n) for a, n in zip(flat, over, strict=True))
    return [_best([next(told) for _ in group]) for group in groups]


def _scaled(segment: Segment, factor: float) -> Segment:
    (xa, ya), (xb, yb) = segment
    return (xa * factor, ya * factor), (xb * factor, yb * factor)


def _best(aims: Sequence[Aim]) -> tuple[Aim, ...]:
    """Return some spots, spread over those that a leader reaches over the fewest bodies.

    Of a thick body those toward the labels at the left, near its free face.
    """
    if not aims:
        return ()
    fewest = sorted(a.over for a in aims)[min(_FEW, len(aims)) - 1]
    aims = [a for a in aims if a.over <= fewest]
    roomy = [a for a in aims if a.lie is None]
    if len(roomy) >= _FEW:
        aims = roomy
    if len(aims) > _FEW and roomy:
        aims = sorted(aims, key=lambda a: (a.over, a.at))[: max(_FEW, len(aims) // 3)]
    step = max(1.0, len(aims) / _AIMS)
    return tuple(aims[int(i * step)] for i in range(min(_AIMS, len(aims))))


def aims_of(region: Region, factor: float) -> list[Aim]:
    """Return where a leader may point at a body: well inside."""
    found = spots(region, 1.2 * _THICK * factor)
    roomiest = max(s.clear for s in found)
    return [
        Aim(
            (spot.at[0] / factor, spot.at[1] / factor),
            None if spot.clear > _THIN * factor else spot.lie,
        )
        for spot in found
        if spot.clear >= 0.6 * min(roomiest, _THICK * factor)
    ]


def film_aims(drawn: LayeredSection, coat: Coat, factor: float) -> list[Aim]:
    """Return where a leader may point at a coat: along what is drawn of it."""
    aims: list[Aim] = []
    for run in coat_runs(drawn, coat.body, coat.line, factor):
        points = vertices(run)
        for (x0, y0), (x1, y1) in pairwise(points):
            length = hypot(x1 - x0, y1 - y0)
            if length < 4 * factor:
                continue
            lie = ((x1 - x0) / length, (y1 - y0) / length)
            for part in (0.1, 0.3, 0.5, 0.7, 0.9):
                x, y = x0 + (x1 - x0) * part, y0 + (y1 - y0) * part
                aims.append(Aim((x / factor, y / factor), lie))
    return aims


def describe(request: SheetRequest, bodies: Sequence[Body]) -> tuple[str, str]:
    """Return a keynote's name and the rest of it: material, thickness, how it is held."""
    body = bodies[0]
    material = request.catalog.material(body.material)
    parts: list[str] = []
    if material.name.lower().split(",")[0] not in body.name.lower():
        parts.append(material.name)
    if material.thickness and (body.role in SHEETS or body.role is Role.CEMENT):
        parts.append(show_thickness(material.thickness, request.units))
    if material.standard:
        parts.append(material.standard)
    more = request.catalog.drafting.keynotes.get(body.role.value, "")
    parts.append(body.sticks or more)
    said = "; ".join(p for p in parts if p)
    return f"{body.name}{_count(bodies)}{':' if said else ''}", said


def _count(bodies: Sequence[Body]) -> str:
    """Return in brackets how many pieces there are; a piece and its image are one."""
    ids = {b.id for b in bodies}
    both = sum(b.id.removesuffix(RIGHT) in ids for b in bodies if b.id.endswith(RIGHT))
    count = len(bodies) - both
    return f" ({count} pieces)" if count > 1 else ""
