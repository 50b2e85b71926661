"""The catalogue: materials, rule sets and drafting data, read from `catalog/`.

One frozen `Catalog` is read once and passed as an argument; there is no global one.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import reduce
from pathlib import Path

from detailgen.catalog._tables import COMMON_PRACTICE, KNOWN, place_of, unknown
from detailgen.catalog.combining import combined
from detailgen.catalog.conflicts import Conflict, conflicts
from detailgen.catalog.drafting import (
    CIRCUMSTANCES,
    PENS,
    Drafting,
    FamilyData,
    LayerData,
    PaperData,
    PatternData,
    Printed,
    Scale,
    read_drafting,
)
from detailgen.catalog.lookups import Tables, read_tables
from detailgen.catalog.materials import (
    FAMILIES,
    Material,
    MaterialChange,
    changed_materials,
    read_materials,
)
from detailgen.catalog.packs import Pack, pack_of, read_packs
from detailgen.catalog.pieces import Limit, read_limits
from detailgen.catalog.relations import (
    Crossing,
    Fit,
    Tried,
    Verdict,
    crossings,
    read_relations,
    strained,
    tried,
)
from detailgen.catalog.rules import (
    DEFAULT_RULES,
    Origin,
    Rule,
    RuleChange,
    RuleSet,
    Unbuilt,
    parse_value,
    read_rule_sets,
    with_rule_overrides,
)
from detailgen.catalog.tolerances import Move, Tolerance, read_tolerances
from detailgen.errors import Problem, UserError, printable

__all__ = [
    "CIRCUMSTANCES",
    "COMMON_PRACTICE",
    "DEFAULT_RULES",
    "FAMILIES",
    "KNOWN",
    "PENS",
    "Catalog",
    "Conflict",
    "Crossing",
    "Drafting",
    "FamilyData",
    "Fit",
    "LayerData",
    "Limit",
    "Material",
    "MaterialChange",
    "Move",
    "Origin",
    "Pack",
    "PaperData",
    "PatternData",
    "Printed",
    "Rule",
    "RuleChange",
    "RuleSet",
    "Scale",
    "Tables",
    "Tolerance",
    "Tried",
    "Unbuilt",
    "Verdict",
    "combined",
    "conflicts",
    "crossings",
    "load_catalog",
    "parse_value",
    "strained",
    "tried",
    "with_material_overrides",
    "with_rule_overrides",
]


@dataclass(frozen=True, slots=True)
class Catalog:
    """All data that the program draws with."""

    materials: Mapping[str, Material]
    rule_sets: Mapping[str, RuleSet]
    drafting: Drafting
    tables: Tables
    relations: Mapping[str, Fit] = field(default_factory=dict[str, Fit])
    """What rows of the rule sets have to do with one another."""
    tolerances: Mapping[str, Tolerance] = field(default_factory=dict[str, Tolerance])
    """How far work on site may stray from the drawing."""
    packs: Mapping[str, Pack] = field(default_factory=dict[str, Pack])
    """In what units materials are bought."""
    limits: Mapping[str, Limit] = field(default_factory=dict[str, Limit])
    """What the layout of pieces keeps."""

    def pack(self, material_id: str) -> Pack:
        """Return how a material is bought; UserError when the catalogue does not say."""
        return pack_of(self.packs, self.materials[material_id])

    def material(self, material_id: str) -> Material:
        """Return a material; UserError when the catalogue has none of that id."""
        return self.materials[material_id]

    def of_family(self, family: str) -> tuple[Material, ...]:
        """Return the materials of a family in the order of the data files."""
        return tuple(m for m in self.materials.values() if m.family == family)

    def rule_set(self, set_id: str) -> RuleSet:
        """Return a rule set; UserError when the catalogue has none of that id."""
        return self.rule_sets[set_id]

    def rules_of(self, set_ids: Sequence[str]) -> RuleSet:
        """Return a rule set, or the combination of those named."""
        return reduce(combined, (self.rule_set(set_id) for set_id in set_ids))

    def conflicts_of(self, rules: RuleSet) -> tuple[Conflict, ...]:
        """Return where the values of a rule set, or of two combined, cannot all hold."""
        return conflicts(rules, self.relations.values(), self.materials)


def load_catalog(folder: Path | None = None) -> Catalog:
    """Return the catalogue of a folder; without one, the program's own.

    Raises:
        UserError: The data files have mistakes; all of them are told.
    """
    root = folder or _own_folder()
    problems: list[Problem] = []
    materials = read_materials(root / "materials", problems)
    rule_sets = read_rule_sets(root / "rules", problems)
    rows: Mapping[str, Rule] = {}
    if DEFAULT_RULES in rule_sets:
        rows = rule_sets[DEFAULT_RULES].rows
    catalog = Catalog(
        materials=materials,
        rule_sets=rule_sets,
        drafting=read_drafting(root / "drafting", problems),
        tables=read_tables(root / "tables", problems),
        tolerances=read_tolerances(root, problems),
        packs=read_packs(root, materials, problems),
        limits=read_limits(root, problems),
        relations=read_relations(root / "rules", rows, materials, problems),
    )
    problems += _missing_patterns(catalog, root)
    if problems:
        raise UserError(problems)
    return catalog


def with_material_overrides(catalog: Catalog, changes: Iterable[MaterialChange]) -> Catalog:
    """Return the catalogue with a job's own figures, each with the job's reason.

    Raises:
        UserError: Materials that do not exist, or are changed twice; each problem's key
            is `material.<n>.material`, where n counts the changes from 0.
    """
    return replace(catalog, materials=changed_materials(catalog.materials, changes))


def _missing_patterns(catalog: Catalog, root: Path) -> list[Problem]:
    known = catalog.drafting.patterns
    missing = [
        m for m in catalog.materials.values() if m.pattern and m.pattern not in known
    ]
    found: list[Problem] = []
    for one in missing:
        problem = unknown("hatch pattern", one.pattern, known, "drafting data")
        file, line = place_of(root / "materials", one.id, "pattern")
        key = printable(f"{one.id}.pattern")
        found.append(replace(problem, file=file, line=line, key=key))
    return found


def _own_folder() -> Path:
    """Return where the data files are: in an installed package, or in the repository."""
    package = Path(__file__).resolve().parent.parent
    packed = package / "_catalog"
    return packed if packed.is_dir() else package.parent / "catalog"
