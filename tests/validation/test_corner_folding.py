"""Corner patterns folded back into space land on the solid corner and cover it.

The oracle is elementary solid geometry, told twice and apart from the patterns: the corner
as planes in space whose vertices are solved for (tests/patterns/solid_corner.py), and
folding by rotation matrices about the fold lines (tests/patterns/folding.py).
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from detailgen.patterns.corners import corner_pieces
from tests.patterns.covering import asked, counted, set_up, surface_points
from tests.patterns.folding import folded
from tests.patterns.solid_corner import Case, angle, breadth, cases

CLOSE = 0.01
"""mm; what the folded pattern may miss the solid corner by."""
COUNT = 100
KINDS = ["inside", "outside"]


@cache
def corners(kind: str) -> list[Case]:
    return list(cases(kind, COUNT, seed=20))


@cache
def pieces(case: Case):
    return corner_pieces(case.kind, case.angle, case.height, case.run, case.sheets)


def misses(case: Case, piece) -> dict[str, float]:
    """Return by how much each panel of a piece, folded up, misses the solid corner.

    Every vertex of the panel must have one of the solid's near it, and the other way round.
    """
    solid = case.solid
    sheet = next(s for s in case.sheets if s.id == piece.sheet)
    got = folded(piece, solid.root(piece))
    which = piece.id.rsplit("-", 1)[1]
    wanted = {
        panel: solid.corners(face, halves)
        for (kind, panel), (face, halves) in solid.panels(sheet, case.length(sheet)).items()
        if kind == which
    }
    wanted = {name: c for name, c in wanted.items() if name in got or breadth(c) > CLOSE}
    assert set(got) == set(wanted)
    out = {}
    for name, vertices in wanted.items():
        far = np.linalg.norm(vertices[:, None] - got[name][None], axis=2)
        out[name] = float(max(far.min(axis=0).max(), far.min(axis=1).max()))
    return out


@pytest.mark.parametrize("kind", KINDS)
def test_every_vertex_lands_on_the_solid_corner(kind):
    found = [misses(case, piece) for case in corners(kind) for piece in pieces(case)]
    assert len(found) == COUNT * 4 * (2 if kind == "inside" else 3)
    assert max(max(one.values()) for one in found) < CLOSE


@pytest.mark.parametrize("kind", KINDS)
def test_a_fold_turned_wrong_is_seen(kind):
    for case in corners(kind)[:10]:
        for piece in pieces(case):
            for i, fold in enumerate(piece.folds):
                wrong = replace(fold, turn=fold.turn + 0.1)
                folds = (*piece.folds[:i], wrong, *piece.folds[i + 1 :])
                bent = misses(case, replace(piece, folds=folds))
                assert max(bent.values()) > CLOSE


@pytest.mark.parametrize("kind", KINDS)
def test_lengths_and_angles_on_the_pattern_are_those_of_the_solid(kind):
    for case in corners(kind):
        s = case.solid
        along, mitre = s.u[1], s.t - s.v
        foot = s.c * s.n[1]
        true = {
            "mitre": np.linalg.norm(mitre),
            "cant": np.linalg.norm(foot - s.v),
            "toe-offset": np.linalg.norm(s.t - foot),
            "mitre-at-vertex": np.degrees(angle(along, mitre)),
            "mitre-at-toe": np.degrees(angle(along, -mitre)),
            "second-toe": np.degrees(angle(along, s.u[2])),
            "first-toe": np.degrees(angle(-along, s.u[2])),
        }
        seen = set()
        for piece in pieces(case):
            for measure in (*piece.lengths, *piece.angles):
                if measure.id in true:
                    seen.add(measure.id)
                    assert measure.value == pytest.approx(true[measure.id], abs=1e-6)
        other = "first-toe" if case.solid.inside else "second-toe"
        assert seen == set(true) - {other}


@pytest.mark.parametrize("kind", KINDS)
def test_every_point_has_as_many_sheets_as_the_straight_run(kind):
    tried, bare = 0, 0
    for n, case in enumerate(corners(kind)):
        rng = np.random.default_rng(n)
        patches, others = {}, {}
        for sheet in case.sheets:
            own = [p for p in pieces(case) if p.sheet == sheet.id]
            patch = [p for p in own if p.id.endswith("-patch")]
            patches[sheet.id] = set_up(case.solid, patch)
            others[sheet.id] = set_up(case.solid, [p for p in own if p not in patch])
        for face, points, station in surface_points(case, rng, each=200):
            here = np.zeros(len(points), dtype=int)
            straight = np.zeros(len(points), dtype=int)
            for sheet in case.sheets:
                wanted = asked(case, sheet, face, points, station)
                unpatched = counted(others[sheet.id], points)
                count = unpatched + counted(patches[sheet.id], points)
                assert (count[wanted] >= 1).all(), (case, sheet.id, face)
                here += np.where(wanted, count, 0)
                straight += wanted
                bare += (unpatched[wanted] < 1).sum()
            assert (here >= straight).all()
            tried += straight.sum()
    assert tried > 300_000
    # without the patch an outside corner is open, and an inside one needs none
    assert (bare > 0) == (kind == "outside")


@pytest.mark.parametrize("kind", KINDS)
def test_the_wall_at_the_arris_is_covered_twice(kind):
    for n, case in enumerate(corners(kind)):
        solid, rng = case.solid, np.random.default_rng(n)
        for sheet in case.sheets:
            if not sheet.reach_up:
                continue
            own = set_up(solid, [p for p in pieces(case) if p.sheet == sheet.id])
            along, up = rng.uniform(0.0, 1.0, (2, 200))
            spots = solid.v + along[:, None] * sheet.lap * solid.u[2]
            spots[:, 2] += up * sheet.reach_up
            assert (counted(own, spots) >= 2).all()


def test_the_corner_piece_leaves_the_wedges_of_the_docstring_open_outside():
    for case in corners("outside"):
        s, sheet = case.solid, case.sheets[-1]
        piece = next(p for p in pieces(case) if p.id == "flashing-corner")
        lean = np.arctan(s.c / np.tan(np.radians(case.angle) / 2.0) / s.slant)
        small = 1e-2 * min(s.slant, sheet.reach_out, sheet.reach_up, sheet.lap)
        sweep = (np.arange(20_000) + 0.5) / 20_000 * np.pi

        panels = set_up(s, [piece])

        def open_angle(tip, zero, quarter, until, panels=panels, small=small, sweep=sweep):
            turn = sweep[sweep < until, None]
            spots = tip + small * (np.cos(turn) * zero + np.sin(turn) * quarter)
            return (counted(panels, spots) == 0).sum() / len(sweep) * np.pi

        cant = open_angle(s.v, s.u[2], -s.up[2], angle(s.u[2], s.t - s.v))
        assert cant == pytest.approx(2 * lean, abs=1e-3)
        turned = np.pi - np.radians(case.angle)  # from the second toe to the first
        roof = open_angle(s.t, s.u[2], s.n[2], turned)
        assert roof == pytest.approx(turned - 2 * lean, abs=1e-3)
