"""Mutations for the rules on corners, made on the pieces before they are folded."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from detailgen.flat import FlatPiece, Fold, Panel
from detailgen.patterns._plane import Side, clipped, rounded, x_to, y_from
from detailgen.section import LayeredSection
from tests.checks.mutating import Mutation, rebuilt
from tests.checks.rows import Row, caught, harmless
from tests.checks.variants import IN, Base

Change = Callable[[FlatPiece], FlatPiece | None]
KINDS = ("inside-corner", "outside-corner")


def here(base: Base) -> bool:
    return base.kind in KINDS


def inside(base: Base) -> bool:
    return base.kind == "inside-corner"


def outside(base: Base) -> bool:
    return base.kind == "outside-corner"


def on(piece: str, words: str, change: Change) -> Mutation:
    """Change a piece, or take it out (None); an id that ends in `*` names several."""

    def apply(_: Base, section: LayeredSection) -> LayeredSection:
        done, touched = [], 0
        for one in section.pieces:
            named = one.id.endswith(piece.lstrip("*"))
            touched += named
            changed = change(one) if named else one
            done += [changed] if changed is not None else []
        assert touched
        return replace(section, pieces=tuple(done))

    return Mutation(f"{piece} {words}", apply)


def panel(piece: str, name: str, side: Side, words: str) -> Mutation:
    """Cut a panel of a piece off on the far side of a line of the flat piece."""

    def cut(one: Panel) -> Panel:
        ring = rounded(clipped(one.outline, side))
        assert ring
        return replace(one, outline=ring) if one.id == name else one

    def change(one: FlatPiece) -> FlatPiece:
        assert one.panel(name)
        kept = tuple(cut(p) if p.id == name else p for p in one.panels)
        return replace(one, panels=kept)

    return on(piece, f"{name} {words}", change)


def fold(piece: str, name: str, words: str, turned: Callable[[Fold], Fold]) -> Mutation:
    def change(one: FlatPiece) -> FlatPiece:
        assert any(f.id == name for f in one.folds)
        return replace(
            one, folds=tuple(turned(f) if f.id == name else f for f in one.folds)
        )

    return on(piece, f"fold {name} {words}", change)


def bent(piece: str, name: str, by: float) -> Mutation:
    return fold(piece, name, f"{by:+g} deg", lambda f: replace(f, turn=f.turn + by))


def raised(piece: str, name: str, by: float) -> Mutation:
    def moved(one: Fold) -> Fold:
        (ax, ay), (bx, by_) = one.start, one.end
        return replace(one, start=(ax, ay + by), end=(bx, by_ + by))

    return fold(piece, name, f"raised {by:g} mm", moved)


def tips(piece: str, dx: float, dy: float) -> Mutation:
    """Let the relief cuts of a piece end elsewhere."""
    return on(
        piece,
        f"cuts end ({dx:g}, {dy:g}) mm off",
        lambda p: replace(
            p,
            cuts=tuple(replace(c, tip=(c.tip[0] + dx, c.tip[1] + dy)) for c in p.cuts),
        ),
    )


def dabs(piece: str, words: str, change: Callable[[FlatPiece], tuple]) -> Mutation:
    return on(piece, words, lambda p: replace(p, dabs=change(p)))


def zones(piece: str, words: str, change: Callable[[FlatPiece], tuple]) -> Mutation:
    return on(piece, words, lambda p: replace(p, prime=change(p)))


def roll(piece: str, more: float) -> Mutation:
    """Cut a piece from a roll so much wider than its narrower side."""
    return on(
        piece,
        f"cut from a roll {more:+g} mm wider than it",
        lambda p: replace(p, roll=min(p.size) + more),
    )


def rows() -> Iterator[Row]:
    """Yield all rows of corners."""
    for make in (_bare, _laps, _patches, _dabs, _cuts, _folds, _zones, _rolls):
        yield from make()


def _bare() -> Iterator[Row]:
    rule = "bare_corner"
    yield caught(
        rule, on("flashing-next", "left out", lambda _: None), "short_corner_lap",
        "short_corner_patch", where=here,
    )  # fmt: skip
    yield caught(
        rule, panel("flashing-next", "roof", y_from(-50.0), "ends 50 mm out"),
        "short_corner_patch", where=here,
    )  # fmt: skip
    yield caught(
        rule, panel("strip-in-corner", "cant", x_to(60.0), "ends 60 mm along"),
        "short_corner_patch", where=here,
    )  # fmt: skip
    yield caught(
        rule, on("base-ply-patch", "left out", lambda _: None), "short_corner_patch",
        where=outside,
    )  # fmt: skip
    yield harmless(
        rule, rebuilt("laps of 6 in", parameters={"corner_lap": 6 * IN}), where=here
    )
    yield harmless(
        rule,
        panel("strip-in-corner", "wall-tab", Side(-1.0, 0.0, 3.1 * IN), "3.1 in wide"),
        where=here,
    )
    yield harmless(
        rule,
        panel("flashing-corner", "wall-tab", Side(-1.0, 0.0, 3.2 * IN), "3.2 in wide"),
        where=here,
    )


def _laps() -> Iterator[Row]:
    rule = "short_corner_lap"
    tab = "wall-tab"
    for wide, sheet in ((2.9, "flashing"), (2.0, "flashing"), (2.9, "strip-in")):
        side = Side(-1.0, 0.0, wide * IN)
        # inside, the flap of a low strip-in is as wide as its tab
        where = outside if sheet == "strip-in" else here
        yield caught(
            rule, panel(f"{sheet}-corner", tab, side, f"{wide} in wide"), where=where
        )
    yield caught(
        rule, panel("flashing-next", "wall", x_to(-10.0), "ends 10 mm short of the arris"),
        where=here,
    )  # fmt: skip
    for wide, sheet in ((3.1, "flashing"), (3.1, "strip-in")):
        side = Side(-1.0, 0.0, wide * IN)
        yield harmless(
            rule, panel(f"{sheet}-corner", tab, side, f"{wide} in wide"), where=here
        )


def _patches() -> Iterator[Row]:
    rule = "short_corner_patch"
    for wide, sheet in ((2.9, "flashing"), (1.0, "strip-in"), (2.9, "base-ply")):
        side = Side(-1.0, 0.0, wide * IN)
        yield caught(
            rule, panel(f"{sheet}-patch", "roof", side, f"{wide} in under the next piece"),
            where=outside,
        )  # fmt: skip
    for wide, sheet in ((3.1, "flashing"), (3.1, "base-ply")):
        side = Side(-1.0, 0.0, wide * IN)
        yield harmless(
            rule, panel(f"{sheet}-patch", "roof", side, f"{wide} in under the next piece"),
            where=outside,
        )  # fmt: skip


def _dabs() -> Iterator[Row]:
    rule = "open_pinhole"
    yield caught(rule, dabs("*", "without sealant", lambda _: ()), where=here)
    yield caught(
        rule,
        dabs("*", "with the first dab alone", lambda p: p.dabs[:1]),
        where=here,
    )
    yield caught(
        rule,
        dabs("*", "with dabs 2 mm off", lambda p: tuple((x + 2.0, y) for x, y in p.dabs)),
        where=here,
    )
    yield harmless(
        rule,
        dabs("*", "with dabs 1/2 mm off", lambda p: tuple((x, y - 0.5) for x, y in p.dabs)),
        where=here,
    )
    yield harmless(
        rule,
        dabs("flashing-corner", "with dabs twice", lambda p: (*p.dabs, *p.dabs)),
        where=here,
    )


def _cuts() -> Iterator[Row]:
    rule = "off_relief_cut"
    for piece, dx, dy in (
        ("flashing-corner", 3.3, 0.0),
        ("strip-in-corner", 8.0, 0.0),
        ("base-ply-corner", 0.0, -5.0),
    ):
        yield caught(rule, tips(piece, dx, dy), where=here)
    yield harmless(rule, tips("flashing-corner", 3.0, 0.0), where=here)
    yield harmless(rule, tips("finish-ply-corner", -2.0, 1.0), where=here)


def _folds() -> Iterator[Row]:
    rule = "panel_off_face"
    along = ("bare_corner", "short_corner_patch")
    yield caught(rule, bent("flashing-corner", "arris", 5.0), where=here)
    yield caught(rule, bent("strip-in-corner", "toe", 4.0), *along, where=here)
    yield caught(rule, raised("base-ply-next", "toe", 8.0), *along, where=here)
    yield harmless(rule, bent("flashing-corner", "arris", 0.1), where=here)
    yield harmless(rule, bent("strip-in-corner", "arris", 0.2), where=here)


def _zones() -> Iterator[Row]:
    rule = "unprepared_corner"
    yield caught(rule, zones("flashing-corner", "unprepared", lambda _: ()), where=here)
    yield caught(rule, zones("finish-ply-corner", "unprepared", lambda _: ()), where=here)
    yield caught(
        rule,
        zones(
            "finish-ply-next",
            "prepared 3 mm off",
            lambda p: tuple(
                replace(z, outline=tuple((x, y + 3.0) for x, y in z.outline))
                for z in p.prime
            ),
        ),
        where=here,
    )
    yield harmless(
        rule,
        zones("flashing-corner", "prepared twice", lambda p: (*p.prime, *p.prime)),
        where=here,
    )
    yield harmless(
        rule,
        zones("finish-ply-corner", "prepared twice", lambda p: (*p.prime, *p.prime)),
        where=here,
    )


def _rolls() -> Iterator[Row]:
    rule = "wide_corner_piece"
    for piece in ("flashing-corner", "flashing-next", "base-ply-corner"):
        yield caught(rule, roll(piece, -0.5), where=here)
    yield harmless(rule, roll("flashing-corner", 0.0), where=here)
    yield harmless(rule, roll("base-ply-next", 40.0), where=here)
