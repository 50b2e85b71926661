"""What holds for the patterns of any corner."""

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from detailgen.flat import ring_area
from detailgen.patterns.corners import CornerSheet, corner_pieces
from tests.patterns.covering import layers
from tests.patterns.folding import folded, lift, poses
from tests.patterns.solid_corner import Solid

IN = 25.4
CANT = st.tuples(st.floats(1.5 * IN, 6 * IN), st.floats(1.5 * IN, 8 * IN))
KINDS = st.sampled_from(["inside", "outside"])
ANGLES = st.floats(60.0, 150.0) | st.sampled_from([60.0, 90.0, 120.0, 135.0, 150.0])
LAPS = st.floats(3 * IN, 6 * IN)


@st.composite
def sheets(draw):
    lap = draw(LAPS)
    return (
        CornerSheet("base-ply", "Base ply", draw(st.floats(50, 500)), 0.0, lap, False),
        CornerSheet(
            "flashing",
            "Flashing sheet",
            draw(st.floats(1 * IN, 16 * IN)),
            draw(st.floats(1 * IN, 58 * IN)),
            lap,
            True,
        ),
    )


@settings(max_examples=60)
@given(KINDS, ANGLES, CANT, sheets())
def test_a_piece_can_be_cut_from_one_flat_sheet(kind, angle, cant, laid):
    for piece in corner_pieces(kind, angle, *cant, laid):
        outline = shapely.Polygon(piece.outline)
        assert outline.is_valid
        assert ring_area(piece.outline) > 0.0
        parts = [shapely.Polygon(p.outline) for p in piece.panels]
        # panels do not overlap, and together they are the outline
        assert np.isclose(sum(p.area for p in parts), outline.area, rtol=1e-9)
        assert (
            shapely.union_all(parts, grid_size=1e-7).symmetric_difference(outline).area
            < 1e-3
        )
        for fold in piece.folds:
            ends = [shapely.Point(fold.start), shapely.Point(fold.end)]
            for panel in fold.panels:
                edge = shapely.Polygon(piece.panel(panel).outline).exterior
                assert all(edge.distance(end) < 1e-6 for end in ends)
        for cut in piece.cuts:
            assert outline.covers(shapely.Point(cut.tip).buffer(1e-6)) or (
                cut.opening > 1e-6
            )
        for zone in (*piece.prime, *piece.overlaps):
            panel = shapely.Polygon(piece.panel(zone.panel).outline)
            over = shapely.difference(shapely.Polygon(zone.outline), panel, grid_size=1e-7)
            assert over.area < 1e-3


@settings(max_examples=40)
@given(KINDS, ANGLES, CANT, sheets(), st.integers(0, 2**32))
def test_a_point_is_primed_when_a_later_panel_lands_on_it(kind, angle, cant, laid, seed):
    rng = np.random.default_rng(seed)
    solid = Solid(kind, angle, *cant)
    pieces = [p for p in corner_pieces(kind, angle, *cant, laid) if p.sheet == "flashing"]
    order = [
        (piece.id, name, corners)
        for piece in pieces
        for name, corners in folded(piece, solid.root(piece)).items()
    ]
    ranks = {(piece, name): n for n, (piece, name, _) in enumerate(order)}
    seen = set()
    for piece in pieces:
        where = poses(piece, solid.root(piece))
        # in the order of setting, whatever the order of the folds
        later_names = [p.id for p in piece.panels]
        for panel in piece.panels:
            ring = np.array(panel.outline)
            spots = rng.dirichlet(np.ones(len(ring)), 40) @ ring
            zones = [shapely.Polygon(z.outline) for z in piece.prime if z.panel == panel.id]
            edges = [z.exterior for z in zones]
            points = shapely.points(spots)
            clear = np.all([shapely.distance(e, points) > 0.01 for e in edges], axis=0)
            primed = np.any([shapely.contains(z, points) for z in zones], axis=0)
            lifted = lift(spots, where[panel.id])
            landed = np.zeros(len(spots), dtype=bool)
            for other, name, corners in order:
                mine = other == piece.id
                if (
                    later_names.index(name) > later_names.index(panel.id)
                    if mine
                    else ranks[other, name] > ranks[piece.id, panel.id]
                ):
                    landed |= layers(corners, lifted)
            if not zones:
                assert not landed.any()
                continue
            assert (primed == landed)[clear].all()
            seen |= set(primed[clear].tolist())
    assert True in seen


@settings(max_examples=30)
@given(KINDS, ANGLES, CANT, sheets())
def test_overlaps_are_told_on_both_pieces_alike(kind, angle, cant, laid):
    pieces = {p.id: p for p in corner_pieces(kind, angle, *cant, laid)}
    told = 0
    for piece in pieces.values():
        for name in {o.piece for o in piece.overlaps}:
            mine = [o for o in piece.overlaps if o.piece == name]
            back = [o for o in pieces[name].overlaps if o.piece == piece.id]
            assert {o.under for o in mine} != {o.under for o in back}
            areas = [sum(ring_area(o.outline) for o in told) for told in (mine, back)]
            assert np.isclose(*areas, rtol=1e-9, atol=1e-2)
            told += 1
    assert told >= 4


@settings(max_examples=20)
@given(KINDS, ANGLES, CANT, sheets())
def test_the_same_corner_gives_the_same_pieces(kind, angle, cant, laid):
    once = corner_pieces(kind, angle, *cant, laid)
    assert once == corner_pieces(kind, angle, *cant, laid)
    assert tuple(p.mirrored().mirrored() for p in once) == once
