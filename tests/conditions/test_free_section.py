"""Free sections: the built-in kinds written out, what can be said wrongly, random ones."""

import io
import tomllib
from math import dist
from pathlib import Path
from random import Random
from typing import Any

import ezdxf.filemanagement
import pytest
from lxml import etree

from detailgen.checks import check
from detailgen.conditions import CONDITIONS, Thickening
from detailgen.errors import Problem, UserError
from detailgen.loader import job_of, load_job
from detailgen.pipeline import draw_job
from detailgen.section import LayeredSection, Role
from detailgen.sheet import compose
from detailgen.sheet.clashes import clashes
from detailgen.takeoff import take_off
from detailgen.writers._scene_gate import validate
from tests.conditions.building import CATALOG, RULES, build, site
from tests.free_sections import draw_free
from tests.sheet.asked import request_of

SAMPLES = Path(__file__).parents[2] / "samples"
KIND = "free-section"
PAIRS = {"wall": "free-wall.toml", "roof-edge": "free-edge.toml"}
"""The built-in kind with its defaults, and the same written out."""
NEAR = 1e-3
"""mm, or mm2 of area: the digits that a person writes end somewhere."""


VARIANTS: list[tuple[str, dict[str, Any], dict[str, Any], list[tuple[str, str]]]] = [
    ("wall", {}, {}, []),
    (
        "wall",
        {"flashing_height": 254.0},
        {},
        [
            ("roof.datum + 8 in", "roof.datum + 10 in"),
            ("strip-in.end.top + flashing.end.top", "flashing.end.top"),  # above the bulge
        ],
    ),
    (
        "wall",
        {"strip_in_out": 50.8, "strip_in_up": 76.2},
        {},
        [
            ('across = "-3 in"', 'across = "-2 in"'),
            ('up = "2 in"', 'up = "3 in"'),
            ("cant.top + 2 in", "cant.top + 3 in"),
        ],
    ),
    (
        "wall",
        {"flashing_height": 254.0, "counterflashing_lap": 127.0},
        {},
        [
            ("roof.datum + 8 in", "roof.datum + 10 in"),
            ("flashing.top - 4 in", "flashing.top - 5 in"),
        ],
    ),
    ("roof-edge", {}, {}, []),
    ("roof-edge", {}, {"adhesion": "hot asphalt"}, [('"torch"', '"hot asphalt"')]),
    ("roof-edge", {}, {"adhesion": "cold adhesive"}, [('"torch"', '"cold adhesive"')]),
    (
        "roof-edge",
        {"rise": 50.8},
        {},
        [("t + 1 in", "t + 2 in"), ("metal.bend + 1 in", "metal.bend + 2 in")],
    ),
    ("roof-edge", {"nail_spacing": 50.8}, {}, [('spacing = "3 in"', 'spacing = "2 in"')]),
]
"""Kind, its parameters, the roof, and what of the sample is written otherwise."""


def written_out(kind: str, changed: list[tuple[str, str]]) -> LayeredSection:
    text = (SAMPLES / PAIRS[kind]).read_text(encoding="utf-8")
    for was, now in changed:
        assert was in text
        text = text.replace(was, now)
    job = job_of(text, "free.toml")
    [placed] = job.conditions
    return placed.condition.build(placed.parameters, job.site)


@pytest.fixture(scope="module", params=VARIANTS, ids=lambda v: f"{v[0]} {v[1]} {v[2]}")
def pair(request: pytest.FixtureRequest) -> tuple[LayeredSection, LayeredSection]:
    """Return a built-in section and the same as a free one."""
    kind, given, roof, changed = request.param
    return build(kind, site(**roof), **given), written_out(kind, changed)


# --- the built-in kinds, written out ---


def test_the_bodies_are_the_same(pair):
    built, free = pair
    assert [b.id for b in free.bodies] == [b.id for b in built.bodies]
    for ours, theirs in zip(built.bodies, free.bodies, strict=True):
        assert ours.region.symmetric_difference(theirs.region).area < NEAR, ours.id
        for what in ("role", "material", "stage", "name", "thickness"):
            assert getattr(ours, what) == getattr(theirs, what), (ours.id, what)
        assert set(ours.pierces) == set(theirs.pierces), ours.id
        if ours.course is not None:
            assert theirs.course is not None
            assert ours.course.hausdorff_distance(theirs.course) < NEAR


def test_the_joints_and_coats_are_the_same(pair):
    def told(section: LayeredSection) -> list[tuple[Any, ...]]:
        joints = [
            (j.upper, j.lower, j.bond, round(j.line.length, 2)) for j in section.joints
        ]
        coats = [(c.id, c.body, c.stage, round(c.line.length, 2)) for c in section.coats]
        return sorted(joints) + sorted(coats)

    built, free = pair
    assert told(built) == told(free)


def test_the_points_that_rules_measure_from_are_the_same(pair):
    built, free = pair
    for name, at in built.points.items():
        assert dist(free.points[name], at) < NEAR, name


def test_the_findings_are_the_same(pair):
    built, free = pair
    ours = {f.rule: f for f in check(built, RULES, CATALOG)}
    theirs = {f.rule: f for f in check(free, RULES, CATALOG)}
    assert set(ours) == set(theirs)
    for rule, finding in ours.items():
        other = theirs[rule]
        assert other.outcome == finding.outcome, rule
        assert other.actual.words == finding.actual.words, rule
        assert other.actual.value == pytest.approx(finding.actual.value, abs=0.01), rule
    assert sum(f.outcome.value == "pass" for f in theirs.values()) > 30


def test_the_quantities_are_the_same(pair):
    built, free = pair
    ours = [(q.id, q.amount) for q in take_off(built, CATALOG, RULES)]
    theirs = [(q.id, q.amount) for q in take_off(free, CATALOG, RULES)]
    assert [n for n, _ in ours] == [n for n, _ in theirs]
    for (name, a), (_, b) in zip(ours, theirs, strict=True):
        assert b == pytest.approx(a, rel=1e-5), name


@pytest.mark.parametrize("kind", PAIRS)
def test_a_changed_place_is_a_changed_finding(kind):
    """The rules look at the geometry: a flashing that reaches less far fails."""
    text = (SAMPLES / PAIRS[kind]).read_text(encoding="utf-8")
    was, now, rule = {
        "wall": (
            'across = "-4 in" }\nend = "flashing.top"',
            'across = "-2 in" }\nend = "flashing.top"',
            "short_flashing_reach",
        ),
        "roof-edge": (
            'point = "edge.top", up = "-4 in"',
            'point = "edge.top", up = "-3 1/4 in"',
            "short_base_ply_drop",
        ),
    }[kind]
    assert text.count(was) == 1
    job = job_of(text.replace(was, now), "free.toml")
    [placed] = job.conditions
    section = placed.condition.build(placed.parameters, job.site)
    failing = {f.rule for f in check(section, RULES, CATALOG) if f.outcome.value == "fail"}
    assert rule in failing


def test_views_thicken_what_is_laid_and_nothing_runs_together():
    job = load_job(SAMPLES / PAIRS["wall"])
    [placed] = job.conditions
    thick = placed.condition.build(
        placed.parameters, site(Thickening(2.0, 2.0, 2.0), **dict(job.roof))
    )
    assert thick.sheet_factor > 1.0
    solid = [b for b in thick.bodies if b.role is not Role.FASTENER]
    for i, a in enumerate(solid):
        for b in solid[:i]:
            assert a.region.intersection(b.region).area < 0.6, (a.id, b.id)


def test_the_example_is_drawn_where_a_file_gives_no_shape():
    section = build(KIND)
    assert section.body("flashing") is not None
    assert not [f for f in check(section, RULES, CATALOG) if f.outcome.value == "fail"]


# --- what can be said wrongly ---

HEAD = '[project]\nname = "J"\n'
BARE = (
    HEAD
    + """
[[condition]]
id = "F1"
kind = "free-section"
[[condition.body]]
id = "deck"
role = "deck"
material = "deck-concrete"
points = [["-10 in", "-4 in"], ["0 in", "-4 in"], ["0 in", "0 in"], ["-10 in", "0 in"]]
[[condition.surface]]
at = ["-10 in", "0 in"]
[[condition.surface]]
at = ["0 in", "0 in"]
on = "deck"
[[condition.point]]
name = "mid.deck"
at = ["-5 in", "0 in"]
[[condition.layer]]
id = "ply"
lay = "sheet"
stage = 1
role = "base ply"
material = "base-ply-glass-smooth"
start = "start"
end = "mid.deck"
"""
)
MISTAKES: dict[str, tuple[str, str, str, str]] = {
    "no such body": ('on = "deck"', 'on = "deckk"', "there is no body of this name", "on"),
    "no such point": (
        'end = "mid.deck"',
        'end = "mid.dekk"',
        "no point of this name",
        "point",
    ),
    "no such material": (
        '"base-ply-glass-smooth"',
        '"base-ply"',
        "no material of the catalogue",
        "material",
    ),
    "no such role": (
        'role = "base ply"',
        'role = "base"',
        "not one of the choices",
        "role",
    ),
    "no such way of laying": (
        'lay = "sheet"',
        'lay = "sheets"',
        "not one of the choices",
        "lay",
    ),
    "a length without unit": ('["-5 in", "0 in"]', '["-5", "0 in"]', "has no unit", "at"),
    "half a point": ('["-5 in", "0 in"]', '["-5 in"]', "a point is needed", "at"),
    "a number for text": ('["-5 in", "0 in"]', "[-5, 0]", "not a coordinate", "at"),
    "unknown key": (
        "stage = 1",
        "stage = 1\nstge = 2",
        "there is no key stge here",
        "stge",
    ),
    "missing key": ('role = "base ply"\n', "", "a sheet needs the key role", "role"),
    "key of another way": (
        "stage = 1",
        'stage = 1\nshank = "3 mm"',
        "a sheet has no shank",
        "shank",
    ),
    "ends before it starts": (
        'start = "start"',
        'start = "end"',
        "ends where it begins",
        "end",
    ),
    "beyond the surface": (
        'end = "mid.deck"',
        'end = { point = "mid.deck", along = "30 in" }',
        "beyond the end of the surface",
        "end",
    ),
    "not on the surface": (
        'end = "mid.deck"',
        'end = { point = "mid.deck", up = "3 in" }',
        "does not come to this place",
        "end",
    ),
    "across and up": (
        'end = "mid.deck"',
        'end = { point = "mid.deck", up = "3 in", across = "1 in" }',
        "across or up, not both",
        "up",
    ),
    "thickness of no metal": (
        '["-5 in", "0 in"]',
        '["-5 in", "0.5 t"]',
        "t is the thickness of a metal",
        "at",
    ),
    "hangs on itself": (
        '["-5 in", "0 in"]',
        '["mid.deck", "0 in"]',
        "hangs on itself",
        "at",
    ),
    "own corner": ('end = "mid.deck"', 'end = "ply.end"', "not there yet", "point"),
    "crossing outline": (
        '["0 in", "0 in"], ["-10 in", "0 in"]]',
        '["-10 in", "0 in"], ["0 in", "0 in"]]',
        "do not go round one area",
        "points",
    ),
    "backward surface": (
        '[[condition.surface]]\nat = ["-10 in", "0 in"]',
        '[[condition.surface]]\nat = ["10 in", "0 in"]',
        "nothing under it",
        "surface",
    ),
    "two corners in one": (
        '[[condition.surface]]\nat = ["0 in", "0 in"]',
        '[[condition.surface]]\nat = ["-10 in", "0 in"]',
        "lies on the one before",
        "at",
    ),
    "an id twice": ('id = "ply"', 'id = "deck"', "the id is already taken", "id"),
    "a bad id": ('id = "ply"', 'id = "Ply 1"', "holds signs that it may not", "id"),
    "a family without points": (
        'kind = "free-section"',
        'kind = "free-section"\nfamilies = ["flange"]',
        "which is missing",
        "families",
    ),
    "a hollow behind nothing": (
        'kind = "free-section"',
        'kind = "free-section"\nhollows = ["x"]',
        "there is no body of this name",
        "hollows",
    ),
    "a table for a list": (
        "[[condition.point]]",
        "[condition.point]",
        "tables are needed",
        "point",
    ),
}


def problems(text: str) -> list[Problem]:
    with pytest.raises(UserError) as caught:
        job_of(text, "free.toml")
    return caught.value.problems


def test_the_bare_one_is_valid():
    [placed] = job_of(BARE, "free.toml").conditions
    assert placed.condition.kind == KIND


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_told_with_its_place(name):
    was, now, message, key = MISTAKES[name]
    assert was in BARE
    text = BARE.replace(was, now, 1)
    found = problems(text)
    told = [p for p in found if message in p.message]
    assert told, [p.message for p in found]
    assert told[0].key == key
    assert told[0].line
    assert told[0].line > 3


def test_all_mistakes_are_told_at_once():
    text = BARE.replace('"deck-concrete"', '"deck-marble"').replace(
        'on = "deck"', 'on = "x"'
    )
    text = text.replace('end = "mid.deck"', 'end = "no.where"')
    assert len(problems(text)) == 3


def test_no_section_at_all_without_a_surface():
    text = HEAD + (
        '[[condition]]\nid = "F1"\nkind = "free-section"\n'
        '[[condition.point]]\nname = "a.b"\nat = ["1 in", "1 in"]\n'
    )
    assert ["a free section needs a surface to lay things on"] == [
        p.message for p in problems(text)
    ]


@pytest.mark.parametrize(
    "hostile",
    ["%%c%%d {\\\\fArial;x} \\\\P", "</text><script>", "<>&\\\"'", "x" * 80],
)
def test_hostile_names_are_only_text(hostile):
    text = BARE.replace("stage = 1", f'stage = 1\nname = "{hostile}"', 1)
    [placed] = job_of(text, "free.toml").conditions
    section = placed.condition.build(placed.parameters, site())
    assert section.bodies[-1].name == tomllib.loads(f'a = "{hostile}"')["a"]


HOSTILE = "%%c {\\\\H9x;} \\\\P <tspan> & $x^2$ ]]> %s {0}"


def test_hostile_texts_go_through_every_format():
    """Every free text of a free section, read back from the drawing by another reader."""
    text = BARE.replace(
        "stage = 1", f'stage = 1\nname = "{HOSTILE} 1"\nsticks = "{HOSTILE} 2"', 1
    ).replace('kind = "free-section"', f'kind = "free-section"\nnotes = ["{HOSTILE} 3"]', 1)
    text += f'[[condition.stage]]\nname = "Step"\ntext = "{HOSTILE} 4"\n'
    text += (
        '[[condition.gauge]]\nstart = "ply.start"\nend = "mid.deck"\n'
        'axis = "horizontal"\nlabel = "<b>%%d</b>"\n'
    )
    files = draw_job(job_of(text, "free.toml"), ("dxf", "svg", "pdf")).files
    for path, content in files.items():
        if path.endswith(".svg"):
            read = " ".join(etree.fromstring(content).itertext())
            assert "tspan> &" in read or path.endswith("2.svg")
        if path.endswith(".dxf"):
            document = ezdxf.filemanagement.read(io.StringIO(content.decode("utf-8")))
            assert not document.audit().errors
    assert len(files) >= 3


@pytest.mark.parametrize("at", ["roof + " * 30 + "1 in", "1 in + + 2 in", "--1 in", "é.b"])
def test_a_coordinate_that_is_none_is_one_message(at):
    assert len(problems(BARE.replace('"-5 in"', f'"{at}"', 1))) == 1


# --- random ones ---


def test_random_free_sections_are_sound_and_draw():
    rng = Random(31)
    condition = CONDITIONS[KIND]
    for _ in range(200):
        parameters, where = draw_free(rng)
        assert condition.impossible(parameters, where) == []
        section = condition.build(parameters, where)
        assert all(b.region.is_valid and b.region.area > 0.0 for b in section.bodies)
        assert check(section, RULES, CATALOG)
        assert take_off(section, CATALOG, RULES)
        for scene in compose(request_of(condition, parameters, where)):
            validate(scene)
            assert list(clashes(scene)) == []
