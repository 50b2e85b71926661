"""Sheets of patterns: nothing clashes, and what is drawn reads back as what is cut."""

from functools import cache
from io import StringIO
from pathlib import Path

import ezdxf
import pytest
from lxml import etree

from detailgen.flat import FlatPiece, ring_area
from detailgen.loader import job_of
from detailgen.pipeline import _composed, check_job, draw_job
from detailgen.scene import Scene
from detailgen.sheet.clashes import clashes
from detailgen.units import UnitSystem, show_length

ANGLES = (60.0, 90.0, 120.0, 150.0)
KINDS = ("inside", "outside")
TEXT = """
[project]
name = "Trial"
units = "{units}"
sheet = "{paper}"
[[condition]]
kind = "{kind}-corner"
id = "C1"
corner_angle = {angle}
"""
MM = {"units": "millimetres", "paper": "ISO A3"}
INCHES = {"units": "feet-inches", "paper": "ANSI B"}


def job(kind: str, angle: float, **how: str):
    return job_of(TEXT.format(kind=kind, angle=angle, **how), Path("trial.toml"))


@cache
def scenes(kind: str, angle: float, inches: bool) -> tuple[Scene, ...]:
    made = job(kind, angle, **(INCHES if inches else MM))
    (checked,) = check_job(made)
    return _composed(made, checked, water=False)


@pytest.mark.parametrize("inches", [True, False])
@pytest.mark.parametrize("angle", ANGLES)
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_clashes_on_the_sheets_of_a_corner(kind, angle, inches):
    found = [c for scene in scenes(kind, angle, inches) for c in clashes(scene)]
    assert found == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_piece_has_its_view_and_every_sheet_is_folded(kind):
    views = [v.id for scene in scenes(kind, 90.0, True) for v in scene.views]
    (checked,) = check_job(job(kind, 90.0, **INCHES))
    pieces = checked.section.pieces
    assert [v for v in views if v in {p.id for p in pieces}] == sorted(
        (p.id for p in pieces), key=[*views].index
    )
    assert {v for v in views if v.startswith("folded-")} == {
        f"folded-{p.sheet}" for p in pieces
    }


@pytest.mark.parametrize("kind", KINDS)
def test_outlines_read_back_from_dxf_have_the_area_of_the_pieces(kind):
    made = job(kind, 120.0, **MM)
    (checked,) = check_job(made)
    areas: list[float] = []
    for name, data in draw_job(made, ["dxf"]).files.items():
        assert name.endswith(".dxf")
        space = ezdxf.read(StringIO(data.decode("utf-8"))).modelspace()
        rings = (
            [(x, y) for x, y, *_ in line.get_points()]
            for line in space.query('LWPOLYLINE[layer=="A-DETL-PATN"]')
            if line.closed
        )
        areas += [abs(ring_area(ring)) for ring in rings]
    wanted = sorted(p.area for p in checked.section.pieces)
    # the legend's swatches are closed lines of the layer too, on paper
    for area in wanted:
        assert any(a == pytest.approx(area, rel=1e-6) for a in areas)


def told(piece: FlatPiece) -> set[str]:
    return {f"{a.label} {round(a.value, 1):g}°" for a in piece.angles}


def test_angles_and_lengths_read_back_from_svg():
    made = job("outside", 75.0, **MM)
    (checked,) = check_job(made)
    words: set[str] = set()
    for data in draw_job(made, ["svg"]).files.values():
        words |= {
            "".join(t.itertext()).strip() for t in etree.fromstring(data).iter("{*}text")
        }
    for number, piece in enumerate(checked.section.pieces, 1):
        title = f"PIECE {number}: {piece.name.upper()}"
        assert any(word and title.startswith(word) for word in words), title
        assert told(piece) <= words
        run = next((n for n in piece.lengths if n.id == "run"), None)
        if run:
            assert f"RUN {show_length(run.value, UnitSystem.MILLIMETRES)}" in words
