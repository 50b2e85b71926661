"""Takeoff of sections with two sides, and of curbs, worked out by hand on level roofs."""

from dataclasses import replace
from math import hypot, sqrt

import pytest

from detailgen.geometry import Line
from detailgen.geometry.regions import box
from detailgen.quantity import Measure, Per, Quantity
from detailgen.section import Body, Bond, Joint, LayeredSection, Role
from detailgen.takeoff import take_off
from tests.conditions.building import CATALOG, RULES, build, site

CLOSE = 0.002


def _taken(section: LayeredSection) -> dict[str, Quantity]:
    found = take_off(section, CATALOG, RULES)
    assert len({q.id for q in found}) == len(found)
    assert all(q.per is Per.METRE for q in found)
    return {q.id: q for q in found}


def _field(reach: float) -> float:
    """Return the base ply from where the condition starts to the top of its cant, m.

    The cant's legs are 3 1/2 in = 88.9 mm; the prepared band and the flashing reach 4 in,
    and 1/2 in for what the sheets under them add; then up the cant.
    """
    return (reach + 88.9 * sqrt(2.0)) / 1000.0


def test_a_curb_by_hand():
    found = _taken(build("curb", site(slope=0.0)))
    # The flashing reaches 190.5 - 88.9 = 101.6 mm past the toe of the bare cant.
    base = _field(101.6)  # 101.6 + 125.7 = 227.3 mm
    assert found["base-ply"].amount == pytest.approx(base, rel=CLOSE)
    # Strip-in, over the base ply: 75.1 out, 90.0 x 1.414 = 127.2 up the cant, 47.1 up
    strip = (75.12 + 89.98 * sqrt(2.0) + 47.12) / 1000.0
    assert found["strip-in"].amount == pytest.approx(strip, rel=CLOSE)
    # Flashing: 98.0 on the roof and a step of 2.6; 89.95 x 1.414 up; 41.0, a step of 2.6
    # and 72.3 up the curb; over the nailer 76.2
    flashing = 97.95 + 2.6 + 89.95 * sqrt(2.0) + 40.95 + 2.6 + 72.3 + 76.2
    assert found["flashing"].amount == pytest.approx(flashing / 1000.0, rel=CLOSE)
    # Metal: 82.75 over the top, 98.57 down, a kick of 6.74 x 1.414
    metal = (82.75 + 98.57 + 6.74 * sqrt(2.0)) / 1000.0
    assert found["counterflashing"].amount == pytest.approx(metal, rel=CLOSE)
    steel = CATALOG.material("galvanized-24")
    assert found["galvanized-24-mass"].amount == pytest.approx(
        metal * steel.mass, rel=CLOSE
    )
    assert (found["sealing-strip"].measure, found["sealing-strip"].amount) == (
        Measure.LENGTH,
        1.0,
    )
    # A board up the face from the deck to the nailer: 76.2 + 173.9 mm
    assert found["curb-board"].amount == pytest.approx(0.2501, rel=CLOSE)
    assert found["unit"].supplied is False


def test_boards_of_a_whole_wall_are_not_the_detail_s():
    section = build("wall", site(slope=0.0), wall="stud")
    assert [b for b in section.bodies if b.role is Role.COVER_BOARD]
    assert not [i for i in _taken(section) if "board" in i]


def test_the_flange_of_a_unit_comes_with_the_unit():
    found = _taken(build("curb", site(slope=0.0), top="unit"))
    assert found["counterflashing"].supplied is False
    assert "galvanized-24-mass" not in found


def test_a_cricket_makes_the_sheets_no_longer_than_they_are():
    # On a cricket the roof is level before the curb: the same sheets as on a level roof.
    level = _taken(build("curb", site(slope=0.0)))
    raised = _taken(build("curb", site(), cricket=76.2))
    for sheet in ("base-ply", "strip-in", "flashing"):
        assert raised[sheet].amount == pytest.approx(level[sheet].amount, rel=0.01)


def test_an_expansion_joint_has_both_its_sides():
    section = build("expansion-joint", site(slope=0.0))
    found = _taken(section)
    # The field starts 101.6 mm past the toes on both sides: 2 x 227.3 mm.
    assert found["base-ply"].amount == pytest.approx(2 * _field(101.6), rel=CLOSE)
    assert found["base-ply"].bodies == ("base-ply", "base-ply-right")
    assert "0.227 + 0.227 m wide" in found["base-ply"].formula
    # In square feet for a foot: 0.746 a side, 1.49 for both; the left half alone, drawn
    # to the end of the drawing, would be 1.17.
    assert found["base-ply"].amount / 2 / 0.3048 == pytest.approx(0.746, abs=0.001)
    # Flashing, each side: 21.8 + 76.16 on the roof with a step of 2.6, 89.95 x 1.414 up the
    # cant, 40.95 and 23.7 + 52.2 up with steps of 2.6 and 1.5, and over the nailer, that
    # rises 8.59 in 103.0
    side = 21.8 + 2.6 + 76.16 + 89.95 * sqrt(2.0) + 40.95 + 2.6 + 21.5 + 1.53 + 52.2
    side += hypot(103.0, 8.59)
    assert found["flashing"].amount == pytest.approx(2 * side / 1000.0, rel=CLOSE)
    assert found["cant"].amount == 2.0
    assert found["blocking"].amount == 2.0
    assert found["filler"].measure is Measure.LENGTH
    # One barrier over the joint, along its course
    barrier = section.body("joint-barrier")
    assert barrier is not None
    assert barrier.course is not None
    assert found["joint-barrier"].amount == pytest.approx(barrier.course.length / 1000.0)
    # Cover: two hems of 43.28, two edges of 2.4, two slopes of 75.35 rising 6.28
    cover = (2 * 43.28 + 2 * 2.4 + 2 * hypot(75.35, 6.28)) / 1000.0
    assert found["joint-cover"].amount == pytest.approx(cover, rel=CLOSE)


@pytest.mark.parametrize("method", ["torch", "hot asphalt", "cold adhesive"])
def test_both_halves_of_a_thing_are_one_line(method):
    section = build("expansion-joint", site(slope=0.0, adhesion=method))
    found = _taken(section)
    halves = {b.id.removesuffix("-right") for b in section.bodies if "-right" in b.id}
    seen = set[str]()
    for quantity in found.values():
        mine = [b for b in section.bodies if b.id in quantity.bodies]
        assert not quantity.id.endswith("-right")
        if quantity.id not in halves or quantity.measure is not Measure.AREA:
            continue
        seen.add(quantity.id)
        assert [b.id for b in mine] == [quantity.id, f"{quantity.id}-right"]
        if quantity.id not in {"base-ply", "finish-ply"}:  # these go on
            drawn = sum(b.region.area / b.thickness for b in mine)
            assert quantity.amount * 1000.0 == pytest.approx(drawn, rel=0.02)
    assert {"base-ply", "strip-in", "finish-ply", "flashing", "counterflashing"} <= seen


def test_fasteners_are_on_both_sides():
    section = build("expansion-joint", site(slope=0.0), flashing="granule-in-cement")
    heads = [b for b in section.bodies if b.id.startswith("top-fastener-1")]
    assert len(heads) == 2
    found = _taken(section)
    spacing = RULES.value("top_fastener_spacing_most")
    row = next(q for q in found.values() if q.measure is Measure.COUNT)
    assert row.amount == pytest.approx(2 * 1000.0 / spacing)


def _strip(body_id: str, role: Role, x0: float, x1: float, y: float) -> Body:
    course = Line([(x0, y), (x1, y)])
    region = box(x0, y, x1, y + 2.0)
    return Body(body_id, role, "m", region, 1, "sheet", thickness=2.0, course=course)


def _drawn(right: float) -> LayeredSection:
    """Return a ridge of two strips on a field that is drawn so far to the right."""
    known = build("expansion-joint", site(slope=0.0))
    bodies = (
        _strip("base-ply", Role.BASE_PLY, -800.0, 0.0, 0.0),
        _strip("base-ply-right", Role.BASE_PLY, 0.0, right, 0.0),
        _strip("strip-in", Role.STRIP_IN, -300.0, 0.0, 2.0),
        _strip("strip-in-right", Role.STRIP_IN, 0.0, 200.0, 2.0),
    )
    stuck = (
        Joint("strip-in", "base-ply", Line([(-300.0, 2.0), (0.0, 2.0)]), Bond.HOT_ASPHALT),
        Joint("base-ply", "deck", Line([(-800.0, 0.0), (right, 0.0)]), Bond.HOT_ASPHALT),
    )
    extent = box(-800.0, -100.0, right, 100.0)
    return replace(known, bodies=bodies, joints=stuck, coats=(), layouts=(), extent=extent)


@pytest.mark.parametrize("right", [900.0, 350.0])
def test_the_field_begins_beyond_the_last_strip_on_either_side(right):
    found = _taken(_drawn(right))
    # 300 mm to the left of the middle, 200 to the right, however much is drawn
    assert found["base-ply"].amount == pytest.approx(0.5)
    assert "0.300 + 0.200 m wide" in found["base-ply"].formula
    assert found["strip-in"].amount == pytest.approx(0.5)
    # Asphalt: 300 mm under the strip, and 300 + 200 under the ply
    rate = CATALOG.material("hot-asphalt").rate
    assert found["spread-bitumen"].amount == pytest.approx(0.8 * rate)
