"""A job's own rule values, larger and smaller than the keys that they fill may be.

What a rule asks is built where a key is left out. It may be more than the key takes, and
what comes of it may be impossible: that is told, and is no accident of the program.
Every third key at both ends; all of them with `--all-sets`.
"""

from collections.abc import Iterator, Sequence

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.errors import Problem, UserError
from detailgen.loader import job_of
from detailgen.loader.fields import Told, told
from detailgen.pipeline import check_job

EVERY = 3
SUMP = "sump that the rule asks is narrower or wider"


def filled() -> list[tuple[str, Told]]:
    """Return the keys of all kinds whose defaults rules give, each with its kind."""
    every = ((kind, told(one.parameters)) for kind, one in CONDITIONS.items())
    return [(kind, field) for kind, fields in every for field in fields if field.by_rule]


def values(field: Told) -> Iterator[float]:
    """Yield values, mm, below and above what a key takes."""
    assert field.least is not None
    assert field.most is not None
    yield from (field.least / 2.0, field.most * 1.5)


def told_of(kind: str, rule: str, value: float) -> str:
    """Return what is said of a job with one condition and a value of its own for a rule."""
    run = 'length = "9 m"\n' if "length" in CONDITIONS[kind].parameters.model_fields else ""
    text = (
        '[project]\nname = "Trial"\n'
        f'[[rule]]\nrule = "{rule}"\nvalue = "{value:g} mm"\nreason = "The owner asks."\n'
        f'[[condition]]\nid = "A1"\nkind = "{kind}"\n{run}'
    )
    problems: Sequence[Problem] = ()
    try:
        (checked,) = check_job(job_of(text, "job.toml"))
    except UserError as error:
        problems = error.problems
    else:
        assert checked.findings
    assert all(p.message and p.allowed and p.mend for p in problems), problems
    return " ".join(p.message for p in problems)


def test_what_a_rule_asks_beyond_its_key_is_built_or_told(
    pytestconfig: pytest.Config,
) -> None:
    step = 1 if pytestconfig.getoption("all_sets") else EVERY
    cases = [(kind, f, value) for kind, f in filled() for value in values(f)]
    assert len(cases) > 150
    found = [told_of(kind, f.by_rule, value) for kind, f, value in cases[::step]]
    assert 0 < sum(map(bool, found)) < len(found) / 2


def test_a_value_far_beyond_the_rules_own_is_not_taken() -> None:
    for kind in ("equipment-support", "penetration-pocket"):
        assert "out of range" in told_of(kind, "end_lap_least", 10_000.0)


def test_a_key_left_to_a_rule_that_asks_what_it_cannot_be_is_told() -> None:
    found = told_of("wall", "reglet_depth_least", 9.0 * 25.4)
    assert "which reglet_depth cannot be" in found
    assert "which flange cannot be" in told_of("stack", "flange_width_least", 0.0)


def test_a_sump_too_narrow_for_its_bowl_is_told() -> None:
    assert SUMP in told_of("drain", "sump_width_least", 381.0)
    assert SUMP in told_of("deep-drain", "sump_width_least", 500.0)
