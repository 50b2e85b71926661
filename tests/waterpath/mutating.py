"""Random changes to a section, as a bad day on the roof would make them."""

from dataclasses import replace
from itertools import pairwise
from math import dist
from random import Random

from detailgen.geometry import Region
from detailgen.geometry.joints import clip_joint
from detailgen.geometry.regions import box, cut
from detailgen.section import METALS, SHEETS, Body, Bond, LayeredSection, Role

SHEDS = (Role.COUNTERFLASHING, Role.EDGE_METAL, Role.COPING)


def with_pieces(
    section: LayeredSection, body_id: str, pieces: list[Region]
) -> LayeredSection:
    """Return the section with a body in pieces: the first keeps its id."""
    whole = section.body(body_id)
    assert whole is not None
    joints = section.joints_of(body_id)
    bodies = list(section.bodies)
    place = bodies.index(whole)
    out = section.with_region(body_id, pieces[0])
    bodies[place] = replace(whole, region=pieces[0])
    kept = list(out.joints)
    for number, piece in enumerate(pieces[1:], 2):
        name = f"{body_id}-part-{number}"
        bodies.insert(place + number - 1, replace(whole, id=name, region=piece))
        for joint in joints:
            ends = {
                "upper": name if joint.upper == body_id else joint.upper,
                "lower": name if joint.lower == body_id else joint.lower,
            }
            kept += [replace(joint, line=s, **ends) for s in clip_joint(joint.line, piece)]
    return replace(out, bodies=tuple(bodies), joints=tuple(kept))


def holed(section: LayeredSection, body_id: str, hole: Region) -> LayeredSection:
    """Return the section with a hole cut in a body, through and through."""
    body = section.body(body_id)
    assert body is not None
    pieces = cut(body.region, [hole])
    return with_pieces(section, body_id, pieces) if pieces else section.without(body_id)


def _cut(section: LayeredSection, body: Body, hole: Region) -> LayeredSection | None:
    """Return the section with a hole, or None where the hole leaves a film of a layer."""
    pieces = cut(body.region, [hole])
    thin = 0.3 * (body.thickness or 2.0)
    for piece in pieces:
        firm = piece.buffer(-thin, join_style="mitre").buffer(thin, join_style="mitre")
        if piece.difference(firm).area > 0.3 * thin:
            return None
    return holed(section, body.id, hole)


def _hole(section: LayeredSection, rng: Random) -> LayeredSection | None:
    """Cut a hole across a sheet or a metal."""
    body = rng.choice(section.of_role(*SHEETS, *METALS))
    ring = list(pairwise(body.region.exterior.coords))
    (ax, ay), (bx, by) = rng.choice(sorted(ring, key=lambda e: -dist(*e))[:6])
    span, part = dist((ax, ay), (bx, by)), rng.uniform(0.05, 0.95)
    ux, uy = (bx - ax) / span, (by - ay) / span
    x, y = ax + part * (bx - ax), ay + part * (by - ay)
    half, deep = rng.uniform(3.0, 15.0), 1.5 * (body.thickness or 2.0)
    corners = [(-half, -deep), (half, -deep), (half, deep), (-half, deep)]
    hole = Region([(x + s * ux - d * uy, y + s * uy + d * ux) for s, d in corners])
    return _cut(section, body, hole)


def _trimmed(section: LayeredSection, rng: Random) -> LayeredSection | None:
    """Cut the end of a sheet or a metal off."""
    body = rng.choice(section.of_role(*SHEETS, *METALS))
    x0, y0, x1, y1 = body.region.bounds
    part = rng.uniform(0.02, 0.6)
    window = rng.choice([
        box(x0 - 1, y0 - 1, x0 + part * (x1 - x0), y1 + 1),
        box(x1 - part * (x1 - x0), y0 - 1, x1 + 1, y1 + 1),
        box(x0 - 1, y1 - part * (y1 - y0), x1 + 1, y1 + 1),
        box(x0 - 1, y0 - 1, x1 + 1, y0 + part * (y1 - y0)),
    ])
    return _cut(section, body, window)


def _gone(section: LayeredSection, rng: Random) -> LayeredSection:
    """Leave a body out."""
    roles = (*SHEETS, *METALS, Role.BEAD, Role.CEMENT, Role.FASTENER)
    return section.without(rng.choice(section.of_role(*roles)).id)


def _raised_hem(section: LayeredSection, rng: Random) -> LayeredSection | None:
    """Hang the lower end of a metal higher: cut it off."""
    body = rng.choice(section.of_role(*SHEDS) or section.of_role(*SHEETS))
    x0, y0, x1, _ = body.region.bounds
    return _cut(section, body, box(x0 - 1, y0 - 1, x1 + 1, y0 + rng.uniform(5, 60)))


def _unstuck(section: LayeredSection, rng: Random) -> LayeredSection:
    """Lay a joint dry, or leave it out of the record."""
    place = rng.randrange(len(section.joints))
    joints = list(section.joints)
    dry = replace(joints[place], bond=Bond.DRY)
    joints[place : place + 1] = [dry] if rng.random() < 0.5 else []
    return replace(section, joints=tuple(joints))


def _open_joints(section: LayeredSection, rng: Random) -> LayeredSection:
    """Shorten what closes the joints between pieces of metal, in the layouts."""
    roles = {Role.BACKING_PLATE, Role.COUNTERFLASHING}
    layouts = []
    for layout in section.layouts:
        parts = []
        for part in layout.parts:
            if part.role in roles:
                x0, y0, x1, y1 = part.region.bounds
                less = rng.uniform(0.0, 0.4) * min(x1 - x0, 150.0)
                parts.append(replace(part, region=box(x0 + less, y0, x1, y1)))
            else:
                parts.append(part)
        layouts.append(replace(layout, parts=tuple(parts)))
    return replace(section, layouts=tuple(layouts))


CHANGES = (_hole, _hole, _trimmed, _trimmed, _gone, _raised_hem, _unstuck, _open_joints)


def mutated(section: LayeredSection, rng: Random) -> LayeredSection:
    """Return the section with one to three random changes."""
    left = rng.randint(1, 3)
    while left:
        changed = rng.choice(CHANGES)(section, rng)
        if changed is not None:
            section, left = changed, left - 1
    return section
