"""How pieces are laid out along a run: the least distances that a layout keeps."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Final

from detailgen.catalog._tables import Table, read_rows, source_of
from detailgen.errors import Problem

FILE: Final = "pieces.toml"
LIMITS: Final = (
    "narrowest_piece",
    "seam_off_corner",
    "side_lap_offset",
    "end_lap_offset",
    "shortest_metal",
    "joint_off_corner",
)


@dataclass(frozen=True, slots=True)
class Limit:
    """One row of `catalog/pieces.toml`."""

    id: str
    value: float
    """mm."""
    text: str
    """What it is, in words."""
    source: str
    """Source with how it is known, or the common-practice mark."""


def read_limits(root: Path, problems: list[Problem]) -> Mapping[str, Limit]:
    """Return the limits of a catalogue; none where it has no such file."""
    file = root / FILE
    found: dict[str, Limit] = {}
    for row in read_rows(file, problems) if file.exists() else []:
        if row.id not in LIMITS:
            row.complain("", "there is no such limit", allowed=", ".join(LIMITS))
        source, _ = source_of(row)
        found[row.id] = Limit(row.id, row.length("value"), row.text("text"), source)
        row.done()
    if found and (missing := sorted(set(LIMITS) - set(found))):
        told = f"{', '.join(missing)} is missing"
        problems.append(Problem(told, file=str(file), mend="Add the row."))
    return MappingProxyType(Table("limit for", "catalogue", found))
