"""Whole jobs counted by hand, the arithmetic beside each number.

What one metre or one piece takes is checked in tests/takeoff; here it is followed to the
job. Figures of the trade beside those of the sections:

- Lead of 4 lb is 4 lb a square foot, of 2 1/2 lb 2 1/2 lb: its name.
- Board feet: 144 cubic inches of nominal size, so a foot of 2x6 is 1, of 2x10 1 2/3, of
  2x4 2/3 (definition; memory).
- Galvanized steel of 24 gauge: 1.1562 lb a square foot, from 41.82 lb per square foot and
  inch of bare steel (gauge page, read) and 2 1/2 oz of zinc (memory).
- Laps: UFGS 07550 (older five-digit edition), 3.3.6, file page 30, side 3 in and end 6 in;
  read. Nails of a flange 3 in apart in each of two rows, UFGS 07600, 3.1.15; read.
- Backing plates lap 4 in under each end, over a gap of 1/4 in: UFGS 07600, 3.1.15.2; read.
- A 1 x 10 m roll, 3 in sides and 6 in ends: net 97.93 sq ft of 107.64; computed.
- Sealant: 231 cubic inches a gallon, 10.1 fl oz a cartridge; a bead of 1/4 x 1/4 in runs
  24.3 ft a cartridge, computed. A tube chart on a home-repair page gives 36 ft for 3/8 x
  1/8 in of 10 oz (read; 12 percent too long) and a calculator page 50 to 55 ft for 1/4 x
  1/4 in (read; twice too long): neither may be matched.
"""

import pytest

from detailgen.catalog import load_catalog
from detailgen.takeoff.purchase import bead_run
from tests.bill.job import FOOT, bill, condition, line, total

SQUARE_FOOT = FOOT**2
POUND = 0.45359237
GALLON = 3.785411784


def test_a_wall():
    """148 ft of wall, 45.1104 m, its counterflashing in a reglet."""
    counted = bill(condition("wall", 'length = "148 ft"'))
    cant = line(counted, "cant")
    assert cant.net / FOOT == pytest.approx(148.0)
    # 148 x 1.05 = 155.4 ft, in pieces of 4 ft: 38.85
    assert cant.gross / FOOT == pytest.approx(155.4)
    assert total(counted, "cant-perlite").packs == 39
    # strip-in 0.2508 m wide: 0.2508 x 45.1104 = 11.314 m2
    # laps 10 / (10 - 0.1524) = 1.01548; ends 2 x 0.1524 x 0.2508 = 0.0764 m2;
    # 3 strips to a roll, 1 / (3 x 0.2508) = 1.3291; waste 1.05:
    # (11.489 + 0.0764) x 1.3291 x 1.05 = 16.140
    strip = line(counted, "strip-in")
    assert strip.net == pytest.approx(11.314, abs=0.005)
    assert strip.gross == pytest.approx(16.140, abs=0.005)
    # flashing pieces 1 m wide, side laps 3 in: 1 / 0.9238 = 1.08249; 0.3431 m high:
    # net 15.477; ends 2 x 0.0762 x 0.3431 = 0.0523; 29 to a roll, 10 / 9.950 = 1.00504:
    # (16.754 + 0.0523) x 1.00504 x 1.05 = 17.736
    flashing = line(counted, "flashing")
    assert flashing.laps == pytest.approx(1.08249, abs=1e-5)
    assert flashing.gross == pytest.approx(17.736, abs=0.01)
    # pieces of 10 ft lap 3 in: 148 / 9.75 = 15.18, so 16; laps 10 / 9.75
    metal = line(counted, "counterflashing")
    assert metal.pieces == 16
    assert metal.laps == pytest.approx(10.0 / 9.75)
    # the bead in the reglet, 140.1 mm2: 0.1401 x 45.1104 = 6.320 L, x 1.1 = 6.952 L,
    # over 0.29869 L: 23.3
    assert line(counted, "reglet-sealant").net == pytest.approx(6.320, abs=0.005)
    assert total(counted, "sealant").packs == 24


def test_a_wall_under_a_coping():
    """96 ft, 29.2608 m; wood ripped from 2x10, over the wall in two layers."""
    counted = bill(
        condition("wall", 'length = "96 ft"\ntermination = "coping"\nwall_height = "18 in"')
    )
    # 2 x 96 x 1.1 = 211.2 ft of 2x10, 1 2/3 board feet a foot: 352; 13.2 lengths of 16 ft
    wood = total(counted, "lumber-2x 2x10")
    assert wood.gross / FOOT == pytest.approx(211.2)
    assert wood.gross * wood.board_feet == pytest.approx(352.0)
    assert wood.packs == 14
    # the coping is 0.4101 m round; a plate of 8 1/4 in, 0.20955 m, every 3.048 m:
    # 0.20955 x 0.4101 x 29.2608 / 3.048 = 0.8250 m2
    assert line(counted, "coping-plates").net == pytest.approx(0.8250, abs=1e-3)
    # 96 / 10 = 9.6
    assert line(counted, "coping").pieces == 10


def test_a_wall_with_inside_corners():
    """40 ft, 12.192 m, with 2 corners: the run as a wall's, and two pieces a sheet.

    Pieces are counted by their patterns, sheets as without thickness: a cant of 3 1/2 by
    3 1/2 in is 88.9 x 1.41421 = 125.72 mm along its face, and the flashing sheet goes on to
    246.97 mm up from the toe and 101.6 mm out from it, together 348.57 mm.
    """
    counted = bill(condition("inside-corner", 'length = "40 ft"\ncount = 2'))
    # 40 x 1.05 = 42 ft of cant, in pieces of 4 ft: 10.5
    assert total(counted, "cant-perlite").packs == 11
    # the run: 0.34315 x 12.192 = 4.1837 m2; two places have 4 ends: 4 x 0.0762 x 0.34315 =
    # 0.1046; (4.1837 x 1.08249 + 0.1046) x 1.00490 x 1.05 = 4.8888
    assert line(counted, "flashing").gross == pytest.approx(4.8888, abs=2e-3)
    # the next piece: 342.9 x 348.57 mm less what the corner takes, (88.9 + 190.5) / 2 x
    # 101.6 on the roof and 88.9 x 125.72 / 2 on the cant: 119525 - 14194 - 5588 = 99743 mm2
    piece = line(counted, "flashing-next")
    assert piece.net == pytest.approx(2 * 0.099743, abs=2e-5)
    # cut from 0.3429 x 0.34857 m, two to a roll, 1 / 0.6858 = 1.45815:
    # 2 x 0.119525 x 1.45815 x 1.05 = 0.36600
    assert piece.gross == pytest.approx(0.36600, abs=1e-4)
    # the corner piece out of (342.9 + 93.33) x 348.57 mm, two to a roll by its height:
    # 2 x 0.152057 x 1 / 0.69714 x 1.05 = 0.45804
    assert line(counted, "flashing-corner").gross == pytest.approx(0.45804, abs=1e-4)
    # together 4.8888 + 0.3660 + 0.4580 = 5.7128 m2: one roll
    sheet = total(counted, "flashing-foil")
    assert sheet.gross == pytest.approx(5.7128, abs=2e-3)
    assert sheet.packs == 1


def test_a_wall_with_outside_corners():
    """60 ft, 18.288 m, with 4 corners of 90 degrees: three pieces a sheet at each."""
    counted = bill(condition("outside-corner", 'length = "60 ft"\ncount = 4'))
    # the next piece goes 6 in round the corner, square: 152.4 x (125.72 + 152.4) mm of base
    # ply, x (125.72 + 228.6) of finish ply, x 348.57 of flashing sheet
    for name, each in (
        ("base-ply-next", 0.042386),
        ("finish-ply-next", 0.053998),
        ("flashing-next", 0.053122),
    ):
        piece = line(counted, name)
        assert piece.net == pytest.approx(4 * each, abs=4e-5)
        # six to a roll: 1 / (6 x 0.1524) = 1.09361; x 1.05 = 1.14829
        assert piece.gross == pytest.approx(4 * each * 1.14829, abs=4e-5)
    # the corner piece of the base ply: 393.7 x 152.4 on the roof, and on the cant 334.63 at
    # the toe and 245.73 at the top: 60000 + 290.18 x 125.72 = 96481 mm2
    corner = line(counted, "base-ply-corner")
    assert corner.net == pytest.approx(4 * 0.096481, abs=4e-5)
    # cut from 0.3937 x 0.27812 m, three to a roll: 4 x 0.109496 x 1.19851 x 1.05 = 0.55118
    assert corner.gross == pytest.approx(0.55118, abs=1e-4)
    # counterflashing, 0.17419 m round: 60 / 9.75 = 6.15, so 7 pieces; four places have 8
    # ends: (3.1856 x 1.02564 + 8 x 0.0762 x 0.17419) x 1.2192 / (6 x 0.17419) x 1.05 =
    # 4.1320 m2, x 5.645 kg/m2 = 23.33 kg, 51.4 lb; two sheets of 40 sq ft
    metal = line(counted, "counterflashing")
    assert metal.pieces == 7
    assert metal.gross == pytest.approx(4.1320, abs=2e-3)
    steel = total(counted, "galvanized-24")
    assert steel.gross * steel.mass / POUND == pytest.approx(51.4, abs=0.1)
    assert steel.packs == 2


def test_a_roof_edge():
    """96 ft of a raised edge on 4 in of boards."""
    counted = bill(condition("roof-edge", 'length = "96 ft"'))
    # 2 rows of nails 3 in apart: 2 x 96 x 4 = 768, and one more in each row: 770
    nails = line(counted, "nail-count")
    assert nails.net == pytest.approx(768.0)
    assert nails.gross == pytest.approx(770.0 * 1.05)
    assert total(counted, "flange-nail").packs == 1
    # the cleat's nails 6 in apart: 192, and one more
    assert line(counted, "cleat-nail-count").gross == pytest.approx(193.0 * 1.05)
    # two 2x6: 2 x 96 x 1.1 = 211.2 ft, as many board feet; 13.2 lengths of 16 ft
    wood = total(counted, "lumber-2x 2x6")
    assert wood.gross * wood.board_feet == pytest.approx(211.2)
    assert wood.packs == 14
    # two shims 5 1/2 in wide: 88 sq ft; 8 to a panel, 48 / 44; x 1.1 = 105.6; 3.3 panels
    shims = total(counted, "plywood-1-2")
    assert shims.net / SQUARE_FOOT == pytest.approx(88.0)
    assert shims.gross / SQUARE_FOOT == pytest.approx(105.6)
    assert shims.packs == 4
    # edge metal 0.3324 m round: x 29.2608 = 9.726 m2, in 10 pieces of 10 ft
    metal, plates = line(counted, "edge-metal"), line(counted, "edge-metal-plates")
    assert metal.net == pytest.approx(9.726, abs=0.003)
    assert metal.pieces == 10
    # plates 0.20955 x 0.3324 x 29.2608 / 3.048 = 0.6687 m2
    assert plates.net == pytest.approx(0.6687, abs=5e-4)
    # 3 to a sheet of 48 in: 1.2192 / (3 x 0.3324) = 1.2226; waste 1.05; 5.645 kg/m2:
    # (9.726 + 0.6687) x 1.2226 x 1.05 = 13.344 m2, 75.33 kg, 166.1 lb
    steel = total(counted, "galvanized-24")
    assert steel.gross * steel.mass / POUND == pytest.approx(166.1, abs=0.2)


def test_a_flush_roof_edge():
    """34 ft, 10.3632 m."""
    counted = bill(condition("roof-edge", 'length = "34 ft"\nedge = "flush"'))
    # 2 x 34 x 4 + 2 = 274 nails
    assert line(counted, "nail-count").gross == pytest.approx(274.0 * 1.05)
    # the strip-in, 0.1976 m: 5 to a roll, 1 / 0.988 = 1.01215
    strip = line(counted, "strip-in")
    assert strip.offcuts == pytest.approx(1.0 / (5 * 0.1976), abs=1e-3)
    # the base ply goes on as the field: side and end laps, nothing cut off;
    # 10 / (0.9238 x 9.8476) = 1.09923
    base = line(counted, "base-ply")
    assert (base.laps, base.offcuts) == (pytest.approx(1.09923, abs=1e-5), 1.0)


def test_drains():
    """6 drains, each with a square of lead of 4 lb, 30 in wide."""
    counted = bill(condition("drain", "count = 6"))
    lead = total(counted, "lead-4")
    # 6 x 30 x 30 in = 37.5 sq ft; one to the width of 48 in: x 1.6 x 1.05 = 63 sq ft,
    # 252 lb bought for 150 lb built in; 2 sheets of 32 sq ft
    assert lead.net / SQUARE_FOOT == pytest.approx(37.5)
    assert lead.net * lead.mass / POUND == pytest.approx(150.0, rel=1e-3)
    assert lead.gross / SQUARE_FOOT == pytest.approx(63.0)
    assert lead.packs == 2
    # the target 38 in square, 0.9652 m: 6 x 0.93161 = 5.5897 m2; one to the width of a
    # roll: x 1 / 0.9652 x 1.05 = 6.0808
    target = line(counted, "target")
    assert target.net == pytest.approx(5.5897, abs=1e-3)
    assert target.gross == pytest.approx(6.0808, abs=1e-3)
    # bowls, rings and strainers one by one, with no waste
    for part in ("bowl", "clamping-ring", "strainer"):
        assert total(counted, f"drain-cast-iron {part}").packs == 6
    # wood about the bowl 64 in long along its middle, in two layers: 2 x 6 x 5.3333 = 64 ft
    assert total(counted, "lumber-2x 2x6").net / FOOT == pytest.approx(64.0)
    # primer 2 x 6 rings: 0.4384 L each: 2.630 L, x 1.1 = 0.764 gal: one pail
    assert total(counted, "primer").gross / GALLON == pytest.approx(0.764, abs=2e-3)


def test_deep_drains():
    """2 drains whose sump is clad: what is wider than a roll is cut from two strips."""
    counted = bill(condition("deep-drain", "count = 2"))
    assert total(counted, "drain-cast-iron bowl").packs == 2
    # the clad sheet, 44 in square, 1.1176 m: with a seam of 3 in 1.1938 m across, cut as a
    # roll's width and 0.1938 m; of the latter 5 to a roll, 0.2 m each:
    # 2 x 1.1176 x (1.0 + 0.2) x 1.05 = 2.8164 m2
    clad = line(counted, "clad-sheet")
    assert clad.material == "clad-aluminium"
    assert clad.gross == pytest.approx(2.8164, abs=1e-3)
    # primer: 2 x 1.0760 m2 on both faces of the lead, 2 x (0.4222 + 0.0852) on the clad
    # sheet; 3.1668 m2 x 0.4075 L/m2 x 1.1 = 1.4195 L
    assert total(counted, "primer").gross == pytest.approx(1.4195, abs=2e-3)


def test_stacks():
    """4 stacks of 4 1/2 in, each in a jack of lead of 2 1/2 lb."""
    counted = bill(condition("stack", 'count = 4\npipe_diameter = "4 1/2 in"'))
    lead = total(counted, "lead-2half")
    # 0.1681 m2 each: 0.6724 m2, 7.238 sq ft, 18.1 lb; x 1.05 = 7.600 sq ft: one sheet
    assert lead.net / SQUARE_FOOT == pytest.approx(7.238, abs=0.005)
    assert lead.net * lead.mass / POUND == pytest.approx(18.09, abs=0.02)
    assert lead.packs == 1
    # the target 0.5230 m square, 0.27353 m2, less the hole 0.0106 and more what turns up:
    # net 0.2662 each; the square is cut from the roll, one to its width of 1 m:
    # 4 x 0.27353 / 0.5230 x 1.05 = 2.197 m2
    target = line(counted, "strip-in")
    assert target.net == pytest.approx(4 * 0.2662, abs=1e-3)
    assert target.gross == pytest.approx(2.197, abs=0.002)
    # primer 4 x 0.0746 = 0.2984 L
    assert line(counted, "flange-primer").net == pytest.approx(0.2984, abs=1e-3)


def test_vent_sleeves():
    """3 sleeves of 8 5/8 in pipe: hoods and collars are bought one by one."""
    rest = 'count = 3\npipe_diameter = "8 5/8 in"\nheight = "10 in"'
    counted = bill(condition("vent-sleeve", rest))
    single = {t.item for t in counted.totals if t.packs == 3 and t.net == 3.0}
    assert single == {"stainless-025 collar", "stainless-018 draw-band"}
    # the target 0.6394 m square, one to the width of a roll: 3 x 0.6394 x 1.05 = 2.0141 m2
    assert line(counted, "strip-in").gross == pytest.approx(2.0141, abs=1e-3)
    # sleeve and collar 0.3399 + 0.1251 m2 of stainless at 1.05 lb a square foot, 5.1265
    # kg/m2: 3 x 2.3838 = 7.151 kg
    assert line(counted, "stainless-025-mass").net == pytest.approx(7.151, abs=3e-3)
    # beads of 45.4 and 46.3 mm2 round the pipe: 3 x (0.752 x 45.4 + 0.708 x 46.3) mL =
    # 0.2008 L, x 1.1 = 0.2209 L: one cartridge
    assert total(counted, "sealant").gross == pytest.approx(0.2209, abs=1e-3)
    assert total(counted, "sealant").packs == 1


def test_the_roll_that_laps_leave():
    """1 x 10 m gross 107.64 sq ft, net 97.93: the field's lap factor is their ratio."""
    base = line(bill(condition("wall", 'length = "10 ft"')), "base-ply")
    assert base.laps == pytest.approx(107.64 / 97.93, abs=2e-4)


def test_cartridges_follow_geometry_and_not_the_two_charts_that_are_wrong():
    holds = load_catalog().pack("sealant").holds
    feet = bead_run((25.4 / 4) ** 2, holds) / FOOT
    assert feet == pytest.approx(24.3, abs=0.05)
    assert not 50.0 <= feet <= 55.0
    tube = bead_run(25.4**2 * 3 / 64, 10.0 * GALLON / 128) / FOOT
    assert tube == pytest.approx(32.1, abs=0.05)
    assert abs(tube - 36.0) > 3.0
