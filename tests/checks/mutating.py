"""Ways to change a section: bodies cut, handed on, moved, stretched, stuck otherwise.

A change is made relative to named points and to what the rule set asks, so that the same
one fits every variant. What it does is kept in words for the table beside the tests.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot

import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.joints import clip_joint, lines_in, shared_lines
from detailgen.geometry.measures import fused
from detailgen.geometry.regions import GRID, box, pieces, polygon
from detailgen.section import (
    Body,
    Bond,
    Coat,
    Joint,
    LayeredSection,
    Layout,
    Mark,
    Part,
    Role,
)
from tests.checks.variants import Base

FAR = 5000.0
AIR = "air"
"""What is cut away becomes part of a hollow that is meant: no pocket is left."""

Change = Callable[[Base, LayeredSection], LayeredSection]


@dataclass(frozen=True)
class Mutation:
    """A change to a section, and what it does in words."""

    what: str
    apply: Change

    def __call__(self, base: Base, section: LayeredSection) -> LayeredSection:
        changed = self.apply(base, section)
        assert changed != section, (base.code, self.what)
        return changed

    def __and__(self, other: "Mutation") -> "Mutation":
        return Mutation(f"{self.what}; {other.what}", lambda b, s: other(b, self(b, s)))


@dataclass(frozen=True)
class At:
    """A coordinate: of a named point, so far from it, and as a row of the rules asks."""

    words: str
    of: Callable[[Base, LayeredSection], float]


def point(name: str, axis: str, plus: float = 0.0) -> At:
    """Return a coordinate so far beyond a named point (negative: before it)."""
    i = "xy".index(axis)
    words = f"{abs(plus):g} mm {_side(axis, plus)} {name}" if plus else name
    return At(words, lambda _, s: s.points[name][i] + plus)


def limit(name: str, axis: str, row: str, by: float, sign: int = 1) -> At:
    """Return where a row's length from a named point ends, and a little (`by`) further.

    Args:
        name: The point.
        axis: `x` or `y`.
        row: Row of the rule set.
        by: How much further, mm; negative for nearer to the point.
        sign: Which way the length runs from the point.
    """
    i = "xy".index(axis)
    beyond = f"{abs(by):g} mm {'beyond' if by > 0 else 'short of'} "
    words = f"{beyond if by else ''}{row} from {name}"
    return At(words, lambda b, s: s.points[name][i] + sign * (b.limit(row) + by))


def edge_of(body_id: str, side: str, plus: float = 0.0) -> At:
    """Return a side of a body's box, and so far beyond it."""
    i = ("left", "bottom", "right", "top").index(side)
    words = f"{plus:+g} mm from the {side} of {body_id}" if plus else f"{side} of {body_id}"
    return At(words, lambda _, s: body_in(s, body_id).region.bounds[i] + plus)


def _side(axis: str, by: float) -> str:
    names = {"x": ("left of", "right of"), "y": ("below", "above")}[axis]
    return names[by > 0]


def body_in(section: LayeredSection, body_id: str) -> Body:
    """Return a body that must be there."""
    found = section.body(body_id)
    assert found is not None, body_id
    return found


def there(section: LayeredSection, names: Sequence[str]) -> list[str]:
    """Return the ids that stand for names; those that end in ? may be missing.

    `boards` and `wood` stand for the topmost layer of boards or of wood.
    """
    found: list[str] = []
    for name in names:
        stem = name.rstrip("?")
        layers = {
            "boards": (Role.INSULATION, Role.COVER_BOARD),
            "wood": (Role.NAILER, Role.SHIM),
        }.get(stem)
        if layers is not None:
            those = [b for b in section.of_role(*layers) if b.region.bounds[0] < -1.0]
            found += [max(those, key=lambda b: b.region.bounds[3]).id] if those else []
        elif section.body(stem) is not None:
            found.append(stem)
        else:
            assert name.endswith("?"), name
    return found


# --- the section taken apart --------------------------------------------------------------


def whole(shape: BaseGeometry) -> Region:
    """Return a shape as one region without slivers."""
    parts = pieces(shape, least=1e-4)
    assert parts, "nothing is left"
    return max(parts, key=lambda g: g.area)


def with_region(section: LayeredSection, body_id: str, region: Region) -> LayeredSection:
    """Return the section with one body's region; joints and coats shrink with it."""
    changed = section.with_region(body_id, region)
    coats: list[Coat] = []
    for coat in changed.coats:
        if coat.body == body_id:
            coats += [replace(coat, line=s) for s in clip_joint(coat.line, region)]
        else:
            coats.append(coat)
    return replace(changed, coats=tuple(coats))


def gone(*names: str) -> Mutation:
    """Take bodies out."""

    def change(_: Base, section: LayeredSection) -> LayeredSection:
        for body_id in there(section, names):
            section = section.without(body_id)
        return section

    return Mutation(f"{_list(names)} taken out", change)


def cut(
    names: Sequence[str] | str,
    window: Mapping[str, At],
    to: str | None = None,
) -> Mutation:
    """Cut away what of bodies lies in a window.

    Args:
        names: The bodies.
        window: Its sides: `above`, `below`, `left`, `right`; what is not named is open.
        to: Body that takes the room instead; `AIR` for a hollow that is meant; None for
            nothing at all.
    """
    these = (names,) if isinstance(names, str) else tuple(names)

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        sides = {side: at.of(base, section) for side, at in window.items()}
        tool = box(
            sides.get("right", -FAR),
            sides.get("above", -FAR),
            sides.get("left", FAR),
            sides.get("below", FAR),
        )
        for body_id in there(section, these):
            section = _cut(section, body_id, tool, to)
        return section

    told = ", ".join(f"{side} {at.words}" for side, at in window.items())
    rest = {None: "", AIR: ", hollow there"}.get(to, f", {to} in its place")
    return Mutation(f"{_list(these)} cut away {told}{rest}", change)


def _cut(
    section: LayeredSection, body_id: str, tool: Region, to: str | None
) -> LayeredSection:
    body = body_in(section, body_id)
    taken = pieces(body.region.intersection(tool), least=1e-4)
    if not taken:
        return section
    left = pieces(shapely.difference(body.region, tool, grid_size=GRID), least=1e-4)
    before = section
    if not left:
        section = section.without(body_id)
    elif len(left) == 1:
        section = with_region(section, body_id, left[0])
    else:
        section = _many(section, body, sorted(left, key=lambda g: -g.area))
    if to == AIR:
        return replace(section, hollows=(*section.hollows, *taken))
    if to is None:
        return section
    heirs = there(section, (to,))
    return given_to(before, section, body_id, taken, heirs[0])


def _many(section: LayeredSection, body: Body, parts: Sequence[Region]) -> LayeredSection:
    """Return the section with a body in several pieces: `finish-ply`, `finish-ply/2`."""
    names = [body.id if not i else f"{body.id}/{i + 1}" for i in range(len(parts))]
    pieces_of = dict(zip(names, parts, strict=True))
    bodies: list[Body] = []
    for one in section.bodies:
        if one.id == body.id:
            bodies += [replace(body, id=n, region=r) for n, r in pieces_of.items()]
        elif body.id in one.pierces:
            bodies.append(replace(one, pierces=(*one.pierces, *names[1:])))
        else:
            bodies.append(one)
    joints: list[Joint] = []
    for joint in section.joints:
        cut_up = body.id in {joint.upper, joint.lower}
        for name, region in pieces_of.items() if cut_up else ():
            renamed = _renamed(joint, body.id, name)
            joints += [replace(renamed, line=s) for s in clip_joint(joint.line, region)]
        joints += [] if cut_up else [joint]
    kept, dry = section.must_stay_dry, section.dry_within
    return replace(
        section,
        bodies=tuple(bodies),
        joints=tuple(joints),
        coats=_coats_of_pieces(section.coats, body.id, pieces_of),
        must_stay_dry=(*kept, *(names[1:] if body.id in kept else ())),
        dry_within={**dry, **{n: dry[body.id] for n in names if body.id in dry}},
    )


def _coats_of_pieces(
    coats: Sequence[Coat], body_id: str, pieces_of: Mapping[str, Region]
) -> tuple[Coat, ...]:
    """Return coats where a body has fallen into pieces."""
    found: list[Coat] = []
    for coat in coats:
        for name, region in pieces_of.items() if coat.body == body_id else ():
            lines = clip_joint(coat.line, region)
            found += [replace(coat, body=name, line=s) for s in lines]
        found += [] if coat.body == body_id else [coat]
    return tuple(found)


def _renamed(joint: Joint, before: str, after: str) -> Joint:
    """Return a joint of another body in the place of one."""
    upper, lower = (after if i == before else i for i in (joint.upper, joint.lower))
    return replace(joint, upper=upper, lower=lower)


def given_to(
    before: LayeredSection,
    section: LayeredSection,
    body_id: str,
    taken: Sequence[Region],
    heir: str,
) -> LayeredSection:
    """Return the section with pieces of a body given to another, with their joints."""
    region = body_in(section, heir).region
    joined = shapely.union_all([region, *taken], grid_size=GRID)
    assert len(pieces(joined, least=1e-4)) == 1, f"{heir} does not touch what it takes"
    bodies = tuple(
        replace(b, region=whole(joined)) if b.id == heir else b for b in section.bodies
    )
    joints = [
        replace(j, line=line)
        for j in section.joints
        for line in (_outer(j, heir, whole(joined)))
    ]
    for joint in before.joints:
        if body_id in {joint.upper, joint.lower} and heir not in {joint.upper, joint.lower}:
            moved = _renamed(joint, body_id, heir)
            for piece in taken:
                joints += [replace(moved, line=s) for s in clip_joint(joint.line, piece)]
    met = [j for j in before.joints if {j.upper, j.lower} == {body_id, heir}]
    rest = section.body(body_id)
    if met and rest is not None:  # they meet along the cut now
        for piece in taken:
            lines = shared_lines(piece, rest.region)
            joints += [replace(met[0], line=s) for s in lines]
    return replace(section, bodies=bodies, joints=tuple(joints))


def _outer(joint: Joint, heir: str, region: Region) -> list[Line]:
    """Return what of a joint is still on the surface of a body that has grown."""
    if heir not in {joint.upper, joint.lower}:
        return [joint.line]
    return clip_joint(joint.line, region)


def slit(
    names: Sequence[str] | str,
    axis: str,
    at: At,
    width: float,
    to: str | None = None,
    **more: At,
) -> Mutation:
    """Cut a slit of a width through bodies, square to an axis, from a coordinate on."""
    end = At("", lambda b, s: at.of(b, s) + width)
    low, high = {"x": ("right", "left"), "y": ("above", "below")}[axis]
    made = cut(names, {low: at, high: end, **more}, to)
    these = (names,) if isinstance(names, str) else tuple(names)
    rest = {None: "", AIR: ", hollow"}.get(to, f", {to} in it")
    return Mutation(
        f"slit of {width:g} mm through {_list(these)} at {at.words}{rest}", made.apply
    )


def slit_square(
    names: Sequence[str] | str,
    line: tuple[str, str],
    share: float,
    width: float,
    to: str | None = None,
) -> Mutation:
    """Cut a slit of a width through bodies, square to the line between two points.

    Args:
        names: The bodies.
        line: Names of the two points.
        share: Where the slit begins, as a share of the line's length.
        width: How wide it is.
        to: Body that takes the room instead.
    """
    these = (names,) if isinstance(names, str) else tuple(names)

    def change(_: Base, section: LayeredSection) -> LayeredSection:
        (ax, ay), (bx, by) = (section.points[name] for name in line)
        span = hypot(bx - ax, by - ay)
        ux, uy = (bx - ax) / span, (by - ay) / span
        foot = (ax + share * (bx - ax), ay + share * (by - ay))

        def corner(along: float, off: float) -> Point:
            return (foot[0] + along * ux - off * uy, foot[1] + along * uy + off * ux)

        tool = polygon([
            corner(0.0, -0.01),
            corner(width, -0.01),
            corner(width, 60.0),
            corner(0.0, 60.0),
        ])
        for body_id in there(section, these):
            section = _cut(section, body_id, tool, to)
        return section

    rest = f", {to} in it" if to else ""
    return Mutation(
        f"slit of {width:g} mm through {_list(these)}, square to the line from {line[0]} "
        f"to {line[1]} at {share:.0%}{rest}",
        change,
    )


def split_off(body_id: str, side: str, at: At, material: str) -> Mutation:
    """Make a part of a body another body, of another material."""

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        x = at.of(base, section)
        body = body_in(section, body_id)
        tool = box(-FAR, -FAR, x, FAR) if side == "left" else box(x, -FAR, FAR, FAR)
        piece = whole(body.region.intersection(tool))
        rest = whole(shapely.difference(body.region, tool, grid_size=GRID))
        section = _many(section, body, [rest, piece])
        other = f"{body_id}/2"
        bodies = tuple(
            replace(b, material=material) if b.id == other else b for b in section.bodies
        )
        return replace(section, bodies=bodies)

    return Mutation(f"{body_id} {side} of {at.words} made of {material}", change)


def grown(name: str, *corners: tuple[At, At], less: Sequence[str] = ()) -> Mutation:
    """Add the box between two corners to a body; `less`: bodies that give up that room."""

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        xs = [c[0].of(base, section) for c in corners]
        ys = [c[1].of(base, section) for c in corners]
        added = box(min(xs), min(ys), max(xs), max(ys))
        for other in there(section, less):
            section = _cut(section, other, added, None)
        body = body_in(section, there(section, (name,))[0])
        joined = shapely.union_all([body.region, added], grid_size=GRID)
        assert len(pieces(joined, least=1e-4)) == 1, "what is added must touch"
        bodies = tuple(
            replace(b, region=whole(joined)) if b.id == body.id else b
            for b in section.bodies
        )
        return replace(section, bodies=bodies)

    told = " to ".join(f"({x.words}; {y.words})" for x, y in corners)
    return Mutation(f"{name} grown by {told}", change)


# --- the section bent and moved -----------------------------------------------------------

Map = Callable[[float, float], Point]


def mapped(shape: BaseGeometry, to: Map) -> BaseGeometry:
    """Return a shape with every vertex moved."""
    return shapely.transform(
        shape,
        lambda xy: [to(float(x), float(y)) for x, y in xy],  # type: ignore[arg-type,return-value]
    )


def _all(section: LayeredSection, to: Map) -> LayeredSection:
    return replace(
        section,
        bodies=tuple(replace(b, region=mapped(b.region, to)) for b in section.bodies),
        joints=tuple(replace(j, line=mapped(j.line, to)) for j in section.joints),
        coats=tuple(replace(c, line=mapped(c.line, to)) for c in section.coats),
        points={name: to(*p) for name, p in section.points.items()},
        hollows=tuple(mapped(h, to) for h in section.hollows),  # type: ignore[misc]
        dry_within={k: mapped(r, to) for k, r in section.dry_within.items()},  # type: ignore[misc]
        zones=tuple(replace(z, region=mapped(z.region, to)) for z in section.zones),  # type: ignore[arg-type]
        extent=mapped(section.extent, to),  # type: ignore[arg-type]
    )


def stretched(at: At, by: float | At, words: str = "") -> Mutation:
    """Raise all that lies above a height: what stands across it grows longer or shorter."""

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        y0 = at.of(base, section)
        dy = by.of(base, section) if isinstance(by, At) else by
        return _all(section, lambda x, y: (x, y + dy) if y > y0 else (x, y))

    told = by.words if isinstance(by, At) else f"by {by:g} mm"
    return Mutation(f"all above {at.words} raised {words or told}", change)


def pulled(
    names: Sequence[str],
    window: Mapping[str, At],
    by: tuple[float | At, float | At],
    *,
    hollow: bool = False,
) -> Mutation:
    """Move the corners of bodies that lie in a window.

    Args:
        names: The bodies.
        window: Its sides, as for `cut`.
        by: How far to the right and up.
        hollow: What is shut in behind the bodies is meant, as it was before.
    """

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        sides = {side: at.of(base, section) for side, at in window.items()}
        dx, dy = (v.of(base, section) if isinstance(v, At) else v for v in by)

        def to(x: float, y: float) -> Point:
            inside = sides.get("right", -FAR) < x < sides.get("left", FAR) and sides.get(
                "above", -FAR
            ) < y < sides.get("below", FAR)
            return (x + dx, y + dy) if inside else (x, y)

        ids = set(there(section, names))
        changed = _some(section, ids, to)
        return _hollowed(changed, ids) if hollow else changed

    told = ", ".join(f"{side} {at.words}" for side, at in window.items())
    way = ", ".join(v.words if isinstance(v, At) else f"{v:g}" for v in by)
    return Mutation(f"{_list(names)} {told} moved by ({way})", change)


def _hollowed(section: LayeredSection, ids: set[str]) -> LayeredSection:
    """Return the section with the spaces behind bodies as hollows that are meant."""
    holes = fused([b.region for b in section.bodies]).holes
    those = [b.region for b in section.bodies if b.id in ids]
    meant = [h for h in holes if any(h.distance(r) < 1e-3 for r in those)]
    return replace(section, hollows=(*section.hollows, *meant))


def _some(section: LayeredSection, ids: set[str], to: Map) -> LayeredSection:
    """Return the section with the vertices of some bodies moved; joints follow."""
    regions = {
        b.id: mapped(b.region, to) if b.id in ids else b.region for b in section.bodies
    }
    bodies = tuple(replace(b, region=regions[b.id]) for b in section.bodies)  # type: ignore[arg-type]
    joints: list[Joint] = []
    for joint in section.joints:
        both = {joint.upper, joint.lower}
        if both <= ids or not both & ids:
            line = mapped(joint.line, to) if both <= ids else joint.line
            joints.append(replace(joint, line=line))  # type: ignore[arg-type]
            continue
        (only,) = both & ids
        joints += [replace(joint, line=s) for s in clip_joint(joint.line, regions[only])]  # type: ignore[arg-type]
    coats = tuple(
        replace(c, line=mapped(c.line, to)) if c.body in ids else c for c in section.coats
    )
    return replace(section, bodies=bodies, joints=tuple(joints), coats=coats)


def moved(names: Sequence[str] | str, dx: float, dy: float) -> Mutation:
    """Move bodies; joints go where they do not touch any more."""
    these = (names,) if isinstance(names, str) else tuple(names)

    def change(_: Base, section: LayeredSection) -> LayeredSection:
        return _some(section, set(there(section, these)), lambda x, y: (x + dx, y + dy))

    return Mutation(f"{_list(these)} moved by ({dx:g}, {dy:g}) mm", change)


# --- what is made of what, and stuck how --------------------------------------------------


def rebuilt(words: str = "", **given: object) -> Mutation:
    """Build the section otherwise: other `parameters`, `roof` or `materials`.

    A value that is callable is asked with the base.
    """

    def change(base: Base, _: LayeredSection) -> LayeredSection:
        settled = {
            kind: {k: v(base) if callable(v) else v for k, v in values.items()}  # type: ignore[union-attr]
            for kind, values in given.items()
        }
        return base.built(**settled)  # type: ignore[arg-type]

    return Mutation(words, change)


def bonded(upper: str, lowers: Sequence[str], bond: Bond, share: float = 1.0) -> Mutation:
    """Stick a body in another way to what lies under it, all along or along a share."""

    def change(_: Base, section: LayeredSection) -> LayeredSection:
        under = set(there(section, lowers))
        joints: list[Joint] = []
        for joint in section.joints:
            if joint.upper != upper or joint.lower not in under or joint.bond is bond:
                joints.append(joint)
                continue
            end = share * joint.line.length
            joints.append(replace(joint, bond=bond, line=_stretch(joint.line, 0.0, end)))
            if share < 1.0:
                rest = _stretch(joint.line, end, joint.line.length)
                joints.append(replace(joint, line=rest))
        return replace(section, joints=tuple(joints))

    part = "" if share == 1.0 else f" along {share:.0%} of it"
    return Mutation(f"{upper} on {_list(lowers)}: {bond}{part}", change)


def _stretch(line: Line, start: float, end: float) -> Line:
    found = substring(line, start, end)
    assert isinstance(found, Line)
    return found


def bonded_beyond(body_id: str, x: At, bond: Bond, *, lowest: bool = False) -> Mutation:
    """Stick a body in another way to all that it lies on to the right of an x."""

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        limit_x = x.of(base, section)
        those = [
            i
            for i, j in enumerate(section.joints)
            if j.upper == body_id and j.line.bounds[0] >= limit_x
        ]
        assert those, "nothing is stuck there"
        chosen = those[-1:] if lowest else those
        joints = tuple(
            replace(j, bond=bond) if i in chosen else j
            for i, j in enumerate(section.joints)
        )
        return replace(section, joints=joints)

    part = "the last thing" if lowest else "all"
    return Mutation(f"{body_id} on {part} right of {x.words}: {bond}", change)


def made_of(names: Sequence[str] | str, material: str) -> Mutation:
    """Make bodies of something else."""
    these = (names,) if isinstance(names, str) else tuple(names)

    def change(_: Base, section: LayeredSection) -> LayeredSection:
        ids = set(there(section, these))
        bodies = tuple(
            replace(b, material=material) if b.id in ids else b for b in section.bodies
        )
        return replace(section, bodies=bodies)

    return Mutation(f"{_list(these)} made of {material}", change)


def roles(swap: Mapping[str, Role]) -> Mutation:
    """Let bodies be something else."""

    def change(_: Base, section: LayeredSection) -> LayeredSection:
        bodies = tuple(
            replace(b, role=swap[b.id]) if b.id in swap else b for b in section.bodies
        )
        return replace(section, bodies=bodies)

    told = ", ".join(f"{name} as {role}" for name, role in swap.items())
    return Mutation(told, change)


def coats(
    body_id: str, change: Callable[[Base, LayeredSection, Line], Sequence[Line]], words: str
) -> Mutation:
    """Change what is brushed on a body."""

    def apply(base: Base, section: LayeredSection) -> LayeredSection:
        found: list[Coat] = []
        for coat in section.coats:
            lines = (
                [coat.line] if coat.body != body_id else change(base, section, coat.line)
            )
            found += [replace(coat, line=s) for s in lines]
        return replace(section, coats=tuple(found))

    return Mutation(words, apply)


def coat_cut(body_id: str, left: At, right: At | None = None) -> Mutation:
    """Leave a coat out: left of an x, or between two."""

    def change(base: Base, section: LayeredSection, line: Line) -> list[Line]:
        a = left.of(base, section)
        if right is None:
            return lines_in(line.intersection(box(a, -FAR, FAR, FAR)))
        b = right.of(base, section)
        return lines_in(line.difference(box(a, -FAR, b, FAR)))

    where = (
        f"left of {left.words}"
        if right is None
        else f"between {left.words} and {right.words}"
    )
    return coats(body_id, change, f"{body_id} unprepared {where}")


# --- layouts ------------------------------------------------------------------------------


def parts(
    layout_id: str, words: str, change: Callable[[Base, Part], Part | None]
) -> Mutation:
    """Change or drop (None) the parts of a layout."""

    def apply(base: Base, section: LayeredSection) -> LayeredSection:
        layout = section.layout(layout_id)
        assert layout is not None
        changed = tuple(q for p in layout.parts if (q := change(base, p)) is not None)
        return _with_layout(section, replace(layout, parts=changed))

    return Mutation(f"{layout_id}: {words}", apply)


def _with_layout(section: LayeredSection, layout: Layout) -> LayeredSection:
    other = tuple(v for v in section.layouts if v.id != layout.id)
    return replace(section, layouts=(*other, layout))


def longer(layout_id: str, part_id: str, by: float) -> Mutation:
    """Move the right end of a part; a negative length shortens it."""

    def change(_: Base, part: Part) -> Part:
        x0, y0, x1, y1 = part.region.bounds
        return (
            replace(part, region=box(x0, y0, x1 + by, y1)) if part.id == part_id else part
        )

    way = "longer" if by > 0 else "shorter"
    return parts(layout_id, f"{part_id} {abs(by):g} mm {way}", change)


def level(layout_id: str, part_id: str, value: int) -> Mutation:
    """Lay a part over or under the others."""
    return parts(
        layout_id,
        f"{part_id} laid at level {value}",
        lambda _, p: replace(p, level=value) if p.id == part_id else p,
    )


def marks(
    layout_id: str, words: str, change: Callable[[Mark, int], Mark | None]
) -> Mutation:
    """Change or drop (None) the marks of a layout; the number counts within a row."""

    def apply(_: Base, section: LayeredSection) -> LayeredSection:
        layout = section.layout(layout_id)
        assert layout is not None
        seen: dict[int, int] = {}
        changed: list[Mark] = []
        for mark in layout.marks:
            number = seen[mark.row] = seen.get(mark.row, -1) + 1
            new = change(mark, number)
            if new is not None:
                changed.append(new)
        return _with_layout(section, replace(layout, marks=tuple(changed)))

    return Mutation(f"{layout_id}: {words}", apply)


def dropped(layout_id: str, row: int, which: Callable[[int], bool], words: str) -> Mutation:
    """Drop fasteners of a row."""
    return marks(
        layout_id,
        f"{words} of row {row} taken out",
        lambda m, n: None if m.row == row and which(n) else m,
    )


def shifted(
    layout_id: str, row: int, dx: float, dy: float = 0.0, only: int | None = None
) -> Mutation:
    """Move the fasteners of a row, or one of them."""

    def change(mark: Mark, number: int) -> Mark:
        here = mark.row == row and (only is None or number == only)
        return replace(mark, at=(mark.at[0] + dx, mark.at[1] + dy)) if here else mark

    who = f"row {row}" if only is None else f"fastener {only + 1} of row {row}"
    return marks(layout_id, f"{who} moved by ({dx:g}, {dy:g}) mm", change)


def added(layout_id: str, row: int, dx: float, dy: float = 0.0) -> Mutation:
    """Add a fastener beside the first one of a row, or a whole row beside a row."""

    def apply(_: Base, section: LayeredSection) -> LayeredSection:
        layout = section.layout(layout_id)
        assert layout is not None
        first = next(m for m in layout.marks if m.row == row)
        extra = [replace(first, at=(first.at[0] + dx, first.at[1] + dy))]
        return _with_layout(section, replace(layout, marks=(*layout.marks, *extra)))

    return Mutation(
        f"{layout_id}: a fastener more, ({dx:g}, {dy:g}) mm from row {row}", apply
    )


def _list(names: Sequence[str]) -> str:
    return ", ".join(n.rstrip("?") for n in names)


def patched(
    window: Mapping[str, At], role: Role, bond: Bond, thickness: float = 2.0
) -> Mutation:
    """Lay a patch on whatever is exposed in a window.

    Args:
        window: Its sides, as for `cut`.
        role: What it is.
        bond: How it is stuck to all that it touches.
        thickness: How thick it is.
    """

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        sides = {side: at.of(base, section) for side, at in window.items()}
        tool = box(
            sides.get("right", -FAR),
            sides.get("above", -FAR),
            sides.get("left", FAR),
            sides.get("below", FAR),
        )
        solid = shapely.union_all([b.region for b in section.bodies], grid_size=GRID)
        shell = solid.buffer(thickness, join_style="mitre").difference(solid)
        region = whole(shell.intersection(tool))
        stage = max(b.stage for b in section.bodies)
        body = Body(
            "patch", role, "base-ply-glass-smooth", region, stage, "patch", thickness
        )
        joints = [
            Joint("patch", b.id, line, bond)
            for b in section.bodies
            for line in shared_lines(region, b.region)
        ]
        return replace(
            section,
            bodies=(*section.bodies, body),
            joints=(*section.joints, *joints),
        )

    told = ", ".join(f"{side} {at.words}" for side, at in window.items())
    return Mutation(f"patch of {role} {told}, {bond}", change)


def face_of(body_id: str, x: At, *, top: bool, plus: float = 0.0) -> At:
    """Return the height of a body's upper or lower face at an x, and so far above it."""

    def of(base: Base, section: LayeredSection) -> float:
        at = x.of(base, section)
        (name,) = there(section, (body_id,))
        line = Line([(at, -FAR), (at, FAR)])
        bounds = body_in(section, name).region.intersection(line).bounds
        return float(bounds[3] if top else bounds[1]) + plus

    face = "top" if top else "underside"
    by = f"{plus:+g} mm from " if plus else ""
    return At(f"{by}{face} of {body_id}", of)


def holed(
    name: str, size: float, at: tuple[At, At] | None = None, *, meant: bool = False
) -> Mutation:
    """Cut a square hole into the middle of a body."""

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        (body_id,) = there(section, (name,))
        region = body_in(section, body_id).region
        inner = region.representative_point()
        x, y = (inner.x, inner.y) if at is None else (v.of(base, section) for v in at)
        hole = box(x - size / 2.0, y - size / 2.0, x + size / 2.0, y + size / 2.0)
        assert region.contains(hole), f"{name} is too thin for the hole"
        left = whole(region.difference(hole))
        changed = with_region(section, body_id, left)
        return replace(changed, hollows=(*changed.hollows, hole)) if meant else changed

    rest = ", meant to be there" if meant else ""
    return Mutation(f"hole of {size:g} x {size:g} mm in {name}{rest}", change)
