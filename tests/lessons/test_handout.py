"""Handouts, read back item by item; the words and the numbers that they rest on."""

from dataclasses import replace

import pytest

from detailgen.catalog.teaching import best_reason
from detailgen.checks import REGISTRY
from detailgen.conditions import CONDITIONS
from detailgen.finding import Outcome, Relation, Unit
from detailgen.lessons import handout, names_exercise, numbers_exercise
from detailgen.lessons.class_text import BODY
from detailgen.lessons.numbers import numbers_of
from detailgen.lessons.parts import parts_of
from detailgen.roles import Role
from detailgen.scene import Dimension, Path, Scene, Text
from detailgen.sheet.clashes import clashes
from detailgen.units import UnitSystem
from detailgen.writers._scene_gate import validate
from tests.sheet.asked import catalog, typical


def words(scenes: tuple[Scene, ...]) -> list[str]:
    items = [i for s in scenes for i in (*s.items, *(j for v in s.views for j in v.items))]
    return [i.content for i in items if isinstance(i, Text)]


def test_it_has_names_reasons_numbers_cautions_and_room_for_notes() -> None:
    scenes = handout(typical("wall"))
    told = words(scenes)
    joined = " ".join(told)
    for head in ("NUMBERS TO REMEMBER", "WHY EACH PART IS THERE", "CAUTION", "NOTES"):
        assert head in told
    for part in parts_of(typical("wall").section, catalog()):
        assert told.count(f"{part.name}.") == 1, part.name  # in the list
        assert part.name in told  # and on the section
        assert part.reason.split(".")[0].split()[-1] in joined
    assert "Base flashing height above the finished roof." in told
    assert 'at least 8"' in told
    assert "Torch: fire watch." in told
    dims = [i for s in scenes for v in s.views for i in v.items if isinstance(i, Dimension)]
    assert '8" min.' in {d.text for d in dims}
    after = scenes[-1].items
    lines = [i for i in after if isinstance(i, Path) and len(i.points) == 2]
    assert len(lines) >= 3


def test_a_number_that_does_not_hold_says_so() -> None:
    told = " ".join(words(handout(typical("wall", strip_in_out=30.0))))
    assert "This detail has" in told
    assert "that FAILS." in told
    assert "FAILS" not in " ".join(words(handout(typical("wall"))))


@pytest.mark.parametrize("kind", CONDITIONS)
def test_letters_are_large_and_the_paper_follows_the_units(kind: str) -> None:
    request = typical(kind)
    for units, name in (
        (UnitSystem.FEET_INCHES, "Letter upright"),
        (UnitSystem.MILLIMETRES, "A4 upright"),
    ):
        for scene in handout(replace(request, units=units)):
            assert scene.paper.name == name
            assert scene.paper.height > scene.paper.width
            items = [*scene.items, *(i for v in scene.views for i in v.items)]
            sizes = [i.height for i in items if isinstance(i, Text | Dimension)]
            assert min(sizes) >= BODY == 3.5


def test_every_role_has_a_name_and_a_reason() -> None:
    reasons = catalog().drafting.reasons
    for role in (*map(str, Role), "coat"):
        row = best_reason(reasons, role, "whatever", {"wall"})
        assert row, role
        assert row.name
        assert row.text.endswith(".")
    assert {r.role for r in reasons} <= {*map(str, Role), "coat"}
    for row in reasons:
        assert set(row.kinds) <= set(CONDITIONS)


def test_the_row_that_is_narrowed_most_counts() -> None:
    reasons = catalog().drafting.reasons

    def name(role: str, called: str, kind: str) -> str:
        row = best_reason(reasons, role, called, {kind})
        assert row
        return row.name

    assert name("counterflashing", "Cap, copper", "curb") == "Metal cap"
    assert name("counterflashing", "Counterflashing, copper", "curb") == "Counterflashing"
    edge = best_reason(reasons, "strip-in ply", "Strip-in ply", {"roof-edge"})
    wall = best_reason(reasons, "strip-in ply", "Strip-in ply", {"wall"})
    assert edge
    assert wall
    assert edge.text != wall.text


def test_parts_that_look_the_same_are_one() -> None:
    section = typical("wall").section
    parts = parts_of(section, catalog())
    boards = next(p for p in parts if p.name == "Insulation")
    assert len(boards.bodies) == 2
    assert len({p.name for p in parts}) == len(parts)
    bodies = [b.id for p in parts for b in p.bodies]
    assert sorted(bodies) == sorted(b.id for b in section.bodies)


def test_what_a_free_sections_file_calls_a_part_stays() -> None:
    names = {p.name for p in parts_of(typical("free-section").section, catalog())}
    assert "Cap over the plinth" in names


def test_dimensions_are_asked_by_rules_that_measured_them() -> None:
    """Every row names rules that there are; its dimension shows what the rule measured."""
    asks = catalog().drafting.asks
    assert {r for rules in asks.values() for r in rules} <= set(REGISTRY)
    known = set()
    for kind in CONDITIONS:
        request = typical(kind)
        known |= {g.id for g in request.section.gauges}
        for number in numbers_of(request):
            if number.measured:
                assert number.finding.rule in asks[number.measured.gauge.id]
                assert abs(number.finding.actual.value - number.measured.true) <= 1.6
    rare = {"air-gap", "overflow-rise", "upper-lap", "coping-face"}
    assert set(asks) - rare <= known


@pytest.mark.parametrize("kind", [k for k in CONDITIONS if k != "free-section"])
def test_defaults_have_at_least_three_dimensions_to_ask(kind: str) -> None:
    shown = [n for n in numbers_of(typical(kind)) if n.measured]
    assert len(shown) >= 3


def test_numbers_are_what_the_rules_ask() -> None:
    request = typical("wall")
    for number in numbers_of(request, most=99):
        finding = number.finding
        assert finding.outcome is not Outcome.NOT_APPLICABLE
        assert finding.required.amount.unit is not Unit.WORDS
        if finding.required.relation is Relation.AT_LEAST and not finding.required.strict:
            assert number.word == "at least"


def test_long_and_odd_texts_of_a_job_stay_in_the_strip() -> None:
    request = typical("wall")
    job = replace(request.job, name="W" * 60)
    title = "<b>%%c {\\P}</b> ÉÉÉ =1+1 " + "W" * 36
    long = replace(
        request, job=job, title=title, rules=replace(request.rules, name="M" * 60)
    )
    scenes = (*handout(long), *names_exercise(long)[0], *numbers_exercise(long)[1])
    for scene in scenes:
        validate(scene)
        assert clashes(scene) == []
