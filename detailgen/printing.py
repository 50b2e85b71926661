"""Sheets to bytes, in every format asked for, by all cores."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING, Final, Protocol

from detailgen.fingerprint import sum_of
from detailgen.scene import Scene
from detailgen.workers import one_by_one, shared_out

if TYPE_CHECKING:
    from detailgen.writers.pdf import PageContent

Pages = tuple["PageContent", ...]
"""What a bound set needs of each sheet of a group."""
Put = Callable[[str, bytes], None]
"""Takes a file, by its path inside the output folder, to where it waits for the others."""
_APART: Final = "dxf"
"""The format that takes about as long as the others together."""
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
    pages: "Pages"
    """What a bound set needs of each sheet; empty where none is made."""


class Ahead(Protocol):
    """Another process, which has loaded the writers of some formats."""

    @property
    def formats(self) -> Sequence[str]:
        """What it writes."""
        ...

    def begin(self, groups: Sequence[Sequence[Scene]]) -> None:
        """Let it write groups of sheets."""
        ...

    def result(self) -> list[Printed] | None:
        """Return the files of the groups that it was given; None when it is gone."""
        ...

    def end(self) -> None:
        """Let it go, with the memory that it holds."""
        ...


def printed(
    count: int,
    scenes_of: Callable[[int], Sequence[Scene]],
    formats: Sequence[str],
    done: Callable[[int], None] = lambda _: None,
    *,
    put: Put | None = None,
    ahead: Ahead | None = None,
    with_pages: Callable[[Sequence[Pages]], None] | None = None,
) -> list[Printed]:
    """Return groups of sheets in every format.

    Args:
        count: How many groups there are.
        scenes_of: Returns the sheets of a group by its number from 0, with their numbers in
            the set; asked in the process that writes them.
        formats: What they are written as.
        done: Told the number of each group that is written.
        put: Takes each file away as soon as it is made, in the process that has made it.
        ahead: A process that has loaded some of the writers, used for a few groups.
        with_pages: Called once, with the pages of each group, maybe while other formats
            are still being written; for it they are made though no PDF is asked for.
    """
    paged = with_pages is not None or "pdf" in formats
    if ahead and 0 < count < FEW:
        groups = [scenes_of(number) for number in range(count)]
        return _with(ahead, groups, formats, done, paged, put, with_pages)
    if count < FEW and _APART in formats and (paged or len(formats) > 1):
        made = _side_by_side(count, scenes_of, formats, done, paged, put)
    else:
        made = one_by_one(
            lambda n: _printed(scenes_of(n), formats, paged, put), count, FEW, done
        )
    if with_pages:
        with_pages([one.pages for one in made])
    return made


def _with(
    ahead: Ahead,
    groups: Sequence[Sequence[Scene]],
    formats: Sequence[str],
    done: Callable[[int], None],
    paged: bool,
    put: Put | None,
    with_pages: Callable[[Sequence[Pages]], None] | None,
) -> list[Printed]:
    """Return a few groups of sheets, some of their formats written by another process."""
    ahead.begin(groups)
    rest = [name for name in formats if name not in ahead.formats]
    ours = [_printed(scenes, rest, paged, put) for scenes in groups]
    if with_pages:
        with_pages([one.pages for one in ours])
    theirs = ahead.result() or written(groups, ahead.formats)
    if put:
        for one in theirs:
            for path, content in one.files.items():
                put(path, content)
    for number in range(len(groups)):
        done(number)
    merged = map(_merged, ours, theirs)
    return [replace(one, files={}) for one in merged] if put else list(merged)


def written(groups: Sequence[Sequence[Scene]], formats: Sequence[str]) -> list[Printed]:
    """Return groups of sheets in some formats, their files in memory, without pages."""
    return [_printed(scenes, formats, paged=False, put=None) for scenes in groups]


def _merged(one: Printed, other: Printed) -> Printed:
    """Return one group that has been printed in two parts; the first has the pages."""
    return Printed(one.files | other.files, one.sums + other.sums, one.pages)


def _side_by_side(
    count: int,
    scenes_of: Callable[[int], Sequence[Scene]],
    formats: Sequence[str],
    done: Callable[[int], None],
    paged: bool,
    put: Put | None,
) -> list[Printed]:
    """Return a few groups of sheets; what takes longest is written beside the rest."""
    shares = [name for name in formats if name != _APART], [_APART]

    def some(numbers: Sequence[int]) -> list[Printed]:
        return [
            _printed(scenes_of(n // 2), shares[n % 2], paged and n % 2 == 0, put)
            for n in numbers
        ]

    halves = shared_out(some, 2 * count, 2)
    for number in range(count):
        done(number)
    return [_merged(*pair) for pair in zip(halves[::2], halves[1::2], strict=True)]


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
