"""Whole sheets: clear of clashes, complete, at a standard scale, true to the section."""

from collections import Counter
from dataclasses import replace
from math import cos, radians, sin

import pytest

from detailgen.geometry.regions import polygon
from detailgen.scene import (
    MIN_TEXT,
    Circle,
    Dimension,
    Leader,
    Path,
    Scene,
    Text,
    TitleBlock,
)
from detailgen.sheet import SheetRequest, compose
from detailgen.sheet.clashes import clashes
from detailgen.units import UnitSystem
from detailgen.writers._scene_gate import validate
from tests.sheet.asked import catalog, random_requests, typical

KINDS = ("wall", "roof-edge")
SETS = 24
"""Random conditions of each kind: every paper three times."""


@pytest.fixture(scope="module", params=KINDS)
def drawn(request: pytest.FixtureRequest) -> list[tuple[SheetRequest, tuple[Scene, ...]]]:
    return [(r, compose(r)) for r in random_requests(request.param, SETS, seed=11)]


def test_nothing_clashes(drawn: list[tuple[SheetRequest, tuple[Scene, ...]]]) -> None:
    found = [
        (number, request.paper, scene.id, clash)
        for number, (request, scenes) in enumerate(drawn)
        for scene in scenes
        for clash in clashes(scene)
    ]
    assert found == []


def test_every_writer_would_take_it(
    drawn: list[tuple[SheetRequest, tuple[Scene, ...]]],
) -> None:
    for _, scenes in drawn:
        for scene in scenes:
            validate(scene)


def test_scales_are_of_the_standard_series(
    drawn: list[tuple[SheetRequest, tuple[Scene, ...]]],
) -> None:
    for request, scenes in drawn:
        series = {s.factor for s in catalog().drafting.scales_of(request.units)}
        assert {v.factor for scene in scenes for v in scene.views} <= series


def test_dimensions_state_the_true_length(
    drawn: list[tuple[SheetRequest, tuple[Scene, ...]]],
) -> None:
    for request, scenes in drawn:
        points = request.section.points
        lengths = {
            round(abs(points[g.end][axis] - points[g.start][axis]), 4)
            for g in request.section.gauges
            if g.start in points and g.end in points
            for axis in (0, 1)
        }
        dims = [
            i for v in scenes[0].views if v.plotted for i in v.items
            if isinstance(i, Dimension)
        ]  # fmt: skip
        assert dims
        for dim in dims:
            turn = radians(dim.angle)
            dx, dy = dim.end[0] - dim.start[0], dim.end[1] - dim.start[1]
            assert abs(dx * cos(turn) + dy * sin(turn)) == pytest.approx(dim.true, abs=1e-6)
            assert round(dim.true, 4) in lengths


def test_no_letter_is_small(drawn: list[tuple[SheetRequest, tuple[Scene, ...]]]) -> None:
    for _, scenes in drawn:
        for scene in scenes:
            items = [*scene.items, *(i for v in scene.views for i in v.items)]
            for item in items:
                if isinstance(item, Text | Dimension):
                    assert item.height >= MIN_TEXT
                if isinstance(item, TitleBlock):
                    assert all(c.size >= MIN_TEXT for c in item.cells)


def test_every_number_on_a_drawing_has_its_keynote(
    drawn: list[tuple[SheetRequest, tuple[Scene, ...]]],
) -> None:
    for _, scenes in drawn:
        labels = {
            i.label
            for s in scenes
            for v in s.views
            for i in v.items
            if isinstance(i, Leader) and i.label.isdigit()
        }
        listed = {
            i.content
            for s in scenes
            for i in s.items
            if isinstance(i, Text) and i.content.isdigit() and _in_circle(i, s)
        }
        assert labels == listed


def _in_circle(text: Text, scene: Scene) -> bool:
    return any(
        isinstance(i, Circle) and abs(i.centre[0] - text.at[0]) < 0.01
        and 0 < i.centre[1] - text.at[1] < i.radius
        for i in scene.items
    )  # fmt: skip


def test_every_failing_rule_is_marked_and_told(
    drawn: list[tuple[SheetRequest, tuple[Scene, ...]]],
) -> None:
    failing = 0
    for request, scenes in drawn:
        words = " ".join(i.content for s in scenes for i in s.items if isinstance(i, Text))
        views = {v.id: v for s in scenes for v in s.views if v.plotted}
        for finding in request.failures:
            failing += 1
            assert finding.title.partition(",")[0].split()[0] in words
            view = views[finding.view]
            assert any(isinstance(i, Leader) and i.layer == "finding" for i in view.items)
        assert ("RULES THAT APPLY HOLD" in words) != bool(request.failures)
    assert failing > 10


def test_the_true_section_is_there_to_be_measured(
    drawn: list[tuple[SheetRequest, tuple[Scene, ...]]],
) -> None:
    for request, scenes in drawn:
        (hidden,) = (v for v in scenes[0].views if not v.plotted)
        areas = Counter[str]()
        for item in hidden.items:
            assert isinstance(item, Path)
            assert item.closed
            outer = polygon(item.points).area
            areas[item.tag] += outer - sum(polygon(h).area for h in item.holes)
        for body in request.section.bodies:
            assert areas[body.id] == pytest.approx(body.region.area, rel=1e-6, abs=0.01)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("paper", list(catalog().drafting.papers))
def test_the_main_view_has_more_than_half_of_the_first_sheet(kind: str, paper: str) -> None:
    board = replace(typical(kind), paper=paper)
    first = compose(board)[0]
    block = next(i for i in first.items if isinstance(i, TitleBlock))
    columns = [
        p.points[0][0] for p in first.items
        if isinstance(p, Path) and len(p.points) == 2 and p.points[0][0] == p.points[1][0]
    ]  # fmt: skip
    edge = min([*columns, block.at[0]])
    margin = first.paper.margin
    assert edge - margin > 0.5 * (first.paper.width - 2 * margin)


@pytest.mark.parametrize("kind", KINDS)
def test_same_input_same_sheets(kind: str) -> None:
    assert compose(typical(kind)) == compose(typical(kind))


def test_the_largest_scale_that_fits_is_taken() -> None:
    factors = [
        compose(replace(typical("wall"), paper=paper))[0].views[0].factor
        for paper in ("ANSI A", "ANSI B", "ANSI D")
    ]
    assert factors == sorted(factors, reverse=True)
    assert factors[0] > factors[-1]


def test_thin_things_are_drawn_thicker_and_the_sheet_says_so() -> None:
    request = typical("wall")
    first = compose(request)[0]
    drawn = {i.tag: i for i in first.views[0].items if isinstance(i, Path) and i.tag}
    metal = request.section.body("counterflashing")
    assert metal is not None
    assert polygon(drawn["counterflashing"].points).area > 1.4 * metal.region.area
    assert any("thicker than true" in i.content for i in first.items if isinstance(i, Text))


def test_both_units_stand_on_every_dimension() -> None:
    request = replace(typical("roof-edge"), units=UnitSystem.MILLIMETRES, both_units=True)
    dims = [i for i in compose(request)[0].views[0].items if isinstance(i, Dimension)]
    assert dims
    assert all(" mm [" in d.text and '"]' in d.text for d in dims)


def test_an_override_is_printed_with_its_reason() -> None:
    request = typical("wall")
    changed = tuple(
        replace(f, override="Sill height; agreed with the owner")
        if f.rule == request.findings[-1].rule
        else f
        for f in request.findings
    )
    words = [
        i.content
        for s in compose(replace(request, findings=changed))
        for i in s.items
        if isinstance(i, Text)
    ]
    assert any("CHANGED FOR THIS JOB" in w for w in words)
    assert any("Sill height" in w for w in words)


def test_hostile_words_are_lettered_or_replaced() -> None:
    request = typical("wall")
    long = replace(
        request,
        job=replace(request.job, name="W" * 80, location="\u0645\u0631\u062d" * 20),
        title="M" * 60,
    )
    for scene in compose(long):
        assert clashes(scene) == []
        validate(scene)


@pytest.mark.parametrize("paper", ["ANSI A", "ISO A4", "ANSI B", "ANSI D"])
@pytest.mark.parametrize("kind", KINDS)
def test_accents_and_markup_are_only_text(kind: str, paper: str) -> None:
    """Capitals with accents are taller; what a format could take for markup is kept."""
    request = typical(kind)
    words = 'ÉÅ <b>&"%%d{}\\P)</b> ÀÜÖ ' * 3
    last = request.findings[-1].rule
    scenes = compose(
        replace(
            request,
            paper=paper,
            title=words[:60],
            amount="120'-0\" in 3 places",
            job=replace(request.job, name=words[:60], location=words, drawn_by=words[:24]),
            findings=tuple(
                replace(f, override=words) if f.rule == last else f
                for f in request.findings
            ),
        )
    )
    for scene in scenes:
        assert clashes(scene) == []
        validate(scene)
    told = " ".join(i.content for s in scenes for i in s.items if isinstance(i, Text))
    assert '<b>&"%%d{}\\P)</b>' in told


def test_a_closer_look_is_larger_and_keeps_the_numbers() -> None:
    scenes = compose(typical("wall"))
    views = {v.id: v for s in scenes for v in s.views if v.plotted}
    main, closer = views["section"], views["enlarged"]
    assert closer.factor < main.factor

    def numbers(items: tuple[object, ...]) -> set[str]:
        return {i.label for i in items if isinstance(i, Leader)}

    assert numbers(closer.items) < numbers(main.items)


def test_what_a_later_piece_covers_is_dashed() -> None:
    elevation = next(
        v for s in compose(typical("wall")) for v in s.views if v.id == "wall-elevation"
    )
    dashed = {i.tag for i in elevation.items if isinstance(i, Path) and i.layer == "hidden"}
    assert {"flashing-piece-1", "counterflashing-piece-1"} <= dashed


def test_a_small_sheet_takes_more_sheets_and_loses_no_rule() -> None:
    large = compose(replace(typical("roof-edge"), paper="ANSI D"))
    small = compose(replace(typical("roof-edge"), paper="ANSI A"))
    assert len(small) > len(large)

    def told(scenes: tuple[Scene, ...]) -> Counter[str]:
        words = (i.content for s in scenes for i in s.items if isinstance(i, Text))
        return Counter(w for w in words if w in {"holds", "FAILS", "ADVICE"})

    assert told(small) == told(large)
    assert told(large)["holds"] > 20
