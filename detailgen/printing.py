"""Sheets to bytes, in every format asked for, by all cores."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, Final

from detailgen.scene import Scene
from detailgen.workers import one_by_one

if TYPE_CHECKING:
    from detailgen.writers.pdf import PageContent

FEW: Final = 3
"""Fewer groups of sheets than this are written sooner by one process."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A group of sheets in all their formats."""

    files: dict[str, bytes]
    """Content by path inside the output folder: `pdf/W1-1.pdf`."""
    pages: "tuple[PageContent, ...]"
    """What a bound set needs of each sheet; empty where none is made."""


def printed(
    count: int,
    scenes_of: Callable[[int], Sequence[Scene]],
    formats: Sequence[str],
    done: Callable[[int], None] = lambda _: None,
    *,
    bound: bool = False,
) -> list[Printed]:
    """Return groups of sheets in every format.

    Args:
        count: How many groups there are.
        scenes_of: Returns the sheets of a group by its number from 0, with their numbers in
            the set; asked in the process that writes them.
        formats: What they are written as.
        done: Told the number of each group that is written.
        bound: Whether a bound set is made of them, though they are not written as PDF.
    """
    paged = bound or "pdf" in formats

    return one_by_one(
        lambda number: _printed(scenes_of(number), formats, paged=paged), count, FEW, done
    )


def _printed(scenes: Sequence[Scene], formats: Sequence[str], *, paged: bool) -> Printed:
    from detailgen.writers import WRITERS

    files: dict[str, bytes] = {}
    pages: list[PageContent] = []
    for scene in scenes:
        for name in formats:
            files[f"{name}/{scene.id}.{name}"] = WRITERS[name](scene)
        if paged:
            from detailgen.writers.pdf import content_of

            pages.append(content_of(scene))
    return Printed(files, tuple(pages))


def numbered_through(groups: Sequence[Sequence[Scene]]) -> list[tuple[Scene, ...]]:
    """Return groups of sheets with their numbers in the set that they all make."""
    from detailgen.sheet.numbering import numbered

    through = iter(numbered([scene for some in groups for scene in some]))
    return [tuple(islice(through, len(some))) for some in groups]


def files_of(groups: Iterable[Printed], formats: Sequence[str]) -> dict[str, bytes]:
    """Return the files of all groups, format by format."""
    files = {path: made for group in groups for path, made in group.files.items()}
    order = {name: place for place, name in enumerate(formats)}
    paths = sorted(files, key=lambda path: order[path.partition("/")[0]])
    return {path: files[path] for path in paths}
