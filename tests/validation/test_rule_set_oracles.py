"""Rule sets against published figures, and published conflicts against what the tool finds.

Each figure names its source and how it is known. UFGS sections are the older five-digit
editions, UFC 3-110-03 the issue of 26 September 2006, MIL-HDBK-1001/5A that of 1997.
"""

from itertools import product

import pytest

from detailgen.catalog import Verdict, crossings, load_catalog, tried
from detailgen.units import inches, parse_slope, to_inches

CATALOG = load_catalog()
HANDBOOK = "sheet-metal-handbook"
GUIDE = "us-government-guide"


@pytest.mark.parametrize(
    ("set_id", "row", "value", "known"),
    [
        # UFGS 07550, file page 23, items f and h.
        (GUIDE, "flashing_height_least", inches(8), "read"),
        (GUIDE, "cant_height_least", inches(3.5), "read"),
        # UFGS 07511, file page 14: two plies; base ply 70 mils, cap sheet 120 mils.
        (GUIDE, "sheets_on_wall", 2, "read"),
        (GUIDE, "base_ply_thickness_least", inches(0.070), "read"),
        (GUIDE, "granule_sheet_thickness_least", inches(0.120), "read"),
        # UFGS 07600, 3.1.11, 3.1.13, 3.1.15.
        (GUIDE, "counterflashing_end_lap_least", inches(3), "read"),
        (GUIDE, "reglet_depth_least", inches(1.25), "read"),
        (GUIDE, "nail_spacing_most", inches(3), "read"),
        # MIL-HDBK-1001/5A, 14.3.6: flange 4 in and two plies.
        (GUIDE, "flange_width_least", inches(4), "read"),
        (GUIDE, "sheets_over_flange", 2, "read"),
        # NAVFAC A-E guide, roofing design criteria, items 1 and 3a.
        ("navy-guides", "slope_least", 0.5 / 12, "read"),
        ("navy-guides", "parapet_height_usual_most", inches(18), "read"),
        # Copper in Architecture design handbook, 9.7, 9.9B, 11.2A.
        ("copper-handbook", "flange_width_most", inches(4), "read"),
        ("copper-handbook", "counterflashing_lap_least", inches(4), "read"),
        ("copper-handbook", "reglet_depth_least", inches(1), "read"),
        # BS 6229:2018, and its 4.5 as quoted in a trade article.
        ("british-standard", "slope_least", 1 / 40, "restated"),
        ("british-standard", "flashing_height_least", 150.0, "restated"),
        # NHBC Standards 2022, 7.1.15, Table 17: copper 0.6 mm, aluminium 0.6 to 0.9 mm.
        ("british-standard", "metal_least_copper", 0.6, "read"),
        # RCABC roofing practices manual, texts of 2016 to 2019.
        ("canadian-manual", "flashing_height_least", 200.0, "read"),
        ("canadian-manual", "flange_width_least", 100.0, "read"),
        ("canadian-manual", "reglet_depth_least", 30.0, "read"),
        ("canadian-manual", "top_fastener_spacing_most", inches(24), "read"),
        # SMACNA Architectural Sheet Metal Manual, 5th edition, extract in the trade press.
        (HANDBOOK, "flashing_height_least", inches(10), "restated"),
        (HANDBOOK, "reglet_height_least", inches(10), "restated"),
    ],
)
def test_published_figures_of_the_sets(
    set_id: str, row: str, value: float, known: str
) -> None:
    found = CATALOG.rule_set(set_id).row(row)
    assert found.value == pytest.approx(value, rel=1e-12)
    assert found.known == known
    assert [o.set_id for o in found.origins] == [set_id]


def test_the_published_conflict_is_found_from_the_two_sets_alone() -> None:
    """8 in of flashing on a cant of 3 1/2 in (UFGS 07550, read) leave 3 1/2 in for a
    counterflashing whose hem stays 1 in above the cant and which laps by 4 in (SMACNA
    manual, 5th edition, restated): 8 - (3.5 + 1) = 3.5. The 10 in that the manual itself
    asks leave 5.5."""
    rules = CATALOG.rules_of([GUIDE, HANDBOOK])
    (conflict,) = CATALOG.conflicts_of(rules)
    assert conflict.relation == "counterflashing_below_flashing_top"
    assert conflict.verdict is Verdict.MORE_ROOM
    assert conflict.arithmetic[0] == "8 in - (3 1/2 in + 1 in) = 3 1/2 in < 4 in"
    assert "10 in - (3 1/2 in + 1 in) = 5 1/2 in >= 4 in" in conflict.mend
    assert conflict.sets == (GUIDE, HANDBOOK)
    told = {row.id: (row.value, [o.set_id for o in row.origins]) for row in conflict.rows}
    assert told == {
        "flashing_height_least": (pytest.approx(inches(8)), [GUIDE]),
        "cant_height_least": (pytest.approx(inches(3.5)), ["common-practice"]),
        "hem_above_cant_least": (pytest.approx(inches(1)), [HANDBOOK]),
        "counterflashing_lap_least": (pytest.approx(inches(4)), [HANDBOOK]),
    }


def test_the_datum_narrows_the_published_conflict_but_does_not_end_it() -> None:
    """Computed: heights count from the top of three sheets, 2.6 + 2.6 + 3.6 mm, so that 8
    in leave 3.5 + 0.346 in for the lap of 4 in, and 8.154 in are needed."""
    fits = CATALOG.relations.values()
    one, other = CATALOG.rule_set(GUIDE), CATALOG.rule_set(HANDBOOK)
    (crossing,) = crossings(fits, one, other, CATALOG.materials)
    short = -to_inches(crossing.tried.spare)
    assert short == pytest.approx(4 - (8 + (2.6 + 2.6 + 3.6) / 25.4 - 3.5 - 1), abs=1e-9)
    assert short == pytest.approx(0.154, abs=0.0005)
    assert crossing.tried.needed == "8.15 in"
    assert (crossing.needing.id, crossing.giving.id) == (HANDBOOK, GUIDE)


def test_the_handbook_lap_fits_at_the_handbook_height_and_nowhere_below() -> None:
    """Brute force over the sets: which set's height carries which set's lap and hem."""
    fit = CATALOG.relations["counterflashing_below_flashing_top"]
    datum = 2.6 + 2.6 + 3.6
    for needing, giving in product(CATALOG.rule_sets.values(), repeat=2):
        rows = ("cant_height_least", "hem_above_cant_least", "counterflashing_lap_least")
        left = giving.value("flashing_height_least") + datum
        left -= sum(needing.value(row) for row in rows)
        told = {
            (c.needing.id, c.giving.id)
            for c in crossings([fit], needing, giving, CATALOG.materials)
        }
        home = tried(fit, needing, CATALOG.materials).spare
        there = tried(fit, giving, CATALOG.materials).spare
        worse = there >= 0 or left < there - 0.01
        assert ((needing.id, giving.id) in told) == (left < 0 <= home and worse)


def test_flange_at_least_four_and_at_most_four_leave_four() -> None:
    """At least 4 in (MIL-HDBK-1001/5A 14.3.6, read; 1925 copper manual, clause 47, read);
    at most 4 in where it is stripped in (Copper in Architecture 9.7, read)."""
    rules = CATALOG.rules_of([GUIDE, "copper-handbook"])
    found = {c.relation: c for c in CATALOG.conflicts_of(rules)}["flange_width_from_to"]
    assert found.verdict is Verdict.EXACTLY
    assert rules.value("flange_width_least") == rules.value("flange_width_most")
    assert to_inches(rules.value("flange_width_most")) == pytest.approx(4)


def test_canadian_flange_of_100_mm_lies_below_the_copper_most() -> None:
    """RCABC prints 100 mm beside 4 in; exactly 4 in is 101.6 mm (both read)."""
    rules = CATALOG.rules_of(["canadian-manual", "copper-handbook"])
    assert CATALOG.rule_set("canadian-manual").value("flange_width_least") == 100.0
    assert rules.value("flange_width_least") == pytest.approx(101.6)


def test_slopes_of_the_sets() -> None:
    """1/4 in per ft (IBC as amended in Minnesota, read), 1/2 in per ft (NAVFAC, read), 1:40
    (BS 6229:2018, restated): 2.083, 4.167 and 2.5 percent."""
    asked = {i: s.value("slope_least") for i, s in CATALOG.rule_sets.items()}
    assert asked["common-practice"] == pytest.approx(0.02083, abs=5e-6)
    assert asked["navy-guides"] == pytest.approx(0.04167, abs=5e-6)
    assert asked["british-standard"] == pytest.approx(0.025)
    assert asked["british-standard"] == parse_slope("2.5 %")
    both = CATALOG.rules_of(["british-standard", "common-practice"])
    assert both.value("slope_least") == pytest.approx(0.025)
