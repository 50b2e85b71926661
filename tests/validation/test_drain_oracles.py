"""Drains against figures from outside: taper, plan sizes, lead, strainers.

Sources beside each. Figures marked computed follow from lengths that sources print.
"""

from math import pi

import pytest

from detailgen.conditions._strainer import StrainerSizes, slots_of
from tests.conditions.building import build, mm, site

LEVEL = {"slope": 0.0, "insulation": (76.2, 76.2)}


def _drop_to_axis(**given):
    """Return how deep the sump would be if its taper ran on to the axis, mm."""
    section = build("drain", site(**LEVEL), **given)
    (xa, ya), (xb, yb) = section.points["sump.edge"], section.points["sump.low"]
    return (ya - yb) / (xb - xa) * -xa


@pytest.mark.parametrize(
    ("sump", "taper", "drop"),
    [
        # computed: depth = slope x run, the radius of the bowl left out
        ("48 in", 1 / 24, "1 in"),
        ("48 in", 1 / 48, "1/2 in"),
        ("96 in", 1 / 48, "1 in"),
    ],
)
def test_depth_of_a_sump_is_slope_times_run(sump, taper, drop):
    assert _drop_to_axis(sump=mm(sump), sump_taper=taper) == pytest.approx(mm(drop))


@pytest.mark.parametrize(
    ("sheet", "target", "across", "left"),
    [
        # computed: a 36 in sheet with strips of 6 in is exactly as wide as a 48 in sump, so
        # that the strip ends on the break of the taper; strips of 4 in leave 2 in
        ("36 in", "4 in", "44 in", "2 in"),
        ("36 in", "6 in", "48 in", "0 in"),
        ("30 in", "4 in", "38 in", "5 in"),
        ("30 in", "6 in", "42 in", "3 in"),
    ],
)
def test_width_of_the_target_and_what_it_leaves_of_the_sump(sheet, target, across, left):
    section = build("drain", sheet=mm(sheet), target=mm(target))
    plan = section.layout("plan")
    assert plan is not None
    x0, _, x1, _ = next(p for p in plan.parts if p.id == "target").region.bounds
    assert x1 - x0 == pytest.approx(mm(across))
    outer, edge = section.points["strip.outer"], section.points["sump.edge"]
    assert outer[0] - edge[0] == pytest.approx(mm(left), abs=1e-6)


def test_lead_of_four_pounds_is_drawn_as_thick_as_its_density_says():
    """Web table of British lead, read: 4 lb is 0.068 in; nominal in the US 1/16 in."""
    section = build("drain")
    metal = section.body("drain-metal")
    assert metal.thickness / 25.4 == pytest.approx(0.068, abs=0.0005)
    (note,) = [n for n in section.notes if "lb per sq ft" in n]
    assert "1.72 mm" in note
    assert "1.59 mm" in note


def test_open_area_of_strainers_over_a_four_inch_leader():
    """Chicago 18-29-1105.1, read: 1 1/2 times the leader's area, 2 times for a flat one.

    A 4 in leader has 12.57 sq in: 18.85 and 25.13 sq in are asked (computed).
    """
    leader = mm("2 in")
    for dome, halves, asked in ((True, 3, 18.85), (False, 4, 25.13)):
        strainer = StrainerSizes(
            dome, mm("5 in"), mm("3 in"), mm("1/2 in"), None, leader, halves
        )
        found = slots_of(strainer).open / 25.4**2
        assert found >= asked - 0.01
        assert found == pytest.approx(asked, rel=0.25)  # no more slots than are needed
        assert halves / 2 * pi * (leader / 25.4) ** 2 == pytest.approx(asked, abs=0.01)
