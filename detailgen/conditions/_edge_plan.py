"""The plan of a flange: pieces of metal, their joint, nails and the sheets' outlines."""

from dataclasses import dataclass

from detailgen.conditions._condition import Site
from detailgen.geometry import Point
from detailgen.geometry.regions import box
from detailgen.section import Axis, Gauge, Layout, Mark, Part, Role
from detailgen.units import inches

LENGTH = inches(24)
"""How much of the edge the plan shows, mm."""
PLATE_WIDTH_SHORT = inches(0.5)
"""The backing plate stays this much short of the flange's outer end, mm."""


@dataclass(frozen=True, slots=True)
class EdgePlan:
    """What the plan of a flange shows, mm; distances from the bend or leg inward."""

    flange: float
    strip_in: float
    nailer: float
    """Width of the nailer; 0 for none."""
    rows: tuple[float, ...]
    """Each row's distance from the flange's outer end."""
    spacing: float
    cleat_spacing: float | None
    finish_end: float
    """How far short of the bend the finish ply ends; 0 at a raised leg."""
    downhill: Point
    """Unit direction in which water runs on the roof."""


def flange_plan(plan: EdgePlan, site: Site) -> Layout:
    """Return the plan of a stretch with one joint between two pieces of metal."""
    s = plan.spacing
    repeats = max(int(LENGTH // s), 3)
    length = repeats * s
    gap = site.rules.value("joint_gap_least")
    lap = site.rules.value("backing_plate_lap_least")
    joint = (repeats // 2) * s + s / 2.0  # half way between nails of both rows
    out = plan.strip_in + plan.flange
    field = inches(3)
    edge = field + out
    outer = edge - plan.flange
    parts: list[Part] = []
    if plan.nailer:
        parts.append(
            Part(
                "nailer",
                Role.NAILER,
                "Nailer",
                box(0.0, edge - plan.nailer, length, edge),
                0,
                hidden=True,
            )
        )
    parts.append(
        Part("base-ply", Role.BASE_PLY, "Base ply", box(0.0, 0.0, length, edge), 1)
    )
    if plan.cleat_spacing is not None:
        parts.append(
            Part(
                "cleat",
                Role.CLEAT,
                "Continuous cleat",
                box(0.0, edge, length, edge + inches(0.5)),
                2,
                hidden=True,
            )
        )
    x0 = max(joint - gap / 2.0 - lap, 0.0)
    x1 = min(joint + gap / 2.0 + lap, length)
    parts += [
        Part(
            "backing-plate",
            Role.BACKING_PLATE,
            "Backing plate",
            box(x0, outer + PLATE_WIDTH_SHORT, x1, edge),
            3,
            hidden=True,
        ),
        Part(
            "edge-metal-1",
            Role.EDGE_METAL,
            "Edge metal, piece 1",
            box(0.0, outer, joint - gap / 2.0, edge),
            4,
        ),
        Part(
            "edge-metal-2",
            Role.EDGE_METAL,
            "Edge metal, piece 2",
            box(joint + gap / 2.0, outer, length, edge),
            4,
        ),
        Part(
            "strip-in",
            Role.STRIP_IN,
            "Strip-in ply",
            box(0.0, field, length, edge - plan.finish_end),
            5,
            hidden=True,
        ),
    ]
    marks, points = _nails(plan, outer, length)
    if plan.cleat_spacing is not None:
        marks += _cleat_nails(plan.cleat_spacing, length, edge + inches(0.25))
    points |= {
        "flange.outer": (0.0, outer),
        "metal.bend": (0.0, edge),
        "strip.outer": (0.0, field),
        "plate.start": (x0, edge),
        "plate.end": (x1, edge),
        "joint.start": (joint - gap / 2.0, edge),
        "joint.end": (joint + gap / 2.0, edge),
    }
    view = "flange-plan"
    gauges = (
        Gauge("strip-in", "strip.outer", "flange.outer", Axis.VERTICAL, view=view),
        Gauge("flange", "flange.outer", "metal.bend", Axis.VERTICAL, view=view),
        Gauge("nail-spacing", "nail.1", "nail.2", Axis.HORIZONTAL, "MAX.", view=view),
        Gauge(
            "joint-gap", "joint.start", "joint.end", Axis.HORIZONTAL, label="GAP", view=view
        ),
        Gauge(
            "plate-lap", "joint.end", "plate.end", Axis.HORIZONTAL, label="LAP", view=view
        ),
    )
    return Layout(
        view,
        "Plan of the flange before the strip-in ply",
        tuple(parts),
        tuple(marks),
        points,
        gauges,
        plan.downhill,
    )


def _nails(
    plan: EdgePlan, outer: float, length: float
) -> tuple[list[Mark], dict[str, Point]]:
    marks: list[Mark] = []
    s = plan.spacing
    for row, d in enumerate(plan.rows):
        first = s / 4.0 + (row % 2) * s / 2.0
        marks += [
            Mark(Role.FASTENER, (first + i * s, outer + d), row + 1, f"nail-{row + 1}")
            for i in range(int((length - first) // s) + 1)
            if first + i * s < length - 1e-6
        ]
    lower = [m.at for m in marks if m.row == 1]
    return marks, {"nail.1": lower[0], "nail.2": lower[1]}


def _cleat_nails(spacing: float, length: float, y: float) -> list[Mark]:
    first = min(spacing / 2.0, length / 4.0)
    step = min(spacing, length - 2.0 * first)
    return [
        Mark(Role.CLEAT, (first + i * step, y), 9, "cleat-nail-1")
        for i in range(int((length - first) // step) + 1)
        if first + i * step < length - 1e-6
    ]
