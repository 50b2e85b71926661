"""Takeoff of one piece, worked out by hand on level roofs; arithmetic stands beside.

Sheets climb over the edges of those under them; such steps of 2 to 6 mm are left out of the
hand calculations of sheets, which is what their tolerance of 4 % is for. The plan draws
rounds with 96 corners, which encloses 0.07 % less: tolerance 0.2 % elsewhere.
"""

from math import pi

import pytest

from detailgen.quantity import Measure, Per, Quantity
from detailgen.takeoff import take_off
from tests.conditions.building import CATALOG, RULES, build, mm, site

CLOSE = 0.002
STEPS = 0.04
INCH = 25.4
BED = 1.5875
"""1/16 in of cement, mm."""
PRIMER = CATALOG.material("primer").rate
ADHESIVE = CATALOG.material("cold-adhesive").rate


def _taken(kind: str, method: str = "torch", **given) -> dict[str, Quantity]:
    section = build(kind, site(slope=0.0, adhesion=method), **given)
    assert section.by_the_piece
    found = take_off(section, CATALOG, RULES)
    assert len({q.id for q in found}) == len(found)
    assert all(q.per is Per.PIECE for q in found)
    return {q.id: q for q in found}


def _litres(mm3: float) -> float:
    return mm3 / 1e6


def _stack() -> dict[str, Quantity]:
    return _taken("stack", pipe_diameter=mm("4 1/2 in"), height=mm("8 in"), metal="lead-4")


def test_a_stack_lead_by_flange_tube_rim_and_turn_in():
    found = _stack()
    # Lead of 4 lb is 0.0678 in = 1.722 mm thick. Pipe 4 1/2 in: r = 57.15; outside of the
    # lead 57.15 + 1.72 = 58.87. Flange 4 in past that: half width 58.87 + 101.6 = 160.47.
    flange = (2 * 160.47) ** 2 - pi * 57.15**2  # 92 742
    # The tube stands from 2.60 + 1.59 = 4.19 (base ply and cement) to the pipe's end. That
    # is 8 in above the finish ply beside it: 2.60 + 1.59 + 1.72 + 2.60 + 3.60 = 12.11 mm,
    # so 203.20 + 12.11 = 215.31.
    tube = 2 * pi * 57.15 * (215.31 - 4.19)  # 75 810
    rim = pi * (57.15**2 - 50.80**2)  # 2 153, over a wall of 1/4 in
    turned_in = 2 * pi * 50.80 * 2 * INCH  # 16 215, 2 in down inside
    area = (flange + tube + rim + turned_in) / 1e6  # 0.1869 m2
    assert found["sleeve"].measure is Measure.AREA
    assert found["sleeve"].amount == pytest.approx(area, rel=CLOSE)
    # 0.1869 m2 = 2.012 sq ft; x 4 lb = 8.05 lb = 3.65 kg
    mass = found["lead-4-mass"]
    assert mass.amount / 0.45359237 == pytest.approx(8.05, rel=CLOSE)


def test_a_stack_sheets_by_their_squares():
    found = _stack()
    # The target's half width is 160.47 + 4 in = 262.07; its hole is as wide as the lead.
    target = ((2 * 262.07) ** 2 - pi * 58.87**2) / 1e6  # 0.2638 m2
    assert found["strip-in"].amount == pytest.approx(target, rel=STEPS)
    # 524.14 mm square: 0.2747 m2 of the roll
    assert "order 0.275 m2" in found["strip-in"].formula
    # Base and finish ply go on: they are counted inside the target's outline.
    assert found["base-ply"].amount == pytest.approx(target, rel=STEPS)
    assert found["finish-ply"].amount == pytest.approx(target, rel=STEPS)


def test_a_stack_cement_primer_and_bead():
    found = _stack()
    under = (2 * 160.47) ** 2 - pi * 57.15**2  # up to the pipe
    assert found["flange-cement"].amount == pytest.approx(_litres(under * BED), rel=CLOSE)
    face = (2 * 160.47) ** 2 - pi * 58.87**2  # 92 115 mm2, primed on both sides
    primer = 2 * face / 1e6 * PRIMER
    assert found["flange-primer"].amount == pytest.approx(primer, rel=CLOSE)
    # A bead of 3/8 in legs: 9.525^2 / 2 = 45.36 mm2; the middle of its section stands a
    # third of a leg out: 2 pi (58.87 + 3.175) = 389.8 mm; 17.68 mL
    bead = 45.36 * 2 * pi * (58.87 + 9.525 / 3)
    assert found["foot-bead"].amount == pytest.approx(_litres(bead), rel=CLOSE)
    assert (found["pipe"].supplied, found["pipe"].measure) == (False, Measure.COUNT)


def test_a_pocket_pan_fill_and_sealant():
    found = _taken("penetration-pocket")
    # A wide-flange shape of 4 in with 1 in clear all round: the pan is 6 in = 152.4 mm
    # inside; its metal is 0.0276 in = 0.70 mm thick. Middle of the metal: 76.2 + 0.35.
    girth = 8 * (76.2 + 0.35)  # 612.4 mm
    # Flange from that line to 4 in past the outside and the hem: half width 178.5.
    flange = (2 * 178.5) ** 2 - (2 * 76.55) ** 2  # 104 009
    # The wall stands from 4.54 to 112.34; over the top 0.7, and a hem of 12.35 down.
    wall = girth * (112.34 - 4.54 + 0.70 + 12.35)  # 74 010
    assert found["pan"].amount == pytest.approx((flange + wall) / 1e6, rel=CLOSE)
    # The shape in plan: two flanges and a web, less than 4 x 4 in; its area is drawn.
    section = build("penetration-pocket", site(slope=0.0))
    plan = section.layout("plan")
    assert plan is not None
    steel = sum(p.region.area for p in plan.parts if p.id == "shape")  # 2 722 mm2
    inside = 152.4**2 - steel  # 20 504
    # Grout fills 57.64 - 2.60 (on the base ply) = 55.04 deep.
    grout = _litres(inside * (57.64 - 2.60))
    assert found["grout"].amount == pytest.approx(grout, rel=CLOSE)
    # The sealant is 55.05 deep at the pan and 67.75 at the web, 4.76 from the axis. What
    # lies further out goes further round: mean |x| of the ring is 2/3 (76.2^3 - 4.76^3) /
    # (76.2^2 - 4.76^2) = 51.0, where it is 67.75 - 12.7 (51.0 - 4.76) / 71.44 = 59.53 deep.
    assert found["poured-sealant"].amount == pytest.approx(
        _litres(inside * 59.53), rel=CLOSE
    )
    assert found["poured-sealant"].measure is Measure.VOLUME
    assert found["shape"].supplied is False


def test_a_drain_lead_hardware_and_wood():
    found = _taken("drain")
    # 30 x 30 in of 4 lb lead: 6.25 sq ft, 25 lb
    assert found["drain-metal"].amount == pytest.approx((30 * INCH) ** 2 / 1e6, rel=CLOSE)
    assert found["lead-4-mass"].amount / 0.45359237 == pytest.approx(25.0, rel=CLOSE)
    # Target 30 + 2 x 4 = 38 in square, whole: 0.9316 m2
    assert found["target"].amount == pytest.approx((38 * INCH) ** 2 / 1e6, rel=CLOSE)
    for hardware in ("bowl", "clamping-ring", "strainer"):
        assert (found[hardware].measure, found[hardware].amount) == (Measure.COUNT, 1.0)
    assert "ring-bolt-1" in found["clamping-ring"].bodies
    # Wood 5 1/2 in wide, its outer edge 273.05 and its inner 133.35 off the axis: along its
    # middle a square of 406.4 mm, 4 x 406.4 = 1625.6 mm
    assert found["blocking"].amount == pytest.approx(1.6256)
    # Tapered boards from the wood's square ring (190.5) to 24 in: 4 (609.6^2 - 190.5^2)
    boards = 4 * (609.6**2 - 190.5**2) / 1e6  # 1.341 m2
    assert found["sump-board"].amount == pytest.approx(boards, rel=CLOSE)


def test_a_drain_cement_primer_and_adhesive():
    found = _taken("drain")
    # Base ply in cement from the bowl (127) to 6 in past it (279.4), and turned 1 in down
    # into the bowl: pi (279.4^2 - 127^2) + 2 pi 127 x 25.4 =
    # 194 572 + 20 268
    base = pi * (279.4**2 - 127.0**2) + 2 * pi * 127.0 * INCH
    assert found["base-cement"].amount == pytest.approx(_litres(base * BED), rel=0.01)
    # The target in cement from the opening in it (139.7) to 6 in past it (292.1)
    target = pi * (292.1**2 - 139.7**2)
    assert found["target-cement"].amount == pytest.approx(_litres(target * BED), rel=STEPS)
    # Cement under the whole square, up to the base ply that is turned down (124.4), and
    # along it: 25.4 + 4.2 mm at that girth; a step up onto the cement of the base ply more
    metal = (30 * INCH) ** 2 - pi * 124.4**2 + 2 * pi * 124.4 * 29.6
    assert found["flange-cement"].amount == pytest.approx(_litres(metal * BED), rel=0.02)
    # The metal is primed on both faces, from where it is turned into the bowl (122.8 and
    # 121.1): 580 644 - 46 700 each, and a step of 1.6 at 280
    primed = 2 * ((30 * INCH) ** 2 - pi * 122.0**2 + 2 * pi * 282.0 * 1.6) / 1e6
    assert found["flange-primer"].amount == pytest.approx(primed * PRIMER, rel=0.006)
    # Outside its cement the target is stuck in cold adhesive: 38 in square less that round
    stuck = ((38 * INCH) ** 2 - pi * 292.1**2) / 1e6  # 0.6636 m2
    assert found["spread-adhesive"].amount == pytest.approx(stuck * ADHESIVE, rel=STEPS)


def test_a_deep_drain_clad_sheet_and_its_seam():
    found = _taken("deep-drain")
    # Clad sheet 3 in past the target each side: 44 in = 1117.6 mm square, cut out under the
    # ring (r = 139.7): 1.2490 - 0.0613 = 1.1877 m2
    net = ((44 * INCH) ** 2 - pi * 139.7**2) / 1e6
    assert found["clad-sheet"].amount == pytest.approx(net, rel=STEPS)
    # Rolls are 1000 mm wide: a second piece of 1117.6 - 1000 + 76.2 = 193.8 mm, so
    # 1.1176 x (1.000 + 0.1938) = 1.334 m2
    assert "order 1.334 m2" in found["clad-sheet"].formula
    # Primed: a border of 4 in all round, and the seam of 3 in: 4 (558.8^2 - 457.2^2) and
    # 1117.6 x 76.2
    border = 4 * (558.8**2 - 457.2**2) + 1117.6 * 76.2
    assert found["clad-border"].amount == pytest.approx(border / 1e6 * PRIMER, rel=STEPS)
    # The finish ply laps that border only: 44 in square less 36 in square
    finish = ((44 * INCH) ** 2 - (36 * INCH) ** 2) / 1e6
    assert found["finish-ply"].amount == pytest.approx(finish, rel=0.07)  # two steps up


def test_a_scupper_liner_cement_and_beads():
    found = _taken("scupper")
    # Opening 12 3/4 x 4 in = 323.85 x 101.6 mm; 4 in flanges on roof and wall:
    # (323.85 + 203.2) x (101.6 + 101.6 + 101.6) - 323.85 x 101.6
    flange = 527.05 * 304.8 - 323.85 * 101.6  # 127 742
    # Through 7 5/8 in of wall (193.67) and 1 in up its outer face, from the cement's face
    # (1.59): 220.66; the floor through wall and spout: 375.2 - 101.6 = 273.6
    tube = 323.85 * (273.6 + 220.66) + 2 * 101.6 * 220.66  # 204 900
    assert found["liner"].amount == pytest.approx((flange + tube) / 1e6, rel=CLOSE)
    # 16 oz a square foot is 1 lb: 0.3327 m2 = 3.581 sq ft
    pounds = found["copper-16-mass"].amount / 0.45359237
    assert pounds == pytest.approx(3.581, rel=CLOSE)
    # Cement under the flange on the roof, and under the floor through the wall
    under = 527.05 * 101.6 + 323.85 * 193.67
    assert found["flange-cement"].amount == pytest.approx(_litres(under * BED), rel=CLOSE)
    # Cement under the flange on the wall, beside and over the opening
    beside = 527.05 * 203.2 - 323.85 * 101.6
    assert found["wall-flange-cement"].amount == pytest.approx(
        _litres(beside * BED), rel=CLOSE
    )
    # Target: 4 in past the flange on three sides: (527.05 + 203.2) x 203.2
    target = 730.25 * 203.2 / 1e6
    assert found["target"].amount == pytest.approx(target, rel=STEPS)
    # What the wall has anyway is counted as wide as that: reglet sealant 140.08 mm2
    sealant = _litres(140.08 * 730.25)
    assert found["reglet-sealant"].amount == pytest.approx(sealant, rel=CLOSE)


def test_the_wall_sheet_beside_a_scupper_is_fastened_by_the_rule():
    found = _taken(
        "scupper", use="overflow", drain=mm("3 in"), flashing="granule-in-cement"
    )
    # 9 in opening, flange and strip-in 8 in each side: 25 in; at most 8 in apart: 4 spaces
    row = found["top-fastener-count"]
    assert (row.measure, row.amount) == (Measure.COUNT, 5.0)
    assert row.source == RULES.row("top_fastener_spacing_most").source


def test_a_hood_and_a_collar_are_counted_and_their_metal_is_in_the_mass():
    cold = _taken("vent-sleeve")
    assert (cold["collar"].measure, cold["collar"].amount) == (Measure.COUNT, 1.0)
    hot = _taken("vent-sleeve", hot=True, air_gap=mm("2 in"), height=mm("12 in"))
    hood = hot["collar"]
    assert hood.label.startswith("Hood")
    assert hood.measure is Measure.COUNT
    metal = CATALOG.material("stainless-025")
    sleeve = hot["sleeve"].amount * metal.mass
    assert hot["stainless-025-mass"].amount > sleeve * 1.2


def test_what_is_spread_round_a_stack_follows_the_method():
    # All that hot asphalt sticks inside the target's outline: the base ply on the boards,
    # the target on base ply and flange, the finish ply on the target: three zones.
    found = _taken("stack", "hot asphalt")
    zone = found["strip-in"].amount
    rate = CATALOG.material("hot-asphalt").rate
    asphalt = sum(q.amount for i, q in found.items() if i == "spread-bitumen")
    assert asphalt == pytest.approx(3 * zone * rate, rel=STEPS)
