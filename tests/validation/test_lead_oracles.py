"""Sheet lead against handbook figures: nominal and true thickness, each with its source."""

import pytest

from detailgen.catalog import load_catalog
from detailgen.lead import lead_sheet
from detailgen.units import to_inches

CATALOG = load_catalog()
LEAD = CATALOG.tables.lead


def _inches(pounds: float) -> tuple[float, float]:
    sheet = lead_sheet(pounds, LEAD)
    return to_inches(sheet.nominal), to_inches(sheet.physical)


@pytest.mark.parametrize(
    ("pounds", "fraction", "printed"),
    [(1, 1 / 64, 0.0156), (2, 1 / 32, 0.0312), (2.5, 5 / 128, 0.0391), (3, 3 / 64, 0.0469)],
)
def test_nominal_thickness_in_the_united_states(pounds, fraction, printed):
    """Web table of sheet lead, fractions and decimals, read."""
    nominal, physical = _inches(pounds)
    assert nominal == pytest.approx(fraction)
    assert nominal == pytest.approx(printed, abs=0.00006)
    assert physical > 1.08 * nominal


@pytest.mark.parametrize(("pounds", "fraction"), [(4, 1 / 16), (8, 1 / 8)])
def test_nominal_thickness_in_a_tinsmith_s_handbook(pounds, fraction):
    """Victorian handbook for tinsmiths, read: 4 lb 1/16 in, 8 lb 1/8 in."""
    assert _inches(pounds)[0] == pytest.approx(fraction)


@pytest.mark.parametrize(
    ("pounds", "printed"),
    [(1, 0.017), (2, 0.034), (3, 0.051), (4, 0.068), (5, 0.085), (6, 0.101)],
)
def test_true_thickness_in_a_british_table(pounds, printed):
    """Notes on building construction, table of milled lead, read: inches to three
    places. The last one is cut off, not rounded (0.1017)."""
    nominal, physical = _inches(pounds)
    assert physical == pytest.approx(printed, abs=0.00075)
    assert nominal != pytest.approx(printed, abs=0.0011)


@pytest.mark.parametrize(
    ("pounds", "computed"),
    [(1, 0.0170), (2, 0.0339), (2.5, 0.0424), (3, 0.0509), (4, 0.0678), (5, 0.0848),
     (6, 0.1017), (8, 0.1356)],
)  # fmt: skip
def test_true_thickness_from_the_density(pounds, computed):
    """Computed: w / (144 x 0.4097) with lead of 0.4097 lb per cu in (11.34 g per cu cm)."""
    assert _inches(pounds)[1] == pytest.approx(computed, abs=0.00006)
    assert _inches(pounds)[1] == pytest.approx(pounds / (144 * 0.4097))


def test_an_inch_of_lead_weighs_59_pounds():
    """Trade quiz text, read: 1 in thick weighs about 59 lb per sq ft. The nominal rule
    would make it 64."""
    nominal, physical = _inches(59)
    assert physical == pytest.approx(1.0, abs=0.001)
    assert nominal == pytest.approx(59 / 64)


def test_seven_and_eight_pound_lead_straddle_an_eighth():
    """Building construction text of the turn of the century, read: milled lead of 7 lb is a
    little under and of 8 lb a little over 1/8 in. By the nominal rule 8 lb is 1/8 exactly,
    so the text speaks of the true thickness."""
    assert _inches(7)[1] < 1 / 8 < _inches(8)[1]
    assert _inches(8)[0] == pytest.approx(1 / 8)


def test_a_pair_that_belongs_to_neither_line():
    """The tinsmith's handbook also gives 3/32 in as 5 1/2 lb, read: that is near the true
    thickness (0.0932) and far from the nominal one (0.0859), beside nominal rows: mixed."""
    nominal, physical = _inches(5.5)
    assert physical == pytest.approx(3 / 32, rel=0.01)
    assert nominal == pytest.approx(3 / 32 * 5.5 / 6)
    assert nominal < 0.93 * 3 / 32


@pytest.mark.parametrize(
    "material",
    [m for m in CATALOG.of_family("metal") if m.kind == "lead"],
    ids=lambda m: m.id,
)
def test_lead_in_the_catalogue_keeps_both_thicknesses(material):
    pounds = material.mass / lead_sheet(1.0, LEAD).mass
    sheet = lead_sheet(pounds, LEAD)
    assert material.nominal == pytest.approx(sheet.nominal)
    assert material.thickness == pytest.approx(sheet.physical, rel=0.001)
    assert round(pounds * 2) == pytest.approx(pounds * 2)


def test_the_weights_that_sources_name():
    """UFGS 07600 (older five-digit edition), Table I note d, file page 27, read: vent
    sleeves 2 1/2 lb; trade press on drains, read: 2 1/2 to 4 lb; IPC 902.3 (older
    numbering), memory: 3 lb made on site."""
    pounds = {
        round(m.mass / lead_sheet(1.0, LEAD).mass, 6)
        for m in CATALOG.materials.values()
        if m.kind == "lead"
    }
    assert pounds == {2.5, 3.0, 4.0}
