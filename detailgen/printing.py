"""Sheets to bytes, in every format asked for, by all cores."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from detailgen.scene import Scene
from detailgen.workers import shared_out

if TYPE_CHECKING:
    from detailgen.writers.pdf import PageContent

FEW: Final = 3
"""Fewer groups of sheets than this are written sooner by one process."""


@dataclass(frozen=True, slots=True)
class Printed:
    """Sheets in all their formats."""

    files: dict[str, bytes]
    """Content by path inside the output folder."""
    pages: "tuple[PageContent, ...]"
    """What a bound set needs of each sheet; empty where none is made."""


def printed(
    groups: Sequence[Sequence[Scene]],
    formats: Sequence[str],
    done: Callable[[int], None] = lambda _: None,
    *,
    bound: bool = False,
) -> Printed:
    """Return sheets in every format, by path inside the output folder: `pdf/W1-1.pdf`.

    Args:
        groups: Sheets, numbered; those of a group are written by one process.
        formats: What they are written as.
        done: Told the number of each group that is written.
        bound: Whether a bound set is made of them, though they are not written as PDF.
    """
    from detailgen.writers import WRITERS

    def some(
        numbers: Sequence[int],
    ) -> "list[tuple[dict[str, bytes], list[PageContent]]]":
        results: list[tuple[dict[str, bytes], list[PageContent]]] = []
        for number in numbers:
            files: dict[str, bytes] = {}
            pages: list[PageContent] = []
            for scene in groups[number]:
                for name in formats:
                    files[f"{name}/{scene.id}.{name}"] = WRITERS[name](scene)
                if bound or "pdf" in formats:
                    from detailgen.writers.pdf import content_of

                    pages.append(content_of(scene))
            results.append((files, pages))
        return results

    found = shared_out(some, len(groups), FEW, done)
    files = {path: content for made, _ in found for path, content in made.items()}
    # Format by format, as who looks into the folder finds them.
    order = {name: place for place, name in enumerate(formats)}
    paths = sorted(files, key=lambda path: order[path.partition("/")[0]])
    return Printed(
        {path: files[path] for path in paths}, tuple(page for _, p in found for page in p)
    )
