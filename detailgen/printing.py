"""Sheets to bytes, in every format asked for, by all cores."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, Final

from detailgen.fingerprint import sum_of
from detailgen.scene import Scene
from detailgen.workers import one_by_one

if TYPE_CHECKING:
    from detailgen.writers.pdf import PageContent

Put = Callable[[str, bytes], None]
"""Takes a file, by its path inside the output folder, to where it waits for the others."""
FEW: Final = 3
"""Fewer groups of sheets than this are written sooner by one process."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A group of sheets in all their formats."""

    files: dict[str, bytes]
    """Content by path inside the output folder: `pdf/W1-1.pdf`.

    Empty where files were put away.
    """
    sums: tuple[tuple[str, str], ...]
    """Path and check sum of each file."""
    pages: "tuple[PageContent, ...]"
    """What a bound set needs of each sheet; empty where none is made."""


def printed(
    count: int,
    scenes_of: Callable[[int], Sequence[Scene]],
    formats: Sequence[str],
    done: Callable[[int], None] = lambda _: None,
    *,
    bound: bool = False,
    put: Put | None = None,
) -> list[Printed]:
    """Return groups of sheets in every format.

    Args:
        count: How many groups there are.
        scenes_of: Returns the sheets of a group by its number from 0, with their numbers in
            the set; asked in the process that writes them.
        formats: What they are written as.
        done: Told the number of each group that is written.
        bound: Whether a bound set is made of them, though they are not written as PDF.
        put: Takes each file away as soon as it is made, in the process that has made it.
    """
    paged = bound or "pdf" in formats

    return one_by_one(
        lambda number: _printed(scenes_of(number), formats, paged, put), count, FEW, done
    )


def _printed(
    scenes: Sequence[Scene], formats: Sequence[str], paged: bool, put: Put | None
) -> Printed:
    from detailgen.writers import WRITERS

    files: dict[str, bytes] = {}
    sums: list[tuple[str, str]] = []
    pages: list[PageContent] = []
    for scene in scenes:
        for name in formats:
            path, content = f"{name}/{scene.id}.{name}", WRITERS[name](scene)
            sums.append((path, sum_of(content)))
            if put:
                put(path, content)
            else:
                files[path] = content
        if paged:
            from detailgen.writers.pdf import content_of

            pages.append(content_of(scene))
    return Printed(files, tuple(sums), tuple(pages))


def numbered_through(groups: Sequence[Sequence[Scene]]) -> list[tuple[Scene, ...]]:
    """Return groups of sheets with their numbers in the set that they all make."""
    from detailgen.sheet.numbering import numbered

    through = iter(numbered([scene for some in groups for scene in some]))
    return [tuple(islice(through, len(some))) for some in groups]


def files_of(groups: Iterable[Printed], formats: Sequence[str]) -> dict[str, bytes]:
    """Return the files of all groups, format by format."""
    files = {path: made for group in groups for path, made in group.files.items()}
    return {path: files[path] for path in _in_order(files, formats)}


def sums_of(groups: Iterable[Printed], formats: Sequence[str]) -> dict[str, str]:
    """Return the check sums of the files of all groups, format by format."""
    sums = dict(pair for group in groups for pair in group.sums)
    return {path: sums[path] for path in _in_order(sums, formats)}


def _in_order(paths: Iterable[str], formats: Sequence[str]) -> list[str]:
    order = {name: place for place, name in enumerate(formats)}
    return sorted(paths, key=lambda path: order[path.partition("/")[0]])
