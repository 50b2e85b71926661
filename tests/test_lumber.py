"""Nailer stacks against a brute-force search that knows nothing of how they are found."""

from dataclasses import replace
from fractions import Fraction
from itertools import product
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from detailgen.catalog import load_catalog
from detailgen.lumber import MOST_SHIMS, stack_to, width_for
from detailgen.units import inches

CATALOG = load_catalog()
# Thicknesses in parts of 1/32 in, written out here and not taken from the catalogue.
LUMBER = {"lumber-2x": 48, "lumber-1x": 24}
SHIMS = {"plywood-3-4": 23, "plywood-5-8": 19, "plywood-1-2": 15}


def _brute_force(wanted: Fraction, most_shims: int) -> list[str]:
    """Try every count of every piece; wanted is in parts of 1/32 in."""
    tallest = int(wanted) + 60
    best: tuple[object, ...] | None = None
    for twos, ones in product(range(tallest // 48 + 2), range(tallest // 24 + 2)):
        for counts in product(range(most_shims + 1), repeat=3):
            if sum(counts) > most_shims:
                continue
            total = 48 * twos + 24 * ones
            total += sum(n * t for n, t in zip(counts, SHIMS.values(), strict=True))
            pieces = ["lumber-2x"] * twos + ["lumber-1x"] * ones
            for name, n in zip(SHIMS, counts, strict=True):
                pieces += [name] * n
            thick_first = tuple(-(LUMBER | SHIMS)[p] for p in pieces)
            rank = (abs(total - wanted), len(pieces), sum(counts), total, thick_first)
            if best is None or rank < best[0]:
                best = (rank, pieces)
    assert best is not None
    return best[1]  # pyright: ignore[reportReturnType]


@settings(max_examples=120, deadline=None)
@given(st.integers(0, 640), st.integers(0, 3))
def test_the_best_stack_of_all(parts, most_shims):
    stack = stack_to(inches(parts / 32), CATALOG, most_shims=most_shims)
    assert [layer.material for layer in stack.layers] == (
        _brute_force(Fraction(parts), most_shims) if parts else []
    )


@settings(max_examples=60, deadline=None)
@given(st.floats(0.5, 480.0))
def test_any_height_is_met_as_well_as_can_be(height):
    stack = stack_to(height, CATALOG)
    expected = _brute_force(Fraction(round(height * 1e6), 793_750), MOST_SHIMS)
    assert [layer.material for layer in stack.layers] == expected
    assert stack.residual == pytest.approx(stack.height - height, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(40.0, 480.0))
def test_a_stack_is_lumber_below_and_shims_on_top(height):
    layers = stack_to(height, CATALOG).layers
    kinds = [layer.is_shim for layer in layers]
    assert kinds == sorted(kinds)
    assert sum(kinds) <= MOST_SHIMS
    for kind in (False, True):
        thick = [layer.thickness for layer in layers if layer.is_shim is kind]
        assert thick == sorted(thick, reverse=True)
    for layer in layers:
        assert layer.thickness == CATALOG.material(layer.material).thickness


@pytest.mark.parametrize(
    ("wanted", "expected", "residual"),
    [
        ("0", [], 0),
        ("3/4", ["lumber-1x"], 0),
        ("3", ["lumber-2x", "lumber-2x"], 0),
        ("3 1/2", ["lumber-2x", "lumber-2x", "plywood-1-2"], -1),
        ("2", ["lumber-2x", "plywood-1-2"], -1),
        ("2 1/4", ["lumber-2x", "lumber-1x"], 0),
        ("5/8", ["plywood-5-8"], -1),
        ("4 1/2", ["lumber-2x"] * 3, 0),
    ],
)
def test_usual_build_ups(wanted, expected, residual):
    height = inches(float(sum(Fraction(part) for part in wanted.split())))
    stack = stack_to(height, CATALOG)
    assert [layer.material for layer in stack.layers] == expected
    assert stack.residual == pytest.approx(inches(residual / 32), abs=1e-6)


def test_a_height_of_nothing_or_less_takes_no_wood():
    for height in (0.0, -1.0):
        assert stack_to(height, CATALOG).layers == ()
        assert stack_to(height, CATALOG).residual == 0.0


def test_a_job_with_other_lumber_is_stacked_with_it():
    metric = replace(CATALOG.material("lumber-2x"), thickness=38.0)
    catalog = replace(
        CATALOG, materials=MappingProxyType({**CATALOG.materials, "lumber-2x": metric})
    )
    stack = stack_to(76.0, catalog)
    assert [layer.thickness for layer in stack.layers] == [38.0, 38.0]
    assert stack.residual == 0.0


def test_without_lumber_only_shims_are_left():
    panels = {i: m for i, m in CATALOG.materials.items() if m.family == "panel"}
    stack = stack_to(100.0, replace(CATALOG, materials=MappingProxyType(panels)))
    assert [layer.is_shim for layer in stack.layers] == [True, True]


@pytest.mark.parametrize(
    ("least", "nominal", "actual"),
    [
        (0, "2x4", 3.5),
        (3.5, "2x4", 3.5),
        (3.51, "2x6", 5.5),
        (4.5, "2x6", 5.5),
        (5.5, "2x6", 5.5),
        (6, "2x8", 7.25),
        (11.25, "2x12", 11.25),
        (14, "2x12", 11.25),
    ],
)
def test_the_narrowest_lumber_that_is_wide_enough(least, nominal, actual):
    width = width_for(inches(least), CATALOG)
    assert width.nominal == nominal
    assert width.actual == pytest.approx(inches(actual))
