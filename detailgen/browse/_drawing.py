"""A section as inline SVG: a group for every body, joints, primer, and what is wrong."""

from collections.abc import Mapping, Sequence
from typing import Final

from detailgen.browse._markup import area, hatch_names, lines, number, tag, text, track
from detailgen.finding import Finding
from detailgen.geometry import Point
from detailgen.geometry.regions import vertices
from detailgen.section import ADHERED, Body, Bond, LayeredSection, Role
from detailgen.sheet.bodies import coat_runs, crossed, layer_of
from detailgen.sheet.plane import Box, hull
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import drawn_place
from detailgen.sheet.thickening import thickened

FACTOR: Final = 5.0
"""Thin things are thickened, and hatches spaced, as on paper at this scale."""
_EDGE: Final = 14.0
"""White round the drawing, mm."""
_MARK: Final = 13.0
"""Radius of the mark of a finding, mm."""
_BONDS: Final = {Bond.DRY: "dry", Bond.CEMENT: "bed"}


def groups_of(section: LayeredSection) -> dict[str, list[Body]]:
    """Return the bodies of a section by name: both halves of a thing are one."""
    found: dict[str, list[Body]] = {}
    for body in (*section.bodies, *section.passing):
        found.setdefault(body.name, []).append(body)
    return found


def drawing(
    request: SheetRequest, marks: Mapping[str, str], first: Mapping[str, int]
) -> str:
    """Return the drawing of a condition.

    Args:
        request: The condition.
        marks: Letter of each finding that has a mark, by its rule.
        first: The stage from which on each rule is asked.
    """
    drawn = request.rebuild(thickened(request, FACTOR))
    boxes: list[Box] = [
        (float(a), float(b), float(c), float(d))
        for a, b, c, d in (body.region.bounds for body in drawn.bodies)
    ]
    x0, y0, x1, y1 = hull(boxes)
    x0, y0, x1, y1 = x0 - _EDGE, y0 - _EDGE, x1 + _EDGE, y1 + _EDGE
    numbers = {name: str(n) for n, name in enumerate(groups_of(request.section))}
    parts = [_body(request, body, numbers.get(body.name, "")) for body in _order(drawn)]
    parts += _joints(drawn, numbers)
    parts += [
        f'<path class="coat" data-s="{coat.stage}" d="{track(vertices(run))}"/>'
        for coat in drawn.coats
        for run in coat_runs(drawn, coat.body, coat.line, FACTOR)
    ]
    faults = [
        _fault(f, marks[f.rule], drawn_place(request.section, drawn, f), first[f.rule])
        for f in request.findings
        if f.rule in marks and f.where is not None and f.view == "section"
    ]
    box = " ".join(map(number, (x0, -y1, x1 - x0, y1 - y0)))
    label = f"Section {request.mark}: {request.title}"
    return (
        f'<svg class="section" role="group" aria-label="{text(label)}" viewBox="{box}">'
        f'<g transform="scale(1 -1)">{lines(parts)}</g>{lines(faults)}</svg>'
    )


def _order(drawn: LayeredSection) -> list[Body]:
    """Return the bodies as they are painted: fasteners last, so that nothing hides them."""
    every = (*drawn.bodies, *drawn.passing)
    return sorted(every, key=lambda b: b.role is Role.FASTENER)


def _body(request: SheetRequest, body: Body, group: str) -> str:
    material = request.catalog.material(body.material)
    data = area(body.region)
    inner = [f'<path class="f" fill-rule="evenodd" d="{data}"/>']
    if crossed(body, material):
        a, b, c, d = (float(v) for v in body.region.bounds)
        inner.append(
            f'<path class="x" d="{track([(a, b), (c, d)])}{track([(a, d), (c, b)])}"/>'
        )
    elif material.pattern:
        pattern = request.catalog.drafting.pattern(material.pattern)
        inner += [
            f'<path class="h" fill-rule="evenodd" fill="url(#{text(name)})" d="{data}"/>'
            for name in hatch_names(pattern)
        ]
    role = body.role.value.replace(" ", "-")
    passing = {"data_u": str(body.until)} if body.until else {}
    return tag(
        "g",
        f"{tag('title', text(body.name))}{''.join(inner)}",
        class_=f"b l-{layer_of(body.role)} r-{role} m-{material.family}",
        data_s=str(body.stage),
        data_b=group,
        **passing,
    )


def _joints(drawn: LayeredSection, numbers: Mapping[str, str]) -> list[str]:
    """Return how bodies are held to one another, along their joints."""
    bodies = {b.id: b for b in drawn.bodies}
    made: list[str] = []
    for joint in drawn.joints:
        upper, lower = bodies[joint.upper], bodies[joint.lower]
        kind = _BONDS.get(joint.bond, "stuck" if joint.bond in ADHERED else "")
        if not kind or upper.role is Role.CEMENT:
            continue
        ends = [numbers[b.name] for b in (upper, lower) if b.name in numbers]
        made.append(
            f'<path class="j {kind}" data-s="{max(upper.stage, lower.stage)}" '
            f'data-j="{" ".join(ends)}" d="{track(vertices(joint.line))}"/>'
        )
    return made


def _fault(finding: Finding, letter: str, at: Point, stage: int) -> str:
    """Return the mark of a finding, where it is on the drawing."""
    x, y = number(at[0]), number(-at[1])
    state = finding.outcome.value.replace(" ", "-")
    inner = (
        f"{tag('title', text(finding.title))}"
        f'<circle cx="{x}" cy="{y}" r="{number(_MARK)}"/>'
        f'<text x="{x}" y="{number(-at[1] + _MARK * 0.42)}">{text(letter)}</text>'
    )
    return tag("g", inner, class_=f"mark {state}", data_f=finding.rule, data_s=str(stage))


def patterns_used(requests: Sequence[SheetRequest]) -> list[str]:
    """Return the names of the hatch patterns that some conditions use, in order."""
    used: set[str] = set()
    for request in requests:
        for body in (*request.section.bodies, *request.section.passing):
            material = request.catalog.material(body.material)
            if material.pattern and not crossed(body, material):
                used.add(material.pattern)
    return sorted(used)
