"""Corners that stand just at a limit of a rule, or so far from it."""

from dataclasses import replace
from functools import cache
from math import asin, degrees

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.flat import FlatPiece
from detailgen.parameters import Roof
from detailgen.patterns._plane import Side, clipped, rounded
from detailgen.section import LayeredSection

IN = 25.4


@cache
def corner(kind: str = "outside", **given: object) -> LayeredSection:
    """Return a corner as it is by default, with some parameters of its own."""
    catalog = load_catalog()
    condition = CONDITIONS[f"{kind}-corner"]
    p = condition.parameters(id="X1", **given)  # type: ignore[arg-type]
    return condition.build(p, Site(Roof(), catalog, catalog.rule_set("common-practice")))


def _with(section: LayeredSection, piece: FlatPiece) -> LayeredSection:
    pieces = tuple(piece if p.id == piece.id else p for p in section.pieces)
    return replace(section, pieces=pieces)


def _piece(section: LayeredSection, name: str) -> FlatPiece:
    return next(p for p in section.pieces if p.id == name)


def _narrowed(name: str, panel: str, width: float) -> LayeredSection:
    """Return a corner with a panel that goes so far to the left of the arris."""
    section = corner(corner_lap=5 * IN)
    piece = _piece(section, name)
    side = Side(-1.0, 0.0, width)
    panels = tuple(
        replace(p, outline=rounded(clipped(p.outline, side))) if p.id == panel else p
        for p in piece.panels
    )
    return _with(section, replace(piece, panels=panels))


def sheets_at_corner(n: float) -> LayeredSection:
    """Return a corner with one sheet all over it, or with none on the second wall."""
    section = corner()
    gone = set() if n else {"flashing-next"}
    own = (p for p in section.pieces if p.sheet == "flashing" and p.id not in gone)
    return replace(section, pieces=tuple(own))


def doubled_at_arris(v: float) -> LayeredSection:
    return _narrowed("flashing-corner", "wall-tab", v)


def patch_past_wedge(v: float) -> LayeredSection:
    return _narrowed("flashing-patch", "roof", v)


def pinholes(n: float) -> LayeredSection:
    section = corner()
    piece = _piece(section, "strip-in-corner")
    patch = _piece(section, "strip-in-patch")
    bare = _with(section, replace(patch, dabs=()))
    return _with(bare, replace(piece, dabs=piece.dabs[: 2 - int(n)]))


def cut_past_corner(v: float) -> LayeredSection:
    section = corner()
    piece = _piece(section, "flashing-corner")
    cut = piece.cuts[0]
    moved = replace(cut, tip=(cut.tip[0] + v, cut.tip[1]))
    return _with(section, replace(piece, cuts=(moved, *piece.cuts[1:])))


def panel_before_face(v: float) -> LayeredSection:
    """Return a corner with a piece whose outer end stands so far off the roof."""
    section = corner()
    piece = _piece(section, "flashing-next")
    reach = -piece.points["end.outer"][1]
    folds = tuple(
        replace(f, turn=f.turn - degrees(asin(v / reach))) if f.id == "toe" else f
        for f in piece.folds
    )
    return _with(section, replace(piece, folds=folds))


def unprepared(area: float) -> LayeredSection:
    """Return a corner with so much of a lap unprepared, mm2: a strip 100 mm long."""
    section = corner()
    piece = _piece(section, "flashing-corner")
    strip = area / 100.0
    tab = next(z for z in piece.prime if z.panel == "wall-tab")
    xs, ys = zip(*tab.outline, strict=True)
    high = max(ys)
    assert high - min(ys) > 100.0
    ring = (
        (min(xs) + strip, high), (min(xs) + strip, high - 100.0), (min(xs), high - 100.0),
        (min(xs), min(ys)), (max(xs), min(ys)), (max(xs), high),
    )  # fmt: skip
    zones = tuple(replace(z, outline=ring) if z is tab else z for z in piece.prime)
    return _with(section, replace(piece, prime=zones))


def blank_of_width(v: float) -> LayeredSection:
    """Return a corner whose roll is as wide as 1000 mm, and a piece so wide both ways."""
    section = corner()
    piece = _piece(section, "flashing-next")
    square = ((0.0, 0.0), (v, 0.0), (v, 2000.0), (0.0, 2000.0))
    return _with(section, replace(piece, outline=square))
