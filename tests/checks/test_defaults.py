"""What the conditions draw by themselves breaks no rule; what they cannot draw well, tells.

Every variant is drawn with every other parameter at its default, on roofs that differ in
deck, boards, slope and method, under both rule sets.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import product

import pytest

from detailgen.checks import REGISTRY, check
from detailgen.conditions import CONDITIONS, Site
from detailgen.finding import Outcome
from detailgen.parameters import Roof
from detailgen.section import Method
from tests.checks.handmade import catalog
from tests.sampling import samples

IN = 25.4
ROOFS = (
    {},
    {"insulation": (), "adhesion": Method.HOT_ASPHALT},
    {"deck": "steel", "cover_board": IN / 2, "adhesion": Method.TORCH},
    {"deck": "steel", "insulation": (1.5 * IN,), "slope": 1 / 12},
    {"deck": "wood", "insulation": (), "adhesion": Method.TORCH},
    {"deck": "wood", "insulation": (IN, IN, IN), "adhesion": Method.COLD_ADHESIVE},
)
VARIANTS: Mapping[str, Mapping[str, Sequence[object]]] = {
    "wall": {
        "wall": ("masonry", "concrete", "stud"),
        "termination": (None, "reglet", "surface", "coping"),
        "flashing": (None, "foil", "granule-in-cement"),
        "fall": ("away", "toward", "along"),
    },
    "roof-edge": {
        "edge": ("raised", "flush"),
        "cleat": (True, False),
        "edge_strip": (True, False),
        "fall": ("inward", "outward", "along"),
    },
}


def drawn(kind: str, rules: str) -> Iterator[tuple[object, dict[str, str]]]:
    """Yield the parameters of each possible variant with the rules that it fails."""
    condition, data = CONDITIONS[kind], catalog()
    options = VARIANTS[kind]
    for roof in ROOFS:
        site = Site(Roof(**roof), data, data.rule_set(rules))  # type: ignore[arg-type]
        for values in product(*options.values()):
            given = condition.parameters(id="D1", **dict(zip(options, values, strict=True)))
            if condition.impossible(given, site):
                continue
            section = condition.build(given, site)
            found = check(section, site.rules, data)
            yield (
                (roof, given),
                {f.rule: f.reason for f in found if f.outcome is Outcome.FAIL},
            )


@pytest.mark.parametrize("rules", ["common-practice", "sheet-metal-handbook"])
@pytest.mark.parametrize("kind", VARIANTS)
def test_no_variant_breaks_a_rule_by_default(kind: str, rules: str) -> None:
    count = 0
    for parameters, broken in drawn(kind, rules):
        count += 1
        assert not broken, (parameters, broken)
    assert count >= 100


@pytest.mark.parametrize("kind", CONDITIONS)
def test_rules_that_may_never_be_idle_are_rules(kind: str) -> None:
    data = catalog()
    rules = data.rule_set("common-practice")
    seen: set[str] = set()
    for condition, parameters, site in samples(kind, 40, 11, data, rules):
        section = condition.build(parameters, site)
        found = check(section, rules, data)
        assert [f.rule for f in found] == list(REGISTRY)
        assert section.never_idle
        seen |= section.never_idle
        for finding in found:
            if finding.rule in section.never_idle:
                assert finding.outcome is not Outcome.NOT_APPLICABLE
                assert finding.actual.words != "nothing to measure", finding
    assert seen <= set(REGISTRY)


def test_every_rule_applies_to_some_drawing() -> None:
    data = catalog()
    used: set[str] = set()
    names = ("sheet-metal-handbook", "navy-guides", "copper-handbook", "canadian-manual")
    for name in names:
        rules = data.rule_set(name)
        for kind in CONDITIONS:
            for condition, parameters, site in samples(kind, 12, 3, data, rules):
                found = check(condition.build(parameters, site), rules, data)
                used |= {f.rule for f in found if f.outcome is not Outcome.NOT_APPLICABLE}
    between_two = {"crowded_neighbours", "meeting_sheets"}
    assert used == set(REGISTRY) - between_two
