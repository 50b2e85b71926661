"""Geometry of the drawn details against print and common practice. Sources beside each."""

from math import atan2, degrees, hypot

import pytest
from shapely import LineString

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.parameters import Roof
from detailgen.section import SHEETS, Role
from detailgen.units import parse_length, to_inches

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")


def build(kind, roof=None, **given):
    condition = CONDITIONS[kind]
    return condition.build(
        condition.parameters(id="V1", **given), Site(roof or Roof(), CATALOG, RULES)
    )


def face_of_cant(section):
    (x0, y0), (x1, y1) = section.points["cant.toe"], section.points["cant.top"]
    return hypot(x1 - x0, y1 - y0), degrees(atan2(y1 - y0, x1 - x0))


def across_the_cant(section, part):
    """Thickness of every sheet on a line square to the cant's face, inches.

    Args:
        section: The wall.
        part: Where the line stands: 0 at the toe, 1 at the top of the face.
    """
    (x0, y0), (x1, y1) = section.points["cant.toe"], section.points["cant.top"]
    foot = (x0 + part * (x1 - x0), y0 + part * (y1 - y0))
    run = hypot(x1 - x0, y1 - y0)
    out = (-(y1 - y0) / run * 60.0, (x1 - x0) / run * 60.0)
    line = LineString([foot, (foot[0] + out[0], foot[1] + out[1])])
    cut = {b.id: b.region.intersection(line).length for b in section.of_role(*SHEETS)}
    return {i: to_inches(length) for i, length in cut.items() if length > 0.0}


def test_a_cant_of_equal_legs_has_the_face_of_its_triangle():
    """UFGS 07550 (older five-digit edition) 2.8, read: 45 degrees, face 5 in, legs 3 1/2.

    The three do not agree to the last figure: legs of 3 1/2 in give a face of 4.950 in, and
    the printed 5 in is rounded. The legs count.
    """
    section = build("wall", Roof(slope="0 %"), cant_height="3 1/2 in", cant_run="3 1/2 in")
    face, angle = face_of_cant(section)
    assert to_inches(face) == pytest.approx(4.950, abs=5e-4)
    assert round(to_inches(face)) == 5
    assert angle == pytest.approx(45.0)
    cant = next(b for b in section.bodies if b.role is Role.CANT)
    assert to_inches(to_inches(cant.region.area)) == pytest.approx(3.5 * 3.5 / 2.0)
    assert section.gauges[0].id == "cant-height"


def test_the_default_cant_is_that_of_the_guide_specification():
    """UFGS 07550 (older five-digit edition) 2.8, read: 45 degrees, 3 1/2 in legs."""
    section = build("wall", Roof(slope="0 %"))
    face, angle = face_of_cant(section)
    assert to_inches(face) == pytest.approx(4.950, abs=5e-4)
    assert angle == pytest.approx(45.0)
    sloped = build("wall")
    x, y = sloped.points["cant.toe"]
    assert to_inches(-x) == pytest.approx(3.5)
    assert to_inches(sloped.points["cant.top"][1]) == pytest.approx(3.5)
    assert y == pytest.approx(x / 48.0)


@pytest.mark.parametrize("part", [0.4, 0.5, 0.6])
@pytest.mark.parametrize("adhesion", ["torch", "hot asphalt", "cold adhesive"])
def test_four_sheets_and_440_mil_lie_over_the_middle_of_the_cant(adhesion, part):
    """Whole assembly on the cant of the default wall; common practice, no source."""
    sheets = across_the_cant(build("wall", Roof(adhesion=adhesion)), part)
    assert set(sheets) == {"base-ply", "strip-in", "finish-ply", "flashing"}
    assert sum(sheets.values()) * 1000.0 >= 440.0
    assert sheets["base-ply"] == pytest.approx(sheets["strip-in"])
    for body_id, inches in sheets.items():  # a line square to the face cuts each squarely
        material = {
            "base-ply": "base-ply-glass-smooth",
            "strip-in": "base-ply-glass-smooth",
            "finish-ply": "finish-ply-glass-granule",
            "flashing": "flashing-foil" if adhesion == "torch" else "flashing-granule",
        }[body_id]
        assert inches == pytest.approx(to_inches(CATALOG.material(material).thickness))


def test_a_sheet_on_a_slope_is_as_long_as_the_slope_is():
    """A run of 12 on a slope of 3 in 12 is 12.369 long: the triangle's long side."""
    section = build("wall", Roof(slope="3 in per ft"), fall="away")
    low, high = section.extent.bounds[0], section.points["cant.toe"][0]
    course = section.body("base-ply").course
    on_roof = course.intersection(
        LineString([(low - 1, -1e3), (high, 1e3)]).envelope  # all left of the toe
    )
    assert on_roof.length / (high - low) == pytest.approx(12.369 / 12.0, abs=5e-5)


def test_the_base_ply_over_a_default_edge_is_field_and_drop():
    """Developed width by hand: from the side of the drawing to the edge, and the drop."""
    section = build("roof-edge", Roof(slope="0 %", insulation=("1 1/2 in", "1 1/2 in")))
    course = section.body("base-ply").course
    field = -section.extent.bounds[0]
    assert course.length == pytest.approx(field + parse_length("4 in"))
    assert section.points["edge.top"][1] == pytest.approx(0.0)


def test_edge_metal_is_developed_from_its_legs():
    """Developed width by hand, along the middle of the metal.

    Flange, leg up, fold, leg down with the face, kick, and a hem of 1/2 in.
    """
    section = build(
        "roof-edge", Roof(slope="0 %", insulation=("1 1/2 in", "1 1/2 in")), cleat=False,
        flange="4 in", rise="1 in", face="5 in", kick="1 in",
    )  # fmt: skip
    metal = section.body("edge-metal")
    t = metal.thickness
    up = parse_length("1 in")
    # the flange's middle lies above the wood by base ply, bed and half of the metal
    base, bed = section.body("base-ply").thickness, section.body("flange-cement").thickness
    level = base + bed + t / 2.0
    legs = [
        parse_length("4 in") + t / 2.0,
        up,
        t,
        up + level + parse_length("5 in"),
        parse_length("1 in"),
        t,
        parse_length("1/2 in"),
    ]
    assert metal.course.length == pytest.approx(sum(legs), abs=0.002)
