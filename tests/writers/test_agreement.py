"""The formats agree with one another, in every renderer that this machine has."""

import re
from dataclasses import replace

import pypdf
import pytest

from detailgen.writers import WRITERS
from detailgen.writers._dxf_space import extent
from tests.writers import rendering
from tests.writers.sample import rich_scene

MOST = 0.01
"""Share of dark pixels without a dark one within 0.4 mm in the other picture."""


@pytest.fixture(scope="module")
def scene():
    return rich_scene()


@pytest.fixture(scope="module")
def svg(scene):
    return WRITERS["svg"](scene)


@pytest.fixture(scope="module")
def page(scene):
    return rendering.pdfium(WRITERS["pdf"](scene))


def test_the_comparison_sees_a_missing_line(scene, svg, page):
    less = re.sub(rb'<path[^>]*stroke-width="0.5"[^>]*/>', b"", svg)
    assert less != svg
    assert rendering.stray(rendering.resvg(less), page) > MOST


def test_resvg_draws_the_svg_like_the_pdf(svg, page):
    assert rendering.stray(rendering.resvg(svg), page) < MOST


@pytest.mark.skipif(not rendering.RSVG, reason="rsvg-convert is not installed")
def test_librsvg_draws_the_svg_like_the_pdf(svg, page, tmp_path):
    assert rendering.stray(rendering.rsvg(svg, tmp_path), page) < MOST


@pytest.mark.skipif(not rendering.CHROMIUM, reason="chromium is not installed")
def test_chromium_draws_the_svg_like_the_pdf(scene, svg, page, tmp_path):
    paper = scene.paper
    drawn = rendering.chromium(svg, paper.width, paper.height, tmp_path)
    assert rendering.stray(drawn, page) < MOST
    printed = pypdf.PdfReader(tmp_path / "out.pdf")
    assert len(printed.pages) == 1
    assert float(printed.pages[0].mediabox.width) == pytest.approx(1224, abs=1)
    text = re.sub(r"\s+", "", printed.pages[0].extract_text())
    assert "WALLBASEFLASHING" in text


@pytest.mark.skipif(not rendering.PDFTOPPM, reason="pdftoppm is not installed")
def test_poppler_draws_the_pdf_like_pdfium(scene, page, tmp_path):
    drawn = rendering.poppler(WRITERS["pdf"](scene), tmp_path)
    assert rendering.stray(drawn, page) < MOST


@pytest.mark.parametrize("extension", WRITERS)
def test_an_empty_sheet_is_a_sheet(scene, extension):
    bare = replace(scene, items=(), views=(), subject="", author="")
    empty = replace(scene.views[0], items=())
    assert WRITERS[extension](bare)
    assert WRITERS[extension](replace(bare, views=(empty,)))
    # A view without ink still shows its window.
    x0, _, x1, _ = extent(empty, {})
    assert (x1 - x0) / empty.factor == pytest.approx(empty.frame[2] - empty.frame[0])
