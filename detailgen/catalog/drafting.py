"""Drafting data: papers, scales, layers, hatch patterns, and the texts that sheets print.

Plain values read from `catalog/drafting/`; all sizes are millimetres on paper. The sheet
step turns them into what the scene holds.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum
from pathlib import Path
from types import MappingProxyType
from typing import Final

from detailgen.catalog._tables import (
    Row,
    T,
    Table,
    colour_of,
    read_rows,
    source_of,
    unknown,
)
from detailgen.catalog.teaching import Reason, read_asks, read_reason
from detailgen.errors import Problem, UserError
from detailgen.units import UnitSystem

PENS: Final = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0)
"""Line widths of the ISO series that a DXF file can name, mm."""
CIRCUMSTANCES: Final = (
    "always",
    "torch",
    "hot asphalt",
    "cold adhesive",
    "wall",
    "roof-edge",
    "reglet",
    "cement",
    "metal",
    "wood deck",
    "steel deck",
)
"""When a caution or a note is printed: a method, a kind of condition, or a part in it."""


@dataclass(frozen=True, slots=True)
class LayerData:
    """One drawing layer."""

    role: str
    name: str
    """Name after the National CAD Standard; minor groups such as FLSH are our own."""
    pen: float
    colour: tuple[int, int, int]
    dash: tuple[float, ...] = ()
    plots: bool = True
    about: str = ""


@dataclass(frozen=True, slots=True)
class FamilyData:
    """One family of parallel lines of a hatch pattern, mm on paper."""

    angle: float
    spacing: float
    shift: float = 0.0
    origin: tuple[float, float] = (0.0, 0.0)
    dashes: tuple[float, ...] = ()
    """Dash lengths (positive) and gaps (negative); 0 is a dot; empty for a full line."""


@dataclass(frozen=True, slots=True)
class PatternData:
    """One hatch pattern."""

    name: str
    families: tuple[FamilyData, ...]
    about: str = ""


@dataclass(frozen=True, slots=True)
class PaperData:
    """One size of sheet, laid on its long side."""

    name: str
    width: float
    height: float
    margin: float


@dataclass(frozen=True, slots=True)
class ClassPaperData:
    """One size of paper for a class, upright."""

    name: str
    width: float
    height: float
    margin: float
    system: UnitSystem
    """Of the jobs that take it when nothing else is asked."""


@dataclass(frozen=True, slots=True)
class Scale:
    """One scale of a standard series."""

    factor: float
    """True size over size on paper: 4 for 1:4."""
    label: str
    system: UnitSystem


@dataclass(frozen=True, slots=True)
class Printed:
    """A caution or a general note."""

    id: str
    title: str
    text: str
    applies: tuple[str, ...]
    """Circumstances in which it is printed; one of them is enough."""
    source: str


@dataclass(frozen=True, slots=True)
class Drafting:
    """All drafting data."""

    layers: tuple[LayerData, ...]
    patterns: Mapping[str, PatternData]
    papers: Mapping[str, PaperData]
    class_papers: Mapping[str, ClassPaperData]
    """Upright paper for handouts and exercises."""
    scales: tuple[Scale, ...]
    keynotes: Mapping[str, str]
    """What a keynote says of a part, by its role or id."""
    cautions: tuple[Printed, ...]
    notes: tuple[Printed, ...]
    signs: tuple[Printed, ...]
    """How to tell right from wrong, by the way of sticking."""
    looks: Mapping[str, str]
    """What to look at when a part has been laid, by its role."""
    reasons: tuple[Reason, ...]
    """What parts are called in plain language, and why they are there."""
    asks: Mapping[str, tuple[str, ...]]
    """Which rules ask what a dimension shows, by its id."""
    exclusions: tuple[Printed, ...] = ()
    """What a package leaves out."""
    premises: tuple[Printed, ...] = ()
    """What a takeoff rests on."""

    def layer(self, role: str) -> LayerData:
        """Return the layer of a role.

        Raises:
            UserError: The drafting data has no such layer.
        """
        for layer in self.layers:
            if layer.role == role:
                return layer
        roles = [layer.role for layer in self.layers]
        raise UserError([unknown("layer", role, roles, "drafting data")])

    def pattern(self, name: str) -> PatternData:
        """Return a hatch pattern; UserError when there is none of that name."""
        return self.patterns[name]

    def paper(self, name: str) -> PaperData:
        """Return a size of sheet; UserError when there is none of that name."""
        return self.papers[name]

    def class_paper(self, name: str, system: UnitSystem) -> ClassPaperData:
        """Return a paper for a class; without a name that of a unit system.

        Raises:
            UserError: There is no paper of that name.
        """
        if name:
            return self.class_papers[name]
        return next(p for p in self.class_papers.values() if p.system is system)

    def scales_of(self, system: UnitSystem) -> tuple[Scale, ...]:
        """Return the series of scales of a unit system, the largest scale first."""
        series = [s for s in self.scales if s.system == system]
        return tuple(sorted(series, key=lambda s: s.factor))

    def cautions_for(self, circumstances: frozenset[str]) -> tuple[Printed, ...]:
        """Return the cautions of the circumstances, and those that are always printed."""
        return _for(self.cautions, circumstances)

    def notes_for(self, circumstances: frozenset[str]) -> tuple[Printed, ...]:
        """Return the notes of the circumstances, and those that are always printed."""
        return _for(self.notes, circumstances)

    def exclusions_for(self, circumstances: frozenset[str]) -> tuple[Printed, ...]:
        """Return what a package leaves out in the circumstances."""
        return _for(self.exclusions, circumstances)

    def premises_for(self, circumstances: frozenset[str]) -> tuple[Printed, ...]:
        """Return what a takeoff rests on in the circumstances."""
        return _for(self.premises, circumstances)

    def signs_of(self, way: str) -> tuple[Printed, ...]:
        """Return how to tell right from wrong of one way of sticking."""
        return tuple(row for row in self.signs if way in row.applies)


def _for(rows: tuple[Printed, ...], circumstances: frozenset[str]) -> tuple[Printed, ...]:
    wanted = circumstances | {"always"}
    return tuple(row for row in rows if wanted & set(row.applies))


def read_drafting(folder: Path, problems: list[Problem]) -> Drafting:
    """Return the drafting data of a folder; mistakes are added to `problems`."""

    def rows(stem: str) -> list[Row]:
        return read_rows(folder / f"{stem}.toml", problems)

    return Drafting(
        layers=_unique_layers(rows("layers")),
        patterns=_table("hatch pattern", {r.id: _pattern(r) for r in rows("patterns")}),
        papers=_table("sheet size", {r.id: _paper(r) for r in rows("papers")}),
        class_papers=_class_papers(rows("class-papers")),
        scales=tuple(s for r in rows("scales") for s in _scales(r)),
        keynotes=_table("keynote", {r.id: _keynote(r) for r in rows("keynotes")}),
        cautions=tuple(_printed(r) for r in rows("cautions")),
        notes=tuple(_printed(r) for r in rows("notes")),
        signs=tuple(_printed(r) for r in rows("signs")),
        looks=_table("look", {r.id: _keynote(r) for r in rows("looks")}),
        reasons=tuple(read_reason(r) for r in rows("reasons")),
        asks=_table("dimension", {r.id: read_asks(r) for r in rows("asks")}),
        exclusions=tuple(_printed(r) for r in rows("exclusions")),
        premises=tuple(_printed(r) for r in rows("premises")),
    )


def _table(what: str, rows: Mapping[str, T]) -> Mapping[str, T]:
    return MappingProxyType(Table(what, "drafting data", rows))


def _unique_layers(rows: list[Row]) -> tuple[LayerData, ...]:
    layers = tuple(_layer(row) for row in rows)
    names = [layer.name for layer in layers]
    for row, name in zip(rows, names, strict=True):
        if names.count(name) > 1:
            row.complain("name", "two layers have the same name")
    return layers


def _layer(row: Row) -> LayerData:
    pen = row.number("pen", least=PENS[0], most=PENS[-1])
    if pen not in PENS:
        row.complain("pen", "pen is not of the series", allowed=", ".join(map(str, PENS)))
    dash = row.numbers("dash")
    if len(dash) % 2 or any(part <= 0 for part in dash):
        row.complain("dash", "dash must be pairs of dash and gap lengths above 0")
    layer = LayerData(
        role=row.id,
        name=row.text("name"),
        pen=pen,
        colour=colour_of(row, "colour"),
        dash=dash,
        plots=not row.flag("hidden"),
        about=row.text("about"),
    )
    row.done()
    return layer


def _pattern(row: Row) -> PatternData:
    lines = row.tables("lines")
    if not lines and "lines" not in row.data:
        row.complain("", "a pattern needs its lines")
    pattern = PatternData(row.id, tuple(_family(r) for r in lines), row.text("about"))
    row.done()
    return pattern


def _family(row: Row) -> FamilyData:
    x, y = row.numbers("origin", count=2) or (0.0, 0.0)
    family = FamilyData(
        angle=row.number("angle", least=0, most=180),
        spacing=row.number("spacing", least=0.4, most=50),
        shift=row.number("shift", least=-50, most=50) if "shift" in row.data else 0.0,
        origin=(x, y),
        dashes=row.numbers("dashes"),
    )
    if family.dashes and fsum(abs(part) for part in family.dashes) < 0.1:
        row.complain("dashes", "dashes must have some length together")
    row.asked.add("shift")
    row.done()
    return family


def _paper(row: Row) -> PaperData:
    paper = PaperData(
        row.id, row.length("width"), row.length("height"), row.length("margin")
    )
    if not 2 * paper.margin < paper.height <= paper.width:
        row.complain("", "a sheet is at least as wide as high, and larger than its margins")
    row.done()
    return paper


def _class_papers(rows: list[Row]) -> Mapping[str, ClassPaperData]:
    made = {row.id: paper for row in rows for paper in _class_paper(row)}
    for system in UnitSystem if rows else ():
        if not any(paper.system is system for paper in made.values()):
            rows[0].complain("units", f"no paper is for jobs in {system}")
    return _table("class paper", made)


def _class_paper(row: Row) -> list[ClassPaperData]:
    width, height = row.length("width"), row.length("height")
    margin = row.length("margin")
    system = row.one_of("units", [str(s) for s in UnitSystem])
    if not 2 * margin < width <= height:
        row.complain(
            "", "a class paper is at least as high as wide, and beyond its margins"
        )
    row.done()
    if system not in set(UnitSystem):
        return []
    return [ClassPaperData(row.id, width, height, margin, UnitSystem(system))]


def _scales(row: Row) -> list[Scale]:
    system = row.one_of("units", [str(s) for s in UnitSystem])
    factor = row.number("factor", least=1, most=1000)
    label = row.text("label")
    row.done()
    return [Scale(factor, label, UnitSystem(system))] if system in set(UnitSystem) else []


def _keynote(row: Row) -> str:
    text = row.text("text")
    row.done()
    return text


def _printed(row: Row) -> Printed:
    printed = Printed(
        id=row.id,
        title=row.text("title"),
        text=row.text("text"),
        applies=row.texts("applies", CIRCUMSTANCES),
        source=source_of(row)[0],
    )
    if not printed.applies:
        row.complain("applies", "it is never printed", allowed=", ".join(CIRCUMSTANCES))
    row.done()
    return printed
