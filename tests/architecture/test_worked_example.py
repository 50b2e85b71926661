"""The worked example of DEVELOPERS.md: three new files make a kind of condition."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from detailgen.conditions import CONDITIONS

ROOT = Path(__file__).parents[2]
BLOCK = re.compile(r"^`([^`\n]+)`:\n\n```\w+\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def files() -> dict[str, str]:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    example = text.partition("### Worked example")[2].partition("\n## ")[0]
    return dict(BLOCK.findall(example))


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the project to which the example's files have been added."""
    copy = tmp_path_factory.mktemp("example")
    for folder in ("detailgen", "catalog"):
        left = shutil.ignore_patterns("__pycache__")
        shutil.copytree(ROOT / folder, copy / folder, ignore=left)
    for name, text in files().items():
        path = copy / name
        assert not (ROOT / name).exists(), "the example must be new"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return copy


def run(project: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", *words],
        cwd=project,
        env={**os.environ, "PYTHONPATH": str(project)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_example_is_one_kind_one_sample_one_test() -> None:
    folders = sorted(str(Path(name).parent) for name in files())
    assert folders == ["detailgen/conditions", "samples", "tests/conditions"]
    assert "panel-joint" not in CONDITIONS


def test_its_own_test_passes(project: Path) -> None:
    tried = [name for name in files() if name.startswith("tests/")]
    ran = run(
        project, "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:randomly", *tried
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "2 passed" in ran.stdout


def test_the_command_line_finds_and_draws_it(project: Path) -> None:
    listed = run(project, "detailgen", "kinds")
    assert "panel-joint" in listed.stdout, listed.stdout + listed.stderr
    (sample,) = (name for name in files() if name.endswith(".toml"))
    drawn = run(project, "detailgen", "draw", sample, "--out", "sheets")
    assert drawn.returncode == 0, drawn.stdout + drawn.stderr
    for name in ("dxf", "svg", "pdf"):
        assert list((project / "sheets" / name).glob(f"J1*.{name}"))
    started = run(project, "detailgen", "start", "panel-joint", "new.toml")
    assert started.returncode == 0, started.stdout + started.stderr
    assert "reach" in (project / "new.toml").read_text(encoding="utf-8")
