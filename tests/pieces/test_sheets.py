"""Layouts of whole conditions: with the takeoff, on sheets, and from the command line."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from detailgen.cli import app
from detailgen.errors import UserError
from detailgen.loader import Job, job_of, load_job
from detailgen.pieces import Way
from detailgen.piecework import Layout, layout_scenes, layouts_of
from detailgen.sheet.clashes import clashes

SAMPLES = Path(__file__).parents[2] / "samples"
TEXT = """[project]
name = "Shed"
[[condition]]
id = "W1"
kind = "wall"
length = "60 ft"
[[condition]]
id = "E1"
kind = "roof-edge"
length = "45 ft"
[[condition]]
id = "S1"
kind = "stack"
count = 2
"""
RUN = """[[run]]
of = "W1"
low = "20 ft"
left = "inside corner"
right = "outside corner"
"""


def job(more: str = "") -> Job:
    return job_of(TEXT + more, "job.toml")


def course(layout: Layout, mark: str):
    return next(one for one in layout.courses if one.course.mark == mark)


def test_a_wall_worked_by_hand() -> None:
    """60 ft are 18288 mm. Pieces are 1000 mm wide and lap 3 in, 76.2 mm: 923.8 mm each.

    (18288 - 76.2) / 923.8 = 19.7, so 20 pieces at the least. The strip-in ply, in rolls of
    10 m lapped 6 in, takes two: 10000 and 18288 - 10000 + 152.4 = 8440.4 mm. The middle of
    its lap lies at 9923.8. That of the flashing's eleventh would lie at 961.9 + 10 x 923.8
    = 10199.9, which is 276.1 away and not 304.8: the eleventh piece ends sooner, where the
    middle is at 9923.8 - 304.8 = 9619.0. From there 8669 / 923.8 = 9.4 are left, ten more.
    """
    wall, _ = layouts_of(job())
    strip = course(wall, "S").placed.pieces
    assert [b - a for a, b in strip] == pytest.approx([10_000.0, 8440.4])
    flashing = course(wall, "F").placed
    assert flashing.seams[10] == pytest.approx(9619.0)
    assert len(flashing.pieces) == 21


def test_edge_metal_worked_by_hand() -> None:
    """45 ft are 13716 mm; lengths of 10 ft (3048) with gaps of 1/4 in (6.35 mm).

    Four and four gaps reach 4 x 3054.35 = 12217.4, and a rest of 1498.6 mm is left.
    """
    _, edge = layouts_of(job())
    metal = course(edge, "E").placed.pieces
    assert [b - a for a, b in metal] == pytest.approx([3048.0] * 4 + [1498.6])


def test_what_stands_by_itself_has_no_run() -> None:
    assert [one.request.mark for one in layouts_of(job())] == ["W1", "E1"]


@pytest.mark.parametrize("name", ["glassworks", "harbour-archive", "mill-annexe-mm"])
def test_pieces_and_takeoff_agree(name: str) -> None:
    """Laps of the takeoff are in proportion to the length, with one at each end of it.

    Of a run L that is run x L / (stock - lap) + 2 laps; of n pieces it is n - 1 laps, and n
    lies between (L - lap) / (stock - lap) and one more, with what is cut short for a corner
    or a seam. So the takeoff has up to stock / (stock - lap) + 2 laps more, and no fewer
    than none but for pieces cut short. Of metal it counts neither laps nor gaps here.
    """
    for layout in layouts_of(load_job(SAMPLES / f"{name}.toml")):
        run = layout.line.run
        for one in layout.courses:
            wide, lap, stock = (
                sum(one.course.widths) / 1e6,
                one.course.lap,
                one.course.stock,
            )
            seams, more = len(one.placed.pieces) - 1, one.counted(run) - one.area
            if one.course.way is Way.METAL:
                assert -more == pytest.approx(lap * seams * wide)
                continue
            short = max(seams + 1 - (run - lap) / (stock - lap), 0.0)
            assert -short * lap * wide <= more <= (2.0 + stock / (stock - lap)) * lap * wide


@pytest.mark.parametrize("more", ["", RUN])
def test_no_text_of_a_layout_clashes(more: str) -> None:
    for layout in layouts_of(job(more)):
        scenes = layout_scenes(layout)
        assert scenes
        for scene in scenes:
            assert clashes(scene) == []


@pytest.mark.parametrize("name", ["glassworks", "mill-annexe-mm", "free-edge"])
def test_no_text_of_the_samples_clashes(name: str) -> None:
    whole = load_job(SAMPLES / f"{name}.toml")
    for layout in layouts_of(whole):
        for scene in layout_scenes(layout):
            assert clashes(scene) == []


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ('[[run]]\nof = "W9"\n', "no condition has this id"),
        (RUN + RUN, "told twice"),
        ('[[run]]\nof = "W1"\nlow = "70 ft"\n', "beyond the end"),
        ('[[run]]\nof = "W1"\nleft = "corner"\n', "not one of the choices"),
    ],
)
def test_what_is_no_run_is_told(more: str, told: str) -> None:
    with pytest.raises(UserError, match=told):
        job(more)


def test_the_command_writes_and_tells(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(TEXT + RUN, encoding="utf-8")
    out = tmp_path / "out"
    run = ["pieces", str(file), "--out", str(out), "--format", "svg"]
    result = CliRunner().invoke(app, run)
    assert result.exit_code == 0, result.output
    assert "S1" in result.output
    assert (out / "svg" / "W1-pieces-1.svg").is_file()
    result = CliRunner().invoke(app, ["pieces", str(file), "--json"])
    wall = json.loads(result.stdout)[0]
    assert wall["low"] == pytest.approx(6096.0)
    assert wall["ends"] == {"left": "an inside corner", "right": "an outside corner"}
