"""What a cover tells beside its index: what fails, what was changed, marks, cautions."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.catalog import Catalog
from detailgen.finding import Finding, Outcome
from detailgen.lettering import letterable
from detailgen.scene import Align, Circle, Item, Path, Text
from detailgen.sheet import words
from detailgen.sheet.blocks import fault_mark, paragraph, without_relation
from detailgen.sheet.callouts import RADIUS
from detailgen.sheet.faults import HALF
from detailgen.sheet.flow import TEXT, Block, Row, moved
from detailgen.units import UnitSystem

_MARGIN: Final = 15.0
"""Room for a mark before what it means, mm."""
_TIGHT: Final = 0.8


@dataclass(frozen=True, slots=True)
class Listed:
    """One condition of the set, as the cover lists it."""

    mark: str
    sheet: int
    """Number of its first sheet."""
    findings: tuple[Finding, ...]


def cover_blocks(
    conditions: Sequence[Listed],
    catalog: Catalog,
    units: UnitSystem,
    *,
    cautions: bool = True,
) -> tuple[Block, ...]:
    """Return what stands beside the index of a set, the most important first."""
    blocks = (
        _texts("RULES", _failing(conditions)),
        _texts("CHANGED FOR THIS JOB", _changed(conditions, catalog, units)),
        Block("MARKS ON THE SHEETS", _marks),
        _texts(
            "BEFORE USE",
            [
                (f"{caution.title}:", caution.text)
                for caution in catalog.drafting.cautions_for(frozenset())
            ],
        ),
    )
    return blocks if cautions else blocks[:-1]


def _texts(title: str, told: Sequence[tuple[str, str]]) -> Block:
    """Return a block of paragraphs, each with a bold start."""
    clean = [(letterable(head), letterable(text)) for head, text in told]

    def rows(width: float) -> list[Row]:
        return [paragraph(t, width, bold=head, after=_TIGHT + 0.8) for head, t in clean]

    return Block(title, rows)


def _failing(conditions: Sequence[Listed]) -> list[tuple[str, str]]:
    """Return which conditions fail which rules; or that none does."""
    told: list[tuple[str, str]] = []
    for one in conditions:
        failed = [f for f in one.findings if f.outcome is Outcome.FAIL]
        if failed:
            titles = [without_relation(f.title) for f in failed]
            listed = "; ".join([titles[0], *(t[:1].lower() + t[1:] for t in titles[1:])])
            status = words.status(one.findings).capitalize()
            told.append((f"{one.mark}, sheet {one.sheet}: {status}.", f"{listed}."))
    if not told:
        many = (
            "the condition" if len(conditions) == 1 else f"all {len(conditions)} conditions"
        )
        told.append(("", f"Every rule that applies holds in {many} of this set."))
    return told


def _changed(
    conditions: Sequence[Listed], catalog: Catalog, units: UnitSystem
) -> list[tuple[str, str]]:
    """Return what the job changed in rules and materials, and why."""
    told = [
        (
            f"{without_relation(f.title)}: {words.requirement(f.required, units)}.",
            f.override,
        )
        for one in conditions
        for f in one.findings
        if f.override and f.outcome is not Outcome.NOT_APPLICABLE
    ]
    told += [
        (f"{row.name}: other figures.", row.override)
        for row in catalog.materials.values()
        if row.override
    ]
    return list(dict.fromkeys(told))


def _marks(width: float) -> list[Row]:
    """Return the marks that a sheet is read by."""
    middle = -4.0
    number: list[Item] = [
        Circle((_MARGIN / 2, middle), RADIUS, "keynotes"),
        Text((_MARGIN / 2, middle - TEXT / 2), "1", TEXT, "text", Align.CENTRE),
    ]
    ends = (0.0, middle), (_MARGIN - 3.0, middle)
    kink: tuple[tuple[float, float], ...] = (
        ends[0],
        (4.6, middle),
        (5.4, middle + 2.0),
        (6.6, middle - 2.0),
        (7.4, middle),
        ends[1],
    )
    named: list[tuple[list[Item], str]] = [
        (number, "A part of the drawing, named in the keynotes of its sheet."),
        (
            fault_mark("A", _MARGIN / 2 - 1.5, middle + 0.3),
            "A rule fails here: the letter leads to the rule table.",
        ),
        ([Path(kink, "break")], "A wall or a deck goes on beyond the drawing."),
        (
            [Path(ends, "hidden")],
            "An edge that a later part covers, or sheets laid dry on each other.",
        ),
        (
            [Text((0.0, middle - TEXT / 2), "MIN.", TEXT, "text")],
            "After a dimension: at least this is asked; MAX.: at most. Lengths are true.",
        ),
    ]
    rows: list[Row] = []
    for items, said in named:
        body = paragraph(said, width - _MARGIN, after=_TIGHT)
        tall = max(body.height, 2 * HALF + _TIGHT)
        down = (body.height - tall) / 2
        words_ = (moved(i, _MARGIN, down) for i in body.items)
        rows.append(Row(tall, (*(moved(i, 0.0, 4.0 - tall / 2) for i in items), *words_)))
    return rows
