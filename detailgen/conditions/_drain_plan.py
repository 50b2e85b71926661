"""The plan of a drain: where each sheet begins and ends, and what lies under what."""

from detailgen.conditions._drain_parameters import DrainSizes
from detailgen.conditions._strainer import StrainerSizes, slot_parts
from detailgen.geometry import Point, Region
from detailgen.geometry.regions import box, cut, disc, polygon
from detailgen.section import Axis, Gauge, Layout, Part, Role
from detailgen.units import inches

MARGIN = inches(4)
"""Roof that is seen about the sump."""


def square(half: float) -> Region:
    """Return an upright square about the axis."""
    return box(-half, -half, half, half)


def drain_plan(
    s: DrainSizes, strainer: StrainerSizes, over: tuple[Part, ...] = ()
) -> Layout:
    """Return the plan of a drain, the zones of what is covered dashed.

    Args:
        s: Sizes of the drain.
        strainer: What its strainer is like.
        over: Parts that take the place of the finish ply, which then stays in the field.
    """
    outer = max(s.sump, s.half + s.target) + MARGIN
    opening = disc(0.0, 0.0, s.inner)
    finish = cut(square(outer), [opening])[0]
    parts = [
        *_sump(s),
        _hidden(
            "base-cement",
            Role.CEMENT,
            "Cement under the base ply",
            1,
            disc(0.0, 0.0, s.bowl + s.base_cement),
        ),
        Part(
            "base-ply",
            Role.BASE_PLY,
            "Base ply, cut into the bowl",
            cut(square(outer), [disc(0.0, 0.0, s.bowl)])[0],
            2,
        ),
        _hidden("drain-metal", Role.DRAIN_LEAD, "Square of metal", 3, square(s.half)),
        _hidden(
            "target-cement",
            Role.CEMENT,
            "Cement under the target",
            4,
            disc(0.0, 0.0, s.inner + s.target_cement),
        ),
        _hidden("target", Role.STRIP_IN, "Target", 5, square(s.half + s.target)),
        *(over or (Part("finish-ply", Role.FINISH_PLY, "Finish ply", finish, 6),)),
        Part(
            "clamping-ring",
            Role.CLAMPING_RING,
            "Clamping ring",
            cut(disc(0.0, 0.0, s.ring_outer), [disc(0.0, 0.0, s.ring_inner)])[0],
            8,
        ),
        Part(
            "strainer",
            Role.STRAINER,
            "Strainer",
            disc(0.0, 0.0, s.ring_inner),
            9,
        ),
        *slot_parts(strainer, 10),
        _hidden("outlet", Role.DRAIN_BOWL, "Outlet", 0, disc(0.0, 0.0, s.outlet)),
    ]
    return Layout(
        "plan",
        "Plan of the drain, edges of covered sheets dashed",
        tuple(parts),
        points=_points(s),
        gauges=_gauges(),
        downhill=(1.0, 0.0),
    )


def _hidden(part_id: str, role: Role, name: str, level: int, region: Region) -> Part:
    return Part(part_id, role, name, region, level, hidden=True)


def _sump(s: DrainSizes) -> list[Part]:
    """Return the four fields of the sump, between the hips of its boards."""
    if not s.taper:
        return []
    out: list[Part] = []
    a, b = s.sump, s.rim
    for i, (x, y) in enumerate(((1, 0), (0, 1), (-1, 0), (0, -1))):
        ring: list[Point] = [
            (a * (x - y), a * (x + y)),
            (a * (x + y), a * (y - x)),
            (b * (x + y), b * (y - x)),
            (b * (x - y), b * (x + y)),
        ]
        out.append(
            _hidden(
                f"sump-{i + 1}",
                Role.INSULATION,
                "Sump, boards tapered to the drain",
                0,
                polygon(ring),
            )
        )
    return out


def _points(s: DrainSizes) -> dict[str, Point]:
    strip = s.half + s.target
    return {
        "sump.left": (-s.sump, -s.sump),
        "sump.right": (s.sump, -s.sump),
        "metal.left": (-s.half, -s.half),
        "metal.right": (s.half, -s.half),
        "metal.low": (s.half, -s.half),
        "strip.low": (strip, -strip),
        "strip.left": (-strip, -strip),
        "strip.right": (strip, -strip),
        "target-cement.low": (0.0, -s.inner - s.target_cement),
        "sheets.low": (0.0, -s.inner),
        "base-cement.high": (0.0, s.bowl + s.base_cement),
        "bowl.high": (0.0, s.bowl),
    }


def _gauges() -> tuple[Gauge, ...]:
    h, v, view = Axis.HORIZONTAL, Axis.VERTICAL, "plan"
    return (
        Gauge("plan-metal", "metal.left", "metal.right", h, label="METAL", view=view),
        Gauge(
            "plan-target",
            "strip.left",
            "strip.right",
            h,
            label="TARGET",
            rank=2,
            view=view,
        ),
        Gauge("plan-sump", "sump.left", "sump.right", h, label="SUMP", rank=3, view=view),
        Gauge("plan-strip", "strip.low", "metal.low", v, view=view),
        Gauge(
            "plan-target-cement",
            "target-cement.low",
            "sheets.low",
            v,
            label="TARGET IN CEMENT",
            view=view,
        ),
        Gauge(
            "plan-base-cement",
            "bowl.high",
            "base-cement.high",
            v,
            label="BASE PLY IN CEMENT",
            view=view,
        ),
    )
