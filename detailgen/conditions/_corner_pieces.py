"""What each sheet of a wall's section needs of a corner, and the pieces cut for it.

Base ply and finish ply come with the field. At a corner each has pieces of its own that
end with the cant, so that they have one relief cut, on the line of the toe: the other
would fall on their upper edge. They lap the field by an end lap, the finish ply by a side
lap more, so that no two joints lie one above the other. Strip-in and flashing go up the
wall and have both cuts. Pieces are as long as the laps of tabs and patch need and no
longer: what is too wide for the roll fails a rule, and a shorter reach or a blunter corner
mends it. That, and how far the field pieces reach, is common practice, no source.
"""

from math import radians, tan

from detailgen.conditions._condition import Site
from detailgen.conditions._corner_parameters import CornerOfWall
from detailgen.conditions._wall_sizes import WallSizes
from detailgen.flat import FlatPiece
from detailgen.folding import Face
from detailgen.patterns.corner_faces import corner_faces
from detailgen.patterns.corners import CornerKind, CornerSheet, corner_pieces, least_run
from detailgen.section import Body, LayeredSection
from detailgen.units import inches

_MARGIN = inches(3)
"""How far a view shows walls and roof past the pieces."""


def corner_lap(p: CornerOfWall, site: Site) -> float:
    """Return how far tabs and patch reach past the line at which they start, mm."""
    if p.corner_lap is not None:
        return p.corner_lap
    rows = ("corner_lap_least", "corner_patch_lap_least", "flashing_side_lap_least")
    return max(inches(1), *(site.rules.value(row) for row in rows))


def corner_sheets(
    p: CornerOfWall, s: WallSizes, site: Site, section: LayeredSection
) -> tuple[CornerSheet, ...]:
    """Return the sheets that go round the corner, the first at the bottom."""
    lap = corner_lap(p, site)
    on_field = max(site.rules.value("end_lap_least"), inches(1))
    reaches = {
        "base-ply": (on_field, 0.0),
        "strip-in": (s.strip_out, s.strip_up),
        "finish-ply": (on_field + max(site.rules.value("side_lap_least"), inches(1)), 0.0),
        "flashing": (s.reach, section.points["flashing.top"][1] - s.cant_height),
    }
    bodies = [b for b in section.bodies if b.id in reaches]
    return tuple(
        CornerSheet(
            b.id, b.role.value.capitalize(), *reaches[b.id], lap, _takes_primer(b, site)
        )
        for b in bodies
    )


def _takes_primer(body: Body, site: Site) -> bool:
    return site.catalog.material(body.material).surface in {"foil", "granules"}


def corner_of(
    kind: CornerKind,
    p: CornerOfWall,
    s: WallSizes,
    sheets: tuple[CornerSheet, ...],
    roll: float,
) -> tuple[tuple[FlatPiece, ...], tuple[Face, ...]]:
    """Return the pieces of a corner in the order of setting, and its faces in space."""
    cant = (s.cant_height, s.cant_run)
    longest = max(least_run(kind, p.corner_angle, *cant, sheet) for sheet in sheets)
    up = max(sheet.reach_up for sheet in sheets) + _MARGIN
    out = max(sheet.reach_out for sheet in sheets) + _MARGIN
    far = longest + _MARGIN
    if kind == "outside":  # both walls are drawn from face to back
        far = max(far, s.wall_thickness / tan(radians(p.corner_angle / 2.0)) + _MARGIN)
    shown = (far, up, out)
    pieces = corner_pieces(kind, p.corner_angle, *cant, sheets, roll)
    faces = corner_faces(kind, p.corner_angle, cant, shown)
    if p.first_wall == "left":
        return tuple(q.mirrored() for q in pieces), tuple(f.mirrored() for f in faces)
    return pieces, faces
