"""Ids of conditions, which name files: none twice, and none that a system keeps."""

from collections import defaultdict
from typing import Any, Final

from detailgen.loader._complaints import Complaints
from detailgen.loader._places import Path

_DEVICES: Final = frozenset({
    "con", "prn", "aux", "nul",
    *(f"{port}{n}" for port in ("com", "lpt") for n in range(10)),
})  # fmt: skip
"""File names that some systems keep for devices, whatever follows a dot."""


def check_ids(tables: list[tuple[Path, dict[str, Any]]], complaints: Complaints) -> None:
    """Note ids that cannot name files, alone or beside one another."""
    uses: dict[str, list[Path]] = defaultdict(list)
    for path, table in tables:
        if isinstance(named := table.get("id"), str):
            uses[named.strip().casefold()].append((*path, "id"))
    for name, paths in uses.items():
        if name in _DEVICES:
            complaints.add(
                paths[0],
                "some systems keep this name for a device, so it cannot name files",
                mend="Choose another id.",
            )
        for path in paths[1:]:
            complaints.add(
                path,
                f"the id is already taken on line {complaints.line(paths[0])}",
                allowed="an id that differs by more than capitals, since it names files",
                mend="Choose another id.",
            )
