"""The courses of a condition: each sheet and each metal that is laid in pieces along it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import fsum
from typing import Final

from detailgen.catalog import Catalog, RuleSet
from detailgen.movement import PIECE
from detailgen.pieces._row import Asked, Seam
from detailgen.pieces._run import PieceRow, along
from detailgen.profile import Profile
from detailgen.quantity import Measure, Per, Quantity
from detailgen.section import METALS, LayeredSection, Role

_MARKS: Final = {
    Role.STRIP_IN: "S",
    Role.FLASHING: "F",
    Role.UPPER_FLASHING: "U",
    Role.EDGE_METAL: "E",
    Role.COUNTERFLASHING: "C",
    Role.COPING: "P",
    Role.CLEAT: "K",
    Role.JOINT_COVER: "J",
    Role.TERMINATION_BAR: "T",
    Role.BARRIER: "B",
}
"""With what letter the pieces of a role are numbered."""
_OTHER: Final = "X"


class Way(StrEnum):
    """How the pieces of a course lie in what is bought."""

    HUNG = "across the roll, hung upright"
    STRIP = "strips along the roll"
    METAL = "stock lengths"


@dataclass(frozen=True, slots=True)
class Course:
    """One sheet or metal that is laid in pieces along a run."""

    id: str
    """Id of its quantity, and of its first body."""
    name: str
    mark: str
    """What its pieces are numbered with: `F`."""
    material: str
    way: Way
    widths: tuple[float, ...]
    """Developed width at right angles to the run, mm; one for each side it stands on."""
    stock: float
    """Longest a piece may be along the run, mm."""
    lap: float
    """How far pieces lap, mm; less than nothing for a gap."""
    plate: float
    """Length of the plate behind each joint, mm; 0 for none."""
    limits: tuple[str, str]
    """Ids of the catalogue's limits of its pieces' size and of corners."""
    per_metre: float
    """Area that the takeoff counts for a metre with its laps, without its ends, m2."""
    per_end: float
    """Area that the takeoff adds at each end, m2."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A course with its pieces."""

    course: Course
    placed: PieceRow
    limits: tuple[str, ...]
    """Ids of the catalogue's limits that were asked."""

    @property
    def sides(self) -> int:
        """On how many sides the course stands, each with these pieces."""
        return len(self.course.widths)

    @property
    def area(self) -> float:
        """Area of all its pieces, m2."""
        return fsum(b - a for a, b in self.placed.pieces) * fsum(self.course.widths) / 1e6

    def counted(self, run: float) -> float:
        """Return what the takeoff counts before offcuts and waste, m2."""
        return self.course.per_metre * run / 1000.0 + 2.0 * self.course.per_end

    def numbered(self) -> tuple[tuple[str, float, float], ...]:
        """Return number, left and right end of each piece, in the order of laying."""
        mark, row = self.course.mark, enumerate(self.placed.pieces, 1)
        return tuple((f"{mark}{n}", a, b) for n, (a, b) in row)


@dataclass(frozen=True, slots=True)
class Line:
    """Where a run lies: its length, its low point and what is at its ends."""

    run: float
    low: float = 0.0
    left: str = ""
    """In words what corner is at its left end; empty for none."""
    right: str = ""


def courses(
    section: LayeredSection,
    quantities: Iterable[Quantity],
    profiles: Sequence[Profile],
    catalog: Catalog,
    rules: RuleSet,
) -> tuple[Course, ...]:
    """Return what of a section is laid in pieces, in the order of building.

    The base and the finish ply are laid with the field of the roof and are not among them.
    """
    found: list[tuple[int, Course]] = []
    marks: dict[str, int] = {}
    for quantity in quantities:
        body = section.body(quantity.bodies[0]) if quantity.bodies else None
        if body is None or quantity.per is not Per.METRE or not quantity.cut.bought:
            continue
        if quantity.measure is not Measure.AREA or not quantity.supplied:
            continue
        course = _course(quantity, body.role, profiles, catalog, rules)
        if course is None or course.widths[0] <= 0.0:  # nothing of it is left to lay
            continue
        letter = _MARKS.get(body.role, _OTHER)
        marks[letter] = marks.get(letter, 0) + 1
        mark = letter if marks[letter] == 1 else f"{letter}{'abcdefgh'[marks[letter] - 2]}"
        found.append((body.stage, replace(course, mark=mark)))
    return tuple(course for _, course in sorted(found, key=lambda one: one[0]))


def _course(
    quantity: Quantity,
    role: Role,
    profiles: Sequence[Profile],
    catalog: Catalog,
    rules: RuleSet,
) -> Course | None:
    cut, pack = quantity.cut, catalog.pack(quantity.material)
    area = quantity.amount
    common = (quantity.id, quantity.label, "", quantity.material)
    if role in METALS and cut.along:
        made = next((p for p in profiles if p.id in quantity.bodies), None)
        gap = rules.value("joint_gap_least") if cut.plate else 0.0
        if made and cut.plate:
            gap = max(gap, made.gap_drawn or 0.0, made.gap_needed)
        stock = made.piece if made else pack.length or PIECE
        limits = ("shortest_metal", "joint_off_corner")
        lap = cut.overlap or -gap
        ways = (Way.METAL, cut.along, stock, lap, cut.plate, limits)
        # the bill counts joints of metal apart; here laps are in the pieces
        return Course(*common, *ways, area, 0.0)
    if cut.across and cut.piece:
        limits = ("narrowest_piece", "seam_off_corner")
        ways = (Way.HUNG, cut.across, cut.piece, cut.overlap, 0.0, limits)
        return Course(*common, *ways, area * cut.laps, cut.end)
    if role in METALS or not cut.along or not pack.length or not cut.overlap:
        return None
    limits = ("narrowest_piece", "seam_off_corner")
    ways = (Way.STRIP, cut.along, pack.length, cut.overlap, 0.0, limits)
    return Course(*common, *ways, area * cut.laps, cut.end)


def laid(found: Iterable[Course], line: Line, catalog: Catalog) -> tuple[Laid, ...]:
    """Return the courses of a run with their pieces, from the first that is laid.

    Sheets keep clear of the seams of the sheet below; metals have no such neighbour, and
    start at the left end: their joints shed water over plates and laps either way.
    """
    done: list[Laid] = []
    below: Laid | None = None
    for course in found:
        metal = course.way is Way.METAL
        limits: tuple[str, ...] = course.limits
        if below and not metal:
            strips = course.way is below.course.way is Way.STRIP
            limits = (*limits, "end_lap_offset" if strips else "side_lap_offset")
        seams = below.placed.seams if below else ()
        asked = _asked(course, line, [catalog.limits[n].value for n in limits], seams)
        one = Laid(course, along(asked, 0.0 if metal else line.low), limits)
        done.append(one)
        below = below if metal else one
    return tuple(done)


def _asked(
    course: Course, line: Line, values: Sequence[float], seams: Sequence[float]
) -> Asked:
    narrow, corner, *offset = values
    return Asked(
        run=line.run,
        stock=course.stock,
        lap=course.lap,
        least=min(narrow, course.stock),
        low_corner=corner if line.left else 0.0,
        high_corner=corner if line.right else 0.0,
        below=tuple(Seam(at, clear) for clear in offset for at in seams),
    )
