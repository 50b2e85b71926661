"""What is told of each stage: what is new, how it is held, what it serves."""

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.finding import Outcome
from detailgen.lessons import steps_of
from detailgen.section import Method
from tests.sheet.asked import catalog, request_of, typical


def steps(kind: str, **given: object):
    request = typical(kind, **given)
    return steps_of(request.section, request.findings, request.catalog)


@pytest.mark.parametrize("kind", CONDITIONS)
def test_each_stage_has_what_is_built_in_it(kind: str) -> None:
    request = typical(kind)
    section = request.section
    found = steps_of(section, request.findings, request.catalog)
    assert [s.stage for s in found] == list(section.stages)
    built = [b for s in found for b in s.bodies]
    assert sorted(b.id for b in built) == sorted(
        b.id for b in (*section.bodies, *section.passing) if b.stage
    )
    coats = [c for s in found for c in s.coats]
    assert len(coats) == sum(c.stage > 0 for c in section.coats)
    # Every joint between bodies of which one was built in a stage is made in one stage.
    before = {b.id for b in section.bodies if not b.stage}
    made = [j for s in found for j in s.joints]
    assert len(made) == sum(not {j.upper, j.lower} <= before for j in section.joints)


@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_part_has_something_to_look_at(kind: str) -> None:
    """Of what is bought and stuck; what others set has nothing that a roofer looks at."""
    looks = catalog().drafting.looks
    roles = {b.role.value for s in steps(kind) for b in s.bodies if not b.by_others}
    assert roles - {*looks} == set()


def test_a_wall_from_stage_to_stage() -> None:
    found = {s.stage.name: s for s in steps("wall")}
    assert found["Base ply"].held[0].startswith("Base ply: torched to ")
    assert "loose on cant strip" in found["Base ply"].held[0]
    assert [*found["Base ply"].signs] == ["torch"]
    titles = [s.title for s in found["Base ply"].signs["torch"]]
    assert titles == ["Too cold", "Right", "Too hot"]
    assert found["Strip-in ply"].again == {"torch": found["Base ply"].stage.number}
    assert found["Strip-in ply"].name == "Strip-in ply (HOLD POINT)"
    assert any("fire watch" in c.title for c in found["Strip-in ply"].cautions)
    rules = {f.rule for f in found["Flashing sheet"].rules}
    assert "low_flashing" in rules
    assert "low_flashing" not in {f.rule for f in found["Strip-in ply"].rules}
    assert found["Cant"].cautions == ()


@pytest.mark.parametrize("method", list(Method))
def test_signs_and_cautions_are_those_of_the_method(method: Method) -> None:
    request = typical("wall")
    site_roof = {"adhesion": method}
    from detailgen.conditions import Site  # noqa: PLC0415
    from detailgen.parameters import Roof  # noqa: PLC0415

    site = Site(Roof(**site_roof), catalog(), request.rules)
    condition = CONDITIONS["roof-edge"]
    asked = request_of(condition, condition.parameters(id="E1"), site)
    told = steps_of(asked.section, asked.findings, asked.catalog)
    ways = {way for step in told for way in step.signs}
    assert str(method) in ways
    assert ways & {str(m) for m in Method} <= {str(method), "cold adhesive"}
    cautions = {c for step in told for c in step.cautions}
    assert any(str(method) in c.applies for c in cautions)


def test_failing_rules_come_first() -> None:
    request = typical("wall", strip_in_out=30.0)
    told = steps_of(request.section, request.findings, request.catalog)
    step = next(s for s in told if s.stage.name == "Strip-in ply")
    outcomes = [f.outcome for f in step.rules]
    assert outcomes[0] is Outcome.FAIL
    assert outcomes == sorted(outcomes, key=lambda o: o is not Outcome.FAIL)
