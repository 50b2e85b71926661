"""The sheets that a new version of a job changes, each with its mark and what changed."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Final

from detailgen.checked import Checked
from detailgen.compare import (
    Comparison,
    DetailChange,
    State,
    is_printing,
    revision_text,
    sentences,
    show_value,
    words_of,
)
from detailgen.pipeline import Progress, request_for
from detailgen.printing import FEW, files_of, numbered_through, printed
from detailgen.scene import Scene
from detailgen.section import Gauge, LayeredSection
from detailgen.sheet import RevisionRow, SheetRequest
from detailgen.workers import one_by_one

UNNAMED: Final = "*"
"""The mark of a revision that the job does not name."""
_LONGEST_NOTE: Final = 500
"""Letters in one note; more changes stand in the next one."""
SIGN: Final = "\u2b22"
"""Stands with the mark of the revision beside a dimension that moved."""


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
        before_that = "; ".join(part for part in (last.text, _printed(found)) if part)
        text = revision_text(change, job.project.units, before_that)
        return RevisionRow(last.mark, last.date, last.by, text)
    mark = job.project.revision
    new = mark and mark != found.old.job.project.revision
    text = revision_text(change, job.project.units, _printed(found))
    return RevisionRow(
        mark if new else UNNAMED, job.project.date, job.project.drawn_by, text
    )


def _printed(found: Comparison) -> str:
    """Return in words what changed of how sheets are printed: units, and their size."""
    system = found.new.job.project.units
    changes = [one.value for one in found.shared if is_printing(one)]
    return "; ".join(
        f"{words_of(one.key)} {show_value(one, one.old, system)} -> "
        f"{show_value(one, one.new, system)}"
        for one in changes
    )


def revised_files(
    found: Comparison, formats: Sequence[str], progress: Progress = lambda _: None
) -> tuple[dict[str, bytes], int]:
    """Return the sheets of every changed or new condition, and how many they are.

    Other units or another size of sheets change every sheet. Sheets have the numbers that
    they have in the whole set of the new version.
    """
    wanted = list(revised_scenes(found, progress).values())
    made = printed(len(wanted), lambda n: wanted[n], formats)
    progress("the changed sheets are written")
    return files_of(made, formats), sum(map(len, wanted))


def revised_scenes(
    found: Comparison, progress: Progress = lambda _: None
) -> dict[str, tuple[Scene, ...]]:
    """Return the sheets of every changed or new condition by its mark."""
    every = bool(_printed(found))
    changes = {
        d.id: d for d in found.details if d.new and (every or d.state is not State.SAME)
    }
    sides = list(found.new.sides.values())
    checked = [Checked(s.placed, s.findings, s.section) for s in sides]

    scenes = one_by_one(
        lambda n: _scenes(found, checked[n], changes.get(sides[n].id)),
        len(checked),
        FEW,
        lambda n: progress(f"{sides[n].id} is drawn"),
    )
    sheets = numbered_through(scenes)
    return {s.id: sheet for s, sheet in zip(sides, sheets, strict=True) if s.id in changes}


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
        request = _signed(request, change, row.mark, _printed(found))
    return compose(request)


def _signed(
    request: SheetRequest, change: DetailChange, mark: str, printed: str
) -> SheetRequest:
    """Return a request with the sign of a revision at every dimension that moved.

    What changed stands whole among its notes, since the table has room for the first only.
    """
    told = [*([printed] if printed else []), *sentences(change, request.units)]
    notes = [f"Changed in revision {mark}: {one}." for one in _in_parts(told)]
    moved = {(d.view, d.gauge) for d in change.dimensions if d.new is not None}
    section = request.section
    if moved and change.old is not None:
        section = with_signs(section, moved, mark)
        notes.append(f"{SIGN}{mark} beside a dimension: new or moved in revision {mark}.")
    return replace(request, section=replace(section, notes=(*section.notes, *notes)))


def _in_parts(told: Sequence[str]) -> list[str]:
    """Return sentences joined to texts of which each is shorter than a column is tall."""
    found: list[str] = []
    for one in told:
        if found and len(found[-1]) + len(one) <= _LONGEST_NOTE:
            found[-1] = f"{found[-1]}; {one}"
        else:
            found.append(one)
    return found


def with_signs(
    section: LayeredSection, moved: Collection[tuple[str, str]], mark: str
) -> LayeredSection:
    """Return a section with the sign of a revision after some of its dimensions.

    Args:
        section: The section.
        moved: View and id of each such dimension.
        mark: Of the revision.
    """

    def signed(gauge: Gauge, view: str) -> Gauge:
        if (view, gauge.id) not in moved:
            return gauge
        return replace(gauge, suffix=f"{gauge.suffix} {SIGN}{mark}".strip())

    return replace(
        section,
        gauges=tuple(signed(gauge, gauge.view) for gauge in section.gauges),
        layouts=tuple(
            replace(view, gauges=tuple(signed(gauge, view.id) for gauge in view.gauges))
            for view in section.layouts
        ),
    )
