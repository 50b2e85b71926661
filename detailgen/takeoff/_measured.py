"""What every counter works from: the section, the data, and the way of measuring."""

from collections.abc import Sequence
from dataclasses import dataclass

from detailgen.catalog import Catalog, Material, RuleSet
from detailgen.quantity import WHOLE, Cut, Measure, Quantity
from detailgen.section import Body, LayeredSection, Role
from detailgen.takeoff._about import About
from detailgen.takeoff._along import along
from detailgen.takeoff._found import Halves, Ways, stem
from detailgen.takeoff._plan import Plan
from detailgen.takeoff._through import Through


@dataclass(frozen=True, slots=True)
class Measured:
    """A section with the data that its quantities are computed from."""

    section: LayeredSection
    catalog: Catalog
    rules: RuleSet
    ways: Ways

    def material(self, material_id: str) -> Material:
        """Return a row of the catalogue."""
        return self.catalog.material(material_id)

    def things(self, *roles: Role) -> list[Halves]:
        """Return the things of some roles, each with its left and its right half."""
        return _things([b for b in self.section.of_role(*roles) if not b.by_others])

    def others(self, *roles: Role) -> list[Halves]:
        """Return the things that others set, and those of roles that always are theirs."""
        return _things([b for b in self.section.bodies if b.by_others or b.role in roles])

    def quantity(
        self,
        named: tuple[str, str, str],
        measure: Measure,
        amount: float,
        formula: str,
        *,
        source: str = "",
        bodies: tuple[str, ...] = (),
        cut: Cut = WHOLE,
    ) -> Quantity:
        """Return a line of the takeoff.

        Args:
            named: Id, label and material.
            measure: What is counted.
            amount: How much, for one metre or one piece.
            formula: How it was computed.
            source: Source of the rate; without it, the geometry.
            bodies: Ids of the bodies it is of.
            cut: How it is cut from what is bought.
        """
        return Quantity(
            *named,
            measure,
            amount,
            formula,
            source or self.ways.source,
            bodies,
            self.ways.per,
            cut=cut,
        )


def _things(bodies: Sequence[Body]) -> list[Halves]:
    """Return bodies by what they are together."""
    found: dict[tuple[Role, str, str], list[Body]] = {}
    for body in bodies:
        # a liner's floor and its head are one thing, soldered
        name = "" if body.role is Role.LINER else stem(body)
        found.setdefault((body.role, body.material, name), []).append(body)
    return [tuple(halves) for halves in found.values()]


def measured(section: LayeredSection, catalog: Catalog, rules: RuleSet) -> Measured:
    """Return the section ready to be counted."""
    return Measured(section, catalog, rules, _ways(section))


def _ways(section: LayeredSection) -> Ways:
    plan = section.layout("plan")
    if plan is None or not section.by_the_piece:
        return along(section)
    if section.of_role(Role.LINER):
        return Through(Plan(section, plan))
    return About(Plan(section, plan))
