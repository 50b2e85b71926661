"""One stage of building as it is taught: what is new, how it is held, what it serves."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.catalog import Catalog, Printed
from detailgen.checks import due
from detailgen.finding import Finding, Outcome, Severity
from detailgen.section import ADHERED, Body, Bond, Coat, Joint, LayeredSection, Role, Stage

_HELD: Final = {
    Bond.TORCHED: "torched to",
    Bond.HOT_ASPHALT: "in hot asphalt on",
    Bond.COLD_ADHESIVE: "in cold adhesive on",
    Bond.SELF_ADHERED: "self-adhered to",
    Bond.CEMENT: "in cement on",
    Bond.FASTENED: "fastened to",
    Bond.DRY: "loose on",
    Bond.SEALED: "sealed to",
}
"""How a joint reads before the name of what a body lies on."""
_HELD_BARE: Final = {how: how.rpartition(" ")[0] for how in _HELD.values()}
"""The same without such a name."""
WAYS: Final = {
    Bond.TORCHED: "torch",
    Bond.HOT_ASPHALT: "hot asphalt",
    Bond.COLD_ADHESIVE: "cold adhesive",
    Bond.CEMENT: "cement",
}
"""Ways of sticking that have signs of right and wrong, and cautions of their own."""
COAT: Final = "coat"
"""Row of what to look at for primer and prepared surfaces."""


@dataclass(frozen=True, slots=True)
class Step:
    """One stage, told."""

    stage: Stage
    bodies: tuple[Body, ...]
    """Built in it, with what stands for some stages only."""
    taken_out: tuple[Body, ...]
    """What has stood for some stages and comes out in it."""
    coats: tuple[Coat, ...]
    joints: tuple[Joint, ...]
    """Made in it."""
    held: tuple[str, ...]
    """How each new body is held to what it lies on."""
    looks: tuple[str, ...]
    """What to look at before work goes on."""
    rules: tuple[Finding, ...]
    """Rules that it serves: all they look at stands now, failing ones first."""
    signs: Mapping[str, tuple[Printed, ...]]
    """Right and wrong of ways of sticking that come up in it for the first time."""
    again: Mapping[str, int]
    """The stage at which the signs of its other ways of sticking were told."""
    cautions: tuple[Printed, ...]

    @property
    def name(self) -> str:
        """Its name, with a word where work stops to be looked at."""
        return f"{self.stage.name} (HOLD POINT)" if self.stage.hold else self.stage.name


def steps_of(
    section: LayeredSection, findings: Sequence[Finding], catalog: Catalog
) -> tuple[Step, ...]:
    """Return the stages of a section, each with what it serves."""
    first = due(section)
    applied = [f for f in findings if f.outcome is not Outcome.NOT_APPLICABLE]
    told: dict[str, int] = {}
    made: list[Step] = []
    for stage in section.stages:
        every = (*section.bodies, *section.passing)
        bodies = tuple(b for b in every if b.stage == stage.number)
        taken_out = tuple(b for b in section.passing if b.until == stage.number)
        coats = tuple(c for c in section.coats if c.stage == stage.number)
        joints = _new_joints(section, stage)
        ways = [w for bond, w in WAYS.items() if any(j.bond is bond for j in joints)]
        rules = [f for f in applied if first[f.rule] == stage.number]
        cautions = catalog.drafting.cautions
        made.append(
            Step(
                stage,
                bodies,
                taken_out,
                coats,
                joints,
                tuple(held(section, bodies, joints)),
                tuple(_looks(catalog, bodies, taken_out, coats)),
                tuple(sorted(rules, key=_weight)),
                {w: catalog.drafting.signs_of(w) for w in ways if w not in told},
                {w: told[w] for w in ways if w in told},
                tuple(c for c in cautions if {*ways} & {*c.applies}),
            )
        )
        told |= {w: stage.number for w in ways if w not in told}
    return tuple(made)


def _new_joints(section: LayeredSection, stage: Stage) -> tuple[Joint, ...]:
    """Return the joints that come about in a stage: its bodies on what stands then."""
    stages = {b.id: b.stage for b in section.bodies}
    return tuple(
        j
        for j in section.joints
        if max(stages.get(j.upper, 0), stages.get(j.lower, 0)) == stage.number
    )


def _weight(finding: Finding) -> tuple[bool, bool]:
    failed = finding.outcome is Outcome.FAIL
    return not failed, finding.severity is not Severity.REQUIRED


def standing(section: LayeredSection, number: int) -> tuple[Body, ...]:
    """Return what stands for some stages only, and does at this one."""
    return tuple(b for b in section.passing if b.stage <= number < b.until)


def _looks(
    catalog: Catalog,
    bodies: Sequence[Body],
    taken_out: Sequence[Body],
    coats: Sequence[Coat],
) -> list[str]:
    """Return what to look at for new parts and for what is taken out, each once."""
    keys = [
        *(f"{b.role.value} out" for b in taken_out),
        *(b.role.value for b in bodies),
        *(COAT for _ in coats),
    ]
    found = (catalog.drafting.looks.get(key, "") for key in keys)
    return [text for text in dict.fromkeys(found) if text]


def held(
    section: LayeredSection, bodies: Sequence[Body], joints: Sequence[Joint]
) -> list[str]:
    """Return in words how new bodies are held, both halves of a thing together."""
    told: dict[str, dict[str, list[str]]] = {}
    for body in bodies:
        if body.role in {Role.FASTENER, Role.CEMENT}:
            continue
        ways = told.setdefault(short(body), {})
        if body.until:
            ways[body.sticks] = []
        for joint in joints:
            lower = section.body(joint.lower)
            if joint.upper != body.id or lower is None:
                continue
            on = ways.setdefault(_HELD[joint.bond], [])
            if lower.role is Role.CEMENT:
                on += [short(b) for b in _under(section, lower)]
            else:
                on.append(short(lower))
    return [
        f"{name}: {'; '.join(_phrase(how, on) for how, on in ways.items())}."
        for name, ways in told.items()
        if ways
    ]


def _under(section: LayeredSection, bed: Body) -> list[Body]:
    """Return what a bed of cement lies on."""
    lowers = (section.body(j.lower) for j in section.joints if j.upper == bed.id)
    return [b for b in lowers if b is not None]


def _phrase(how: str, on: Sequence[str]) -> str:
    names = [n[:1].lower() + n[1:] for n in dict.fromkeys(on)]
    return f"{how} {', '.join(names)}" if names else _HELD_BARE.get(how, how)


def short(body: Body) -> str:
    """Return a body's name without what stands behind a comma."""
    return body.name.partition(",")[0]


def is_stuck(joint: Joint) -> bool:
    """Return whether a joint is stuck with anything but cement."""
    return joint.bond in ADHERED and joint.bond is not Bond.CEMENT
