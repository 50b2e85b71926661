"""A scupper unfolded about the foot of the wall: the roof below, the wall above."""

from detailgen.conditions._scupper_frame import ScupperSizes
from detailgen.conditions._scupper_wall import ABOVE_HEAD
from detailgen.geometry import Region
from detailgen.geometry.regions import box, cut, union
from detailgen.section import Axis, Gauge, Layout, Part, Role
from detailgen.units import inches

MARGIN = inches(3)
"""Wall and roof that are seen past the sheets."""
VIEW = "plan"


def unfolded(s: ScupperSizes) -> Layout:
    """Return the scupper unfolded, y = 0 where the finished roof meets the wall."""
    half, strip = s.width / 2.0, s.strip_in
    low, high = s.rise, s.rise + s.height
    out = s.roof_flange + strip
    side = half + max(s.roof_flange, s.wall_flange) + strip + MARGIN
    opening = box(-half, low, half, high)
    field = box(-side, -out - MARGIN, side, 0.0)
    top = s.flashing + inches(1)
    flange = _both(s, half, 0.0, opening)
    parts = [
        Part("base-ply", Role.BASE_PLY, "Base ply", field, 0),
        Part("wall", Role.WALL, "Wall", box(-side, 0.0, side, top + inches(2)), 0),
        _hidden("liner-flange", Role.LINER, "Flange of the liner, soldered", 1, flange),
        _hidden(
            "target",
            Role.STRIP_IN,
            "Target",
            2,
            box(-half - out, -out, half + out, 0.0),
        ),
        _hidden(
            "wall-strip",
            Role.STRIP_IN,
            "Strip-in ply over the wall flange",
            2,
            cut(_upright(s, half, strip), [opening])[0],
        ),
        Part("finish-ply", Role.FINISH_PLY, "Finish ply, to the throat", field, 3),
        Part(
            "flashing",
            Role.FLASHING,
            "Flashing sheet, cut round the opening",
            cut(
                box(-side, 0.0, side, s.flashing),
                [box(-half, -1.0, half, high + ABOVE_HEAD)],
            )[0],
            3,
        ),
        Part(
            "counterflashing",
            Role.COUNTERFLASHING,
            "Counterflashing",
            box(-side, s.flashing - s.lap, side, top),
            4,
        ),
        Part("opening", Role.LINER, "Throat of the scupper", opening, 5),
    ]
    if s.overflow:
        leg = box(-half, 0.0, half, low)
        parts.append(Part("leg", Role.LINER, "Floor of the liner, bent up", leg, 5))
    return Layout(
        VIEW,
        "Roof and wall unfolded, edges of covered parts dashed",
        tuple(parts),
        points=_points(s),
        gauges=_gauges(s),
        downhill=(0.0, 1.0),
    )


def _upright(s: ScupperSizes, half: float, past: float) -> Region:
    """Return what lies about the opening on the wall, so far past its flange."""
    reach = s.wall_flange + past
    return box(-half - reach, 0.0, half + reach, s.rise + s.height + reach)


def _both(s: ScupperSizes, half: float, past: float, opening: Region) -> Region:
    """Return the flange of the liner on roof and wall."""
    f = s.roof_flange
    on_roof = box(-half - f, -f, half + f, 0.0)
    return cut(union([on_roof, _upright(s, half, past)])[0], [opening])[0]


def _points(s: ScupperSizes) -> dict[str, tuple[float, float]]:
    half, f, w, strip = s.width / 2.0, s.roof_flange, s.wall_flange, s.strip_in
    low, high = s.rise, s.rise + s.height
    return {
        "opening.left": (-half, low),
        "opening.right": (half, low),
        "opening.low": (half, low),
        "opening.high": (half, high),
        "head.flange": (half + w, high + w),
        "head.strip": (half + w + strip, high + w + strip),
        "roof.low": (half, 0.0),
        "foot": (half + f, 0.0),
        "flange.right": (half + f, -f),
        "strip.right": (half + f + strip, -f - strip),
        "side.right": (half, -f),
    }


def _gauges(s: ScupperSizes) -> tuple[Gauge, ...]:
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    gauges = [
        Gauge("opening-width", "opening.left", "opening.right", h, view=VIEW),
        Gauge("side-flange", "side.right", "flange.right", h, view=VIEW),
        Gauge("side-strip", "flange.right", "strip.right", h, view=VIEW),
        Gauge("plan-flange", "flange.right", "foot", v, view=VIEW),
        Gauge("plan-strip", "strip.right", "flange.right", v, view=VIEW),
        Gauge("plan-height", "opening.low", "opening.high", v, view=VIEW),
        Gauge("head-flange", "opening.high", "head.flange", v, view=VIEW),
        Gauge("head-strip", "head.flange", "head.strip", v, view=VIEW),
    ]
    if s.overflow:
        gauges.append(Gauge("plan-rise", "roof.low", "opening.low", v, view=VIEW))
    return tuple(gauges)


def _hidden(part_id: str, role: Role, name: str, level: int, region: Region) -> Part:
    return Part(part_id, role, name, region, level, hidden=True)
