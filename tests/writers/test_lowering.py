"""Lowering: what a dimension, a leader and a title block come down to."""

import math

import pytest

from detailgen.lettering import text_width
from detailgen.scene import (
    DIM_GAP,
    DIM_OVERSHOOT,
    DOT_RADIUS,
    Align,
    Dimension,
    Leader,
    Terminator,
    Text,
)
from detailgen.writers._lowering import Space, lower, lower_item, reading_angle
from detailgen.writers._marks import Disc, Fill, Kind, Run, Source, Stroke
from tests.writers.sample import LAYERS, rich_scene

ROLES = {layer.role: layer for layer in LAYERS}
SPACE = Space("v", 4.0, (100.0, 50.0))


def marks(item, space=SPACE):
    return {mark.source.kind: mark for mark in lower_item(item, ROLES, space)}


def level(text_x=40.0):
    return Dimension(
        (0.0, 0.0),
        (80.0, 8.0),
        (0.0, 40.0),
        0.0,
        "80",
        "",
        "",
        (text_x, 44.0),
        2.5,
        "dims",
        80.0,
    )


def test_a_dimension_stands_clear_of_what_it_measures():
    found = marks(level())
    assert list(found) == [Kind.EXTENSION, Kind.DIM_LINE, Kind.TICK, Kind.DIM_TEXT]
    left, right = found[Kind.EXTENSION].lines
    assert left == ((100.0, 50.0 + DIM_GAP), (100.0, 60.0 + DIM_OVERSHOOT))
    assert right == ((120.0, 52.0 + DIM_GAP), (120.0, 60.0 + DIM_OVERSHOOT))
    assert found[Kind.DIM_LINE].lines == (((100.0, 60.0), (120.0, 60.0)),)
    assert found[Kind.TICK].pen > found[Kind.DIM_LINE].pen
    for tick, x in zip(found[Kind.TICK].lines, (100.0, 120.0), strict=True):
        (x0, y0), (x1, y1) = tick
        assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((x, 60.0))
        assert (y1 - y0) / (x1 - x0) == pytest.approx(1.0)
    assert found[Kind.DIM_TEXT].at == (110.0, 61.0)


def test_an_extension_line_without_room_is_left_out():
    item = Dimension(
        (0.0, 0.0),
        (80.0, 20.0),
        (0.0, 4.0),
        0.0,
        "80",
        "",
        "",
        (40.0, 8.0),
        2.5,
        "dims",
        80.0,
    )
    (line,) = marks(item)[Kind.EXTENSION].lines
    assert line == ((120.0, 55.0 - DIM_GAP), (120.0, 51.0 - DIM_OVERSHOOT))


@pytest.mark.parametrize(("text_x", "ends"), [(100.0, (0, 1)), (-30.0, (1, 0))])
def test_the_line_runs_on_under_a_text_beside_it(text_x, ends):
    (line,) = marks(level(text_x))[Kind.DIM_LINE].lines
    half = text_width("80", 2.5) / 2
    far = 100.0 + text_x / 4 + math.copysign(half, text_x)
    kept = (100.0, 120.0)[ends[0]]
    xs = sorted((kept, far))
    assert [p[0] for p in line] == pytest.approx(xs)
    assert [p[1] for p in line] == [60.0, 60.0]


@pytest.mark.parametrize(
    ("angle", "reads"),
    [(0, 0), (45, 45), (90, 90), (91, -89), (180, 0), (-90, 90), (-45, -45), (270, 90)],
)
def test_text_reads_from_the_bottom_or_the_right(angle, reads):
    assert reading_angle(angle) == pytest.approx(reads)


def test_leaders_end_in_their_tip():
    points = ((0.0, 0.0), (40.0, 0.0), (80.0, 40.0))
    dot = marks(Leader(points, "notes", Terminator.DOT, ""))
    assert isinstance(dot[Kind.TIP], Disc)
    assert dot[Kind.TIP].radius == DOT_RADIUS
    assert dot[Kind.LEADER].lines == (((100.0, 50.0), (110.0, 50.0), (120.0, 60.0)),)
    arrow = marks(Leader(points, "notes", Terminator.ARROW, ""))
    assert isinstance(arrow[Kind.TIP], Fill)
    ((tip, a, b),) = arrow[Kind.TIP].rings
    assert tip == (100.0, 50.0)
    assert math.dist(tip, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)) == pytest.approx(
        3 * math.dist(a, b)
    )
    assert 100.0 < arrow[Kind.LEADER].lines[0][0][0] < a[0]
    assert Kind.TIP not in marks(Leader(points, "notes", Terminator.NONE, ""))


@pytest.mark.parametrize(("align", "share"), [("left", 0), ("centre", 0.5), ("right", 1)])
@pytest.mark.parametrize("turn", [0.0, 90.0, 30.0])
def test_a_texts_box_holds_it(align, share, turn):
    run = marks(Text((0.0, 0.0), "Aj", 5.0, "notes", Align(align), turn))[Kind.TEXT]
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    width = text_width("Aj", 5.0)
    assert run.start == pytest.approx((100.0 - share * width * c, 50.0 - share * width * s))
    low_left, low_right, high_right, _ = run.box()
    assert math.dist(low_left, low_right) == pytest.approx(width)
    assert 5.0 < math.dist(low_right, high_right) < 8.0
    wide = run.box(clear=1.0)
    assert math.dist(wide[0], wide[1]) == pytest.approx(width + 2.0)


def test_plain_text_needs_less_room_than_accents():
    plain, accented = (
        marks(Text((0, 0), t, 5.0, "notes"))[Kind.TEXT].box() for t in ("E", "É")
    )
    assert accented[2][1] > plain[2][1]


def test_a_sheet_is_lowered_in_drawing_order_without_what_does_not_plot():
    scene = rich_scene()
    lowered = lower(scene)
    views = [mark.source.view for mark in lowered.marks]
    assert views == sorted(views, key=["section", "skew", ""].index)
    assert "hidden" not in {mark.source.layer for mark in lowered.marks}
    parts = (lowered.strokes, lowered.fills, lowered.discs, lowered.texts)
    assert sum(map(len, parts)) == len(lowered.marks)
    for kind, part in zip((Stroke, Fill, Disc, Run), parts, strict=True):
        assert part
        assert all(type(mark) is kind for mark in part)
    assert {m.source.kind for m in lowered.marks} == set(Kind)


def test_marks_know_their_body():
    tags = {
        m.source.tag for m in lower(rich_scene()).marks if m.source.kind is Kind.OUTLINE
    }
    assert tags == {"deck", "wall", "cant", "ply-1", "plate"}


def test_segments_close_a_closed_line():
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
    source = Source(Kind.LINE, "cut")
    opened = Stroke(source, (square,), False, 0.1, (0, 0, 0))
    closed = Stroke(source, (square,), True, 0.1, (0, 0, 0))
    assert len(list(opened.segments())) == 2
    assert list(closed.segments())[-1] == ((1.0, 1.0), (0.0, 0.0))
