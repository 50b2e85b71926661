from detailgen.geometry.regions import box
from detailgen.sheet.callouts import RADIUS, Aim, Tag, place, slots
from detailgen.sheet.faults import Obstacles, mark_box, settle, triangle
from detailgen.sheet.plane import apart, cross

HERE = Tag("A", fault=True, aims=(Aim((50.0, 50.0)),))


def test_a_mark_stands_on_free_paper_near_its_place() -> None:
    body = box(0.0, 0.0, 100.0, 50.0)
    (mark,), homeless = settle([HERE], 1.0, Obstacles([body]))
    assert homeless == []
    assert mark_box(mark.slot.centre)[1] >= 50.0
    assert mark.tip == (50.0, 50.0)


def test_marks_keep_clear_of_each_other_and_of_leaders() -> None:
    wall = ((30.0, 53.0), (70.0, 53.0))
    blocked = Obstacles([box(0.0, 0.0, 100.0, 50.0)], segments=[wall], leaders=[wall])
    other = Tag("B", fault=True, aims=(Aim((80.0, 50.0)),))
    placed, homeless = settle([HERE, other], 1.0, blocked)
    assert [t.text for t in homeless] == ["A"]
    assert [p.tag.text for p in placed] == ["B"]
    assert not cross(placed[0].leader, wall)


def test_two_marks_for_near_places_do_not_overlap() -> None:
    near = Tag("B", fault=True, aims=(Aim((54.0, 50.0)),))
    (a, b), homeless = settle([HERE, near], 1.0, Obstacles([box(0.0, 0.0, 100.0, 50.0)]))
    assert homeless == []
    assert apart(mark_box(a.slot.centre), mark_box(b.slot.centre))
    assert not cross(a.leader, b.leader)


def test_a_mark_is_a_triangle_about_its_middle() -> None:
    left, right, top = triangle((10.0, 20.0))
    assert left[1] == right[1] < 20.0 < top[1]
    assert top[0] == 10.0


def test_many_labels_on_a_small_view_stand_in_two_columns() -> None:
    places = slots((0.0, 0.0, 30.0, 30.0), "left", 24)
    assert len(places) >= 24
    assert len({round(s.centre[0], 6) for s in places}) == 2
    tags = [
        Tag(str(n), fault=False, aims=(Aim((3.0 + n, 2.0 + (7 * n) % 26)),))
        for n in range(24)
    ]
    placed = place(tags, places)
    for i, one in enumerate(placed):
        for other in placed[i + 1 :]:
            (x, y), (u, v) = one.slot.centre, other.slot.centre
            assert (x - u) ** 2 + (y - v) ** 2 > (2 * RADIUS) ** 2
            assert not cross(one.leader, other.leader)
