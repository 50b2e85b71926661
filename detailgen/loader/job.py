"""A job: what a parameter file says, checked, its units converted, its defaults filled."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path as FilePath
from typing import Any, Final, NamedTuple, TypeVar, cast

from detailgen.catalog import DEFAULT_RULES, Catalog, RuleSet, load_catalog
from detailgen.conditions import CONDITIONS, Condition, Site
from detailgen.errors import Problem, UserError, printable
from detailgen.loader._acceptances import KEY, acceptances
from detailgen.loader._alternates import Alternate, told_alternates
from detailgen.loader._complaints import Complaints, suggestion
from detailgen.loader._distances import told_distances
from detailgen.loader._file import Document, document_of, read_document
from detailgen.loader._ids import check_ids
from detailgen.loader._office import told_office
from detailgen.loader._overrides import (
    check_defaults,
    check_materials,
    own_materials,
    own_rules,
)
from detailgen.loader._places import Path
from detailgen.loader._revisions import Revision, told_revisions
from detailgen.loader._runs import Run, told_runs
from detailgen.loader._texts import check_texts
from detailgen.loader._validate import validated
from detailgen.office import NO_OFFICE, Office
from detailgen.parameters import (
    STEEPEST,
    Acceptance,
    Distance,
    MaterialOverride,
    Model,
    Placed,
    Project,
    Roof,
    RuleOverride,
)
from detailgen.units import Slope

TABLES: Final[Mapping[str, str]] = {
    "project": "Project data for the title block, units, sheet size and rule set.",
    "roof": "What all conditions of the job have in common.",
    "rule": "Another value for one row of the rule set.",
    "material": "Another figure for one material of the catalogue.",
    "condition": "One condition, drawn on its own sheets.",
    "distance": "How near two of the conditions stand to each other.",
    "run": "Ends and low point of the run of a condition, for laying out its pieces.",
    "alternate": "The job with something else, to be counted and checked beside it.",
    "revision": "What was changed in the job, when and by whom; printed on sheets.",
}
"""The tables of a parameter file; all but the first two may be repeated."""
MOST_CONDITIONS: Final = 500

_ModelT = TypeVar("_ModelT", bound=Model)


@dataclass(frozen=True, slots=True)
class PlacedCondition:
    """One condition of a job, with valid parameters."""

    condition: Condition
    parameters: Placed
    line: int
    """Line of the parameter file at which it starts."""
    accepted: tuple[Acceptance, ...] = ()
    """Deviations that the owner accepts here."""

    @property
    def id(self) -> str:
        """Return its mark, which names its files."""
        return self.parameters.id

    @property
    def title(self) -> str:
        """Return the title of its sheets."""
        return self.parameters.title or self.condition.title


@dataclass(frozen=True, slots=True)
class Job:
    """All that a parameter file says."""

    file: str
    project: Project
    roof: Roof
    conditions: tuple[PlacedCondition, ...]
    catalog: Catalog
    """With the job's own figures for materials."""
    rules: RuleSet
    """With the job's own values."""
    distances: tuple[Distance, ...] = ()
    """How near some of the conditions stand to each other."""
    runs: tuple[Run, ...] = ()
    """What is known of the runs of some of the conditions."""
    alternates: tuple[Alternate, ...] = ()
    """What is counted and checked beside it, where that is asked for."""
    revisions: tuple[Revision, ...] = ()
    """Its history, in the order of the file."""
    office: Office = NO_OFFICE
    """Whose sheets they are; its notes and layers are in the catalogue."""

    @property
    def site(self) -> Site:
        """Return what all its conditions are built from, at true size."""
        return Site(self.roof, self.catalog, self.rules)


def load_job(path: FilePath) -> Job:
    """Return the job that a parameter file describes.

    Raises:
        UserError: The file cannot be read, or says what cannot be; all mistakes are told.
    """
    return job_from(read_document(path))


def job_of(text: str, file: str) -> Job:
    """Return the job that the text of a parameter file describes.

    Raises:
        UserError: It says what cannot be; all mistakes are told.
    """
    return job_from(document_of(text, file))


def job_from(document: Document) -> Job:
    """Return the job that a parameter file describes, which has been read already.

    Raises:
        UserError: It says what cannot be; all mistakes are told.
    """
    complaints = Complaints(document)
    check_texts(document, complaints)
    _check_tables(document, complaints)
    shared = _shared(document, complaints)
    figures = _listed(MaterialOverride, "material", document, complaints)
    broken = _others("material", figures, document, complaints)
    catalog = own_materials(load_catalog(), figures, broken, complaints)
    values = _listed(RuleOverride, "rule", document, complaints)
    broken = _others("rule", values, document, complaints)
    rules = own_rules(catalog, shared.rules, values, broken, complaints)
    roof = shared.roof and _sloped(shared.roof, rules)
    if roof:
        check_materials(roof, ("roof",), catalog, complaints)
    site = None
    if roof and not complaints.about(("roof",)):
        site = Site(roof, catalog, rules)
    conditions = _conditions(document, site, catalog, complaints)
    ids = _named(document)
    distances = told_distances(
        _listed(Distance, "distance", document, complaints),
        ids,
        complaints,
    )
    runs = told_runs(
        _listed(Run, "run", document, complaints),
        ids,
        {placed.id: placed.parameters.length for placed in conditions},
        complaints,
    )
    alternates = told_alternates(
        _tables("alternate", document, complaints), ids, complaints
    )
    revisions = told_revisions(
        _listed(Revision, "revision", document, complaints), ids, complaints
    )
    complaints.tell()
    assert shared.project is not None  # else there was something to tell
    assert roof is not None
    office = NO_OFFICE
    if named := shared.project.office:
        line = complaints.line(("project", "office"))
        office, catalog = told_office(named, document.file, line, catalog)
    return Job(
        document.file,
        shared.project,
        roof,
        tuple(conditions),
        catalog,
        rules,
        distances,
        runs,
        alternates,
        revisions,
        office,
    )


def _sloped(roof: Roof, rules: RuleSet) -> Roof:
    """Return the roof with the slope that the rule set asks, where the file gives none."""
    if "slope" in roof.model_fields_set:
        return roof
    asked = min(rules.value("slope_least"), STEEPEST)
    sloped = roof.model_copy(update={"slope": Slope(asked)})
    sloped.model_fields_set.discard("slope")  # the file has not set it
    return sloped


class _Shared(NamedTuple):
    project: Project | None
    roof: Roof | None
    rules: object
    """The rule sets as the file names them, whether the rest of the table fits or not."""


def _shared(document: Document, complaints: Complaints) -> _Shared:
    """Return what all conditions share, each None after noting what is wrong with it."""
    values = document.values
    return _Shared(
        validated(
            Project, values.get("project", {}), ("project",), complaints, elsewhere=_homes
        ),
        validated(Roof, values.get("roof", {}), ("roof",), complaints, elsewhere=_homes),
        _set_ids(document),
    )


def _set_ids(document: Document) -> object:
    """Return the id or the ids of rule sets as the file gives them, or the default one."""
    table = document.values.get("project")
    values = cast("dict[str, object]", table) if isinstance(table, dict) else {}
    return values.get("rules", DEFAULT_RULES)


def condition_of(kind: str) -> Condition:
    """Return a kind of condition by its name.

    Raises:
        UserError: There is no such kind.
    """
    if kind not in CONDITIONS:
        problem = Problem(
            "there is no such kind of condition",
            key="kind",
            value=printable(kind),
            allowed=", ".join(CONDITIONS),
            mend=suggestion(kind, CONDITIONS),
        )
        raise UserError([problem])
    return CONDITIONS[kind]


@cache
def _homes() -> Mapping[str, str]:
    """Return where each key belongs, for a key that was written in another table."""
    homes = dict.fromkeys(Roof.model_fields, "[roof]")
    homes |= dict.fromkeys(Project.model_fields, "[project]")
    for condition in CONDITIONS.values():
        for key in condition.parameters.model_fields:
            homes.setdefault(key, "a [[condition]]")
    homes.setdefault(KEY, "a [[condition]], as [[condition.accept]]")
    return homes


def _check_tables(document: Document, complaints: Complaints) -> None:
    """Note top-level keys that are none of the tables."""
    for key in document.values:
        if key not in TABLES:
            homes = _homes()
            close = suggestion(key, TABLES)
            home = f"It belongs in {homes[key]}." if key in homes else ""
            complaints.add(
                (key,),
                f"there is no table or key {printable(key, 40)} here",
                allowed=", ".join(TABLES),
                mend=home or close or "Take it out.",
            )


def _tables(
    name: str, document: Document, complaints: Complaints
) -> list[tuple[Path, dict[str, Any]]]:
    """Return the tables of a `[[name]]` list, each with its path."""
    listed = document.values.get(name, [])
    if isinstance(listed, list):
        tables: list[tuple[Path, dict[str, Any]]] = []
        for number, table in enumerate(cast("list[object]", listed)):
            if isinstance(table, dict):
                tables.append(((name, number), cast("dict[str, Any]", table)))
            else:
                mend = f"Write [[{name}]] on a line of its own and the keys below it."
                complaints.add((name, number), f"a {name} is a table", mend=mend)
        return tables
    complaints.add(
        (name,),
        f"there may be several of {name}, so it is a list of tables",
        allowed=f"[[{name}]]",
        mend=f"Write [[{name}]], with two brackets, on a line of its own; its keys below.",
    )
    return []


def _listed(
    model: type[_ModelT], name: str, document: Document, complaints: Complaints
) -> dict[int, _ModelT]:
    """Return the valid tables of a `[[name]]` list by their number."""
    found = {
        int(path[1]): validated(model, table, path, complaints)
        for path, table in _tables(name, document, complaints)
    }
    return {number: item for number, item in found.items() if item is not None}


def _others(
    name: str, listed: Mapping[int, Model], document: Document, complaints: Complaints
) -> dict[int, dict[str, Any]]:
    """Return the tables of a `[[name]]` list that are not valid, by their number."""
    tables = {int(path[1]): table for path, table in _tables(name, document, complaints)}
    return {number: table for number, table in tables.items() if number not in listed}


def _named(document: Document) -> list[str]:
    """Return the ids that conditions of the file have, valid or not."""
    listed = document.values.get("condition", [])
    tables = cast("list[object]", listed) if isinstance(listed, list) else []
    ids = (cast("dict[str, object]", t).get("id") for t in tables if isinstance(t, dict))
    return [named for named in ids if isinstance(named, str)]


def _conditions(
    document: Document, site: Site | None, catalog: Catalog, complaints: Complaints
) -> list[PlacedCondition]:
    """Return the conditions, after noting all that is wrong with each and among them."""
    tables = _tables("condition", document, complaints)
    if not tables and not complaints.about(("condition",)):
        complaints.add(
            ("condition",),
            "the file has no condition, so there is nothing to draw",
            allowed=f"kind = {', '.join(CONDITIONS)}",
            mend="Add a [[condition]] with an id and a kind.",
        )
    if len(tables) > MOST_CONDITIONS:
        complaints.add(
            ("condition", MOST_CONDITIONS),
            f"the job has {len(tables)} conditions",
            allowed=f"at most {MOST_CONDITIONS}",
            mend="Split it into several files.",
        )
        return []
    placed: list[PlacedCondition] = []
    for path, table in tables:
        if found := _condition(table, path, complaints):
            placed.append(found)
            check_materials(found.parameters, path, catalog, complaints)
            if site:
                check_defaults(found.parameters, path, site.rules, complaints)
                if not complaints.about(path):
                    _check_possible(found, path, site, complaints)
    check_ids(tables, complaints)
    return placed


def _condition(
    table: dict[str, Any], path: Path, complaints: Complaints
) -> PlacedCondition | None:
    """Return one condition, or None after noting what is wrong with it."""
    kind = table.get("kind")
    condition = CONDITIONS.get(kind) if isinstance(kind, str) else None
    rest = {key: value for key, value in table.items() if key not in {"kind", KEY}}
    if condition is None:
        complaints.add(
            (*path, "kind"),
            "there is no such kind" if "kind" in table else "the kind is missing",
            allowed=", ".join(CONDITIONS),
            mend=suggestion(str(kind), CONDITIONS) if "kind" in table else "Add the kind.",
        )
        common = {key: value for key, value in rest.items() if key in Placed.model_fields}
        validated(Placed, common, path, complaints)
        return None
    parameters = validated(condition.parameters, rest, path, complaints, elsewhere=_homes)
    accepted = acceptances(table, path, condition, complaints)
    if parameters is None:
        return None
    return PlacedCondition(condition, parameters, complaints.line(path), accepted)


def _check_possible(
    placed: PlacedCondition, path: Path, site: Site, complaints: Complaints
) -> None:
    """Note parameters that cannot stand together."""
    for impossible in placed.condition.impossible(placed.parameters, site):
        given = placed.parameters.model_fields_set
        key = next((k for k in impossible.keys if k in given), impossible.keys[0])
        shared = (
            key not in type(placed.parameters).model_fields and key in Roof.model_fields
        )
        complaints.add(
            ("roof", key) if shared else (*path, *(impossible.at or (key,))),
            impossible.message,
            allowed=impossible.allowed,
            mend=impossible.mend,
        )
