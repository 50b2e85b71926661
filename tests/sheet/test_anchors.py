"""Where leaders end: where they run over the fewest bodies, and never at a wrong one."""

from dataclasses import replace

import pytest
from shapely import LineString, Point

from detailgen.scene import Leader, TitleBlock
from detailgen.section import Role
from detailgen.sheet import compose
from tests.sheet.asked import typical


def leaders(kind: str, **given: object):
    """Return the main view, the section as drawn there, and its leaders by number."""
    request = typical(kind, **given)
    view = compose(request)[0].views[0]
    found = {i.label: i.points for i in view.items if isinstance(i, Leader)}
    return request, view, found


@pytest.mark.parametrize("termination", ["reglet", "coping"])
def test_the_leader_to_a_wall_runs_over_no_ply(termination: str) -> None:
    request, _, found = leaders("wall", termination=termination)
    wall = request.section.of_role(Role.WALL)[0]
    tips = {n: Point(points[0]) for n, points in found.items()}
    (number,) = [n for n, tip in tips.items() if wall.region.buffer(-8).contains(tip)]
    line = LineString(found[number])
    crossed = {
        b.id
        for b in request.section.bodies
        if b.role is not Role.WALL and b.region.intersects(line)
    }
    assert "cant" not in crossed
    assert len(crossed) <= (2 if termination == "coping" else 0)


def test_leaders_to_what_lies_under_the_roof_run_over_little() -> None:
    request, view, found = leaders("wall")
    bodies = {b.id: b for b in request.section.bodies}
    for name in ("deck", "insulation-1", "insulation-2"):
        inside = bodies[name].region
        lines = [
            LineString(p) for p in found.values() if inside.contains(Point(p[0]))
        ]  # fmt: skip
        assert len(lines) == 1
        crossed = [b for b in bodies.values() if b.region.intersects(lines[0])]
        assert len(crossed) <= 2, name
    assert view.id == "section"


def test_nobody_approves_a_sheet_and_what_is_known_is_told() -> None:
    request = typical("wall")
    request = replace(request, job=replace(request.job, checked_by="Q. Reader"))
    for scene in compose(request):
        block = next(i for i in scene.items if isinstance(i, TitleBlock))
        cells = {c.tag: c.value for c in block.cells}
        assert cells["APPROVED"] == cells["OWNER"] == ""
        assert cells["CHECKED"] == "Q. Reader"
        wanted = {"ID", "DATE", "SHEET", "TITLE", "CREATOR", "DOCTYPE", "REV", "SCALE"}
        assert wanted <= set(cells)
