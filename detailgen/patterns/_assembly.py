"""From panels laid out side by side to one piece: outline, folds, cuts, zones."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import dist

from detailgen.flat import (
    Cut,
    FlatPiece,
    Fold,
    Outline,
    Overlap,
    Panel,
    TrueAngle,
    TrueLength,
    Zone,
)
from detailgen.geometry import Point
from detailgen.geometry.regions import outline as outline_of
from detailgen.geometry.regions import polygon, union
from detailgen.patterns._plane import (
    SAME,
    STAY,
    Motion,
    Side,
    left_of,
    rounded,
    shared,
    tidy,
)

ON_LINE = 1e-6
"""Points nearer to a line than this, mm, are on it."""


@dataclass(frozen=True, slots=True)
class Hinge:
    """The line by which a panel hangs on another, as the piece lies flat."""

    id: str
    parent: str
    start: Point
    end: Point
    turn: float


@dataclass(frozen=True, slots=True)
class Leaf:
    """A panel of a piece that lies flat, and where its face's coordinates lie then."""

    id: str
    face: str
    flat: Outline
    place: Motion = STAY
    """From the coordinates of the face to those of the flat piece."""
    hinge: Hinge | None = None
    """None for the panel that is set first."""

    def on_face(self) -> Outline:
        """Return the outline in the coordinates of the face."""
        back = self.place.inverse()
        return tuple(back(p) for p in self.flat)


@dataclass(frozen=True, slots=True)
class Draft:
    """A piece in the making."""

    id: str
    sheet: str
    name: str
    primed: bool
    leaves: tuple[Leaf, ...]
    """In the order of setting, each after the one that it hangs on."""
    tips: Mapping[str, Point]
    """Where relief cuts end, by the names of the cuts."""
    points: Mapping[str, Point]
    lengths: tuple[TrueLength, ...]
    angles: tuple[TrueAngle, ...]
    dabs: tuple[Point, ...] = ()
    notes: tuple[str, ...] = ()


def assembled(draft: Draft) -> FlatPiece:
    """Return the piece with outline, folds and cuts, without zones and overlaps."""
    first = draft.leaves[0]
    ring: list[Point] = list(first.flat)
    folds: list[Fold] = []
    by_id = {leaf.id: leaf for leaf in draft.leaves}
    for leaf in draft.leaves[1:]:
        hinge = leaf.hinge
        assert hinge is not None, "only the first panel hangs on none"
        start, end = _fold_ends(by_id[hinge.parent].flat, leaf.flat, hinge)
        folds.append(Fold(hinge.id, start, end, (hinge.parent, leaf.id), hinge.turn))
        ring = _joined(ring, leaf.flat, hinge)
    cuts = tuple(_cut(name, tip, ring) for name, tip in draft.tips.items())
    return FlatPiece(
        draft.id,
        draft.sheet,
        draft.name,
        without_spikes(ring),
        tuple(Panel(leaf.id, leaf.face, leaf.flat) for leaf in draft.leaves),
        tuple(folds),
        cuts,
        points=draft.points,
        lengths=draft.lengths,
        angles=draft.angles,
        dabs=draft.dabs,
        notes=draft.notes,
    )


def _on(line: Side, a: Point, b: Point) -> bool:
    return abs(line.beyond(a)) < ON_LINE and abs(line.beyond(b)) < ON_LINE


def _edge_on(ring: Sequence[Point], hinge: Hinge, *, along: bool) -> int:
    """Return the index of the edge of a ring that runs on a hinge's line.

    Args:
        ring: The ring.
        hinge: The hinge, its start before its end on the way round its parent.
        along: The edge runs from the hinge's start to its end; else it runs back.
    """
    line = left_of(hinge.start, hinge.end)
    ux, uy = hinge.end[0] - hinge.start[0], hinge.end[1] - hinge.start[1]
    edges = list(pairwise([*ring, *ring[:1]]))
    for i, (a, b) in enumerate(edges):
        ahead = ((b[0] - a[0]) * ux + (b[1] - a[1]) * uy) > 0.0
        if ahead is along and _on(line, a, b) and _reach(a, b, hinge):
            return i
    msg = f"no edge lies on the fold {hinge.id}"
    raise AssertionError(msg)


def _reach(a: Point, b: Point, hinge: Hinge) -> bool:
    """Return whether an edge on a hinge's line has a stretch in common with it."""
    low, high = sorted((_station(a, hinge), _station(b, hinge)))
    return min(high, 1.0) - max(low, 0.0) > 1e-9


def _station(p: Point, hinge: Hinge) -> float:
    """Return where a point is on a hinge: 0 at its start, 1 at its end."""
    ux, uy = hinge.end[0] - hinge.start[0], hinge.end[1] - hinge.start[1]
    along = (p[0] - hinge.start[0]) * ux + (p[1] - hinge.start[1]) * uy
    return along / (ux * ux + uy * uy)


def _fold_ends(parent: Outline, child: Outline, hinge: Hinge) -> tuple[Point, Point]:
    """Return the stretch that two panels share, in the direction of the hinge."""
    i, j = _edge_on(parent, hinge, along=True), _edge_on(child, hinge, along=False)
    start = max(parent[i], child[(j + 1) % len(child)], key=lambda p: _station(p, hinge))
    end = min(parent[(i + 1) % len(parent)], child[j], key=lambda p: _station(p, hinge))
    return start, end


def _joined(ring: list[Point], child: Outline, hinge: Hinge) -> list[Point]:
    """Return a ring with a panel added on the other side of a hinge.

    Where the panel lies against an earlier one without hanging on it, the ring runs in to
    the tip between them and out again.
    """
    i, j = _edge_on(ring, hinge, along=True), _edge_on(child, hinge, along=False)
    around = [*child[j + 1 :], *child[: j + 1]]
    return tidy([*ring[: i + 1], *around, *ring[i + 1 :]])


def _cut(name: str, tip: Point, ring: Sequence[Point]) -> Cut:
    """Return the cut that a ring makes when it runs in to a tip and out again."""
    i = min(range(len(ring)), key=lambda k: dist(ring[k], tip))
    assert dist(ring[i], tip) < ON_LINE, f"the outline misses the tip of the cut {name}"
    return Cut(name, ring[i], (ring[i - 1], ring[(i + 1) % len(ring)]))


def without_spikes(ring: Sequence[Point]) -> Outline:
    """Return a ring without points on straight edges and ways in and straight out."""
    kept = list(ring)
    i = 0
    while i < len(kept) and len(kept) > 3:
        a, b, c = kept[i - 1], kept[i], kept[(i + 1) % len(kept)]
        if dist(a, c) <= SAME or abs(left_of(a, c).beyond(b)) < ON_LINE:
            del kept[i]
            kept = tidy(kept)
            i = 0
        else:
            i += 1
    return tuple(kept)


def with_zones(drafts: Sequence[Draft], pieces: Sequence[FlatPiece]) -> list[FlatPiece]:
    """Return pieces with their prime zones and overlaps.

    Args:
        drafts: The pieces in the making, in the order of laying.
        pieces: The same, assembled.
    """
    out: list[FlatPiece] = []
    for n, (draft, piece) in enumerate(zip(drafts, pieces, strict=True)):
        prime: list[Zone] = []
        for k, leaf in enumerate(draft.leaves):
            later = list(draft.leaves[k + 1 :])
            later += [one for other in drafts[n + 1 :] for one in other.leaves]
            landed = _meeting(leaf, later) if draft.primed else []
            merged = union([polygon(ring) for ring in landed])
            prime += [Zone(leaf.id, outline_of(area)) for area in merged]
        overlaps = [
            Overlap(other.id, m > n, leaf.id, ring)
            for m, other in enumerate(drafts)
            if m != n and other.sheet == draft.sheet
            for leaf in draft.leaves
            for ring in _meeting(leaf, other.leaves)
        ]
        out.append(replace(piece, prime=tuple(prime), overlaps=tuple(overlaps)))
    return out


def _meeting(leaf: Leaf, others: Sequence[Leaf]) -> list[Outline]:
    """Return where other panels share a panel's face, on the flat piece of the panel."""
    mine = leaf.on_face()
    found = [shared(mine, o.on_face()) for o in others if o.face == leaf.face]
    return [rounded(leaf.place(p) for p in ring) for ring in found if ring]
