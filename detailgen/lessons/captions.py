"""The words under a panel, as rows of text."""

from typing import Final

from detailgen.finding import Finding, Outcome, Unit
from detailgen.lessons.step import Step
from detailgen.lettering import wrap
from detailgen.scene import Text
from detailgen.sheet import words
from detailgen.sheet.blocks import paragraph, without_relation
from detailgen.sheet.flow import HEAD, Row
from detailgen.units import UnitSystem

MOST_RULES: Final = 4
"""So many rules stand in a caption; the checklist has all of them."""
_PITCH: Final = 5.4


def told_rule(finding: Finding, system: UnitSystem) -> str:
    """Return a rule with its number, and what is drawn where that is a number, too."""
    asked = words.requirement(finding.required, system)
    said = f"{without_relation(finding.title)}: {asked}"
    if finding.actual.unit is not Unit.WORDS:
        said += f" (here {words.actual(finding, system)})"
    return f"{said}. FAILS" if finding.outcome is Outcome.FAIL else f"{said}."


def caption_rows(step: Step, width: float, system: UnitSystem) -> list[Row]:
    """Return the caption of a stage: what to do, what to look at, what it serves."""
    rows = [_head(step, width)]
    rows.append(paragraph(step.stage.text, width, bold="Do:"))
    if step.held:
        rows.append(paragraph(" ".join(step.held), width, bold="Held:"))
    for way, signs in step.signs.items():
        for sign in signs:
            told = f"{way}, {sign.title[:1].lower()}{sign.title[1:]}:"
            rows.append(paragraph(sign.text, width, bold=told[:1].upper() + told[1:]))
    rows += [
        paragraph(f"see stage {number}.", width, bold=f"Signs of {way}:")
        for way, number in step.again.items()
    ]
    if step.looks:
        rows.append(paragraph(" ".join(step.looks), width, bold="Look:"))
    rows += [
        paragraph(told_rule(finding, system), width, bold="Rule:")
        for finding in step.rules[:MOST_RULES]
    ]
    more = len(step.rules) - MOST_RULES
    if more > 0:
        told = f"And {more} more: see the checklist."
        rows.append(paragraph(told, width, bold="Rules:"))
    if step.cautions:
        titles = ", ".join(dict.fromkeys(c.title for c in step.cautions))
        rows.append(paragraph(f"{titles}.", width, bold="Cautions:"))
    return rows


def _head(step: Step, width: float) -> Row:
    lines = wrap(f"{step.stage.number}  {step.name}", width, HEAD, bold=True)
    items = tuple(
        Text((0.0, -HEAD - 0.4 - n * _PITCH), line, HEAD, "text", bold=True)
        for n, line in enumerate(lines)
    )
    return Row(HEAD + 0.8 + (len(lines) - 1) * _PITCH + 1.0, items)
