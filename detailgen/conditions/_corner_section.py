"""A corner: the section of the wall beside it, its pieces, its faces and its plan.

The straight run is built and drawn as a wall is, so that all that holds for a wall is asked
of it. Patterns take the roof as level and the sheets as without thickness; what a slope
adds is told on the sheet.
"""

from dataclasses import replace
from math import hypot

from detailgen.conditions._condition import Impossible, Site
from detailgen.conditions._corner_parameters import CornerOfWall
from detailgen.conditions._corner_pieces import corner_lap, corner_of, corner_sheets
from detailgen.conditions._corner_plan import corner_plan
from detailgen.conditions._wall_section import build_wall
from detailgen.conditions._wall_sizes import (
    WallSizes,
    impossible,
    taken,
    wall_sizes,
    wall_tilt,
)
from detailgen.patterns.corners import CornerKind
from detailgen.section import TRUE_SIZE, LayeredSection, Stage
from detailgen.units import UnitSystem, show_length

_NEVER_IDLE = frozenset({
    "bare_corner",
    "off_relief_cut",
    "open_pinhole",
    "panel_off_face",
    "short_corner_lap",
    "unprepared_corner",
    "wide_corner_piece",
})
_NEVER_IDLE_OUTSIDE = frozenset({"short_corner_patch"})
_ORDER = {
    "inside": (
        "At the corner: the corner piece first, its main panel, then its tabs, the lowest "
        "first; a dab of sealant where cuts end; then the next piece, square to the arris."
    ),
    "outside": (
        "At the corner: the corner piece first, its main panel, then its tabs, the lowest "
        "first; a dab of sealant where cuts end and the patch over them; then the next "
        "piece, square to the arris."
    ),
}


def build_corner(kind: CornerKind, p: CornerOfWall, site: Site) -> LayeredSection:
    """Build the wall beside a corner, and what the corner is made of."""
    section = build_wall(p, site)
    s = wall_sizes(p, site)
    # what a drawing thickens has no part in patterns
    at_size = site.thickening == TRUE_SIZE
    true = section if at_size else build_wall(p, replace(site, thickening=TRUE_SIZE))
    sheets = corner_sheets(p, s, site, true)
    pieces, faces = corner_of(kind, p, s, sheets, site.roof.roll_width)
    ids = {sheet.id for sheet in sheets}
    bodies = [b for b in true.bodies if b.id in ids]
    title = f"Plan of the {kind} corner, {p.corner_angle:g} degrees"
    plan = corner_plan(title, pieces, faces, bodies, s.wall_thickness)
    never = _NEVER_IDLE | _NEVER_IDLE_OUTSIDE if kind == "outside" else _NEVER_IDLE
    return replace(
        section,
        kind=f"{kind}-corner",
        families=frozenset({"wall"}),
        pieces=pieces,
        faces=faces,
        layouts=(*section.layouts, plan),
        never_idle=section.never_idle | never,
        stages=tuple(_told(stage, kind, section) for stage in section.stages),
        notes=(*section.notes, *_notes(p, s, site)),
    )


def _told(stage: Stage, kind: CornerKind, section: LayeredSection) -> Stage:
    """Return the stage of the flashing sheet with what is done at the corner."""
    flashing = section.body("flashing")
    if flashing is None or flashing.stage != stage.number:
        return stage
    return replace(stage, text=f"{stage.text} {_ORDER[kind]}")


def _notes(p: CornerOfWall, s: WallSizes, site: Site) -> tuple[str, ...]:
    tilt = abs(wall_tilt(p, site)) or site.roof.slope
    level = hypot(s.cant_height, s.cant_run)
    lengths = [
        hypot(s.cant_height + sign * tilt * s.cant_run, s.cant_run) for sign in (-1, 1)
    ]
    cant = max(abs(one - level) for one in lengths)
    out = s.reach * (hypot(1.0, tilt) - 1.0)
    more = show_length(max(cant, out), UnitSystem.FEET_INCHES, both=True)
    level_roof = (
        "Patterns are for a level roof. On this one widths of cant and roof differ by up "
        f"to {more}: set out from the arris, trim at the ends."
    )
    notes = ["The section is cut square to a wall beside the corner.", level_roof]
    if s.termination == "coping":
        notes.append(
            "The upper sheet goes round the arris with a lap; it needs no pattern."
        )
    return tuple(notes)


def corner_taken(p: CornerOfWall, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    return {**taken(p, site), "corner_lap": corner_lap(p, site)}


def corner_impossible(p: CornerOfWall, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    return impossible(p, site)
