"""Every rule at its limit and just past it, on sections of a few rectangles.

A case gives the rule, how to make a section in which it measures a given amount, the limit
in the default rule set, and a small step to the wrong side.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import cos, radians, sin, sqrt, tan

import pytest

from detailgen.checks import REGISTRY
from detailgen.finding import Outcome, Relation, Unit
from detailgen.geometry import Line, Region
from detailgen.geometry.regions import box
from detailgen.section import Bond, Coat, LayeredSection, Mark, Method, Role, Stage
from tests.checks import limits_corners, test_limits_points
from tests.checks.handmade import (
    body,
    edge,
    find,
    joint,
    layout,
    part,
    polygon,
    rect,
    ribbon,
    wall,
)
from tests.checks.test_set_rules import RULES

IN = 25.4


@dataclass(frozen=True)
class Limit:
    """A rule with a section that measures what it is told to."""

    rule: str
    made: Callable[[float], LayeredSection]
    limit: float
    past: float
    """The limit and a step to the wrong side."""
    rules: str = "common-practice"


# --- wall ---------------------------------------------------------------------------------


def flashing_of_height(v: float) -> LayeredSection:
    return wall(rect(Role.FLASHING, -4, 90, 0, 10 + v))


def flashing_of_reach(v: float) -> LayeredSection:
    return wall(rect(Role.FLASHING, -90 - v, 10, 0, 14, thickness=4.0))


def band_of_width(v: float) -> LayeredSection:
    ply = rect(Role.FINISH_PLY, -400, 6, 0, 10)
    sheet = rect(Role.FLASHING, -90 - 4 * IN, 10, 0, 14, thickness=4.0)
    coat = Coat("band", "band", ply.id, Line([(-90 - v, 10), (0, 10)]), 1)
    lap = joint(sheet, ply, Bond.TORCHED, (-90 - 4 * IN, 10), (0, 10))
    return wall(ply, sheet, joints=[lap], coats=[coat])


def strip_out(v: float) -> LayeredSection:
    return wall(rect(Role.STRIP_IN, -90 - v, 3, 0, 6, thickness=3.0))


def strip_up(v: float) -> LayeredSection:
    return wall(rect(Role.STRIP_IN, -3, 3, 0, 90 + v))


def sheets_on_roof(n: float) -> LayeredSection:
    roles = (Role.BASE_PLY, Role.STRIP_IN, Role.FINISH_PLY)[: int(n)]
    return wall(
        rect(Role.DECK, -400, -150, 0, 0),
        *(rect(role, -400, 3 * i, -90, 3 * i + 3) for i, role in enumerate(roles)),
    )


def sheets_on_cant(n: float) -> LayeredSection:
    roles = (Role.BASE_PLY, Role.STRIP_IN, Role.FINISH_PLY)[: int(n)]
    return wall(
        polygon(Role.CANT, (-90, 0), (0, 0), (0, 90)),
        *(
            polygon(
                role,
                (-90 - 2 * i, 2 * i),
                (-2 * i, 90 + 2 * i),
                (-2 * i - 2, 92 + 2 * i),
                (-92 - 2 * i, 2 + 2 * i),
            )
            for i, role in enumerate(roles)
        ),
    )


def sheets_on_wall(n: float) -> LayeredSection:
    roles = (Role.STRIP_IN, Role.FLASHING)[: int(n)]
    return wall(
        rect(Role.WALL, 0, -100, 200, 400),
        *(rect(role, -3 * i - 3, 90, -3 * i, 220) for i, role in enumerate(roles)),
        rect(Role.COUNTERFLASHING, -12, 180, -11, 300),
    )


def upper_lap(v: float) -> LayeredSection:
    return wall(
        rect(Role.FLASHING, -4, 90, 0, 250),
        rect(Role.UPPER_FLASHING, -8, 250 - v, -4, 400),
        points={"upper.bottom": (-8, 150)},
    )


def counter_lap(v: float) -> LayeredSection:
    return wall(
        rect(Role.FLASHING, -4, 90, 0, 220),
        rect(Role.COUNTERFLASHING, -5, 220 - v, -4, 300),
        points={"cf.hem": (-5, 120), "cf.top": (-5, 300)},
    )


def hem_above_cant(v: float) -> LayeredSection:
    return wall(
        rect(Role.COUNTERFLASHING, -5, 90 + v, -4, 300),
        points={"cf.hem": (-5, 90), "cf.top": (-5, 300)},
    )


def slot_of_depth(v: float) -> LayeredSection:
    masonry = polygon(
        Role.WALL,
        (0, -100),
        (200, -100),
        (200, 400),
        (0, 400),
        (0, 260),
        (v, 260),
        (v, 250),
        (0, 250),
    )
    metal = rect(Role.COUNTERFLASHING, -5, 250, v, 251)
    return wall(masonry, metal, points={"reglet.mouth": (0, 250)})


def reglet_at(v: float) -> LayeredSection:
    return wall(
        polygon(
            Role.COUNTERFLASHING,
            (-5, 100),
            (-4, 100),
            (-4, 10 + v),
            (30, 10 + v),
            (30, 11 + v),
            (-5, 11 + v),
        ),
        points={"reglet.mouth": (0, 10 + v)},
    )


def coping_face(v: float) -> LayeredSection:
    coping = body(
        Role.COPING,
        ribbon([(206, 300 - v), (206, 340), (-6, 340), (-6, 280)], 1.0),
    )
    return wall(coping, points={"wall.joint": (200, 300), "coping.face": (206, 270)})


def cant_of_angle(v: float) -> LayeredSection:
    return wall(polygon(Role.CANT, (-90, 0), (0, 0), (0, 90 * tan(radians(v)))))


def cant_of_height(v: float) -> LayeredSection:
    return wall(polygon(Role.CANT, (-90, 0), (0, 0), (0, v)))


def stuck_over_cant(v: float) -> LayeredSection:
    cant = polygon(Role.CANT, (-90, 0), (0, 0), (0, 90))
    ply = polygon(Role.BASE_PLY, (-90, 0), (0, 90), (-2, 92), (-92, 2))
    joints = [joint(ply, cant, Bond.DRY, (-90, 0), (0, 90))]
    if v:
        joints.append(
            joint(ply, cant, Bond.TORCHED, (-v / sqrt(2), 90 - v / sqrt(2)), (0, 90))
        )
    return wall(cant, ply, joints=joints)


def flame_on(v: float) -> LayeredSection:
    wood = rect(Role.DECK, -400, -20, 0, 0, material="deck-wood")
    ply = rect(Role.BASE_PLY, -400, 0, 0, 3)
    joints = [joint(ply, wood, Bond.FASTENED, (-400, 0), (-v, 0))]
    if v:
        joints.append(joint(ply, wood, Bond.TORCHED, (-v, 0), (0, 0)))
    return wall(wood, ply, joints=joints)


def boards_on_flutes(n: float) -> LayeredSection:
    return wall(
        rect(Role.DECK, -400, -100, 0, -60, material="deck-steel"),
        *([rect(Role.COVER_BOARD, -400, -60, 0, -40)] if n else []),
    )


def roof_of_slope(v: float) -> LayeredSection:
    deck = polygon(Role.DECK, (-400, -150), (0, -150), (0, 0), (-400, -400 * v))
    ply = rect(Role.BASE_PLY, -400, 50, -200, 53)
    return wall(deck, ply, slope=v)


def base_ply_of(v: float) -> LayeredSection:
    return wall(rect(Role.BASE_PLY, -400, 0, 0, v))


def granules_of(v: float) -> LayeredSection:
    return wall(
        rect(Role.FINISH_PLY, -400, 3, 0, 7, thickness=4.0),
        rect(Role.FLASHING, -v, 90, 0, 300, material="flashing-granule"),
    )


# --- wall elevation -----------------------------------------------------------------------


def _pieces(lap: float) -> list[object]:
    return [
        part(Role.FLASHING, 0, 0, 1000, 200, 0),
        part(Role.FLASHING, 1000 - lap, 0, 2000 - lap, 200, 1),
    ]


def side_lap(v: float) -> LayeredSection:
    return wall(layout=layout("wall-elevation", _pieces(v), downhill=(-1.0, 0.0)))


def metal_end_lap(v: float) -> LayeredSection:
    pieces = [
        part(Role.COUNTERFLASHING, 0, 100, 1000, 250, 0),
        part(Role.COUNTERFLASHING, 1000 - v, 100, 2000, 250, 1),
    ]
    return wall(layout=layout("wall-elevation", pieces), points={"cf.hem": (-5, 120)})


def laps_uphill(n: float) -> LayeredSection:
    pieces = [
        part(Role.FLASHING, 0, 0, 1000, 200, 1 if n else 0, "first"),
        part(Role.FLASHING, 900, 0, 2000, 200, 0 if n else 1, "second"),
    ]
    return wall(layout=layout("wall-elevation", pieces, downhill=(-1.0, 0.0)))


def _row(
    y: float, spacing: float, count: int, row: int = 1, start: float = 0.0
) -> list[Mark]:
    return [Mark(Role.FASTENER, (start + i * spacing, y), row) for i in range(count)]


def top_fasteners(v: float) -> LayeredSection:
    pieces = [part(Role.FLASHING, 0, 0, 4 * v, 200, 0)]
    bed, sheet = rect(Role.CEMENT, -2, 90, 0, 300), rect(Role.FLASHING, -6, 90, -2, 300)
    held = joint(sheet, bed, Bond.CEMENT, (-2, 90), (-2, 300))
    elevation = layout("wall-elevation", pieces, _row(180, v, 5))
    return wall(bed, sheet, joints=[held], layout=elevation)


def fastener_rows(v: float) -> LayeredSection:
    pieces = [part(Role.FLASHING, 0, 0, 800, v + 400, 0)]
    marks = [*_row(v + 380, 200, 5), *_row(v, 200, 5, 2)]
    return wall(layout=layout("wall-elevation", pieces, marks))


def bar_fasteners(v: float) -> LayeredSection:
    pieces = [part(Role.FLASHING, 0, 0, 4 * v, 200, 0)]
    marks = _row(260, v, 5, 3)
    points = {"bar.top": (-1, 280)}
    return wall(layout=layout("wall-elevation", pieces, marks), points=points)


# --- roof edge ----------------------------------------------------------------------------


def _metal(left: float = -102.0) -> Region:
    """Return edge metal 1 mm thick: a flange at y = 5 and a face beyond the edge."""
    return ribbon([(4, -140), (4, 5), (left, 5)], 1.0)


def flange_with(over: int, under: int, left: float = -102.0) -> LayeredSection:
    below = (Role.BASE_PLY, Role.STRIP_IN)[:under]
    above = (Role.STRIP_IN, Role.FINISH_PLY)[:over]
    plate = rect(Role.EDGE_METAL, left, 4, 0, 5, thickness=1.0)
    return edge(
        rect(Role.NAILER, -140, -38, 0, 0),
        *(
            rect(r, -400, 4 - 2 * i - 2, 0, 4 - 2 * i, id=f"under-{i}")
            for i, r in enumerate(below)
        ),
        plate,
        *(
            rect(r, -400, 5 + 2 * i, 0, 7 + 2 * i, id=f"over-{i}")
            for i, r in enumerate(above)
        ),
    )


def over_flange(n: float) -> LayeredSection:
    return flange_with(int(n), 1)


def under_flange(n: float) -> LayeredSection:
    return flange_with(2, int(n))


def strip_past_flange(v: float) -> LayeredSection:
    return edge(
        body(Role.EDGE_METAL, _metal(), thickness=1.0),
        rect(Role.STRIP_IN, -102 - v, 6, 0, 9, thickness=3.0),
    )


def flange_of_width(v: float) -> LayeredSection:
    return edge(body(Role.EDGE_METAL, _metal(-v), thickness=1.0))


def wood_past_flange(v: float) -> LayeredSection:
    metal = body(Role.EDGE_METAL, _metal(), thickness=1.0)
    return edge(metal, rect(Role.NAILER, -102 - v, -38, 0, 0))


def nail_of_bite(v: float) -> LayeredSection:
    wood = rect(Role.NAILER, -140, -60, 0, 0)
    nail = rect(Role.FASTENER, -51.5, -v, -48.5, 6, pierces=("edge-metal", "nailer"))
    return edge(wood, body(Role.EDGE_METAL, _metal(), thickness=1.0), nail)


def bed_of(v: float) -> LayeredSection:
    return edge(rect(Role.CEMENT, -102, 4 - v, 0, 4))


def finish_gap(v: float) -> LayeredSection:
    return edge(rect(Role.FINISH_PLY, -400, 6, -v, 10))


def finish_off_leg(v: float) -> LayeredSection:
    ply = rect(Role.FINISH_PLY, -400, 6, -2 - v, 10)
    points = {"leg.top": (0, 30), "metal.leaves": (-2, 5), "metal.bend": (-2, 5)}
    return edge(ply, points=points)


def drop_of(v: float) -> LayeredSection:
    return edge(
        polygon(
            Role.BASE_PLY,
            (-400, 0),
            (0, 0),
            (0, -v),
            (3, -v),
            (3, 3),
            (-400, 3),
        )
    )


def drop_below_wood(v: float) -> LayeredSection:
    made = drop_of(150 + v)
    return edge(*made.bodies, rect(Role.NAILER, -140, -150, 0, 0))


def face_below_drop(v: float) -> LayeredSection:
    metal = body(Role.EDGE_METAL, ribbon([(4, -100 - v), (4, 5), (-102, 5)], 1.0))
    return edge(*drop_of(100).bodies, metal)


def kick_of(v: float) -> LayeredSection:
    across, down = sin(radians(v)), -cos(radians(v))
    tip = (4 + 20 * across, -100 + 20 * down)
    heel = (tip[0] - down, tip[1] + across)
    back = (heel[0] - 5) / across
    return edge(
        polygon(
            Role.EDGE_METAL,
            (-102, 5),
            (4, 5),
            (4, -100),
            tip,
            heel,
            (5, heel[1] - back * down),
            (5, 6),
            (-102, 6),
            thickness=1.0,
        )
    )


def hooked(v: float) -> LayeredSection:
    """A plain vertical hook: face at x 8 to 9, cleat at 6 to 7, hook at 4 to 5."""
    face = Region([
        (8, -100),
        (8, 0),
        (9, 0),
        (9, -102),
        (4, -102),
        (4, -60),
        (5, -60),
        (5, -101),
        (8, -101),
    ])
    cleat = box(6, -60 - v, 7, -10)
    return edge(body(Role.EDGE_METAL, face, thickness=1.0), body(Role.CLEAT, cleat))


def step_at_nailer(v: float) -> LayeredSection:
    return edge(
        rect(Role.DECK, -400, -200, 0, -38),
        rect(Role.INSULATION, -400, -38, -140, 0),
        rect(Role.NAILER, -140, -38, 0, v),
    )


def stuck_over_edge(v: float) -> LayeredSection:
    wood = rect(Role.NAILER, -140, -150, 0, 0)
    ply = drop_of(150).bodies[0]
    joints = [joint(ply, wood, Bond.DRY, (0, 0), (0, v - 100))]
    if v:
        joints.append(joint(ply, wood, Bond.COLD_ADHESIVE, (0, v - 100), (0, -100)))
    return edge(wood, ply, joints=joints)


def bead_of(v: float) -> LayeredSection:
    ply = rect(Role.FINISH_PLY, -400, 6, -2, 10)
    metal = body(
        Role.EDGE_METAL, ribbon([(-2, 40), (-2, 5), (-102, 5)], 1.0), thickness=1.0
    )
    bead = polygon(Role.BEAD, (-2 - v, 10), (-2, 10), (-2, 10 + v))
    joints = [
        joint(bead, ply, Bond.SEALED, (-2 - v, 10), (-2, 10)),
        joint(bead, metal, Bond.SEALED, (-2, 10), (-2, 10 + v)),
    ]
    points = {"leg.top": (-2, 40), "metal.leaves": (-2, 5)}
    return edge(ply, metal, bead, joints=joints, points=points)


def metal_of(v: float) -> LayeredSection:
    return edge(rect(Role.EDGE_METAL, -102, 4, 0, 4 + v, thickness=v))


def cleat_of(v: float) -> LayeredSection:
    return edge(rect(Role.CLEAT, 5, -100, 5 + v, 0, thickness=v))


# --- flange plan --------------------------------------------------------------------------


def _plan(
    rows: list[Mark], *, gap: float = 10.0, plate: float = 150.0, length: float = 600.0
) -> LayeredSection:
    middle = length / 2.0
    parts = [
        part(
            Role.BACKING_PLATE,
            middle - gap / 2 - plate,
            100,
            middle + gap / 2 + plate,
            200,
            0,
        ),
        part(Role.EDGE_METAL, 0, 100, middle - gap / 2, 200, 1, "piece-1"),
        part(Role.EDGE_METAL, middle + gap / 2, 100, length, 200, 1, "piece-2"),
    ]
    return edge(layout=layout("flange-plan", parts, rows))


def nail_spacing(v: float) -> LayeredSection:
    return _plan([*_row(120, v, 9), *_row(160, v, 9, 2, v / 2)], length=8 * v + v / 2)


def nail_rows(n: float) -> LayeredSection:
    return _plan([m for i in range(int(n)) for m in _row(120 + 20 * i, 50, 13, i)])


def nail_stagger(v: float) -> LayeredSection:
    return _plan([*_row(120, 60, 10), *_row(160, 60, 10, 2, v)])


def joint_gap(v: float) -> LayeredSection:
    return _plan(_row(120, 50, 13), gap=v)


def plate_lap(v: float) -> LayeredSection:
    return _plan(_row(120, 50, 13), plate=v)


def cleat_nails(v: float) -> LayeredSection:
    cleat = part(Role.CLEAT, 0, 200, 4 * v, 212, 0)
    marks = [Mark(Role.CLEAT, (i * v, 206), 9) for i in range(5)]
    return edge(layout=layout("flange-plan", [cleat], marks))


# --- the section as a whole ---------------------------------------------------------------


def overlap_of(v: float) -> LayeredSection:
    return wall(rect(Role.DECK, 0, 0, 10, 10), rect(Role.WALL, 10 - v / 10, 0, 20, 10))


def pocket_of(v: float) -> LayeredSection:
    ring = box(0, 0, 20, 20).difference(box(5, 5, 5 + v, 6))
    return wall(body(Role.DECK, ring))  # type: ignore[arg-type]


def water_order(n: float) -> LayeredSection:
    inner, outer = (-4, 0) if not n else (-8, -4), (-8, -4) if not n else (-4, 0)
    return wall(
        rect(Role.WALL, 0, -100, 200, 600),
        rect(Role.FLASHING, inner[0], 90, inner[1], 250),
        rect(Role.UPPER_FLASHING, outer[0], 150, outer[1], 400),
    )


def sheets_at_hold(n: float) -> LayeredSection:
    base, metal = rect(Role.BASE_PLY, -400, 0, 0, 3), rect(Role.EDGE_METAL, -102, 4, 0, 5)
    ends = 0.0 if n else -110.0
    strip = polygon(
        Role.STRIP_IN,
        (-200, 3),
        (min(ends, -102), 3),
        (min(ends, -102), 5),
        (ends, 5),
        (ends, 8),
        (-200, 8),
    )
    stuck = [
        joint(strip, base, Bond.TORCHED, (-200, 3), (-110, 3)),
        joint(strip, metal, Bond.TORCHED, (-102, 5), (0, 5)),
    ]
    made = edge(base, metal, strip, joints=stuck)
    return replace(made, stages=(Stage(1, "Strip-in ply", "Lay it.", hold=True),))


LIMITS = [
    Limit("shallow_slope", roof_of_slope, 1 / 48, 1 / 48 - 1e-4),
    Limit("unspanned_flutes", boards_on_flutes, 1, 0),
    Limit("flame_on_wood", flame_on, 0, 0.1),
    Limit("steep_cant", cant_of_angle, 45.0, 45.1),
    Limit("low_cant", cant_of_height, 3.5 * IN, 88.8),
    Limit("nailer_out_of_level", step_at_nailer, IN / 8, 3.3),
    Limit("nailer_out_of_level", lambda v: step_at_nailer(-v), IN / 8, 3.3),
    Limit("thin_cover_on_roof", sheets_on_roof, 2, 1),
    Limit("thin_cover_on_cant", sheets_on_cant, 2, 1),
    Limit("bare_wall", sheets_on_wall, 1, 0),
    Limit("base_ply_stuck_over_cant", stuck_over_cant, 0.0, 0.1),
    Limit("short_strip_in_at_toe", strip_out, 3 * IN, 76.1),
    Limit("low_strip_in_on_wall", strip_up, 2 * IN, 50.7),
    Limit("high_strip_in_on_wall", strip_up, 3 * IN, 76.3),
    Limit("low_flashing", flashing_of_height, 8 * IN, 203.1),
    Limit("low_flashing", flashing_of_height, 10 * IN, 253.9, "sheet-metal-handbook"),
    Limit("tall_flashing", flashing_of_height, 24 * IN, 609.7),
    Limit("short_flashing_reach", flashing_of_reach, 4 * IN, 101.5),
    Limit("narrow_prepared_band", band_of_width, 4 * IN, 101.5),
    Limit("short_upper_lap", upper_lap, 4 * IN, 101.5),
    Limit("short_side_lap", side_lap, 3 * IN, 76.1),
    Limit("backwater_side_lap", laps_uphill, 0, 1),
    Limit("sparse_top_fasteners", top_fasteners, 8 * IN, 203.3),
    Limit("missing_intermediate_row", fastener_rows, 24 * IN, 609.7),
    Limit("thin_base_ply", base_ply_of, 0.070 * IN, 1.76),
    Limit("thin_granule_sheet", granules_of, 0.120 * IN, 3.03),
    Limit("short_counterflashing_lap", counter_lap, 4 * IN, 101.5),
    Limit("low_hem", hem_above_cant, 0.0, -0.1),
    Limit("low_hem", hem_above_cant, IN, 25.3, "sheet-metal-handbook"),
    Limit("shallow_reglet", slot_of_depth, 1.25 * IN, 31.7),
    Limit("low_reglet", reglet_at, 10 * IN, 253.9, "sheet-metal-handbook"),
    Limit("short_counterflashing_end_lap", metal_end_lap, 3 * IN, 76.1),
    Limit(
        "short_counterflashing_end_lap",
        metal_end_lap,
        4 * IN,
        101.5,
        "sheet-metal-handbook",
    ),
    Limit("sparse_bar_fasteners", bar_fasteners, 12 * IN, 304.9),
    Limit("short_coping_face", coping_face, IN, 25.3),
    Limit("bare_flange_underside", under_flange, 1, 0),
    Limit("thin_flange_cover", over_flange, 2, 1),
    Limit("short_flange_strip_in", strip_past_flange, 4 * IN, 101.5),
    Limit("narrow_flange", flange_of_width, 4 * IN, 101.5),
    Limit("flange_off_nailer", wood_past_flange, IN / 2, 12.6),
    Limit("short_nail_bite", nail_of_bite, IN, 25.3),
    Limit("sparse_nails", nail_spacing, 3 * IN, 76.3),
    Limit("single_nail_row", nail_rows, 2, 1),
    Limit("unstaggered_nails", nail_stagger, 0.75 * IN, 18.9),
    Limit("wrong_finish_gap", finish_gap, IN / 4, 6.3),
    Limit("wrong_finish_gap", finish_gap, IN / 2, 12.8),
    Limit("finish_ply_off_leg", finish_off_leg, IN / 16, 1.7),
    Limit("base_ply_stuck_over_edge", stuck_over_edge, 0.0, 0.2),
    Limit("short_base_ply_drop", drop_of, 4 * IN, 101.5),
    Limit("base_ply_short_of_wood", drop_below_wood, 0.1, 0.0),
    Limit("bare_drop", face_below_drop, 0.0, -0.1),
    Limit("steep_kick", kick_of, 45.0, 45.1),
    Limit("shallow_cleat_hook", hooked, 0.75 * IN, 18.9),
    Limit("sparse_cleat_nails", cleat_nails, 6 * IN, 152.5),
    Limit("tight_joint_gap", joint_gap, IN / 4, 6.3),
    Limit("narrow_backing_plate", plate_lap, 4 * IN, 101.5),
    Limit("thin_metal", metal_of, 0.0239 * IN, 0.59),
    Limit("light_cleat", cleat_of, 0.0276 * IN, 0.69),
    Limit("thin_bed", bed_of, IN / 16, 1.5),
    Limit("thick_bed", bed_of, IN / 8, 3.3),
    Limit("missing_bead", bead_of, IN / 4, 6.3),
    Limit("backwater_lap", water_order, 0, 1),
    Limit("leaky_hold_point", sheets_at_hold, 1, 0),
    Limit("solids_overlap", overlap_of, 0.01, 0.02),
    Limit("closed_pocket", pocket_of, 1.0, 1.01),
    Limit("bare_corner", limits_corners.sheets_at_corner, 1, 0),
    Limit("short_corner_lap", limits_corners.doubled_at_arris, 3 * IN, 76.1),
    Limit("short_corner_patch", limits_corners.patch_past_wedge, 3 * IN, 76.1),
    Limit("open_pinhole", limits_corners.pinholes, 0, 1),
    Limit("off_relief_cut", limits_corners.cut_past_corner, IN / 8, 3.3),
    Limit("panel_off_face", limits_corners.panel_before_face, IN / 8, 3.3),
    Limit("unprepared_corner", limits_corners.unprepared, 1.0, 1.1),
    Limit("wide_corner_piece", limits_corners.blank_of_width, 1000.0, 1000.1),
]


@pytest.mark.parametrize("case", LIMITS, ids=lambda c: f"{c.rule}-{c.limit:.3f}")
def test_at_the_limit_it_passes_and_just_past_it_fails(case: Limit) -> None:
    held = find(case.rule, case.made(case.limit), case.rules)
    assert held.outcome is Outcome.PASS, held
    assert held.actual.value == pytest.approx(case.limit, abs=2e-3)
    assert held.where is not None
    assert not held.reason
    broken = find(case.rule, case.made(case.past), case.rules)
    assert broken.outcome is Outcome.FAIL, broken
    assert broken.actual.value == pytest.approx(case.past, abs=2e-3)
    assert broken.where is not None
    assert broken.reason.endswith(".")
    assert broken.required == held.required
    assert broken.source


IN_TEST_LIMITS_CURBS = {
    "low_curb",
    "low_curb_over_cricket",
    "low_joint_curb",
    "tall_joint_curb",
    "tight_joint",
    "tight_barrier",
    "loose_joint_cover",
    "touched_counterflashing",
    "low_unit",
    "unit_on_sleepers",
}


def test_every_rule_is_tried_at_its_limit() -> None:
    in_words = {"combustible_cant", "nothing_to_bite"}
    in_test_neighbours = {"crowded_neighbours", "meeting_sheets"}
    in_test_water_path = {"weak_water_path_low", "weak_water_path_high"}
    elsewhere = in_test_neighbours | in_test_water_path
    elsewhere |= IN_TEST_LIMITS_CURBS | test_limits_points.BY_HAND
    tried = {case.rule for case in (*LIMITS, *test_limits_points.LIMITS)} | set(RULES)
    tried |= in_words | elsewhere
    assert tried == set(REGISTRY)


def test_the_cant_must_not_burn_under_a_torch() -> None:
    ply = rect(Role.BASE_PLY, -400, 0, -90, 3)
    for material, outcome in (("cant-perlite", Outcome.PASS), ("cant-wood", Outcome.FAIL)):
        cant = polygon(Role.CANT, (-90, 0), (0, 0), (0, 90), material=material)
        found = find("combustible_cant", wall(cant, ply))
        assert found.outcome is outcome
        assert found.required.relation is Relation.EXACTLY
        assert found.required.amount.unit is Unit.WORDS
    cold = wall(cant, method=Method.COLD_ADHESIVE)
    assert find("combustible_cant", cold).outcome is Outcome.NOT_APPLICABLE
    torched = joint(ply, cant, Bond.TORCHED, (-90, 0), (0, 90))
    mixed = wall(cant, ply, joints=[torched], method=Method.COLD_ADHESIVE)
    assert find("combustible_cant", mixed).outcome is Outcome.FAIL


@pytest.mark.parametrize(
    ("made", "outcome"),
    [
        (edge(rect(Role.NAILER, -140, -38, 0, 0)), Outcome.PASS),
        (edge(rect(Role.DECK, -400, -20, 0, 0, material="deck-wood")), Outcome.PASS),
        (edge(rect(Role.DECK, -400, -150, 0, 0)), Outcome.FAIL),
        (edge(rect(Role.NAILER, -140, -38, -110, 0)), Outcome.FAIL),
    ],
)
def test_the_flange_lies_on_something_that_takes_nails(
    made: LayeredSection, outcome: Outcome
) -> None:
    assert find("nothing_to_bite", made).outcome is outcome
