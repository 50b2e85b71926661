"""Sheet lead by its weight: two thicknesses that stay apart."""

import pytest

from detailgen.catalog import load_catalog, with_material_overrides
from detailgen.lead import lead_sheet

CATALOG = load_catalog()
FIGURES = CATALOG.tables.lead


def test_thickness_follows_weight():
    one, four = lead_sheet(1.0, FIGURES), lead_sheet(4.0, FIGURES)
    assert four.nominal == pytest.approx(4 * one.nominal)
    assert four.physical == pytest.approx(4 * one.physical)
    assert four.mass == pytest.approx(4 * one.mass)
    assert four.pounds == 4.0


@pytest.mark.parametrize("pounds", [1.0, 2.5, 3.0, 4.0, 8.0])
def test_the_true_thickness_is_the_one_that_weighs_so_much(pounds):
    sheet = lead_sheet(pounds, FIGURES)
    density = FIGURES.density.value
    assert sheet.physical / 1000.0 * density == pytest.approx(sheet.mass)
    assert sheet.nominal / 1000.0 * density < 0.93 * sheet.mass


@pytest.mark.parametrize("pounds", [0.0, -2.5, float("nan")])
def test_no_weight_is_refused(pounds):
    with pytest.raises(ValueError, match="has a weight"):
        lead_sheet(pounds, FIGURES)


class _Change:
    material, name, mass = "lead-4", None, None
    reason = "as delivered"

    def __init__(self, thickness: float | None) -> None:
        self.thickness = thickness


def test_a_job_s_own_thickness_takes_the_nominal_one_away():
    kept = with_material_overrides(CATALOG, [_Change(None)]).material("lead-4")
    changed = with_material_overrides(CATALOG, [_Change(1.8)]).material("lead-4")
    assert kept.nominal == CATALOG.material("lead-4").nominal > 0
    assert (changed.thickness, changed.nominal) == (1.8, 0.0)
