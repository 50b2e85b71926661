"""The model, on sections small enough to count by hand."""

from dataclasses import replace

import pytest

from detailgen.catalog import load_catalog, with_rule_overrides
from detailgen.geometry import Line
from detailgen.geometry.regions import box
from detailgen.parameters import RuleOverride
from detailgen.section import Body, Bond, LayeredSection, Role, Zone
from detailgen.waterpath import How, Way, ways
from tests.checks.handmade import joint, layout, part, rect, wall

RULES = load_catalog().rule_set("common-practice")
ALL = (Zone("all", box(-1e4, -1e4, 1e4, 1e4), low=True),)
DECK = rect(Role.DECK, -400, -50, 250, 0)


def made(*bodies: Body, **more: object) -> LayeredSection:
    """Return a section whose deck must stay dry, in one zone."""
    settings: dict[str, object] = {"must_stay_dry": ("deck",), "zones": ALL, **more}
    return wall(DECK, *bodies, extent=box(-400, -300, 250, 900), **settings)


def the_way(section: LayeredSection) -> Way:
    (way,) = ways(section, RULES)
    return way


def sheet(role: Role, low: float, x0: float = -400, x1: float = 250, id: str = "") -> Body:  # noqa: A002
    return rect(role, x0, low, x1, low + 4, thickness=4.0, **({"id": id} if id else {}))


def test_a_bare_deck_is_wet_for_nothing() -> None:
    way = the_way(made())
    assert way.figure == 0.0
    assert way.steps == ()
    assert way.body == "deck"


def test_each_sheet_counts_one() -> None:
    base, finish = sheet(Role.BASE_PLY, 0), sheet(Role.FINISH_PLY, 4)
    assert the_way(made(base)).figure == 1.0
    way = the_way(made(base, finish))
    assert way.figure == 2.0
    assert [(s.how, s.body, s.cost) for s in way.steps] == [
        (How.THROUGH, "finish-ply", 1.0),
        (How.THROUGH, "base-ply", 1.0),
    ]


def test_a_way_crosses_sheets_straight_and_ends_where_it_is_told() -> None:
    way = the_way(made(sheet(Role.BASE_PLY, 0), sheet(Role.FINISH_PLY, 4)))
    assert [y for _, y in way.line] == pytest.approx([8.0, 4.0, 0.0], abs=1e-3)
    assert len({round(x, 3) for x, _ in way.line}) == 1
    assert way.line[-1] == way.at


def test_nothing_that_must_stay_dry_means_no_way() -> None:
    assert ways(made(must_stay_dry=()), RULES) == ()


def test_a_stuck_lap_counts_its_length_over_the_lap_asked() -> None:
    # two sheets lap by 76.2 mm; end_lap_least is 6 in
    lower = sheet(Role.BASE_PLY, 0, -400, 0)
    upper = rect(Role.FINISH_PLY, -76.2, 4, 250, 8, thickness=4.0)
    # the upper one drops to the deck beyond the lower one's end
    upper = replace(upper, region=upper.region.union(box(0, 0, 250, 4)))  # type: ignore[arg-type]
    lap = joint(upper, lower, Bond.TORCHED, (-76.2, 4), (0, 4), (0, 0))
    way = the_way(made(lower, upper, joints=[lap]))
    assert way.figure == pytest.approx((76.2 + 4.0) / 152.4, rel=2e-3)
    assert [(s.how, s.body) for s in way.steps] == [(How.ALONG, "finish-ply")]
    assert way.steps[0].amount == pytest.approx(80.2, abs=0.01)
    dry = the_way(made(lower, upper, joints=[replace(lap, bond=Bond.DRY)]))
    assert dry.figure == 0.0, "level and down cost nothing in a dry joint"
    unknown = the_way(made(lower, upper))
    assert unknown.figure == 0.0, "a joint without record is dry"


def test_a_long_lap_counts_one_as_going_through_its_sheet_does() -> None:
    lower = sheet(Role.BASE_PLY, 0, -400, 0)
    whole = box(-390, 4, 250, 8).union(box(0, 0, 250, 4))
    upper = replace(rect(Role.FINISH_PLY, 0, 0, 1, 1, thickness=4.0), region=whole)  # type: ignore[arg-type]
    lap = joint(upper, lower, Bond.TORCHED, (-390, 4), (0, 4), (0, 0))
    assert the_way(made(lower, upper, joints=[lap])).figure == 1.0


def cover(rise: float, *more: Body, **settings: object) -> LayeredSection:
    """Return a wall that is dry behind a counterflashing, to be climbed from its hem."""
    upstand = rect(Role.WALL, 0, 0, 250, 900)
    base, finish = sheet(Role.BASE_PLY, 0, -400, 0), sheet(Role.FINISH_PLY, 4, -400, 0)
    flashing = rect(Role.FLASHING, -4, 8, 0, 300, thickness=4.0)
    flashing = replace(flashing, region=flashing.region.union(box(-150, 8, 0, 12)))  # type: ignore[arg-type]
    foot = joint(flashing, finish, Bond.TORCHED, (-150, 8), (0, 8))
    metal = rect(Role.COUNTERFLASHING, -11, 300 - rise, -10, 341, thickness=1.0)
    metal = replace(metal, region=metal.region.union(box(-10, 340, 40, 341)))  # type: ignore[arg-type]
    upstand = replace(upstand, region=upstand.region.difference(box(0, 340, 40, 341)))  # type: ignore[arg-type]
    held = joint(metal, upstand, Bond.FASTENED, (0, 340), (40, 340), (40, 341))
    pieces = settings.pop(
        "pieces",
        [
            part(Role.COUNTERFLASHING, 0, 0, 1000, 100, 0),
            part(Role.COUNTERFLASHING, 1000 - 76.2, 0, 2000, 100, 1),
        ],
    )
    return made(
        upstand,
        base,
        finish,
        flashing,
        metal,
        *more,
        joints=[foot, held],
        layout=layout("wall-elevation", pieces),  # type: ignore[arg-type]
        must_stay_dry=("wall",),
        dry_within={"wall": box(-1e4, -1e4, 1e4, 339.5)},
        **settings,
    )


@pytest.mark.parametrize(
    ("rise", "figure"), [(101.6, 1.0), (50.8, 0.5), (25.4, 0.25), (280.0, 1.0), (0.0, 0.0)]
)
def test_a_climb_counts_its_rise_over_the_lap_asked_and_at_most_one(
    rise: float, figure: float
) -> None:
    assert the_way(cover(rise)).figure == pytest.approx(figure, abs=1e-3)


def test_a_climb_is_told_with_its_rise() -> None:
    (step,) = the_way(cover(50.8)).steps
    assert (step.how, step.body) == (How.UP, "counterflashing")
    assert step.amount == pytest.approx(50.8, abs=0.1)


def test_a_shallow_receiver_counts_its_share() -> None:
    deep = cover(101.6)
    held = Line([(24, 340), (40, 340)])  # of 1 1/4 in that are asked
    short = [replace(j, line=held) if j.bond is Bond.FASTENED else j for j in deep.joints]
    found = the_way(replace(deep, joints=tuple(short)))
    assert found.figure == pytest.approx(16.0 / 31.75, abs=5e-3)
    assert found.steps[0].how is How.RECEIVER


def test_metal_counts_for_as_much_as_its_pieces_lap() -> None:
    open_joint = [
        part(Role.COUNTERFLASHING, 0, 0, 1000, 100, 0),
        part(Role.COUNTERFLASHING, 1000 - 38.1, 0, 2000, 100, 1),
    ]
    assert the_way(cover(101.6, pieces=open_joint)).figure == pytest.approx(0.5, abs=1e-3)
    assert the_way(cover(101.6, pieces=[])).figure == 0.0, "no layout shows its joints"
    one = open_joint[:1]
    assert the_way(cover(101.6, pieces=one)).figure == pytest.approx(1.0)


def test_beads_and_fasteners_never_count() -> None:
    bead = rect(Role.BEAD, -10, 295, -4, 300, id="bead")
    nail = rect(Role.FASTENER, -20, 200, 60, 203, id="nail")
    assert the_way(cover(50.8, bead, nail)).figure == the_way(cover(50.8)).figure
    around = rect(Role.BEAD, -400, 0, 250, 12, id="bead")
    assert the_way(made(around)).figure == 0.0


def test_a_bed_counts_with_what_is_set_in_it() -> None:
    bed, top = rect(Role.CEMENT, -400, 0, 250, 2), sheet(Role.FLASHING, 2)
    held = joint(top, bed, Bond.CEMENT, (-400, 2), (250, 2))
    assert the_way(made(bed, top, joints=[held])).figure == 1.0
    assert the_way(made(bed)).figure == 0.0, "a bed alone keeps nothing out"


def test_a_hole_in_one_zone_is_not_told_of_the_next() -> None:
    zones = (Zone("left", box(-1e4, -1e4, 0, 1e4), low=True), *ALL)
    base = sheet(Role.BASE_PLY, 0)
    finish = sheet(Role.FINISH_PLY, 4, -200, 250)  # missing at the left end
    stuck = joint(finish, base, Bond.TORCHED, (-200, 4), (250, 4))
    found = ways(made(base, finish, zones=zones, joints=[stuck]), RULES)
    assert [(w.zone, w.figure) for w in found] == [("left", 1.0), ("all", 2.0)]


def test_zones_without_anything_that_must_stay_dry_are_left_out() -> None:
    zones = (Zone("above", box(-1e4, 100, 1e4, 1e4), low=False), *ALL)
    assert [w.zone for w in ways(made(zones=zones), RULES)] == ["all"]


def test_what_must_stay_dry_ends_a_way_and_carries_nothing_on() -> None:
    # the board lies bare; the deck beneath is reached by no other way
    board = rect(Role.INSULATION, -400, 0, 250, 40)
    (way,) = ways(made(board, must_stay_dry=("deck", "insulation")), RULES)
    assert way.body == "insulation"
    assert ways(made(board), RULES) == (), "what is not asked to stay dry stops water, too"


def test_rain_comes_from_the_sides_where_something_spans_the_drawing() -> None:
    unit = rect(Role.EQUIPMENT, -400, 500, 250, 900, material="deck-concrete")
    assert the_way(made(unit)).figure == 0.0


def test_run_off_does_not_rise_in_the_open() -> None:
    # a passage leads under a sill into a room, in which a board lies 80 mm higher
    shelter = rect(Role.WALL, -400, 0, 250, 900)
    room = (
        box(-100, 200, 0, 400).union(box(-50, 98.4, 0, 400)).union(box(-399, 98.4, 0, 120))
    )
    shelter = replace(shelter, region=shelter.region.difference(room))  # type: ignore[arg-type]
    bare = rect(Role.INSULATION, -100, 200, -50, 210)
    found = ways(made(shelter, bare, must_stay_dry=("insulation",)), RULES)
    assert found == (), "closed to the sky on all sides"
    opened = shelter.region.difference(box(-399, 98.4, -398, 900))
    found = ways(
        made(replace(shelter, region=opened), bare, must_stay_dry=("insulation",)),  # type: ignore[arg-type]
        RULES,
    )
    assert found[0].figure == pytest.approx((200.0 - 120.0) / 25.4, abs=0.01)


def test_the_rule_set_says_what_a_lap_must_be() -> None:
    change = RuleOverride(
        rule="counterflashing_lap_least", value="2 in", reason="Sheltered."
    )
    rules = with_rule_overrides(RULES, [change])
    (way,) = ways(cover(50.8), rules)
    assert way.figure == pytest.approx(1.0, abs=1e-3)


def test_a_figure_is_told_in_hundredths_and_never_rounded_up_to_a_limit() -> None:
    way = the_way(cover(101.6))
    assert replace(way, figure=1.9999).told == 2.0
    assert replace(way, figure=1.998).told == 1.99
    assert replace(way, figure=0.123).told == 0.12


def test_the_same_section_gives_the_same_ways() -> None:
    assert ways(cover(50.8), RULES) == ways(cover(50.8), RULES)
