"""Sheets over and under a flange, counted again on pixels.

Oracle: a raster. Every body is filled into columns of pixels by an even-odd scan of its own
outline; sheets are then counted on the pixels above and below the metal in each column.
Nothing of the package's measuring is used. The check and the raster must agree on the
fewest sheets over and under the flange of 200 random roof edges, drawn with a fixed seed
from the full ranges of every parameter.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from detailgen.catalog import load_catalog
from detailgen.checks import check
from detailgen.section import Body, LayeredSection, Role
from tests.sampling import Tally, samples

SHEETS = (Role.BASE_PLY, Role.STRIP_IN, Role.FINISH_PLY, Role.FLASHING)
COLUMNS = 500
PIXEL = 0.1
"""Height of a pixel, mm: a tenth of the thinnest bed, a quarter of the thinnest metal."""
SETS = 200


def filled(
    body: Body, xs: NDArray[np.float64], ys: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Return which pixels of a grid lie inside a body, by crossings of its outline."""
    inside = np.zeros((len(xs), len(ys)), dtype=bool)
    for ring in (body.region.exterior, *body.region.interiors):
        points = np.asarray(ring.coords)[:, :2]
        for (x0, y0), (x1, y1) in pairwise(points):
            hit = (xs >= min(x0, x1)) & (xs < max(x0, x1))
            if hit.any():
                heights = y0 + (y1 - y0) * (xs[hit] - x0) / (x1 - x0)
                inside[hit] ^= ys[None, :] > heights[:, None]
    return inside


def fewest(section: LayeredSection, end: float, *, above: bool) -> tuple[int, float] | None:
    """Return the fewest sheets on one side of the flange, and at which x.

    Args:
        section: The roof edge.
        end: Where the count stops, toward the edge.
        above: Count over the metal; else under it.
    """
    metal = next(b for b in section.bodies if b.role is Role.EDGE_METAL)
    start = min(x for x, _ in metal.region.exterior.coords)
    # columns stand off both ends by a hair more than the ends of square cuts lean
    xs = np.linspace(start + 1.0, end - 0.05, COLUMNS)
    low, high = section.points["edge.top"][1] - 90.0, metal.region.bounds[3] + 30.0
    ys = np.arange(low, high, PIXEL) + 0.0123
    plate = lowest_run(filled(metal, xs, ys))
    counts = np.zeros(len(xs), dtype=int)
    for body in section.bodies:
        if body.role in SHEETS:
            pixels = filled(body, xs, ys)
            there = [
                row[top:].any() if above else row[:bottom].any()
                for row, (bottom, top) in zip(pixels, plate, strict=True)
            ]
            counts += np.asarray(there)
    worst = int(counts.argmin())
    return int(counts[worst]), float(xs[worst])


def lowest_run(pixels: NDArray[np.bool_]) -> Sequence[tuple[int, int]]:
    """Return the lowest run of filled pixels in every column: first, and one past last."""
    out: list[tuple[int, int]] = []
    for row in pixels:
        first = int(row.argmax())
        rest = row[first:]
        out.append((
            first,
            first + (int((~rest).argmax()) if not rest.all() else len(rest)),
        ))
    return out


def test_pixels_and_geometry_count_the_same_sheets() -> None:
    catalog = load_catalog()
    rules = catalog.rule_set("common-practice")
    tally = Tally()
    seen: set[tuple[int, int]] = set()
    for condition, parameters, site in samples(
        "roof-edge", SETS, 2024, catalog, rules, tally
    ):
        section = condition.build(parameters, site)
        found = {f.rule: f for f in check(section, rules, catalog)}
        leaves = section.points["metal.leaves"][0]
        over = fewest(section, leaves, above=True)
        under = fewest(section, min(leaves, section.points["edge.top"][0]), above=False)
        told = (
            found["thin_flange_cover"].actual.value,
            found["bare_flange_underside"].actual.value,
        )
        assert (over[0], under[0]) == told, (over, under, told, parameters, site.roof)
        seen.add((over[0], under[0]))
    assert {n for n, _ in seen} >= {0, 2}, "the draw shows both good and bad flanges"


@pytest.mark.parametrize("missing", ["strip-in", "finish-ply", "base-ply"])
def test_pixels_and_geometry_miss_the_same_sheet(missing: str) -> None:
    catalog = load_catalog()
    rules = catalog.rule_set("common-practice")
    for condition, parameters, site in samples("roof-edge", 10, 7, catalog, rules):
        section = condition.build(parameters, site).without(missing)
        found = {f.rule: f for f in check(section, rules, catalog)}
        leaves = section.points["metal.leaves"][0]
        over = fewest(section, leaves, above=True)
        under = fewest(section, min(leaves, section.points["edge.top"][0]), above=False)
        assert over[0] == found["thin_flange_cover"].actual.value
        assert under[0] == found["bare_flange_underside"].actual.value
