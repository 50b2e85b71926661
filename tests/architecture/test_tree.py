"""The tree is the flow: folders, registries and public names agree with one another."""

import ast
import subprocess
import sys
import tomllib
from importlib import import_module
from pathlib import Path

import pytest

import detailgen
from detailgen.catalog import DEFAULT_RULES, load_catalog
from detailgen.checks import REGISTRY, Check
from detailgen.conditions import CONDITIONS
from detailgen.takeoff import COUNTERS
from detailgen.writers import WRITERS

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "detailgen"
MODULES = sorted(PACKAGE.rglob("*.py"))
LONGEST = 400
LONGEST_KIND = 750
"""A kind of condition is one file, and half of it is the table of its parameters."""

TOP_LEVEL = {
    ".ci",
    ".gitignore",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "catalog",
    "detailgen",
    "output",
    "pyproject.toml",
    "samples",
    "tests",
}
PUBLIC = [
    "CONDITIONS",
    "Catalog",
    "Condition",
    "Finding",
    "LayeredSection",
    "Material",
    "Problem",
    "Quantity",
    "Rule",
    "RuleSet",
    "Scene",
    "UserError",
    "take_off",
]


def _stems(folder: str) -> set[str]:
    """Return the modules of a step's folder, without those that serve the others."""
    found = {p.stem for p in (PACKAGE / folder).glob("*.py")}
    return {name for name in found if not name.startswith("_")}


def _tracked() -> set[str]:
    """Return what the top level holds: what git keeps, or all that stands there."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listed.returncode == 0 and listed.stdout:
        return {line.split("/", 1)[0] for line in listed.stdout.splitlines()}
    return {p.name for p in ROOT.iterdir() if not p.name.startswith(".") or p.name == ".ci"}


def test_the_top_level_holds_what_it_should():
    found = _tracked()
    assert found <= TOP_LEVEL
    assert {n for n in TOP_LEVEL if not n.startswith(".")} <= found


def test_the_public_names_are_these():
    assert dir(detailgen) == PUBLIC


@pytest.mark.parametrize("name", PUBLIC)
def test_a_public_name_is_found_where_it_lives(name):
    assert getattr(detailgen, name) is not None


def test_a_name_that_is_not_public_is_refused():
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        getattr(detailgen, "nothing")  # noqa: B009


def test_importing_the_package_loads_no_library():
    heavy = "{'ezdxf', 'shapely', 'matplotlib', 'reportlab', 'pydantic', 'typer', 'numpy'}"
    code = f"import sys, detailgen; print(sorted({heavy} & set(sys.modules)))"
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "[]"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_a_module_says_what_it_is_for_and_is_one_room(path):
    text = path.read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(text)), "no docstring"
    kind = path.parent.name == "conditions" and not path.name.startswith("_")
    longest = LONGEST_KIND if kind else LONGEST
    assert text.count("\n") <= longest, f"longer than {longest} lines"


def test_every_condition_file_is_registered():
    homes = {c.build.__module__.rsplit(".", 1)[1] for c in CONDITIONS.values()}
    assert homes == _stems("conditions")
    assert all(kind == condition.kind for kind, condition in CONDITIONS.items())


def test_a_job_loads_the_kinds_that_it_names_and_no_others():
    code = (
        "import sys; from pathlib import Path; from detailgen import pipeline, reports\n"
        "from detailgen.loader import job_of\n"
        'job_of(\'[project]\\nname="A"\\n[[condition]]\\nid="S1"\\nkind="stack"\', \'a\')\n'
        "print(*sorted(n.rsplit('.')[-1] for n in sys.modules if '.conditions.' in n))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    loaded = {name for name in ran.stdout.split() if not name.startswith("_")}
    assert loaded == {"stack"}


def test_every_rule_file_is_registered():
    homes = {c.measure.__module__.rsplit(".", 1)[1] for c in REGISTRY.values()}
    assert homes == _stems("checks")


def test_every_rule_function_is_registered():
    written = {
        name
        for stem in _stems("checks")
        for name, value in vars(import_module(f"detailgen.checks.{stem}")).items()
        if isinstance(value, Check)
    }
    assert written == set(REGISTRY)


def test_every_row_of_the_rules_is_read():
    text = "".join(p.read_text(encoding="utf-8") for p in MODULES)
    rows = load_catalog().rule_set(DEFAULT_RULES).rows
    assert [row for row in rows if f'"{row}"' not in text and _built(row) not in text] == []


def _built(row: str) -> str:
    """Return how code names the rows of a metal: one row for each kind."""
    return f'"{row.rsplit("_", 1)[0]}_'


def test_every_writer_file_is_registered():
    assert set(WRITERS) == _stems("writers")


def test_every_counter_file_is_registered():
    homes = {c.__module__.rsplit(".", 1)[1] for c in COUNTERS}
    assert homes == _stems("takeoff") - {"purchase"}


@pytest.mark.parametrize("stem", sorted(_stems("conditions")))
def test_a_kind_of_condition_imports_no_other(stem):
    tree = ast.parse((PACKAGE / "conditions" / f"{stem}.py").read_text(encoding="utf-8"))
    imported: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            imported.add(node.module or "")
            imported |= {f"{node.module}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Import):
            imported |= {alias.name for alias in node.names}
    others = {f"detailgen.conditions.{s}" for s in _stems("conditions")}
    assert not imported & others
    assert any(name.startswith("detailgen.section") for name in imported)


@pytest.mark.parametrize("folder", ["checks", "writers"])
def test_the_contracts_keep_every_module_of_a_step_apart(folder):
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    listed = {
        module.rsplit(".", 1)[1]
        for contract in settings["tool"]["importlinter"]["contracts"]
        if contract["type"] == "independence"
        for module in contract["modules"]
        if module.startswith(f"detailgen.{folder}.")
    }
    assert listed == _stems(folder)


def test_every_test_folder_mirrors_the_package_or_is_a_kind_of_test():
    kinds = {"architecture", "benchmarks", "golden", "hard", "properties", "validation"}
    parts = {p.stem for p in PACKAGE.iterdir()} | kinds
    folders = {
        p.name for p in (ROOT / "tests").iterdir() if p.is_dir() and p.name[0] not in "._"
    }
    assert folders <= parts
