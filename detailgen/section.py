"""The layered section: bodies, joints, coats, named points, stages and layouts.

This is the noun that everything reads. Conditions build it; checks, takeoff and sheets
measure it and never look at the parameters again. All coordinates are true millimetres,
x to the right and y upward, y = 0 on the surface that the membrane lies on at the foot of
the wall or at the roof edge. The roof field lies to the left (negative x).
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from detailgen.flat import FlatPiece
from detailgen.folding import Face
from detailgen.geometry import Line, Point, Region
from detailgen.geometry.joints import clip_joint
from detailgen.roles import ADHERED, METALS, RIGHT, SHEETS, TOOLS, WOOD, Bond, Method, Role

__all__ = [
    "ADHERED",
    "METALS",
    "RIGHT",
    "SHEETS",
    "TOOLS",
    "TRUE_SIZE",
    "WOOD",
    "Axis",
    "Body",
    "Bond",
    "Carried",
    "Coat",
    "Gauge",
    "Joint",
    "LayeredSection",
    "Layout",
    "Mark",
    "Method",
    "Moving",
    "Neighbour",
    "Part",
    "Role",
    "Stage",
    "Stand",
    "Thickening",
    "Zone",
]


@dataclass(frozen=True, slots=True)
class Body:
    """One solid of the section."""

    id: str
    """Stable within a kind of condition: `base-ply`, `nailer-2`."""
    role: Role
    material: str
    """Id of a row in the catalogue's materials."""
    region: Region
    stage: int
    """Number of the stage in which it is built."""
    name: str
    """What a callout calls it."""
    thickness: float = 0.0
    """True thickness of a sheet, bed or metal, mm; 0 for blocks."""
    course: Line | None = None
    """The line along which a sheet or metal is laid: its length is the developed width."""
    pierces: tuple[str, ...] = ()
    """Ids of the bodies that a fastener goes through, in the order of building."""
    sticks: str = ""
    """Note on how it is fixed, printed with the callout."""
    by_others: bool = False
    """It comes with what others set, as the flange of a unit does, and is not bought."""
    until: int = 0
    """Number of the stage that takes it out again; 0 for what stays."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Where a body (`upper`) lies on an earlier one (`lower`), and how it is stuck."""

    upper: str
    lower: str
    line: Line
    bond: Bond


@dataclass(frozen=True, slots=True)
class Coat:
    """Primer (or another film without thickness) on part of a body's surface."""

    id: str
    name: str
    body: str
    """Id of the body it is brushed on."""
    line: Line
    stage: int


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of building."""

    number: int
    name: str
    text: str
    """What to do, in the imperative."""
    hold: bool = False
    """Work stops here until what is built has been looked at."""


@dataclass(frozen=True, slots=True)
class Thickening:
    """How many times thicker than true a view draws thin things; 1 is true size."""

    sheet: float = 1.0
    metal: float = 1.0
    bed: float = 1.0


TRUE_SIZE = Thickening()


class Axis(StrEnum):
    """Along what a measure is taken."""

    HORIZONTAL = "horizontal"
    VERTICAL = "vertical"
    ALONG = "aligned"


@dataclass(frozen=True, slots=True)
class Gauge:
    """A distance worth a dimension on the sheet, between two named points."""

    id: str
    start: str
    end: str
    axis: Axis
    suffix: str = ""
    """`MIN.`, `MAX.` or nothing."""
    label: str = ""
    """Word before the number, where the number alone would not tell."""
    rank: int = 1
    """1 nearest the view; larger numbers lie further out."""
    view: str = "section"


@dataclass(frozen=True, slots=True)
class Part:
    """A piece seen in a layout (a plan or an elevation)."""

    id: str
    role: Role
    name: str
    region: Region
    level: int
    """Which lies on which: a part with a higher level lies over one with a lower."""
    hidden: bool = False
    """Covered by a later part, so drawn dashed."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One fastener seen in a layout."""

    role: Role
    at: Point
    row: int
    body: str = ""
    """Id of the section's fastener body that its row is seen as there."""


@dataclass(frozen=True, slots=True)
class Layout:
    """What a section cannot show: a flange plan, or an unrolled wall elevation.

    In a plan x runs along the edge and y from the roof to the edge; in an elevation x runs
    along the wall and y up it. `downhill` is the unit direction in which water runs there.
    """

    id: str
    title: str
    parts: tuple[Part, ...]
    marks: tuple[Mark, ...] = ()
    points: Mapping[str, Point] = field(default_factory=dict[str, Point])
    gauges: tuple[Gauge, ...] = ()
    downhill: tuple[float, float] = (0.0, -1.0)
    close: bool = False
    """Drawn as large as two columns of a sheet allow, whatever scale others take."""

    def of_role(self, *roles: Role) -> tuple[Part, ...]:
        """Return the parts that have one of the roles, in drawing order."""
        return tuple(p for p in self.parts if p.role in roles)

    def without(self, roles: Collection[Role], bodies: Collection[str]) -> "Layout":
        """Return the layout without the parts of roles and the marks of bodies.

        A backing plate, which only a plan shows, goes with the metal that it backs.
        """
        gone = {*roles, *((Role.BACKING_PLATE,) if Role.EDGE_METAL in roles else ())}
        parts = tuple(p for p in self.parts if p.role not in gone)
        marks = tuple(m for m in self.marks if m.body not in bodies)
        return replace(self, parts=parts, marks=marks)


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of the section for which the water path is told by itself."""

    name: str
    region: Region
    low: bool
    """On roof, cant or flange, where the rule sets ask more than higher up."""


@dataclass(frozen=True, slots=True)
class Moving:
    """By how much two sides of a section move against one another, mm."""

    closes: float
    """From how they are built to how near they come."""
    opens: float
    """From how they are built to how far apart they come."""
    told: str
    """How the movement was found, for the reader."""
    rises: float = 0.0
    """How far one side moves up or down against the other."""


@dataclass(frozen=True, slots=True)
class Carried:
    """Equipment that a section carries, which no view shows whole."""

    width: float
    """mm."""
    table: str
    """Id of the catalogue's table that asks a clear height under it."""


@dataclass(frozen=True, slots=True)
class Serves:
    """The drain that an opening stands for, which no view shows."""

    diameter: float
    """mm."""
    row: str
    """Row of the rule set that says how large the opening must be for it."""


class Stand(StrEnum):
    """What a condition is to its neighbours on the roof."""

    PIPE = "pipe"
    DRAIN = "drain"
    CURB = "curb"
    WALL = "wall"
    EDGE = "roof edge"


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Another condition of the job, and how near it stands."""

    mark: str
    stand: Stand
    hot: bool
    clear: float
    """Between the faces of the two, mm, as the job tells it."""
    reach: float
    """How far out from its face its own sheets come, mm, measured on its section."""


@dataclass(frozen=True)
class LayeredSection:
    """Everything that one condition is, at true size."""

    kind: str
    variant: str
    bodies: tuple[Body, ...]
    """In the order of building."""
    joints: tuple[Joint, ...]
    coats: tuple[Coat, ...]
    points: Mapping[str, Point]
    gauges: tuple[Gauge, ...]
    stages: tuple[Stage, ...]
    method: Method
    slope: float
    """Rise per run of the roof surface; positive falls to the left, away from x = 0."""
    extent: Region
    """The rectangle of the section that is drawn; bodies that reach its sides go on."""
    breaks: tuple[Line, ...] = ()
    """Sides where a wall or a deck goes on beyond the drawing."""
    hollows: tuple[Region, ...] = ()
    """Closed pockets that the condition means to have."""
    layouts: tuple[Layout, ...] = ()
    never_idle: frozenset[str] = frozenset()
    """Ids of the checks that may not come out as not applicable here."""
    side_of_air: str = "left"
    """`left` or `top`: where callouts can come from without crossing a body."""
    notes: tuple[str, ...] = ()
    """What the builder decided and the reader must know."""
    roof_slope: float = 0.0
    """Rise per run of the roof itself, whichever way it falls against this section."""
    sheet_factor: float = 1.0
    """How many times thicker than true the sheets are; 1 in a true section."""
    metal_factor: float = 1.0
    bed_factor: float = 1.0
    must_stay_dry: tuple[str, ...] = ()
    """Ids of the bodies that no water may reach."""
    dry_within: Mapping[str, Region] = field(default_factory=dict[str, Region])
    """Where a body of these must stay dry, if not everywhere: below its receiver, say."""
    zones: tuple[Zone, ...] = ()
    """Of zones that overlap, the first counts."""
    carried: Carried | None = None
    """Of a section through a support: what stands on it."""
    serves: Serves | None = None
    """Of a section through a scupper: the drain that it stands for."""
    families: frozenset[str] = frozenset()
    """Whose rules apply besides those of every section: `wall`, `flange`."""
    stand: Stand | None = None
    """What it is to its neighbours; None where that is not known."""
    hot: bool = False
    """Whether what stands here is too hot to touch."""
    neighbours: tuple[Neighbour, ...] = ()
    """What the job says stands near it."""
    moving: Moving | None = None
    """Of a section that is cut by a joint; None where nothing moves apart."""
    pieces: tuple[FlatPiece, ...] = ()
    """Sheets that are cut to a pattern, in the order of setting, before they are folded."""
    faces: tuple[Face, ...] = ()
    """What the pieces are folded onto; none where they stay flat."""
    by_the_piece: bool = False
    """It stands by itself, as a drain does, and is counted by its plan; else it is what it
    is all along an edge, a wall or a joint."""
    passing: tuple[Body, ...] = ()
    """What stands for some stages only: no part of what is checked, counted or finished."""

    def face(self, face_id: str) -> Face | None:
        """Return the face with this id, or None."""
        return next((f for f in self.faces if f.id == face_id), None)

    def body(self, body_id: str) -> Body | None:
        """Return the body with this id, or None when the section has none."""
        return next((b for b in self.bodies if b.id == body_id), None)

    def of_role(self, *roles: Role) -> tuple[Body, ...]:
        """Return the bodies that have one of the roles, in the order of building."""
        return tuple(b for b in self.bodies if b.role in roles)

    def layout(self, layout_id: str) -> Layout | None:
        """Return the layout with this id, or None."""
        return next((v for v in self.layouts if v.id == layout_id), None)

    def joints_of(self, body_id: str) -> tuple[Joint, ...]:
        """Return the joints in which the body takes part, as upper or as lower."""
        return tuple(j for j in self.joints if body_id in {j.upper, j.lower})

    def without(self, body_id: str) -> "LayeredSection":
        """Return the section as it would be if the body had not been built."""
        return replace(
            self,
            bodies=tuple(b for b in self.bodies if b.id != body_id),
            joints=tuple(j for j in self.joints if body_id not in {j.upper, j.lower}),
            coats=tuple(c for c in self.coats if c.body != body_id),
            pieces=tuple(p for p in self.pieces if p.sheet != body_id),
        )

    def at_stage(self, number: int) -> "LayeredSection":
        """Return the section as it stands when a stage has been built.

        Bodies, joints and coats of later stages are left out, and so are the parts and
        marks of layouts that show them. Named points stay: they say where things will be.
        """
        bodies = tuple(b for b in self.bodies if b.stage <= number)
        ids = {b.id for b in bodies}
        later = {b.role for b in self.bodies} - {b.role for b in bodies}
        later_ids = {b.id for b in self.bodies} - ids
        return replace(
            self,
            bodies=bodies,
            joints=tuple(j for j in self.joints if j.upper in ids and j.lower in ids),
            coats=tuple(c for c in self.coats if c.stage <= number and c.body in ids),
            stages=tuple(s for s in self.stages if s.number <= number),
            layouts=tuple(v.without(later, later_ids) for v in self.layouts),
            pieces=tuple(p for p in self.pieces if p.sheet in ids),
        )

    def with_region(self, body_id: str, region: Region) -> "LayeredSection":
        """Return the section with one body cut or moved; its joints shrink with it."""
        bodies = tuple(
            replace(b, region=region) if b.id == body_id else b for b in self.bodies
        )
        joints: list[Joint] = []
        for joint in self.joints:
            if body_id not in {joint.upper, joint.lower}:
                joints.append(joint)
                continue
            joints += [replace(joint, line=s) for s in clip_joint(joint.line, region)]
        return replace(self, bodies=bodies, joints=tuple(joints))
