"""The stacking engine: sheets drape, butt, join and move the surface out."""

from itertools import combinations, pairwise
from math import atan2, cos, dist, hypot, pi, radians, sin, tan

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from detailgen.geometry.regions import box, overlap_area
from detailgen.geometry.strips import ribbon
from detailgen.geometry.surfaces import Surface
from detailgen.mistakes import Mistakes
from detailgen.section import Body, Bond, Role
from detailgen.stacking import Spec, Stack, clipped, everywhere

SHEET = 3.0
TORCHED = everywhere(Bond.TORCHED)


def spec(body_id, thickness=SHEET, stage=1, role=Role.BASE_PLY):
    return Spec(body_id, role, "any", body_id, stage, thickness)


def ground(points=((-300.0, 0.0), (0.0, 0.0), (0.0, 200.0)), owners=("board", "wall")):
    """A board and a wall; other surfaces lie on one solid of that outline."""
    left, right, low = points[0][0], points[-1][0] + 50.0, min(y for _, y in points) - 60.0
    closing = [(right, points[-1][1]), (right, low), (left, low)]
    if tuple(owners) == ("board", "wall"):
        bodies = [
            Body("board", Role.COVER_BOARD, "any", box(left, low, 0.0, 0.0), 0, "board"),
            Body("wall", Role.WALL, "any", box(0.0, low, right, 200.0), 0, "wall"),
        ]
    else:
        solid = Polygon([*points, *closing])
        bodies = [Body(owners[0], Role.DECK, "any", solid, 0, "ground")]
    return Stack(bodies, Surface(tuple(points), tuple(owners)), closing)


def sloped(angle):
    """A roof that rises to the right, up to a wall at x = 0."""
    rise = 300.0 * tan(radians(angle))
    return ground(((-300.0, -rise), (0.0, 0.0), (0.0, 200.0)), ("ground", "ground"))


def joined_lines(stack, body_id):
    return [
        (j.lower, j.bond, round(j.line.length, 6))
        for j in stack.joints
        if j.upper == body_id
    ]


def check(stack, *, filled=True):
    """What holds after every step: one outline, no overlaps, owners that are there."""
    solid = stack.solid()
    assert solid.is_valid
    for body in stack.bodies:
        assert body.region.is_valid
        assert isinstance(body.region, Polygon)
    for a, b in combinations(stack.bodies, 2):
        assert overlap_area(a.region, b.region) < 1e-6, (a.id, b.id)
    if filled:
        assert sum(b.region.area for b in stack.bodies) == pytest.approx(solid.area)
    on = stack.surface
    for (p, q), owner in zip(pairwise(on.points), on.owners, strict=True):
        edge = stack.get(owner).region.boundary
        for t in (0.25, 0.5, 0.75):
            there = Point(p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1]))
            assert edge.distance(there) < 1e-5, owner
    for joint in stack.joints:
        for body_id in (joint.upper, joint.lower):
            edge = stack.get(body_id).region.boundary
            assert all(edge.distance(Point(q)) < 2e-4 for q in joint.line.coords)


# --- draping ---


def test_a_sheet_drapes_over_the_end_of_an_earlier_one():
    stack = ground()
    stack.lay(spec("low"), 100.0, 200.0, TORCHED)
    over = stack.lay(
        spec("high", 4.0), 0.0, stack.surface.station_of((-50.0, 0.0)), TORCHED
    )
    assert list(over.region.exterior.coords)[:-1] == [
        (-300.0, 0.0), (-200.0, 0.0), (-200.0, 3.0), (-100.0, 3.0), (-100.0, 0.0),
        (-50.0, 0.0), (-50.0, 4.0), (-96.0, 4.0), (-96.0, 7.0), (-204.0, 7.0),
        (-204.0, 4.0), (-300.0, 4.0),
    ]  # fmt: skip
    assert joined_lines(stack, "high") == [
        ("board", Bond.TORCHED, 100.0),
        ("low", Bond.TORCHED, 106.0),
        ("board", Bond.TORCHED, 50.0),
    ]
    assert over.course.length == 256.0
    assert stack.surface.owners == ("high",) * 6 + ("board", "wall")
    check(stack)


def test_a_joint_is_split_where_the_bond_changes():
    stack = ground()
    stack.lay(spec("low"), 100.0, 200.0, TORCHED)

    def bond(owner, _):
        return Bond.DRY if owner == "board" else Bond.CEMENT

    stack.lay(spec("high"), 50.0, 150.0, bond)
    assert joined_lines(stack, "high") == [
        ("board", Bond.DRY, 50.0),
        ("low", Bond.CEMENT, 50.0),
    ]


@pytest.mark.parametrize("angle", [-14.0, -1.2, 0.0, 1.2, 14.0])
def test_a_sheet_that_goes_on_into_the_field_has_an_upright_end(angle):
    stack = sloped(angle)
    body = stack.lay(spec("low"), 0.0, 150.0, TORCHED)
    ends = [(x, y) for x, y in body.region.exterior.coords[:-1] if x < -299.0]
    assert [x for x, _ in ends] == [pytest.approx(-300.0, abs=1e-9)] * 2
    assert dist(*ends) == pytest.approx(SHEET / cos(radians(angle)))
    # the field's end is upright, the other square
    lean = SHEET**2 * tan(radians(angle)) / 2.0
    assert body.region.area == pytest.approx(150.0 * SHEET - lean)
    again = stack.lay(spec("high"), 0.0, 100.0, TORCHED)
    assert again.region.bounds[0] == pytest.approx(-300.0, abs=1e-9)
    assert stack.surface.points[0][1] - ends[0][1] == pytest.approx(
        2.0 * SHEET / cos(radians(angle)), abs=1e-9
    )
    check(stack)


@pytest.mark.parametrize("step", [1e-4, 0.01, 0.1, 1.0, 2.9, 3.0, 3.1])
def test_steps_lower_than_the_sheet_is_thick_are_no_trouble(step):
    points = ((-300.0, 0.0), (-200.0, 0.0), (-200.0, step), (-199.9, step),
              (-199.9, 2 * step), (-150.0, 2 * step), (-150.0, step), (-149.95, step),
              (-149.95, 0.0), (0.0, 0.0), (0.0, 90.0))  # fmt: skip
    stack = ground(points, ("ground",) * 10)
    body = stack.lay(spec("low"), 0.0, stack.surface.station_of((-40.0, 0.0)), TORCHED)
    assert body.region.area == pytest.approx(260.0 * SHEET + 4 * step * SHEET, abs=0.2)
    check(stack)
    stack.lay(spec("high"), 0.0, stack.surface.station_of((-20.0, 0.0)), TORCHED)
    check(stack)


def test_a_sheet_laid_in_pieces_also_goes_on_upright_into_the_field():
    pit = ((-300.0, -9.0), (-200.0, -6.0), (-200.0, -9.0), (-196.0, -9.0), (-196.0, -6.0),
           (0.0, 0.0), (0.0, 90.0))  # fmt: skip
    stack = ground(pit, ("ground",) * 6)
    body = stack.lay(spec("low"), 0.0, stack.surface.station_of((-50.0, -1.5)), TORCHED)
    assert body.region.bounds[0] == pytest.approx(-300.0, abs=1e-9)
    left = [y for x, y in body.region.exterior.coords[:-1] if x < -299.99]
    assert len(left) == 2
    assert max(left) - min(left) == pytest.approx(hypot(1.0, 0.03) * SHEET)
    assert stack.surface.points[0] == pytest.approx((-300.0, max(left)), abs=1e-6)
    check(stack)


# --- butt ends ---


def test_a_butt_end_fills_the_corner_between_cant_and_wall():
    stack = ground()
    on = stack.surface
    stack.cover(
        spec("cant", 0.0, role=Role.CANT), on.station_of((-90.0, 0.0)),
        on.station_of((0.0, 90.0)), [(-90.0, 0.0), (0.0, 90.0)], everywhere(Bond.DRY),
    )  # fmt: skip
    assert joined_lines(stack, "cant") == [
        ("board", Bond.DRY, 90.0),
        ("wall", Bond.DRY, 90.0),
    ]
    assert stack.get("cant").region.area == 90.0 * 90.0 / 2.0
    corner = stack.surface.station_of((0.0, 90.0))
    body = stack.lay(spec("low"), 0.0, corner, TORCHED, butt=True)
    assert (0.0, pytest.approx(90.0 + SHEET * 2**0.5)) in body.region.exterior.coords
    course = 210.0 + 90.0 * 2**0.5
    assert body.course.length == pytest.approx(course)
    toe, wedge = SHEET**2 * tan(pi / 8.0), SHEET**2 / 2.0
    assert body.region.area == pytest.approx(course * SHEET - toe + wedge)
    assert sum(length for *_, length in joined_lines(stack, "low")) == pytest.approx(course)
    check(stack)


@pytest.mark.parametrize("low", [0.5, 1.5, 2.9, 3.0, 8.0])
def test_a_butt_end_over_a_low_step_reaches_the_face_behind_it(low):
    stack = ground()
    bump = [(-2.0, 0.0), (-2.0, low), (0.0, low)]
    stack.cover(spec("bump"), 298.0, 300.0 + low, bump, TORCHED)
    body = stack.lay(
        spec("low"), 0.0, stack.surface.station_of((-2.0, 0.0)), TORCHED, butt=True
    )
    end = 0.0 if low < SHEET else -2.0
    assert body.region.bounds[2] == pytest.approx(end)
    assert body.region.bounds[3] == pytest.approx(SHEET)
    room = 300.0 * SHEET - 2.0 * low if low < SHEET else 298.0 * SHEET
    assert body.region.area == pytest.approx(room)
    check(stack)


def test_a_butt_end_where_nothing_stands_is_cut_square():
    stack = ground(((-300.0, 0.0), (0.0, 0.0), (0.0, -50.0)), ("ground", "ground"))
    body = stack.lay(spec("low"), 0.0, 300.0, TORCHED, butt=True)
    assert body.region.bounds == (-300.0, 0.0, 0.0, 3.0)


# --- ends where others end ---


def test_a_sheet_cut_square_in_a_corner_leaves_no_crack_in_the_surface():
    stack = ground()
    stack.lay(spec("low"), 100.0, 380.0, TORCHED)  # ends 80 up the wall
    corner = stack.surface.station_of((0.0, 80.0))
    over = stack.lay(spec("high"), 50.0, corner, TORCHED)
    assert over.region.bounds[3] == pytest.approx(80.0 + SHEET)
    assert stack.surface.points[-2:] == (
        (0.0, pytest.approx(80.0 + SHEET)),
        (0.0, 200.0),
    )
    check(stack)


def test_a_sheet_may_start_at_the_foot_of_anothers_end():
    stack = ground()
    stack.lay(spec("low"), 50.0, 150.0, TORCHED)
    foot = stack.surface.at_x(-150.0)
    assert stack.surface.at(foot) == pytest.approx((-150.0, 0.0))
    stack.lay(spec("next", 2.0), foot, foot + 60.0, TORCHED)
    check(stack)
    assert stack.get("next").region.bounds == pytest.approx((-150.0, 0.0, -90.0, 2.0))


@pytest.mark.parametrize("angle", [-14.0, -1.2, 0.0, 1.2, 14.0])
def test_a_sheet_starts_at_the_upper_corner_of_its_bed(angle):
    stack = sloped(angle)
    stack.lay(spec("bed", 1.6), 120.0, 250.0, TORCHED)
    start = stack.outer_top("bed")
    lean = radians(angle)
    at = stack.surface.at(start)
    foot = Surface(((-300.0, -300.0 * tan(lean)), (0.0, 0.0)), ("g",)).at(120.0)
    assert at == pytest.approx((foot[0] - 1.6 * sin(lean), foot[1] + 1.6 * cos(lean)))
    stack.lay(spec("sheet"), start, stack.surface.length - 150.0, TORCHED)
    assert joined_lines(stack, "sheet")[0][0] == "bed"
    check(stack)


# --- round an edge ---


def test_a_sheet_goes_over_an_edge_and_down():
    stack = ground(((-300.0, 0.0), (0.0, 0.0), (0.0, -50.0)), ("ground", "ground"))
    body = stack.lay(
        spec("low"), 0.0, 340.0, lambda _, q: Bond.DRY if q[0] > -1e-6 else Bond.CEMENT
    )
    assert body.region.area == pytest.approx(340.0 * SHEET + SHEET**2)  # an outside corner
    assert body.region.bounds == pytest.approx((-300.0, -40.0, 3.0, 3.0))
    assert joined_lines(stack, "low") == [
        ("ground", Bond.CEMENT, 300.0),
        ("ground", Bond.DRY, 40.0),
    ]
    check(stack)


# --- metal ---


def test_sheets_lie_on_placed_metal_and_the_surface_knows_it():
    stack = ground()
    base = stack.lay(spec("low"), 0.0, 300.0, TORCHED, butt=True)
    t = 0.7
    centre = [(-80.0, SHEET + t / 2.0), (-20.0, SHEET + t / 2.0), (-20.0, 30.0)]
    metal = Body("metal", Role.EDGE_METAL, "any", ribbon(centre, t), 2, "metal", t)
    stack.place(metal)
    stack.joints += stack.touching(metal, Bond.CEMENT, "low", "wall")
    assert joined_lines(stack, "metal") == [
        ("low", Bond.CEMENT, pytest.approx(60.35, abs=1e-3))
    ]
    assert stack.surface.owners == ("low", *("metal",) * 5, "low", "wall")
    top = stack.lay(
        spec("high"), 100.0, stack.surface.corner_near((-20.0, 3.7), reach=5.0), TORCHED,
        butt=True,
    )  # fmt: skip
    leg = -20.0 - t / 2.0
    assert top.region.bounds == pytest.approx((-200.0, 3.0, leg, 3.0 + t + SHEET))
    assert [(lower, length) for lower, _, length in joined_lines(stack, "high")] == [
        ("low", 120.0),
        ("metal", pytest.approx(80.0 + leg + t)),
    ]
    assert top.region.area == pytest.approx((200.0 + leg) * SHEET + t * SHEET)
    assert base.region.area == pytest.approx(900.0)
    check(stack)


def test_added_bodies_leave_the_surface_alone_and_fasteners_say_what_they_pierce():
    stack = ground()
    before = stack.surface
    nail = Body("nail", Role.FASTENER, "any", box(-50, -20, -48, 0), 1, "nail")
    stack.add(nail)
    stack.pierce("nail", ["board"])
    assert stack.surface is before
    assert stack.get("nail").pierces == ("board",)
    assert stack.get("board").pierces == ()
    with pytest.raises(KeyError):
        stack.get("nothing")


# --- coats, covers, clipping ---


def test_a_coat_is_split_by_the_bodies_it_is_brushed_on():
    stack = ground()
    stack.lay(spec("low"), 0.0, 200.0, TORCHED)
    stack.coat("primer", "Primer", 4, 150.0, 250.0)
    found = [(c.body, round(c.line.length, 9), c.stage) for c in stack.coats]
    assert found == [("low", 53.0, 4), ("board", 47.0, 4)]
    stack.coat("primer", "Primer", 4, 250.0, 250.0)
    assert len(stack.coats) == 2


def test_a_bead_covers_the_corner_and_owns_its_face():
    stack = ground()
    on = stack.surface
    bead = stack.cover(
        spec("bead", 0.0, role=Role.BEAD), 290.0, 310.0, [on.at(290.0), on.at(310.0)],
        everywhere(Bond.SEALED),
    )  # fmt: skip
    assert bead.region.area == 50.0
    assert stack.surface.owners == ("board", "bead", "wall")
    assert joined_lines(stack, "bead") == [
        ("board", Bond.SEALED, 10.0),
        ("wall", Bond.SEALED, 10.0),
    ]
    check(stack)


def test_bodies_are_cut_to_the_drawing():
    inside = Body("in", Role.DECK, "any", box(0, 0, 10, 10), 0, "in")
    half = Body("half", Role.DECK, "any", box(-10, 0, 5, 10), 0, "half")
    out = Body("out", Role.DECK, "any", box(50, 0, 60, 10), 0, "out")
    kept = clipped([inside, half, out], box(0, 0, 20, 20))
    assert [(b.id, b.region.area) for b in kept] == [("in", 100.0), ("half", 50.0)]


# --- any stack ---


def corner_term(line, t):
    """What the bends of a course take from the area of a sheet on it."""
    ways = [atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(line)]
    turns = [(d - c + pi) % (2.0 * pi) - pi for c, d in pairwise(ways)]
    return -(t**2) * sum(tan(a / 2.0) for a in turns)


angles = st.sampled_from([-14.0, -2.0, 0.0, 1.2, 9.0])
laid = st.tuples(
    st.floats(-290.0, -120.0), st.sampled_from(["corner", "wall", "roof"]),
    st.integers(0, 50).map(lambda n: n / 50.0), st.floats(0.5, 9.0), st.booleans(),
)  # fmt: skip


def level(surface, station):
    """Whether a station lies on a run, not on the edge of a sheet below."""
    marks = surface.stations()
    i = max(k for k, m in enumerate(marks[:-1]) if m <= station)
    (ax, ay), (bx, by) = surface.points[i : i + 2]
    return (
        abs(by - ay) < abs(bx - ax)
        and min(station - marks[i], marks[i + 1] - station) > 0.5
    )


@given(angles, st.floats(40.0, 100.0), st.lists(laid, min_size=1, max_size=5))
def test_whatever_is_laid_stays_sound(angle, cant, sheets):
    stack = sloped(angle)
    on = stack.surface
    toe = (-cant, -cant * tan(radians(angle)))
    stack.cover(
        spec("cant", 0.0, role=Role.CANT), on.station_of(toe), on.station_of((0.0, cant)),
        [toe, (0.0, cant)], everywhere(Bond.DRY),
    )  # fmt: skip
    last = stack.surface.points[-1]
    for i, (x, way, part, thickness, field) in enumerate(sheets):
        on = stack.surface
        corner = on.corner_near((0.0, cant), reach=cant * 0.6)
        begin = 0.0 if field else on.at_x(x)
        end = {
            "corner": corner,
            "wall": on.at_y(cant + 55.0 + 20.0 * part, after=corner),
            "roof": on.at_x(x + part * (-cant - x)),
        }[way]
        assume(field or level(on, begin))
        assume(way == "corner" or level(on, end) or end > corner)
        assume(end - begin > 12.0)
        mark = on.at(end)
        name = f"sheet-{i}"
        body = stack.lay(
            spec(name, thickness, i + 1), begin, end, TORCHED, butt=way == "corner"
        )
        check(stack)
        line = list(body.course.coords)
        assert LineString(line).length == pytest.approx(end - begin)
        told = sum(length for *_, length in joined_lines(stack, name))
        assert told == pytest.approx(end - begin, abs=1e-4)
        runs = [dist(a, b) for a, b in pairwise(line)]
        if way != "corner" and not field and min(runs) > 2.0 * thickness:
            exact = (end - begin) * thickness + corner_term(line, thickness)
            assert body.region.area == pytest.approx(exact)
        assert stack.surface.points[0][0] == pytest.approx(-300.0, abs=1e-6)
        assert stack.surface.points[-1] == pytest.approx(last)
        assert body.region.exterior.distance(Point(mark)) < 1e-5


# --- mistakes of work ---------------------------------------------------------------------


def mistaken(**wrong):
    """The same ground, on which something goes wrong."""
    plain = ground()
    return Stack(
        plain.bodies,
        plain.surface,
        [(50.0, 200.0), (50.0, -60.0), (-300.0, -60.0)],
        Mistakes(**wrong),
    )


def test_what_is_left_out_lets_the_next_sheet_down():
    stack = mistaken(left_out=frozenset({"base"}))
    missed = stack.lay(spec("base"), 0.0, 200.0, TORCHED)
    top = stack.lay(spec("top"), 0.0, 200.0, TORCHED)
    assert [b.id for b in stack.bodies] == ["board", "wall", "top"]
    assert {j.lower for j in stack.joints} == {"board"}
    assert top.region.bounds[1] == 0.0
    assert stack.get("base") == missed, "who asks where it would have been is told"


@pytest.mark.parametrize("how", ["add", "place"])
def test_what_is_set_can_be_left_out_too(how):
    stack = mistaken(left_out=frozenset({"metal"}))
    surface = stack.surface
    body = Body("metal", Role.CLEAT, "any", box(-40.0, 0.0, 0.0, 2.0), 1, "metal")
    assert getattr(stack, how)(body) == body
    assert [b.id for b in stack.bodies] == ["board", "wall"]
    assert stack.surface == surface


def test_a_sheet_is_cut_short_at_either_end_but_not_where_it_goes_on():
    stack = mistaken(from_left={"strip": 30.0, "ply": 30.0}, from_right={"strip": 20.0})
    ply = stack.lay(spec("ply"), 0.0, 250.0, TORCHED)
    assert ply.region.bounds[0] == -300.0, "its end in the field is none"
    strip = stack.lay(spec("strip"), 100.0, 200.0, TORCHED)
    x0, _, x1, _ = strip.region.bounds
    assert (round(x0, 6), round(x1, 6)) == (-170.0, -120.0)


def test_a_sheet_that_is_laid_late_lies_on_the_one_it_should_carry():
    stack = mistaken(after={"strip": "finish"})
    stack.lay(spec("strip"), 100.0, 200.0, TORCHED)
    stack.lay(spec("finish", stage=2), 0.0, 300.0, TORCHED)
    assert [b.id for b in stack.bodies] == ["board", "wall", "finish", "strip"]
    strip = stack.get("strip")
    assert (strip.stage, strip.region.bounds[1]) == (2, SHEET)
    assert [(j.upper, j.lower) for j in stack.joints] == [
        ("finish", "board"),
        ("strip", "finish"),
    ]
