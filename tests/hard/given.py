"""What a run is given: files in a folder, and the words of a command line."""

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
OUT = "out"
"""Folder that a run writes, beside its job."""


@dataclass
class Given:
    """One input: files by their path in the folder of the run, and what is asked."""

    files: dict[str, bytes]
    words: list[str] = field(default_factory=list)
    catalog: str = ""
    """Path of the spoilt data file, for a run with a catalogue of its own."""
    spoilt: str = "job.toml"
    """What was spoilt; `--` for the command line."""

    def shown(self) -> str:
        """Return the input so that somebody can try it again."""
        shown = self.files.get(self.spoilt, b"")
        return f"{self.words}\n{self.spoilt}:\n{shown[:6000]!r}"


@cache
def catalog_files() -> tuple[Path, ...]:
    """Return the program's own data files."""
    return tuple(sorted((ROOT / "catalog").rglob("*.toml")))


def lay_out(given: Given, folder: Path) -> None:
    """Write the files of an input into an empty folder."""
    if given.catalog:
        for file in catalog_files():
            link = folder / file.relative_to(ROOT)
            link.parent.mkdir(parents=True, exist_ok=True)
            if str(file.relative_to(ROOT)) != given.catalog:
                link.symlink_to(file)
    for name, content in given.files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
