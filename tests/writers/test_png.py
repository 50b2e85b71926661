"""PNG: a preview of the right size, with the ink of the page."""

import io

import pytest
from PIL import Image

from detailgen.writers import WRITERS
from tests.writers import rendering
from tests.writers.sample import rich_scene


def test_the_preview_shows_the_page():
    scene = rich_scene()
    picture = Image.open(io.BytesIO(WRITERS["png"](scene)))
    width, height = scene.paper.width, scene.paper.height
    assert picture.size == pytest.approx((width / 25.4 * 150, height / 25.4 * 150), abs=1)
    assert "Software" not in picture.info
    size = (round(width * rendering.PER_MM), round(height * rendering.PER_MM))
    ours = rendering.grey(picture.convert("RGB").resize(size))
    page = rendering.pdfium(WRITERS["pdf"](scene))
    assert rendering.stray(ours, page, reach=3) < 0.02
