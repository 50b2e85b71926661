"""The words of the page: stages, parts and findings of one condition, as HTML."""

from collections.abc import Mapping, Sequence

from detailgen.browse._drawing import groups_of
from detailgen.browse._markup import lines, tag, text
from detailgen.finding import Finding, Outcome, Severity, Unit
from detailgen.lessons import Step, held
from detailgen.section import Body
from detailgen.sheet import words
from detailgen.sheet.blocks import without_relation
from detailgen.sheet.request import SheetRequest
from detailgen.units import UnitSystem, show_thickness


def both(inches: str, millimetres: str) -> str:
    """Return a figure in both systems, of which the page shows one."""
    if inches == millimetres:
        return text(inches)
    first, second = tag("span", text(inches), class_="in"), text(millimetres)
    return f"{first}{tag('span', second, class_='mm')}"


def asked(finding: Finding) -> str:
    """Return what a rule asks."""
    feet, metric = UnitSystem.FEET_INCHES, UnitSystem.MILLIMETRES
    return both(
        words.requirement(finding.required, feet),
        words.requirement(finding.required, metric),
    )


def found(finding: Finding) -> str:
    """Return what a rule finds."""
    feet, metric = UnitSystem.FEET_INCHES, UnitSystem.MILLIMETRES
    return both(words.actual(finding, feet), words.actual(finding, metric))


def told_rule(finding: Finding) -> str:
    """Return a rule with its figures in one line."""
    said = f"{text(without_relation(finding.title))}: {asked(finding)}"
    if finding.actual.unit is not Unit.WORDS:
        said += f" (here {found(finding)})"
    return f"{said} {tag('strong', 'fails')}" if finding.outcome is Outcome.FAIL else said


def stage_told(step: Step, total: int) -> str:
    """Return what is said of a stage."""
    title = f"{step.stage.number} of {total}: {step.name}"
    parts = [tag("h3", text(title)), tag("p", text(step.stage.text), class_="do")]
    parts += [tag("p", text(sentence)) for sentence in step.held]
    for way, signs in step.signs.items():
        rows = "".join(
            tag("li", f"{tag('b', text(s.title))}: {text(s.text)}") for s in signs
        )
        parts.append(tag("h4", text(f"Right and wrong: {way}")) + tag("ul", rows))
    for way, number in step.again.items():
        parts.append(tag("p", text(f"Right and wrong of {way}: see stage {number}.")))
    if step.looks:
        rows = "".join(tag("li", text(look)) for look in step.looks)
        parts.append(tag("h4", "Look") + tag("ul", rows))
    if step.rules:
        rows = "".join(tag("li", told_rule(rule)) for rule in step.rules)
        parts.append(tag("h4", "Rules") + tag("ul", rows))
    for caution in step.cautions:
        told = f"{tag('b', text(caution.title))}: {text(caution.text)}"
        parts.append(tag("p", told, class_="caution"))
    return tag("section", lines(parts), class_="stage", data_s=str(step.stage.number))


def before_told(request: SheetRequest) -> str:
    """Return what is there before work starts."""
    names = dict.fromkeys(b.name for b in request.section.bodies if not b.stage)
    rows = "".join(tag("li", text(name)) for name in names)
    return tag("h3", "Before work starts") + (tag("ul", rows) if rows else "")


def finished_told(request: SheetRequest, summary: str) -> str:
    """Return what is said of the finished work: its stages, and what it is not."""
    stages = request.section.stages
    rows = "".join(
        tag("li", text(f"{s.name} (HOLD POINT)" if s.hold else s.name)) for s in stages
    )
    always = request.catalog.drafting.cautions_for(frozenset())
    told = "".join(
        tag("p", f"{tag('b', text(c.title))}: {text(c.text)}", class_="caution")
        for c in always
    )
    return tag("h3", "Finished") + tag("p", text(f"{summary}.")) + tag("ol", rows) + told


def parts_told(request: SheetRequest, prefix: str) -> str:
    """Return the list of parts, each a button with what it is and is stuck to."""
    stages = {s.number: s.name for s in request.section.stages}
    rows: list[str] = []
    for number, (name, bodies) in enumerate(groups_of(request.section).items()):
        about = _part(request, bodies, stages)
        button = tag(
            "button",
            text(name),
            type="button",
            data_b=str(number),
            aria_pressed="false",
            aria_describedby=f"{prefix}-{number}",
        )
        told = tag("div", about, class_="about", id=f"{prefix}-{number}")
        rows.append(tag("li", button + told))
    return tag("ul", lines(rows), class_="parts")


def _part(request: SheetRequest, bodies: Sequence[Body], stages: Mapping[int, str]) -> str:
    """Return what a part is of and what it is stuck to."""
    section, body = request.section, bodies[0]
    material = request.catalog.material(body.material)
    parts = [text(material.name)]
    if body.thickness:
        parts.append(
            both(
                show_thickness(body.thickness, UnitSystem.FEET_INCHES),
                show_thickness(body.thickness, UnitSystem.MILLIMETRES),
            )
        )
    said = [tag("p", ", ".join(parts))]
    ids = {b.id for b in bodies}
    upper = [j for j in section.joints if j.upper in ids]
    said += [tag("p", text(sentence)) for sentence in held(section, bodies, upper)]
    if body.sticks:
        said.append(tag("p", text(f"{body.sticks[:1].upper()}{body.sticks[1:]}.")))
    stage = stages.get(body.stage)
    when = (
        f"Built in stage {body.stage}, {stage}." if stage else "There before work starts."
    )
    if body.until:
        when = f"{when} Taken out in stage {body.until}, {stages[body.until]}."
    return "".join([*said, tag("p", text(when))])


def findings_told(request: SheetRequest, marks: Mapping[str, str]) -> str:
    """Return the findings, failing ones first, each a button that lights it up."""
    applied = [f for f in request.findings if f.outcome is not Outcome.NOT_APPLICABLE]
    applied.sort(key=lambda f: f.outcome is not Outcome.FAIL)
    rows = [_finding(request, f, marks.get(f.rule, "")) for f in applied]
    return tag("ul", lines(rows), class_="findings")


def _finding(request: SheetRequest, finding: Finding, mark: str) -> str:
    failed = finding.outcome is Outcome.FAIL
    required = finding.severity is Severity.REQUIRED
    state = ("fails" if required else "advice not met") if failed else "holds"
    title = text(without_relation(finding.title))
    lead = f"{tag('b', text(mark))} " if mark else ""
    numbers = {n: str(i) for i, n in enumerate(groups_of(request.section))}
    bodies = [request.section.body(b) for b in finding.bodies]
    named = dict.fromkeys(numbers[b.name] for b in bodies if b is not None)
    button = tag(
        "button",
        f"{lead}{title}",
        type="button",
        data_f=finding.rule,
        data_of=" ".join(named),
        aria_pressed="false",
    )
    said = f"asked {asked(finding)}, is {found(finding)}: {tag('strong', text(state))}"
    if failed and finding.reason:
        said += f". {text(finding.reason)}"
    if failed and finding.accepted:
        said += f" Accepted: {text(finding.accepted)}"
    if failed and finding.view != "section":
        said += text(f" (on the {finding.view.replace('-', ' ')}, which the sheets show)")
    return tag("li", f"{button}<p>{said}</p>", class_=state.replace(" ", "-"))
