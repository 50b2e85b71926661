"""The plan of a flanged point: zones of its sheets, the flange, and what goes up."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from detailgen.conditions._flanged_point import MARGIN, PointSizes, cut_lines
from detailgen.geometry import Point, Region
from detailgen.geometry.regions import box, cut, disc
from detailgen.section import Axis, Gauge, Layout, Part, Role

VIEW = "plan"


@dataclass(frozen=True, slots=True)
class Upright:
    """A part of what goes up, as seen from above: from the lowest to the highest."""

    id: str
    role: Role
    name: str
    region: Region
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class PointPlan:
    """What the plan of a flanged point shows, mm; true sizes."""

    sizes: PointSizes
    face: float
    """From the middle to the outer face of the metal, down the slope."""
    side: float
    """The same, across the slope."""
    core: float
    """From the middle to what the pieces of the finish ply are cut round; a round's
    radius."""
    round: bool
    """The upright is round; else it is a box."""
    metal_role: Role
    flange_name: str
    uprights: tuple[Upright, ...]
    gauge: str = "upright"
    """Id of the dimension over the upright."""
    gauge_label: str = ""
    points: Mapping[str, Point] = field(default_factory=dict[str, Point])
    gauges: tuple[Gauge, ...] = ()
    """Dimensions of the kind's own, between points of its own."""


def ring(outer: Region, inner: Region) -> Region:
    """Return a region with a hole."""
    return cut(outer, [inner])[0]


def point_plan(plan: PointPlan) -> Layout:
    """Return the plan of a flange round a point, water running to the left."""
    s = plan.sizes
    hole = _hole(plan)
    x1, y1 = plan.face + s.flange, plan.side + s.flange
    x2, y2 = x1 + s.strip_in, y1 + s.strip_in
    x3, y3 = x2 + MARGIN, y2 + MARGIN / 2.0
    up, down = cut_lines(s, plan.core)
    parts = [
        Part("base-ply", Role.BASE_PLY, "Base ply", ring(box(-x3, -y3, x3, y3), hole), 0),
        Part(
            "flange",
            plan.metal_role,
            plan.flange_name,
            ring(box(-x1, -y1, x1, y1), hole),
            1,
            hidden=True,
        ),
        Part(
            "strip-in",
            Role.STRIP_IN,
            "Strip-in ply (target)",
            ring(box(-x2, -y2, x2, y2), hole),
            2,
            hidden=True,
        ),
        Part(
            "finish-downslope",
            Role.FINISH_PLY,
            "Finish ply, piece 1, downslope",
            ring(box(-x3, -y3, down, y3), hole),
            3,
        ),
        Part(
            "finish-upslope",
            Role.FINISH_PLY,
            "Finish ply, piece 2, upslope, over piece 1",
            ring(box(-up, -y3, x3, y3), hole),
            4,
        ),
    ]
    bead = _hole(plan, s.bead)
    parts.append(Part("foot-bead", Role.BEAD, "Sealant bead", ring(bead, hole), 5))
    parts += [
        Part(u.id, u.role, u.name, u.region, 6 + i, hidden=u.hidden)
        for i, u in enumerate(plan.uprights)
    ]
    points: dict[str, Point] = {
        "strip.outer": (-x2, -y2),
        "flange.outer": (-x1, -y1),
        "upright.left": (-plan.face, -plan.side),
        "upright.right": (plan.face, -plan.side),
        "strip.side": (x2, -y2),
        "flange.side": (x1, -y1),
        "upright.side": (plan.face, -plan.side),
        "finish.upslope": (-up, y3),
        "finish.downslope": (down, y3),
    }
    h, v = Axis.HORIZONTAL, Axis.VERTICAL
    gauges = (
        Gauge("strip-in", "strip.outer", "flange.outer", h, view=VIEW),
        Gauge("flange", "flange.outer", "upright.left", h, view=VIEW),
        Gauge(
            plan.gauge,
            "upright.left",
            "upright.right",
            h,
            label=plan.gauge_label,
            view=VIEW,
        ),
        Gauge("strip-in-side", "strip.side", "flange.side", v, view=VIEW),
        Gauge("flange-side", "flange.side", "upright.side", v, view=VIEW),
        Gauge(
            "finish-lap", "finish.upslope", "finish.downslope", h, label="LAP", view=VIEW
        ),
    )
    return Layout(
        VIEW,
        "Plan, zones of each sheet, water runs to the left",
        tuple(parts),
        (),
        points | dict(plan.points),
        (*gauges, *plan.gauges),
        (-1.0, 0.0),
    )


def _hole(plan: PointPlan, more: float = 0.0) -> Region:
    """Return what the upright takes, so much wider all round."""
    if plan.round:
        return disc(0.0, 0.0, plan.face + more)
    x, y = plan.face + more, plan.side + more
    return box(-x, -y, x, y)
