"""Random valid parameter sets become sheets on which nothing is wrong.

250 sets each of wall and roof edge and 20 of every other kind, 200 with `--all-sets`, from
the full declared ranges: every variant, deck, wall, method, number of layers, paper and
unit system is among them. Nothing raises, every polygon is valid, no two solids overlap,
every scale is a standard one and nothing touches what it must not. For one in ten the
finished page is looked at as pixels, by a reader that is not ours.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from enum import Enum
from io import BytesIO
from types import NoneType, UnionType
from typing import Literal, Union, get_args, get_origin

import numpy as np
import pikepdf
import pypdfium2 as pdfium
import pytest
import shapely

from detailgen.conditions import CONDITIONS
from detailgen.parameters import Roof
from detailgen.scene import MIN_TEXT, Dimension, Path, Scene, Text
from detailgen.section import Role
from detailgen.sheet import SheetRequest, compose
from detailgen.sheet.clashes import clashes
from detailgen.units import UnitSystem
from detailgen.writers._scene_gate import validate
from detailgen.writers.pdf import write
from tests.sampling import SKIP, Tally, samples
from tests.sheet.asked import catalog, request_of, typical, with_shop

KINDS = tuple(kind for kind in CONDITIONS if kind != "free-section")
"""A free section may be anything: tests/conditions/test_free_section.py draws some."""
MOST = ("wall", "roof-edge")
"""The two families that carry the others."""
CHUNKS = 10
INKED = 10
"""Of so many sets one is looked at as pixels."""
FINE = 152 / 72
"""Pixels in a point: about 6 in a millimetre."""
MM = FINE * 72 / 25.4
"""Pixels in a millimetre."""
GRID = 1e-6
"""mm: what is nearer than this is the same place."""
WHITE = 250
"""Lighter is no ink."""


def each(kind: str, *, whole: bool) -> int:
    """Return how many sets of a kind are in a chunk."""
    if kind in MOST:
        return 250 // CHUNKS
    return (200 if whole else 20) // CHUNKS


def chunk_of(chunk: int, tally: Tally | None = None, *, whole: bool) -> Iterator[tuple]:
    """Yield condition, parameters, site, paper, units and whether both units are shown."""
    rules = catalog().rule_set("common-practice")
    papers = list(catalog().drafting.papers)
    systems = list(UnitSystem)
    number = chunk * sum(each(kind, whole=whole) for kind in KINDS)
    for kind in KINDS:
        count = each(kind, whole=whole)
        for one in samples(kind, count, 7000 + chunk, catalog(), rules, tally):
            yield (
                *one,
                papers[number % len(papers)],
                systems[number // 8 % 2],
                number % 3 == 0,
            )
            number += 1


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_nothing_is_wrong_on_the_sheets(chunk: int, pytestconfig: pytest.Config) -> None:
    """All that is asked of a set at once, so that each is composed once in a run."""
    looked, whole = 0, pytestconfig.getoption("all_sets")
    for number, made in enumerate(chunk_of(chunk, whole=whole)):
        condition, parameters, site, paper, units, both = made
        request = with_shop(
            request_of(condition, parameters, site, paper=paper, units=units, both=both)
        )
        scenes = compose(request)
        _solids_are_sound(request)
        _nothing_touches(number, request, scenes)
        _scales_and_letters_are_right(request, scenes)
        if number % INKED == 0:
            _the_page_shows_it(request, scenes)
            looked += 1
    assert looked >= sum(each(kind, whole=whole) for kind in KINDS) // INKED


def test_all_there_is_is_among_the_sets(told) -> None:
    """Draws the parameters alone, and tells how many sets were rejected."""
    tally, sets = Tally(), 0
    seen: dict[str, dict[str, set]] = {kind: defaultdict(set) for kind in KINDS}
    for chunk in range(CHUNKS):
        for condition, parameters, site, paper, units, both in chunk_of(
            chunk, tally, whole=True
        ):
            sets += 1
            found = seen[condition.kind]
            found["paper"].add(paper)
            found["units"].add(units)
            found["both units"].add(both)
            found["layers"].add(len(site.roof.insulation))
            found["board"].add(site.roof.cover_board is not None)
            for model in (site.roof, parameters):
                for name in type(model).model_fields:
                    found[name].add(_plain(getattr(model, name)))
    assert sets == CHUNKS * sum(each(kind, whole=True) for kind in KINDS)
    for kind in KINDS:
        found = seen[kind]
        assert found["paper"] == set(catalog().drafting.papers)
        assert found["units"] == set(UnitSystem)
        assert found["layers"] == {0, 1, 2, 3}
        assert found["board"] == found["both units"] == {True, False}
        chosen = 0
        for model in (Roof, CONDITIONS[kind].parameters):
            for name, info in model.model_fields.items():
                choices = _choices(info.annotation) if name not in SKIP else set()
                assert choices <= found[name], name
                chosen += len(choices)
        assert chosen > 12
    told(f"random sheets: {sets} sets of {tally.drawn} drawn, {tally.rate:.1%} rejected")


def _plain(value: object) -> object:
    return value if isinstance(value, str | bool | NoneType) else type(value)


def _choices(kind: object) -> set:
    """Return all that a choice or a switch can be; nothing for a length or a number."""
    options = get_args(kind) if get_origin(kind) in {Union, UnionType} else (kind,)
    found: set = set()
    for option in options:
        if get_origin(option) is Literal:
            found |= set(get_args(option))
        elif option is bool:
            found |= {True, False}
        elif option is NoneType:
            found.add(None)
        elif isinstance(option, type) and issubclass(option, Enum):
            found |= set(option)
    return found


def _solids_are_sound(request: SheetRequest) -> None:
    """Every polygon is valid, and no two solids overlap."""
    bodies = request.section.bodies
    regions = [b.region for b in bodies]
    assert all(r.is_valid and r.area > 0 for r in regions)
    for i, j in shapely.STRtree(regions).query(regions, predicate="intersects").T:
        one, other = bodies[i], bodies[j]
        if i >= j or other.id in one.pierces or one.id in other.pierces:
            continue
        if one.role is other.role is Role.FASTENER:
            continue  # they stand apart along the edge
        # On a grid: without one, GEOS takes edges that coincide but for a last digit
        # for crossing ones, and returns all of one polygon.
        shared = shapely.intersection(one.region, other.region, grid_size=GRID).area
        assert shared <= 1e-6 * min(one.region.area, other.region.area), (one, other)
    for layout in request.section.layouts:
        assert all(p.region.is_valid and p.region.area > 0 for p in layout.parts)


def _nothing_touches(number: int, request: SheetRequest, scenes: tuple[Scene, ...]) -> None:
    """No text on text, lines or hatch; no crossing leaders; nothing outside the frame."""
    found = [(scene.id, clash) for scene in scenes for clash in clashes(scene)]
    assert found == [], (number, request.kind, request.paper)


def _scales_and_letters_are_right(request: SheetRequest, scenes: tuple[Scene, ...]) -> None:
    series = {s.factor for s in catalog().drafting.scales_of(request.units)}
    for scene in scenes:
        validate(scene)
        assert {v.factor for v in scene.views} <= series
        items = [*scene.items, *(i for v in scene.views for i in v.items)]
        heights = [i.height for i in items if isinstance(i, Text | Dimension)]
        assert min(heights) >= MIN_TEXT


def _the_page_shows_it(request: SheetRequest, scenes: tuple[Scene, ...]) -> None:
    """Pixels of the PDF, as another reader draws it, with its words and without them."""
    for number, scene in enumerate(scenes):
        data = write(scene)
        words = _boxes_of_words(data)
        assert len(words) > 20
        bare = _pixels(_without_words(data))
        inked = _pixels(data)
        told = (request.kind, request.paper, scene.id)
        _nothing_under_words(bare, words, told)
        assert (inked < WHITE).sum() > (bare < WHITE).sum()
        _nothing_outside(inked, scene, told)
        if number == 0:
            tags = _bodies_have_ink(bare, scene, told)
            assert {b.id for b in request.section.bodies} <= tags, told


def _pixels(data: bytes) -> np.ndarray:
    """Return a page as grey pixels, the first row the lowest."""
    page = pdfium.PdfDocument(data)[0]
    grey = page.render(scale=FINE, grayscale=True).to_numpy()
    return grey.reshape(grey.shape[0], grey.shape[1])[::-1]


def _without_words(data: bytes) -> bytes:
    """Return the same page without its text."""
    with pikepdf.open(BytesIO(data)) as pdf:
        page = pdf.pages[0]
        kept = [
            instruction
            for instruction in pikepdf.parse_content_stream(page)
            if str(instruction.operator) not in {"Tj", "TJ", "'", '"'}
        ]
        page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(kept))
        out = BytesIO()
        pdf.save(out)
        return out.getvalue()


def _boxes_of_words(data: bytes) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Return each stretch of text with its box in points, as the reader finds them."""
    page = pdfium.PdfDocument(data)[0]
    text = page.get_textpage()
    boxes = []
    for index in range(text.count_rects()):
        box = text.get_rect(index)
        boxes.append((text.get_text_bounded(*box), box))
    return boxes


def _nothing_under_words(bare: np.ndarray, words, told) -> None:
    for word, (x0, y0, x1, y1) in words:
        # A pixel at the edge belongs to what is beside it as well.
        rows = slice(int(y0 * FINE) + 1, max(int(y1 * FINE), int(y0 * FINE) + 2))
        columns = slice(int(x0 * FINE) + 1, max(int(x1 * FINE), int(x0 * FINE) + 2))
        assert bare[rows, columns].min() >= WHITE, (told, word)


def _nothing_outside(inked: np.ndarray, scene: Scene, told) -> None:
    edge = int((scene.paper.margin - 0.5) * MM)
    for strip in (inked[:edge], inked[-edge:], inked[:, :edge], inked[:, -edge:]):
        assert strip.min() >= WHITE, told
    inner = int((scene.paper.margin + 0.5) * MM) + 1
    assert inked[edge:inner].min() < 100, told


def _bodies_have_ink(bare: np.ndarray, scene: Scene, told) -> set[str]:
    """Look for ink along the outline of each body of the main view; return their ids.

    Only stretches that are no other body's outline tell; a body without any is not judged.
    """
    main = scene.views[0]
    shapes = {
        item.tag: shapely.Polygon([main.to_paper(p) for p in item.points])
        for item in main.items
        if isinstance(item, Path) and item.tag and item.closed and item.stroke
    }
    white = shapely.union_all([
        shapely.Polygon([main.to_paper(p) for p in item.points])
        for item in main.items
        if isinstance(item, Path) and item.closed and not item.stroke and not item.tag
    ])
    judged = 0
    for tag, shape in shapes.items():
        others = shapely.union_all([s.exterior for t, s in shapes.items() if t != tag])
        # A hairline that a body runs out into has no inside, and lies under what covers it.
        inside = shape.buffer(-0.05, join_style="mitre").buffer(0.1, join_style="mitre")
        ring = shape.exterior
        along = shapely.line_interpolate_point(ring, np.linspace(0, ring.length, 160))
        seen = (shapely.distance(along, others) > 0.7) & (
            shapely.distance(along, white) > 0.1
        )
        own = along[seen & shapely.covers(inside, along)]
        if len(own) < 8:
            continue
        dark = 0
        for x, y in shapely.get_coordinates(own):
            row, column = round(y * MM), round(x * MM)
            dark += bool(bare[row - 1 : row + 2, column - 1 : column + 2].min() < 200)
        # The kink of a break line may cover a little of it.
        assert dark >= 0.8 * len(own), (told, tag, dark, len(own))
        judged += 1
    assert judged >= 2
    return set(shapes)


def test_pixels_show_what_is_wrong() -> None:
    """Each fault is made on purpose, and must be seen."""
    scene = compose(typical("wall"))[0]
    main = scene.views[0]
    words = _boxes_of_words(write(scene))
    _nothing_under_words(_pixels(_without_words(write(scene))), words, "")
    word = next(i for i in scene.items if isinstance(i, Text) and len(i.content) > 12)
    x, y = word.at
    struck = Path(((x, y + 1.0), (x + 30.0, y + 1.0)), "text")
    faulty = write(replace(scene, items=(*scene.items, struck)))
    with pytest.raises(AssertionError):
        _nothing_under_words(_pixels(_without_words(faulty)), words, "")
    astray = Path(((4.0, 4.0), (4.0, 40.0)), "text")
    with pytest.raises(AssertionError):
        _nothing_outside(
            _pixels(write(replace(scene, items=(*scene.items, astray)))), scene, ""
        )
    for gone in ("wall", "deck", "finish-ply", "flashing"):
        kept = tuple(i for i in main.items if getattr(i, "tag", "") != gone)
        without = replace(scene, views=(replace(main, items=kept),))
        bare = _pixels(_without_words(write(without)))
        with pytest.raises(AssertionError, match=gone):
            _bodies_have_ink(bare, scene, "")
