"""Changes of a detail: what they do to the section, its views and its dimensions."""

from random import Random

import pytest

from detailgen.conditions import CONDITIONS, Site, Thickening
from detailgen.faults import Bench, Change, NoPaperError, Planter, Sort, failing
from detailgen.faults._seen import size_on_paper
from detailgen.faults._ways import ways_of
from detailgen.geometry.changes import changed_length, changed_size
from detailgen.geometry.regions import box
from detailgen.geometry.strips import polyline
from detailgen.parameters import Roof
from detailgen.section import Bond, Role
from detailgen.units import UnitSystem
from tests.sheet.asked import catalog

IN = 25.4
FEET = UnitSystem.FEET_INCHES


def bench(kind: str, **given: object) -> Bench:
    """Return a condition with defaults, but for the parameters given."""
    site = Site(Roof(), catalog(), catalog().rule_set("common-practice"))
    condition = CONDITIONS[kind]
    return Bench(condition, condition.parameters(id="D1", **given), site)


def planter(one: Bench) -> Planter:
    """Return what plants faults that are drawn at 1:8, twice as thick as true."""

    def scales(broken: object) -> dict[str, float]:
        views = one.sound.section.layouts
        return {"section": 8.0, **{v.id: 8.0 for v in views}}

    return Planter(one, FEET, scales, lambda _, __: Thickening(2.0, 2.0, 2.0), [8.0])


def test_a_parameter_is_changed_alone_and_the_dimension_tells_it() -> None:
    one = bench("wall")
    broken = one.broken([Change(Sort.PARAMETER, "flashing_height", "", 7.5 * IN)])
    assert broken is not None
    assert broken.failing == {"low_flashing"}
    points = broken.section.points
    assert points["flashing.top"][1] - points["roof.datum"][1] == pytest.approx(7.5 * IN)
    reglet = one.sound.section.points["reglet.mouth"]
    assert points["reglet.mouth"] == reglet, "what followed from it stays"


def test_nothing_is_changed_and_nothing_fails() -> None:
    sound = bench("roof-edge").sound
    assert sound.failing == frozenset()
    assert not any(g.suffix for g in sound.section.gauges)
    assert not any(g.suffix for v in sound.section.layouts for g in v.gauges)


def test_what_is_left_out_is_gone_from_both_sides_and_from_views() -> None:
    one = bench("equipment-support")
    broken = one.broken([Change(Sort.LEFT_OUT, "strip-in", "strip-in ply")])
    assert broken is not None
    assert not broken.section.of_role(Role.STRIP_IN)
    (plan,) = broken.section.layouts
    assert not plan.of_role(Role.STRIP_IN)
    (whole,) = one.sound.section.layouts
    assert whole.of_role(Role.STRIP_IN)
    told = {g.id for g in one.sound.section.gauges} - {g.id for g in broken.section.gauges}
    assert told, "no dimension tells the length of what is not there"


def test_a_thicker_view_has_the_same_fault() -> None:
    one = bench("wall")
    broken = one.broken([Change(Sort.ENDS_EARLY, "strip-in", "", 1.5 * IN)])
    assert broken is not None
    thick = broken.rebuild(Thickening(3.0, 3.0, 3.0))
    before = one.sound.rebuild(Thickening(3.0, 3.0, 3.0))
    tops = [s.body("strip-in").region.bounds[3] for s in (before, thick)]  # type: ignore[union-attr]
    assert tops[0] - tops[1] == pytest.approx(1.5 * IN, abs=0.5)


def test_joints_are_changed_and_nothing_else() -> None:
    one = bench("wall")
    loose = one.broken([Change(Sort.LOOSE, "strip-in", "base-ply")])
    assert loose is not None
    assert loose.section.bodies == one.sound.section.bodies
    bonds = {j.bond for j in loose.section.joints if j.upper == "strip-in"}
    assert Bond.DRY in bonds
    stuck = one.broken([Change(Sort.STUCK, "base-ply", "cant")])
    assert stuck is not None
    assert stuck.failing == {"base_ply_stuck_over_cant"}


def test_pieces_and_fasteners_of_views() -> None:
    one = bench("wall")
    turned = Change(Sort.REVERSED, "wall-elevation", "flashing-piece-1+flashing-piece-2")
    found = one.broken([turned])
    assert found is not None
    assert found.failing == {"backwater_side_lap"}
    short = Change(Sort.SHORT_LAP, "wall-elevation", "flashing-piece-1", 2 * IN)
    found = one.broken([short])
    assert found is not None
    assert found.failing == {"short_side_lap"}
    view = found.section.layout("wall-elevation")
    assert view is not None
    assert "side-lap" not in {g.id for g in view.gauges}
    edge = bench("roof-edge")
    sparse = edge.broken([Change(Sort.SPARSE, "flange-plan", "1", 2.0)])
    assert sparse is not None
    assert sparse.failing == {"sparse_nails"}


def test_a_size_is_what_is_seen_and_what_is_lacking_whichever_is_less() -> None:
    one = bench("wall")
    broken = one.broken([Change(Sort.PARAMETER, "flashing_height", "", 7.5 * IN)])
    assert broken is not None
    pair = tuple(
        next(f for f in b.findings if f.rule == "low_flashing") for b in (one.sound, broken)
    )
    for factor in (2.0, 4.0, 8.0):
        size = size_on_paper(
            pair,  # type: ignore[arg-type]
            one.sound.section,
            broken.section,
            {"section": factor},
        )
        assert size == pytest.approx(0.5 * IN / factor)


def test_a_loose_joint_under_a_film_of_primer_is_not_seen() -> None:
    one = planter(bench("stack"))
    assert one._alone(Change(Sort.LOOSE, "strip-in", "base-ply"))
    assert not one._alone(Change(Sort.LOOSE, "strip-in", "sleeve"))


@pytest.mark.parametrize("count", [1, 2, 3])
def test_faults_have_rules_of_their_own_and_papers_differ(count: int) -> None:
    one = bench("wall")
    plants = planter(one)
    seen: set[tuple[Change, ...]] = set()
    for number in range(4):
        planted = plants.plant(count, Random(f"{number}"))
        assert len(planted.faults) == count
        rules = [r for f in planted.faults for r in sorted(f.rules)]
        assert len(rules) == len(set(rules))
        assert planted.broken.failing == set(rules) == failing(planted.broken.findings)
        assert all(f.size >= 1.5 for f in planted.faults)
        seen.add(planted.broken.changes)
    assert len(seen) == 4
    ways = {(c.sort, c.what, c.other) for changes in seen for c in changes}
    assert len(ways) >= 4, "the ways take turns"


def test_a_detail_that_fails_gives_no_paper() -> None:
    with pytest.raises(NoPaperError, match="low_flashing"):
        planter(bench("wall", flashing_height=4 * IN))


@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_kind_can_be_broken_in_several_sorts_of_ways(kind: str) -> None:
    one = bench(kind)
    sorts = {w.sort for w in ways_of(one, FEET)}
    assert {Sort.LEFT_OUT, Sort.LOOSE} <= sorts
    assert Sort.PARAMETER in sorts or kind == "free-section"


def test_how_regions_and_lines_differ() -> None:
    window = box(0.0, 0.0, 100.0, 100.0)
    one = box(10.0, 10.0, 40.0, 20.0)
    assert changed_size(one, one, window, 1.0) == 0.0
    assert changed_size(one, box(10.0, 10.0, 55.0, 20.0), window, 1.0) == pytest.approx(
        15.0
    )
    assert changed_size(one, None, window, 1.0) == pytest.approx(30.0)
    assert changed_size(one, box(10.0, 10.0, 40.0, 20.5), window, 1.0) == 0.0
    assert changed_size(None, box(90.0, 0.0, 300.0, 50.0), window, 1.0) == pytest.approx(
        50.0
    )
    a, b = polyline([(0.0, 5.0), (50.0, 5.0)]), polyline([(0.0, 5.0), (20.0, 5.0)])
    assert changed_length([a], [b], window, 0.5) == pytest.approx(29.5)
    assert changed_length([b], [a], window, 0.5) == pytest.approx(29.5)
    assert changed_length([a], [a], window, 0.5) == 0.0
    film = polyline([(0.0, 5.5), (50.0, 5.5)])
    assert changed_length([a], [b], window, 0.5, over=[film], hides=1.0) == 0.0
