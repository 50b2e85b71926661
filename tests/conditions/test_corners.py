"""Inside and outside corners: the wall beside them, their pieces, their plan."""

from dataclasses import replace

import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site, Thickening
from detailgen.folding import folded
from detailgen.parameters import Roof
from detailgen.section import LayeredSection, Method

CATALOG = load_catalog()
SITE = Site(Roof(), CATALOG, CATALOG.rule_set("common-practice"))
KINDS = pytest.mark.parametrize("kind", ["inside-corner", "outside-corner"])
SHEETS = ("base-ply", "strip-in", "finish-ply", "flashing")


def built(kind: str, site: Site = SITE, **given: object) -> LayeredSection:
    condition = CONDITIONS[kind]
    return condition.build(condition.parameters(id="X1", **given), site)


@KINDS
def test_the_straight_run_is_that_of_a_wall(kind: str) -> None:
    corner, wall = built(kind, corner_angle=120.0), built("wall")
    assert corner.bodies == wall.bodies
    assert corner.joints == wall.joints
    assert corner.families == {"wall"}
    assert corner.never_idle > wall.never_idle


@KINDS
def test_every_sheet_has_its_pieces_in_the_order_of_setting(kind: str) -> None:
    parts = ("corner", "next") if kind == "inside-corner" else ("corner", "patch", "next")
    wanted = [f"{sheet}-{part}" for sheet in SHEETS for part in parts]
    assert [p.id for p in built(kind).pieces] == wanted


@KINDS
def test_reaches_of_the_pieces_are_those_of_the_section(kind: str) -> None:
    section = built(kind, flashing_height=10 * 25.4, flashing_reach=5 * 25.4)
    piece = next(p for p in section.pieces if p.id == "flashing-corner")
    points = section.points
    assert -piece.points["end.outer"][1] == pytest.approx(
        points["cant.toe"][0] - points["flashing.outer"][0]
    )
    up = piece.points["end.top"][1] - piece.points["end.cant.top"][1]
    assert up == pytest.approx(points["flashing.top"][1] - points["cant.top"][1])


@KINDS
def test_a_thickened_drawing_has_the_same_pieces(kind: str) -> None:
    thick = built(kind, replace(SITE, thickening=Thickening(3.0, 5.0, 3.0)))
    assert thick.pieces == built(kind).pieces


@KINDS
def test_the_other_hand_is_the_mirror_image(kind: str) -> None:
    right, left = (built(kind, first_wall=hand) for hand in ("right", "left"))
    for one, other in zip(right.pieces, left.pieces, strict=True):
        assert other == one.mirrored()
        there = folded(other, left.faces)
        for panel, spots in folded(one, right.faces).items():
            mirrored = sorted((-x, y, z) for x, y, z in spots)
            assert sorted(there[panel]) == [pytest.approx(p, abs=1e-6) for p in mirrored]


@KINDS
def test_pieces_are_there_when_their_sheet_is(kind: str) -> None:
    section = built(kind)
    strip = section.body("strip-in")
    assert strip is not None
    early = section.at_stage(strip.stage)
    assert {p.sheet for p in early.pieces} == {"base-ply", "strip-in"}
    assert {p.sheet for p in section.without("flashing").pieces} == set(SHEETS[:3])


def test_what_is_smooth_takes_no_primer_and_foil_and_granules_do() -> None:
    section = built("outside-corner")
    primed = {p.sheet for p in section.pieces if p.prime}
    assert primed == {"finish-ply", "flashing"}


def test_the_plan_shows_walls_zones_and_numbered_pieces() -> None:
    plan = built("outside-corner", corner_angle=60.0).layout("corner-plan")
    assert plan is not None
    assert all(p.region.is_valid for p in plan.parts)
    assert [p.name for p in plan.parts if p.id.startswith("flashing")] == [
        "Corner piece of the flashing sheet, set first",
        "Patch of the flashing sheet, set second",
        "Next piece of the flashing sheet, set third",
    ]
    assert {p.id for p in plan.parts if p.hidden} == {
        "cant-1", "cant-2", "base-ply-zone", "strip-in-zone", "finish-ply-zone"
    }  # fmt: skip


@KINDS
def test_a_coped_wall_and_cement_go_round_a_corner_too(kind: str) -> None:
    cold = replace(SITE, roof=Roof(adhesion=Method.COLD_ADHESIVE))
    section = built(kind, cold, termination="coping", corner_angle=150.0)
    assert len(section.pieces) == (8 if kind == "inside-corner" else 12)
    assert any("upper sheet" in note for note in section.notes)
