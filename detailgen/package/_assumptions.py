"""The pages of assumptions: every value that the job does not give, told once."""

from collections.abc import Sequence
from typing import Final

from detailgen.assumed import PROJECT, ROOF, SEVERAL, Assumption, assumptions
from detailgen.book import Part
from detailgen.book.columns import Col, Heading, Line, Note
from detailgen.book.table import readable, table, texts
from detailgen.package._told import ToldJob, marks_of
from detailgen.sheet.blocks import printed
from detailgen.sheet.flow import Block

KEY: Final = "assumptions"
_COLUMNS: Final = (
    Col("What the job does not say"), Col("Taken"), Col("Because"), Col("Details"),
    Col("Key"),
)  # fmt: skip
_GROUPS: Final = {
    PROJECT: "The project",
    ROOF: "The roof, for all details",
    SEVERAL: "Details of several kinds",
}


def assumption_pages(told: ToldJob, circumstances: frozenset[str]) -> Part:
    """Return every assumption: of project and roof, shared ones, then kind by kind."""
    found = assumptions(told.job)
    groups: dict[str, list[Assumption]] = {}
    for one in found:
        groups.setdefault(one.group, []).append(one)
    lines: list[Line | Heading | Note] = []
    for group, these in groups.items():
        lines += _group(told, group, these)
    premises = told.job.catalog.drafting.premises_for(circumstances)
    blocks = (
        table("VALUES THAT THE JOB DOES NOT GIVE", _COLUMNS, lines),
        readable(printed("WHAT THE TAKEOFF RESTS ON", premises)),
    )
    return Part(KEY, "Assumptions", blocks, (_notes(),))


def _group(
    told: ToldJob, group: str, these: Sequence[Assumption]
) -> list[Line | Heading | Note]:
    looked_at = [one for one in these if one.used]
    rows: list[Line | Heading | Note] = [
        Line((
            one.about,
            one.value,
            one.basis,
            marks_of(told, one.marks) if one.marks else "all",
            one.key,
        ))
        for one in looked_at
    ]
    idle = [f"{one.key} ({marks_of(told, one.marks)})" for one in these if not one.used]
    if idle:
        rows.append(Note(f"{', '.join(idle)}.", "Of no effect here:"))
    return [Heading(_GROUPS.get(group, group)), *rows]


def _notes() -> Block:
    said = [
        ("Every value", "that the parameter file leaves out stands here once."),
        ("Usual:", "the value that the program takes where nobody says another."),
        ("A rule:", "of the rule set in the title block."),
        ("From the rest:", "follows from other values of the detail or of the roof."),
        ("To change one,", "set its key in the parameter file; all else follows."),
        ("Of no effect:", "another value would build the detail all the same."),
    ]  # fmt: skip
    return texts("HOW TO READ IT", said)
