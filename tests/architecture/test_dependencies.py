"""What the program stands on: the table for developers, its settings and licences agree."""

import ast
import re
import sys
import tomllib
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FAMILIES = {
    "MIT-CMU": r"\bMIT-CMU\b|\bHPND\b",
    "MIT": r"\bMIT\b(?!-CMU)|Permission is hereby granted, free of charge",
    "BSD": r"\b0?BSD\b",
    "Apache": r"\bApache\b",
    "MPL": r"\bMPL\b|Mozilla Public",
    "EUPL": r"\bEUPL\b",
    "PSF": r"\bPSF\b|Python Software Foundation",
    "Zlib": r"\bZlib\b",
    "CC0": r"\bCC0\b",
    "GPL": r"\b[AL]?GPL|General Public",
}
PERMISSIVE = {"MIT", "BSD", "Apache", "PSF", "Zlib", "CC0"}
"""What may go with the program to a user without asking anything of the user's own work."""


def families(text: str) -> set[str]:
    return {name for name, sign in FAMILIES.items() if re.search(sign, text)}


def told() -> dict[str, str]:
    """Return the licence of each package as the table gives it."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    part = text.split("## What it stands on\n", 1)[1].split("\n## ", 1)[0]
    rows = re.findall(r"^\| ([\w.-]+) \| ([^|]+) \| [^|]{8,} \|$", part, re.MULTILINE)
    found = {name: licence for name, licence in rows if name != "package"}
    assert len(rows) == len(found) + 1
    return found


def named() -> tuple[list[str], list[str]]:
    """Return what pyproject.toml names: at run time, and otherwise."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    project = settings["project"]
    assert list(project["optional-dependencies"]) == ["dev"]
    other = [
        *settings["build-system"]["requires"],
        *project["optional-dependencies"]["dev"],
    ]
    groups = (project["dependencies"], other)
    run, rest = ([re.match(r"[\w.-]+", one)[0] for one in group] for group in groups)
    return run, rest


def stated(one: Distribution) -> str:
    """Return what an installed package says of its licence."""
    about = one.metadata
    if expression := about.get("License-Expression"):
        return expression
    signs = [c for c in about.get_all("Classifier", []) if c.startswith("License ::")]
    line = about.get("License") or ""
    if len(line) < 80:
        signs.append(line)
    if any(signs):
        return " and ".join(signs)
    for file in one.files or []:
        if "LICENSE" in file.name.upper() and "dist-info" in str(file):
            return file.locate().read_text(encoding="utf-8")[:400]
    return ""


def test_the_table_has_a_line_for_every_dependency_and_no_other():
    run, rest = named()
    assert sorted(told()) == sorted([*run, *rest])
    assert all(">=" in one or "[" in one for one in _requirements())


def _requirements() -> list[str]:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return settings["project"]["dependencies"]


@pytest.mark.parametrize("name", sorted({*named()[0], *named()[1]}))
def test_the_licence_is_the_one_that_the_package_states(name):
    try:
        found = stated(distribution(name))
    except PackageNotFoundError:
        pytest.skip("not installed")
    assert families(found) == families(told()[name]) != set(), found


def test_what_a_user_installs_is_permissive():
    run, _ = named()
    assert {name: families(told()[name]) - PERMISSIVE for name in run} == {
        name: set() for name in run
    }


def test_every_library_that_is_imported_is_named():
    homes = {
        "fontTools": "fonttools",
        "pydantic_core": "pydantic",
        "xlsxwriter": "XlsxWriter",
    }
    found: set[str] = set()
    for path in (ROOT / "detailgen").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                found.add(node.module.split(".")[0])
    libraries = found - set(sys.stdlib_module_names) - {"detailgen"}
    assert {homes.get(name, name) for name in libraries} == set(named()[0])
