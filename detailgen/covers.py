"""What the cover and the index of a set say of a job."""

from collections.abc import Sequence

from detailgen.book import BookInfo, Listed, SheetRow, cover_blocks
from detailgen.checked import Verdict
from detailgen.loader import Job
from detailgen.recall import SheetInfo


def sheet_rows(
    one: Verdict, sheets: Sequence[SheetInfo], first: int
) -> tuple[SheetRow, ...]:
    """Return the lines of an index for the sheets of one condition.

    Args:
        one: The condition.
        sheets: What the index says of each sheet.
        first: Number of the first of them in the set.
    """
    findings, fails = one.summary, bool(one.failures)
    return tuple(
        SheetRow(
            number=str(number),
            mark=one.placed.id,
            title=f"{one.placed.title}: {sheet.content}",
            scale=sheet.scale,
            findings=findings,
            fails=fails,
        )
        for number, sheet in enumerate(sheets, first)
    )


def cover_of(
    job: Job, firsts: Sequence[tuple[Verdict, int]], document: str = ""
) -> BookInfo:
    """Return what a cover says of a job.

    Args:
        job: The job.
        firsts: The conditions, each with the number of its first sheet.
        document: What the set is, where it is more than the sheets; cautions then have
            a page of their own.
    """
    project = job.project
    facts = {
        "Document": document,
        "Job number": project.number,
        "Location": project.location,
        "Drawn by": project.drawn_by,
        "Checked by": project.checked_by,
        "Date": project.date,
        "Revision": project.revision,
        "Rule sets" if job.rules.parts else "Rule set": job.rules.name,
    }
    listed = [Listed(one.placed.id, number, one.findings) for one, number in firsts]
    beside = cover_blocks(listed, job.catalog, project.units, cautions=not document)
    return BookInfo(project.name, tuple(facts.items()), project.drawn_by, beside=beside)
