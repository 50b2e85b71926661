"""Pieces as no condition of ours builds them, but another one may."""

from dataclasses import replace

import pytest

from detailgen.geometry import Line
from detailgen.geometry.regions import box
from detailgen.quantity import Quantity
from detailgen.section import Body, Bond, Coat, Joint, LayeredSection, Layout, Mark, Role
from detailgen.takeoff import take_off
from tests.conditions.building import CATALOG, RULES, body, build, mm, site


def _taken(section: LayeredSection) -> dict[str, Quantity]:
    return {q.id: q for q in take_off(section, CATALOG, RULES)}


def _plan(section: LayeredSection) -> Layout:
    plan = section.layout("plan")
    assert plan is not None
    return plan


def _without_parts(section: LayeredSection, *part_ids: str) -> LayeredSection:
    plan = _plan(section)
    parts = tuple(p for p in plan.parts if p.id not in part_ids)
    return replace(section, layouts=(replace(plan, parts=parts),))


def _with(section: LayeredSection, changed: Body) -> LayeredSection:
    bodies = [changed if b.id == changed.id else b for b in section.bodies]
    if section.body(changed.id) is None:
        bodies.append(changed)
    return replace(section, bodies=tuple(bodies))


def test_a_fill_that_the_plan_does_not_show_is_turned_about_the_axis():
    section = build("penetration-pocket", site(slope=0.0))
    found = _taken(_without_parts(section, "poured-sealant"))
    # 55.04 mm deep from the web's face (4.76) to the pan (76.2), square: 8 x (middle 40.48)
    # x 71.44 wide x 55.04 = 1.273 L, since the steel is not known
    assert found["grout"].amount == pytest.approx(1.273, rel=0.003)


def test_a_sheet_without_a_course_is_as_wide_as_its_plan():
    section = build("stack", site(slope=0.0))
    for half in ("strip-in", "strip-in-right"):
        section = _with(section, replace(body(section, half), course=None))
    area = next(p for p in _plan(section).parts if p.id == "strip-in").region.area
    assert _taken(section)["strip-in"].amount == pytest.approx(area / 1e6)


def test_a_sheet_that_the_plan_does_not_show_is_developed():
    section = _without_parts(build("stack", site(slope=0.0)), "strip-in")
    known = _taken(build("stack", site(slope=0.0)))["strip-in"].amount
    # the plan's outlines round it are left: the flange's square and what goes up
    assert _taken(section)["strip-in"].amount == pytest.approx(known, rel=0.1)
    assert "developed about the axis" in _taken(section)["strip-in"].formula


def test_nails_of_a_flange_are_counted_by_the_marks_of_the_plan():
    section = build("vent-sleeve", site())
    nail = Body("nail-1", Role.FASTENER, "flange-nail", box(-150, 0, -147, 30), 3, "Nail")
    at = [(150.0, 0.0), (-150.0, 0.0), (0.0, 150.0)]
    marks = [Mark(Role.FASTENER, p, 1, "nail-1") for p in at]
    marks += [Mark(Role.FASTENER, (0.0, -150.0), 2, "nowhere")]
    plan = replace(_plan(section), marks=tuple(marks))
    found = _taken(replace(_with(section, nail), layouts=(plan,)))
    assert (found["nail-count"].amount, found["nail-count"].label) == (3.0, "Nail")
    assert found["nail-count"].bodies == ("nail-1",)
    assert (found["plan-count"].amount, found["plan-count"].label) == (1.0, "Fasteners")


def test_a_fill_and_a_strip_in_a_scupper():
    section = build("scupper", site(slope=0.0))
    packing = Body("packing", Role.FILL, "grout", box(150, -16, 170, -6), 3, "Packing")
    batten = Body("nailer-1", Role.NAILER, "lumber-2x", box(-40, 300, -2, 390), 3, "Batten")
    found = _taken(_with(_with(section, packing), batten))
    # 20 x 10 mm over an opening of 323.85 mm
    assert found["packing"].amount == pytest.approx(0.2 * 0.32385)
    # along the wall as far as the strip-in: 730.25 mm
    assert found["nailer-1"].amount == pytest.approx(0.73025)


def test_a_wall_at_a_scupper_that_has_no_sheet_is_primed_as_it_is_drawn():
    section = build("scupper", site(slope=0.0))
    length = sum(c.line.length for c in section.coats if c.id == "wall-primer")
    found = _taken(section.without("flashing"))
    rate = CATALOG.material("primer").rate
    assert found["wall-primer"].amount == pytest.approx(length * 730.25 / 1e6 * rate)


def test_a_bed_on_a_wall_that_has_no_sheet_takes_nothing():
    section = build(
        "scupper", site(), use="overflow", drain=mm("3 in"), flashing="granule-in-cement"
    )
    assert _taken(section)["flashing-cement"].amount > 0.2
    assert _taken(section.without("flashing"))["flashing-cement"].amount == 0.0


def test_a_scupper_with_a_strip_that_its_plan_does_not_show():
    section = _without_parts(build("scupper", site(slope=0.0)), "wall-strip")
    strip = body(section, "wall-strip")
    assert strip.course is not None
    # as long as its course, as wide as the outermost sheet that is left: 730.25 mm
    area = strip.course.length * 730.25 / 1e6
    assert _taken(section)["wall-strip"].amount == pytest.approx(area)


def test_sheets_in_a_scupper_are_stuck_over_their_share_of_the_course():
    torched = _taken(build("scupper", site(slope=0.0)))
    found = _taken(build("scupper", site(slope=0.0, adhesion="hot asphalt")))
    rate = CATALOG.material("hot-asphalt").rate
    sheets = ("base-ply", "target", "finish-ply", "wall-strip", "flashing")
    most = sum(torched[s].amount for s in sheets)
    assert most * 0.75 * rate < found["spread-bitumen"].amount <= most * 1.01 * rate


@pytest.mark.parametrize("kind", ["stack", "scupper"])
def test_a_joint_of_what_is_not_drawn_takes_nothing(kind):
    section = build(kind, site())
    joint = Joint("gone", "deck", Line([(-200.0, 0.0), (-100.0, 0.0)]), Bond.HOT_ASPHALT)
    assert "spread-bitumen" not in _taken(replace(section, joints=(joint,)))


def test_a_coat_on_what_is_not_drawn_is_measured_all_the_same():
    section = build("stack", site(slope=0.0))
    line = Line([(-200.0, 0.0), (-100.0, 0.0)])
    found = _taken(replace(section, coats=(Coat("band", "Band", "gone", line, 1),)))
    assert found["band"].amount > 0.0
