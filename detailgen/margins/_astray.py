"""A condition built as work on site may leave it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from detailgen.catalog import Move, Tolerance
from detailgen.catalog.tolerances import ANY
from detailgen.checks import REGISTRY, examine
from detailgen.conditions import CONDITIONS, Condition, Site
from detailgen.errors import Problem, UserError
from detailgen.finding import Finding
from detailgen.geometry.regions import shifted
from detailgen.parameters import Placed, Roof, limits_of
from detailgen.section import Body, LayeredSection, Layout, Part

ROOF = "roof."
"""How a move names a parameter of the roof."""
_TRACE = 0.01
"""With so small a part of the least that it may be, a thing is not there."""


@dataclass(frozen=True, slots=True)
class Astray:
    """One condition with its parameters settled: nothing that is moved moves another."""

    condition: Condition
    parameters: Placed
    site: Site

    def now(self, name: str) -> float | None:
        """Return a parameter's present value; None where it has none."""
        if name.startswith(ROOF):
            value: object = getattr(self.site.roof, name.removeprefix(ROOF), None)
        else:
            value = getattr(self.parameters, name, None)
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            return None
        return float(value)

    def field(self, name: str) -> tuple[type[Placed] | type[Roof], str]:
        """Return the model that a parameter stands in, and its key there."""
        if name.startswith(ROOF):
            return Roof, name.removeprefix(ROOF)
        return type(self.parameters), name

    def _least(self, name: str) -> float:
        """Return the least that a parameter may be; 0 where that is not told."""
        model, key = self.field(name)
        found = model.model_fields.get(key)
        return (limits_of(found)[0] if found else None) or 0.0

    def with_values(self, values: Mapping[str, float]) -> LayeredSection | None:
        """Return the section with other values; None where it cannot be built.

        What may not be nothing, as the leg of a bead, cannot be next to nothing either.
        """
        own = {k: v for k, v in values.items() if not k.startswith(ROOF)}
        roof = {k.removeprefix(ROOF): v for k, v in values.items() if k.startswith(ROOF)}
        if any(v < _TRACE * self._least(k) for k, v in values.items()):
            return None
        site = self.site
        if roof:
            site = replace(site, roof=site.roof.model_copy(update=roof))
        given = self.parameters.model_copy(update=own)
        if self.condition.impossible(given, site):
            return None
        return self.condition.build(given, site)

    def strayed(self, tolerance: Tolerance, times: float) -> LayeredSection | None:
        """Return the section as so many times a tolerance leaves it."""
        by = tolerance.value * times
        values: dict[str, float] = {}
        for move in tolerance.moves:
            now = self.now(move.parameter) if move.parameter else None
            if now is not None:
                values[move.parameter] = now + by * move.times * self._ratio(move)
        section = self.with_values(values)
        if section is None:
            return None
        for move in tolerance.moves:
            section = _moved(section, move, by * move.times)
        return section

    def _ratio(self, move: Move) -> float:
        """Return by how much a change is larger, that a ratio may stay."""
        if not move.over:
            return 1.0
        now, other = self.now(move.parameter), self.now(move.over)
        return now / other if now is not None and other else 1.0

    def examined(self, section: LayeredSection) -> Callable[[str], Finding]:
        """Return what finds one rule at a time on a section."""
        return examine(section, self.site.rules, self.site.catalog)


def settled(condition: Condition, parameters: Placed, site: Site) -> Astray:
    """Return a condition whose parameters all have values of their own.

    What is left to a rule or to other parameters is built so once; on site it stays when
    another thing is off.
    """
    fields = type(parameters).model_fields
    taken = {
        name: value
        for name, value in condition.taken(parameters, site).items()
        if name in fields and getattr(parameters, name) is None
    }
    return Astray(condition, parameters.model_copy(update=taken), site)


def tolerances_of(
    condition: Condition, tolerances: Iterable[Tolerance]
) -> tuple[Tolerance, ...]:
    """Return the tolerances of a kind of condition.

    A tolerance of several kinds may move parameters that only some of them have.

    Raises:
        UserError: One moves a parameter that none of its kinds has.
    """
    found = tuple(t for t in tolerances if {ANY, condition.kind} & {*t.kinds})
    shared = {ROOF + name for name in Roof.model_fields}
    problems: list[Problem] = []
    for tolerance in found:
        names = {n for m in tolerance.moves for n in (m.parameter, m.over) if n}
        kinds = {condition.kind, *tolerance.kinds} & {*CONDITIONS}
        known = shared.union(*(CONDITIONS[k].parameters.model_fields for k in kinds))
        for what, named, there in (
            ("parameter", names, known),
            ("rule", set(tolerance.rules), set(REGISTRY)),
        ):
            problems += [
                Problem(
                    f"the tolerance {tolerance.id} names a {what} that is not there",
                    key=f"{tolerance.id}.{'rules' if what == 'rule' else 'moves'}",
                    value=name,
                    allowed=", ".join(sorted(there)),
                    mend="Put it right in catalog/tolerances.toml.",
                )
                for name in sorted(named - there)
            ]
    if problems:
        raise UserError(problems)
    return found


def _moved(section: LayeredSection, move: Move, by: float) -> LayeredSection:
    """Return the section with bodies or a piece of a layout moved."""
    if move.part:
        layouts = tuple(_with_part_moved(v, move.part, by) for v in section.layouts)
        return replace(section, layouts=layouts)
    for body in section.bodies:
        if move.bodies and body.id.startswith(move.bodies):
            section = _with_body_moved(section, body, by)
    return section


def _with_part_moved(layout: Layout, part_id: str, by: float) -> Layout:
    def moved(part: Part) -> Part:
        if part.id != part_id:
            return part
        return replace(part, region=shifted(part.region, by, 0.0))

    return replace(layout, parts=tuple(moved(p) for p in layout.parts))


def _with_body_moved(section: LayeredSection, body: Body, by: float) -> LayeredSection:
    """Return the section with a body moved up; its joints stay where they are.

    What lies on it is thought to follow it, so that it is stuck as it was.
    """
    bodies = tuple(
        replace(b, region=shifted(b.region, 0.0, by)) if b.id == body.id else b
        for b in section.bodies
    )
    return replace(section, bodies=bodies)
