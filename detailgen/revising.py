"""The sheets that a new version of a job changes, each with its mark and what changed."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from detailgen.checked import Checked
from detailgen.compare import Comparison, DetailChange, State, revision_text
from detailgen.pipeline import Progress, numbered_job, request_for
from detailgen.printing import FEW, files_of, printed
from detailgen.scene import Scene
from detailgen.sheet import RevisionRow
from detailgen.workers import shared_out

UNNAMED: Final = "*"
"""The mark of a revision that the job does not name."""


def revision_row(found: Comparison, change: DetailChange) -> RevisionRow:
    """Return what the table of revisions says of a condition's change.

    Mark, date and name are those of the new version's own revision: the last that its
    history tells of this condition, else those of its title block.
    """
    job = found.new.job
    told = [one for one in job.revisions if one.concerns(change.id)]
    before = [one.mark for one in found.old.job.revisions]
    if told and told[-1].mark not in before:
        last = told[-1]
        text = revision_text(change, job.project.units, last.text)
        return RevisionRow(last.mark, last.date, last.by, text)
    mark = job.project.revision
    new = mark and mark != found.old.job.project.revision
    text = revision_text(change, job.project.units)
    return RevisionRow(
        mark if new else UNNAMED, job.project.date, job.project.drawn_by, text
    )


def revised_files(
    found: Comparison, formats: Sequence[str], progress: Progress = lambda _: None
) -> tuple[dict[str, bytes], int]:
    """Return the sheets of every changed or new condition, and how many they are.

    They have the numbers that they have in the whole set of the new version.
    """
    changes = {d.id: d for d in found.details if d.new and d.state is not State.SAME}
    sides = list(found.new.sides.values())
    checked = [Checked(s.placed, s.findings, s.section) for s in sides]

    def some(numbers: Sequence[int]) -> list[tuple[Scene, ...]]:
        return [_scenes(found, checked[n], changes.get(sides[n].id)) for n in numbers]

    def told(n: int, what: str) -> None:
        progress(f"{sides[n].id} is {what}")

    scenes = shared_out(some, len(checked), FEW, lambda n: told(n, "drawn"))
    sheets = numbered_job(list(zip(checked, scenes, strict=True)))
    wanted = [s for one, s in zip(sides, sheets, strict=True) if one.id in changes]
    made = printed(len(wanted), lambda n: wanted[n], formats)
    progress("the changed sheets are written")
    return files_of(made, formats), sum(map(len, wanted))


def steps_of(found: Comparison) -> int:
    """Return how often drawing the changed sheets reports progress."""
    return len(found.new.sides) + 1


def _scenes(
    found: Comparison, checked: Checked, change: DetailChange | None
) -> tuple[Scene, ...]:
    from detailgen.sheet import compose

    request = request_for(found.new.job, checked)
    if change:
        row = revision_row(found, change)
        earlier = tuple(r for r in request.revisions if r.mark != row.mark)
        request = replace(request, revisions=(*earlier, row))
    return compose(request)
