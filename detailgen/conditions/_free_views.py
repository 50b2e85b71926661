"""The companion views of a free section, drawn from its named points and fasteners."""

from collections.abc import Mapping

from detailgen.conditions._condition import Site
from detailgen.conditions._edge_plan import EdgePlan, flange_plan
from detailgen.conditions._free_parameters import FreeSection, Layer
from detailgen.conditions._wall_pieces import Run, elevation
from detailgen.geometry import Point
from detailgen.section import Body, Layout, Role

_DOWNHILL = {"left": (0.0, -1.0), "right": (0.0, 1.0), "along": (1.0, 0.0)}
_USUAL = 203.2
"""Spacing of a row of fasteners that states none, mm (8 in; common practice, no source)."""


def companion(
    p: FreeSection,
    site: Site,
    points: Mapping[str, Point],
    bodies: Mapping[str, Body],
    heads: Mapping[str, Point],
) -> tuple[Layout, ...]:
    """Return the companion view that is asked for, if one is.

    Args:
        p: The tables.
        site: Roof, catalogue, rules.
        points: All named points.
        bodies: All bodies by their ids.
        heads: Of each fastener where its head sits.
    """
    rows = {one.id: one for one in p.layer if one.lay == "fastener"}
    if p.companion == "wall-elevation":
        return (elevation(_run(site, points, rows, heads), site),)
    if p.companion == "flange-plan":
        return (flange_plan(_plan(p, points, bodies, rows, heads), site),)
    return ()


def _spacing(rows: Mapping[str, Layer], name: str) -> float | None:
    return (rows[name].spacing or _USUAL) if name in rows else None


def _run(
    site: Site,
    points: Mapping[str, Point],
    rows: Mapping[str, Layer],
    heads: Mapping[str, Point],
) -> Run:
    base = points["roof.datum"][1]

    def over(name: str) -> float:
        return points[name][1] - base

    middle = [name for name in rows if name.startswith("middle-fastener")]
    bar = heads.get("bar-fastener-1")
    metal_top = 0.0
    if "cf.hem" in points:
        metal_top = over("cf.top" if "bar.top" in points else "reglet.mouth")
    return Run(
        flashing_top=over("flashing.top"),
        hem=over("cf.hem") if "cf.hem" in points else None,
        metal_top=metal_top,
        top_fasteners=_spacing(rows, "top-fastener-1"),
        middle=tuple(sorted(heads[name][1] - base for name in middle)),
        middle_spacing=(_spacing(rows, middle[0]) if middle else None) or _USUAL,
        bar_fasteners=_spacing(rows, "bar-fastener-1"),
        bar_level=bar[1] - base if bar else 0.0,
        upper=(over("upper.bottom"), over("blocking.top"))
        if "upper.bottom" in points
        else None,
        metal_role=Role.COUNTERFLASHING,
        piece_width=site.roof.roll_width,
    )


def _plan(
    p: FreeSection,
    points: Mapping[str, Point],
    bodies: Mapping[str, Body],
    rows: Mapping[str, Layer],
    heads: Mapping[str, Point],
) -> EdgePlan:
    outer, bend = points["flange.outer"][0], points["metal.bend"][0]
    nails = sorted(name for name in rows if name.startswith("nail-"))
    wood = [b.region.bounds for b in bodies.values() if b.role is Role.NAILER]
    return EdgePlan(
        flange=bend - outer,
        strip_in=outer - points["strip.outer"][0],
        nailer=max((x1 - x0 for x0, _, x1, _ in wood), default=0.0),
        rows=tuple(heads[name][0] - outer for name in nails),
        spacing=_spacing(rows, nails[0]) or _USUAL,
        cleat_spacing=_spacing(rows, "cleat-nail-1"),
        finish_end=bend - points["finish.end"][0],
        downhill=_DOWNHILL[p.fall],
    )
