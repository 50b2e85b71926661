"""Captions: what is said under a view keeps to lines that can be read and written."""

import pytest

from detailgen.lettering import LONGEST
from detailgen.scene import Text
from detailgen.sheet.caption import caption
from detailgen.units import UnitSystem
from tests.sheet.asked import catalog

WORDS = "Drawn thicker than true: sheets 1.5 times, metal 3 times. " * 12


@pytest.mark.parametrize("units", list(UnitSystem))
@pytest.mark.parametrize("width", [60.0, 90.0, 200.0, 420.0, 800.0])
def test_no_line_is_longer_than_a_writer_takes(units: UnitSystem, width: float) -> None:
    for scale in catalog().drafting.scales_of(units):
        items, high = caption("SECTION", scale, [WORDS], width, units)
        texts = [i for i in items if isinstance(i, Text)]
        assert max(len(i.content) for i in texts) <= LONGEST
        whole = "".join("".join(i.content.split()) for i in texts)
        assert "".join(WORDS.split()) in whole
        assert min(i.at[1] for i in texts) >= -high
