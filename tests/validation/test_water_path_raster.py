"""The water path against a brute-force search on pixels.

Oracle: `raster_water`, an own search on a pixel grid that uses nothing of the package but
the section's plain data. Both must agree on the figure of every zone of 300 random walls
and roof edges, drawn with fixed seeds from the full ranges of every parameter; half of them
are changed at random: sheets holed, trimmed or left out, joints laid dry, hems raised.

A climb or a lap may begin and end a pixel off, and pixels are at most 1 mm across sloping
layers. That over the shortest climb that counts 1, an inch, bounds the difference: 0.08.
"""

from collections.abc import Iterator
from functools import cache
from random import Random

import pytest

from detailgen.catalog import load_catalog
from detailgen.section import LayeredSection
from detailgen.waterpath import ways
from tests.sampling import samples
from tests.validation.raster_water import FINE, SHEET, Raster
from tests.waterpath.mutating import mutated

BATCH = 15
SEEDS = range(10)
TOLERANCE = 2.0 * FINE * SHEET / 25.4
ASKED = {True: 2.0, False: 1.0}


def sections(kind: str, seed: int) -> Iterator[tuple[LayeredSection, LayeredSection]]:
    """Yield sections with what they were before: every second one has been changed."""
    catalog = load_catalog()
    rules = catalog.rule_set("common-practice")
    rng = Random(1000 + seed)
    drawn = samples(kind, BATCH, seed, catalog, rules)
    for number, (condition, parameters, site) in enumerate(drawn):
        section = condition.build(parameters, site)
        yield (mutated(section, rng) if number % 2 else section), section


@cache
def compared(kind: str, seed: int) -> tuple[tuple[str, bool, float, float], ...]:
    """Return of every zone its name, whether it is low, and both figures."""
    rules = load_catalog().rule_set("common-practice")
    out: list[tuple[str, bool, float, float]] = []
    for section, before in sections(kind, seed):
        told = {way.zone: way for way in ways(section, rules)}
        found = Raster(section, rules, before).figures()
        assert set(told) == set(found)
        out += [(z, told[z].low, told[z].figure, found[z]) for z in told]
    return tuple(out)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kind", ["wall", "roof-edge"])
def test_arrangement_and_pixels_find_the_same_figure(kind: str, seed: int) -> None:
    for zone, low, told, found in compared(kind, seed):
        assert told == pytest.approx(found, abs=TOLERANCE), (kind, seed, zone)
        if abs(found - ASKED[low]) > TOLERANCE:
            assert (told < ASKED[low]) == (found < ASKED[low]), (kind, seed, zone)


@pytest.mark.parametrize("kind", ["wall", "roof-edge"])
def test_the_draw_shows_zones_that_hold_and_zones_that_do_not(kind: str) -> None:
    found = [(told, ASKED[low]) for _, low, told, _ in compared(kind, SEEDS[0])]
    below = [told for told, asked in found if told < asked - TOLERANCE]
    assert 0.1 < len(below) / len(found) < 0.9
    assert len({round(told, 2) for told in below}) > 3, "figures between whole numbers"
