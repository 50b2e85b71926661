"""Patterns at full size: read back from the PDF, laid together by their crosses."""

import io
from dataclasses import replace
from math import dist, hypot

import pikepdf
import pytest

from detailgen.errors import UserError
from detailgen.full_size import patterns_job
from detailgen.lessons.tiles import strokes_of, tile_name, tiles
from detailgen.loader import job_of
from detailgen.pipeline import check_job
from detailgen.writers.pdf import Page, pages

MM = 25.4 / 72.0
NEAR = 0.1
"""How exact a print at full size is, mm."""
JOB = """
[project]
name = "Trial"
[[condition]]
id = "K1"
kind = "{kind}"
[[condition]]
id = "W1"
kind = "wall"
"""

Point = tuple[float, float]
Line = tuple[Point, Point]


def _job(kind="outside-corner"):
    return job_of(JOB.format(kind=kind), "job.toml")


def _lines(page) -> list[Line]:
    """Return all straight lines that a page draws, mm from its lower left corner."""
    found: list[Line] = []
    kept: list[pikepdf.Matrix] = []
    now, at, start = pikepdf.Matrix(), (0.0, 0.0), (0.0, 0.0)

    def seen(x, y) -> Point:
        a, b, c, d, e, f = map(float, now.shorthand)
        x, y = float(x), float(y)
        return (a * x + c * y + e) * MM, (b * x + d * y + f) * MM

    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "q":
                kept.append(now)
            case "Q":
                now = kept.pop()
            case "cm":
                now = pikepdf.Matrix(*map(float, operands)) @ now
            case "m":
                at = start = seen(*operands)
            case "l":
                end = seen(*operands)
                found.append((at, end))
                at = end
            case "h":
                found.append((at, start))
                at = start
            case "c":
                at = seen(*operands[4:])
    return [line for line in found if dist(*line) > 1e-3]


def _crosses(lines: list[Line]) -> list[Point]:
    """Return the middles of crosses of 12 mm, from the left and from below."""

    def middles(i: int) -> list[Point]:
        return [
            ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            for a, b in lines
            if abs(abs(a[i] - b[i]) - 12.0) < 0.01 and abs(a[1 - i] - b[1 - i]) < 0.001
        ]

    uprights = middles(1)
    found = [p for p in middles(0) if any(dist(p, q) < 0.01 for q in uprights)]
    return sorted(found, key=lambda p: (round(p[0]), round(p[1])))


def _moved(line: Line, by: Point) -> Line:
    (ax, ay), (bx, by_) = line
    return (ax + by[0], ay + by[1]), (bx + by[0], by_ + by[1])


def _off(p: Point, line: Line) -> float:
    (ax, ay), (bx, by) = line
    size = hypot(bx - ax, by - ay)
    along = ((p[0] - ax) * (bx - ax) + (p[1] - ay) * (by - ay)) / size**2
    t = min(max(along, 0.0), 1.0)
    return dist(p, (ax + t * (bx - ax), ay + t * (by - ay)))


@pytest.mark.parametrize("kind", ["outside-corner", "inside-corner"])
@pytest.mark.parametrize("paper", ["ANSI A", "ISO A4"])
def test_tiles_laid_together_are_the_piece(kind: str, paper: str):
    job = _job(kind)
    drafting = job.catalog.drafting
    files = patterns_job(job, "K1", paper=paper)
    for piece in check_job(job)[0].section.pieces:
        # hatching is many lines more: without it, nothing but the pattern is drawn
        bare = replace(piece, prime=())
        scenes = tiles("K1", bare, drafting.paper(paper), drafting)
        plain = pages([Page(s) for s in scenes], "plain")
        names = [scene.id.rpartition("-")[2] for scene in scenes[1:]]
        laid: list[Line] = []
        with (
            pikepdf.open(io.BytesIO(files[f"K1-{piece.id}.pdf"])) as whole,
            pikepdf.open(io.BytesIO(plain)) as pdf,
        ):
            assert len(pdf.pages) == len(whole.pages) == len(scenes)
            for one, other in zip(pdf.pages, whole.pages, strict=True):
                assert set(_lines(one)) <= set(_lines(other))
            read = {n: _lines(p) for n, p in zip(names, list(pdf.pages)[1:], strict=True)}
        spots = {tile_name(c, r): (c, r) for c in range(30) for r in range(30)}
        sizes = []
        for name, lines in read.items():
            low_left, top_left, low_right, top_right = _crosses(lines)
            wide, high = low_right[0] - low_left[0], top_left[1] - low_left[1]
            sizes.append((wide, high))
            assert dist(top_right, (low_left[0] + wide, low_left[1] + high)) < 0.01
            column, row = spots[name]
            move = (column * wide - low_left[0], -row * high - low_left[1])
            crosses = [low_left, top_left, low_right, top_right]
            laid += [
                _moved(line, move)
                for line in lines
                if min(y for _, y in line) > low_left[1] - 8.1
                and not any(_off(c, line) < 0.001 and dist(*line) < 12.01 for c in crosses)
            ]
        assert max(abs(s[i] - sizes[0][i]) for s in sizes for i in (0, 1)) < 0.01
        wanted = [(a, b) for a, b, _ in strokes_of(piece)]
        by_x = min(x for line in laid for x, _ in line) - min(
            x for line in wanted for x, _ in line
        )
        by_y = min(y for line in laid for _, y in line) - min(
            y for line in wanted for _, y in line
        )
        wanted = [_moved(line, (by_x, by_y)) for line in wanted]
        for line in laid:
            assert all(min(_off(p, w) for w in wanted) < NEAR for p in line)
        for a, b in wanted:
            count = max(2, int(dist(a, b) / 10.0))
            for n in range(count + 1):
                t = n / count
                p = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
                assert min(_off(p, w) for w in laid) < NEAR


def test_what_is_not_there_is_told():
    job = _job()
    for wrong in ({"detail": "X9"}, {"detail": "K1", "piece": "no"}):
        with pytest.raises(UserError):
            patterns_job(job, **wrong)
    with pytest.raises(UserError):
        patterns_job(job, "K1", paper="ANSI Z")
