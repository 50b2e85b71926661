"""Parameter files: spoilt ones, and such as have values from the ends of all ranges."""

from functools import cache
from random import Random
from typing import Any

from detailgen.catalog import load_catalog
from detailgen.checks import REGISTRY
from detailgen.conditions import CONDITIONS
from detailgen.finding import Unit
from detailgen.loader import Told, told
from detailgen.parameters import Project, Roof
from tests.hard import spoiling
from tests.hard.given import ROOT
from tests.hard.tomls import toml
from tests.hard.values import SLOPES, TEXTS, fitting


@cache
def samples() -> dict[str, bytes]:
    """Return the sample jobs that are checked in less than a second, and a full one."""
    found = {p.name: p.read_bytes() for p in sorted((ROOT / "samples").glob("*.toml"))}
    del found["glassworks.toml"]
    return found | {"full": FULL, "small": SMALL}


@cache
def _ids() -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Return the ids of materials, of rule sets and of rows."""
    catalog = load_catalog()
    rows = catalog.rule_sets["common-practice"].rows
    return tuple(catalog.materials), tuple(catalog.rule_sets), tuple(rows)


@cache
def _of_family(family: str) -> tuple[str, ...]:
    return tuple(m.id for m in load_catalog().of_family(family))


_VALUES: dict[Unit, tuple[Any, ...]] = {
    Unit.LENGTH: ("0 in", "0.1 mm", "8 in", "1 m", "10 m"),
    Unit.SLOPE: ("0 %", "2 %", "1:1"),
    Unit.ANGLE: ("0 deg", "45 deg", "90 deg"),
    Unit.AREA: ("0 mm2", "1000000 mm2"),
    Unit.COUNT: (0, 1, 3, 100),
}


def job_text(by: Random) -> bytes:
    """Return a parameter file: spoilt, or with values at the ends of what is allowed."""
    if by.random() < 0.6:
        values = extreme(by, by.choice([0.0, 0.0, 0.0, 0.05, 0.3]))
        text = toml(values).encode(errors="surrogatepass")
        return spoiling.spoilt_tables(text, by, 1) if by.random() < 0.1 else text
    return by.choice(spoiling.SPOILING)(by.choice(list(samples().values())), by)


def extreme(by: Random, wild: float) -> dict[str, Any]:
    """Return a job whose keys have values from the ends of their ranges.

    Args:
        by: Chooses.
        wild: How often a value is what its key cannot be.
    """
    make = _Maker(by, wild)
    project = {"name": "Trial", **make.keys(Project, 0.1)}
    project.pop("office", None)
    tables: dict[str, Any] = {"project": project}
    if by.random() < 0.6:
        tables["roof"] = make.keys(Roof, 0.3)
    make.marks = [f"D{n}" for n in range(by.choice([1, 1, 2, 3]))]
    tables["condition"] = [make.condition(mark) for mark in make.marks]
    makers = {
        "rule": make.rule,
        "material": make.material,
        "distance": make.distance,
        "run": make.run,
        "alternate": make.alternate,
        "revision": make.revision,
    }
    for name, made in makers.items():
        if by.random() < 0.15 and (name != "distance" or len(make.marks) > 1):
            tables[name] = [made() for _ in range(1 + (by.random() < max(wild, 0.1)))]
    return tables


class _Maker:
    """Makes the tables of a job."""

    def __init__(self, by: Random, wild: float) -> None:
        self.by, self.wild = by, wild
        self.marks: list[str] = []

    def keys(self, model: Any, share: float) -> dict[str, Any]:
        """Return some keys of a model with values."""
        fields = [f for f in told(model) if f.required or self.by.random() < share]
        return {f.key: self.value(f) for f in fields}

    def value(self, one: Told) -> Any:
        """Return a value for a key."""
        by = self.by
        if one.family:
            fit = _of_family(one.family)
            return by.choice(_ids()[0] if by.random() < self.wild else fit)
        if one.key == "length":  # of ten kilometres nobody asks the sheets of the pieces
            return by.choice(["0.1 mm", "1 mm", "3 m", "30 m", "100 m", "300 m"])
        if one.key == "rules":
            return by.choice([*_ids()[1], list(by.sample(_ids()[1], 2))])
        return fitting(one, by, self.wild)

    def text(self, plain: str) -> str:
        """Return a text, seldom one that no sheet can print."""
        return self.by.choice(TEXTS) if self.by.random() < self.wild else plain

    def condition(self, mark: str) -> dict[str, Any]:
        by = self.by
        kind = by.choice([k for k in CONDITIONS if not CONDITIONS[k].example])
        keys = self.keys(CONDITIONS[kind].parameters, by.choice([0.05, 0.1, 0.3]))
        made = {**keys, "id": mark, "kind": kind}
        if by.random() < 0.1:
            own = {kind, *CONDITIONS[kind].families}
            rules = [r.id for r in REGISTRY.values() if not own.isdisjoint(r.kinds)]
            rule = by.choice(rules or list(REGISTRY))
            made["accept"] = [
                {"rule": rule, "reason": "As it is", "by": self.text("P. O.")}
            ]
        return made

    def rule(self) -> dict[str, Any]:
        by = self.by
        row = load_catalog().rule_sets["common-practice"].rows[by.choice(_ids()[2])]
        fit = _VALUES[row.unit] if by.random() >= self.wild else (*TEXTS, *SLOPES, 1e9, 1)
        reason = self.text("Asked by the owner")
        return {"rule": row.id, "value": by.choice(fit), "reason": reason}

    def material(self) -> dict[str, Any]:
        by = self.by
        thick = by.choice(["0.1 mm", "3 mm", "10 mm", "1 in", "100 m", "0 mm"])
        row = {"material": by.choice(_ids()[0]), "reason": self.text("Sheet on hand")}
        return row | by.choice([{"thickness": thick}, {"name": self.text("Own")}])

    def distance(self) -> dict[str, Any]:
        by = self.by
        clear = by.choice(["0 in", "0.1 mm", "12 in", "100 m", self.text("8 in")])
        of, to = by.sample(self.marks, 2)
        return {"of": of, "to": to, "clear": clear}

    def run(self) -> dict[str, Any]:
        by = self.by
        end = by.choice(["stop", "inside corner", "outside corner", self.text("stop")])
        return {"of": by.choice(self.marks), "low": self.text("0.1 mm"), "left": end}

    def alternate(self) -> dict[str, Any]:
        by = self.by
        row: dict[str, Any] = {"name": self.text("Cold"), "rules": by.choice(_ids()[1])}
        ways = by.randrange(8)
        if ways & 1:
            row["roof"] = {"slope": "2 %", **self.keys(Roof, 0.1)}
        if ways & 2:
            kind = by.choice(list(CONDITIONS))
            keys = self.keys(CONDITIONS[kind].parameters, 0.1)
            row["kind"] = {
                kind: {k: v for k, v in keys.items() if k != "id"} or {"count": 2}
            }
        if ways & 4:
            row["condition"] = {by.choice(self.marks): {"count": 3, "length": "100 m"}}
        if by.random() < 0.2:
            row["without"] = self.marks[:1]
        return row

    def revision(self) -> dict[str, Any]:
        by = self.by
        row = {"mark": self.text("A"), "text": self.text("Edge flush")}
        more = [{}, {"details": self.marks[:1]}, {"date": "2026-12-02", "by": "P. O."}]
        return row | by.choice(more)


SMALL = b"""[project]
name = "Trial"
[[condition]]
id = "W1"
kind = "wall"
length = "9 ft"
"""
FULL = b"""[project]
name = "Records Hall"
number = "A-7"
units = "millimetres"
sheet = "ISO A3"
rules = ["common-practice", "navy-guides"]
[roof]
deck = "wood"
insulation = ["40 mm", "40 mm"]
cover_board = "12 mm"
slope = "1:48"
adhesion = "cold adhesive"
[[rule]]
rule = "flashing_height_least"
value = "6 in"
reason = "Sill height, agreed"
[[material]]
material = "base-ply-glass-smooth"
thickness = "3.0 mm"
reason = "Sheet on hand"
[[condition]]
id = "W1"
kind = "wall"
title = "Parapet, north"
length = "12 m"
[[condition.accept]]
rule = "flashing_height"
reason = "Cannot be changed on this building"
by = "the owner"
[[condition]]
id = "K1"
kind = "outside-corner"
count = 2
[[condition]]
id = "S1"
kind = "stack"
count = 4
[[distance]]
of = "S1"
to = "W1"
clear = "900 mm"
[[run]]
of = "W1"
low = "4 m"
left = "inside corner"
right = "outside corner"
[[alternate]]
name = "Torch"
roof.adhesion = "torch"
kind.stack.count = 5
condition.W1.flashing_height = "250 mm"
without = ["K1"]
[[revision]]
mark = "B"
date = "2026-12-02"
by = "P. O."
text = "Wall raised"
details = ["W1"]
"""
