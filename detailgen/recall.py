"""What has been drawn before: found again by all that it follows from.

Of a condition three things are kept. What it comes to (its findings, what its sheets show)
and the sheets themselves, as scenes, follow from the program, the catalogue, the roof, the
project and the condition; what its files are follows from that and from the numbers of its
sheets in the set. A file itself is not kept: it stands in the output folder, and is left
there when it is what it should be.
"""

import pickle
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Final, cast

from detailgen.finding import Finding, Outcome
from detailgen.fingerprint import fingerprint, of_program
from detailgen.loader import Job
from detailgen.printing import Printed
from detailgen.scene import Scene
from detailgen.store import Nothing, Store, unpacked

if TYPE_CHECKING:
    from detailgen.writers.pdf import PageContent

There = Callable[[str], str | None]
"""Returns the check sum of a file of the output folder, by its path; None for no file."""
NOTHING_KEPT: Final = Nothing()
_OWN: Final = frozenset({"file", "conditions", "distances", "runs", "alternates"})
"""What of a job does not concern all of its conditions."""


@dataclass(frozen=True, slots=True)
class SheetInfo:
    """What the index of a set says of a sheet."""

    id: str
    content: str
    """In words what it shows."""
    scale: str
    """`as shown` where its views have several."""


@dataclass(frozen=True, slots=True)
class Told:
    """What a condition comes to on its sheets."""

    findings: tuple[Finding, ...]
    """Those of note: what fails, and what holds against a value of the job's own."""
    besides: int
    """How many rules hold besides. Most do, and nothing more is told of them in a set."""
    sheets: tuple[SheetInfo, ...]


def told(findings: tuple[Finding, ...], scenes: Sequence[Scene]) -> Told:
    """Return what a condition comes to on some sheets."""
    applied = [f for f in findings if f.outcome is not Outcome.NOT_APPLICABLE]
    noted = tuple(f for f in applied if f.outcome is Outcome.FAIL or f.override)
    return Told(noted, len(applied) - len(noted), tuple(map(sheet_info, scenes)))


def packed(scenes: Sequence[Scene]) -> bytes:
    """Return sheets in a fortieth of the room that they take as scenes."""
    return zlib.compress(pickle.dumps(tuple(scenes), 5), 1)


def scenes_in(content: bytes) -> tuple[Scene, ...]:
    """Return sheets that have been packed."""
    return cast("tuple[Scene, ...]", unpacked(zlib.decompress(content)))


def sheet_info(scene: Scene) -> SheetInfo:
    """Return what the index of a set says of a sheet."""
    return SheetInfo(scene.id, _content(scene), _scale(scene))


def _scale(scene: Scene) -> str:
    labels = {view.scale_label for view in scene.views if view.plotted}
    return "as shown" if len(labels) > 1 else "".join(labels)


def _content(scene: Scene) -> str:
    titles = (view.title for view in scene.views if view.plotted)
    # views that share a name, as the rows of a run, are told once
    shown = dict.fromkeys(title.partition(",")[0].lower() for title in titles if title)
    return ", ".join(shown) or "tables and notes"


@dataclass(frozen=True, slots=True)
class Filed:
    """The files of a condition: what they hold, in short, and their pages for the set."""

    sums: tuple[tuple[str, str], ...]
    """Path in the output folder and check sum."""
    pages: "tuple[PageContent, ...]"

    def stand(self, there: There) -> bool:
        """Return whether all files are in the output folder just as they should be."""
        return all(there(path) == wanted for path, wanted in self.sums)


@dataclass(frozen=True, slots=True)
class Past:
    """What earlier runs have left."""

    store: Store = NOTHING_KEPT
    """What they have worked out."""
    there: There = lambda _: None
    """Tells which files stand in the output folder."""


NO_PAST: Final = Past()


class Memory:
    """What earlier runs remember of the conditions of a job."""

    def __init__(
        self, job: Job, formats: Sequence[str], *, water: bool, past: Past
    ) -> None:
        self._store, self._there = past.store, past.there
        self._keys = () if isinstance(self._store, Nothing) else keys_of(job, water)
        self._formats = tuple(formats)

    def told(self, number: int) -> Told | None:
        """Return what a condition comes to, if that is known."""
        found = self._store.get(f"told-{self._keys[number]}") if self._keys else None
        return found if isinstance(found, Told) else None

    def keep_told(self, number: int, told: Told, sheets: bytes) -> bool:
        """Remember what a condition comes to, and its sheets.

        Returns:
            Whether both are kept.
        """
        return bool(self._keys) and all((
            self._store.put(f"told-{self._keys[number]}", told),
            self._store.put(f"sheets-{self._keys[number]}", sheets),
        ))

    def sheets(self, number: int) -> bytes | None:
        """Return the sheets of a condition, packed, if they are known."""
        found = self._store.get(f"sheets-{self._keys[number]}") if self._keys else None
        return found if isinstance(found, bytes) else None

    def filed(self, number: int, before: int, of: int) -> Filed | None:
        """Return a condition's files, if they are known and stand in the output folder."""
        if not self._keys:
            return None
        found = self._store.get(self._filed_key(number, before, of))
        return found if isinstance(found, Filed) and found.stand(self._there) else None

    def keep_filed(self, number: int, before: int, of: int, made: Printed) -> None:
        """Remember a condition's files."""
        if self._keys:
            filed = Filed(made.sums, made.pages)
            self._store.put(self._filed_key(number, before, of), filed)

    def _filed_key(self, number: int, before: int, of: int) -> str:
        return f"filed-{fingerprint(self._keys[number], self._formats, before, of)}"


def keys_of(job: Job, water: bool) -> tuple[str, ...]:
    """Return for each condition the fingerprint of all that its sheets follow from."""
    shared = fingerprint(
        of_program(),
        water,
        *(getattr(job, f.name) for f in fields(job) if f.name not in _OWN),
    )
    own = {
        placed.id: fingerprint(placed.condition.kind, placed.parameters, placed.accepted)
        for placed in job.conditions
    }
    near: dict[str, list[object]] = {mark: [] for mark in own}
    for distance in job.distances:
        for mark, other in ((distance.of, distance.to), (distance.to, distance.of)):
            near[mark].append((distance, own[other]))
    return tuple(
        fingerprint(shared, own[placed.id], near[placed.id]) for placed in job.conditions
    )
