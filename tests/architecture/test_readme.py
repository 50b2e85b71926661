"""What the README says is so."""

import re
from pathlib import Path

from detailgen.catalog import load_catalog
from detailgen.checks import check
from detailgen.cli import app
from detailgen.loader import load_job

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_parameter_file_of_the_readme_draws(tmp_path):
    examples = re.findall(r"```toml\n(.*?)```", README, re.DOTALL)
    assert len(examples) == 4
    file = tmp_path / "job.toml"
    file.write_text("\n".join(examples), encoding="utf-8")
    job = load_job(file)
    assert [(d.of, d.to) for d in job.distances] == [("W1", "E1")]
    assert [placed.id for placed in job.conditions] == ["W1", "E1"]
    for placed in job.conditions:
        section = placed.condition.build(placed.parameters, job.site)
        assert check(section, job.rules, job.catalog)


def test_the_commands_of_the_readme_are_the_commands():
    told = set(re.findall(r"\| `detailgen (\w+)", README))
    assert told == {c.name or c.callback.__name__ for c in app.registered_commands}


def test_the_rule_sets_of_the_readme_are_the_rule_sets():
    assert {name for name in load_catalog().rule_sets if f"| `{name}` |" in README} == set(
        load_catalog().rule_sets
    )


def test_the_readme_runs_the_tests_as_ci_does():
    (told,) = re.findall(r"^\.venv/bin/(python -m pytest.*)$", README, re.MULTILINE)
    assert f"\n{told} " in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_files_that_the_papers_name_are_there():
    named = re.findall(
        r"`([\w./-]+\.(?:py|toml|md))`|\]\(([\w./-]+)\)", README + DEVELOPERS
    )
    example = set(re.findall(r"^`(\S+)`:$", DEVELOPERS, re.MULTILINE))
    paths = {a or b for a, b in named} - example
    homes = (
        ROOT,
        ROOT / "detailgen",
        ROOT / "catalog" / "rules",
        ROOT / "tests/benchmarks",
    )
    missing = {p for p in paths if not any((home / p).exists() for home in homes)}
    assert missing <= {"set.pdf"}
