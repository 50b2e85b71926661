"""A wall's flashing with every default filled in, and what of it cannot stand together."""

from dataclasses import dataclass

from detailgen.conditions._condition import Impossible, Site
from detailgen.conditions._ground import DECK_THICKNESS
from detailgen.conditions._wall_heights import height_for_lap, hem_floor, rise_behind_hem
from detailgen.conditions._wall_parameters import WallSheets
from detailgen.section import Method
from detailgen.units import inches


@dataclass(frozen=True, slots=True)
class WallSizes:
    """The parameters with every default filled in, mm."""

    termination: str
    foil: bool
    wall_thickness: float
    cant_height: float
    cant_run: float
    strip_out: float
    strip_up: float
    band: float
    reach: float
    height: float
    reglet_height: float
    reglet_depth: float
    lap: float
    wall_height: float
    upper_lap: float
    coping_face: float
    fastener_spacing: float


_WALL_THICKNESS = {"masonry": inches(7.625), "concrete": inches(8), "stud": inches(6)}
_ROOM = {"reglet": inches(1), "surface": inches(1.5)}
"""Least room between the top of the flashing and the reglet or the bar."""
_UNDER_BLOCKING = inches(2)
"""Least height of the coped wall above the lower sheet."""


def wall_sizes(p: WallSheets, site: Site) -> WallSizes:
    termination = p.termination or ("surface" if p.wall == "stud" else "reglet")
    foil = p.flashing == "foil" if p.flashing else site.roof.adhesion is Method.TORCH
    cant_height = site.ruled(p.cant_height, "cant_height_least")
    drop = wall_tilt(p, site) * (p.cant_run or cant_height)
    floor = hem_floor(site, cant_height, drop)
    height = site.ruled(p.flashing_height, "flashing_height_least")
    if p.flashing_height is None:  # as high as what covers its top needs, or leaves room
        coped = termination == "coping"
        laps = (p.upper_lap, "upper_lap_least")
        if not coped:
            laps = (p.counterflashing_lap, "counterflashing_lap_least")
        height = max(height, height_for_lap(floor, site.ruled(*laps), coped=coped))
        if termination == "coping" and p.wall_height is not None:
            height = min(height, p.wall_height - _UNDER_BLOCKING)
        elif termination != "coping" and p.reglet_height is not None:
            height = min(height, p.reglet_height - _ROOM[termination])
    reach = site.ruled(p.flashing_reach, "flashing_reach_least")
    band = max(site.rules.value("prepared_band_least"), reach)
    lap = site.ruled(p.counterflashing_lap, "counterflashing_lap_least")
    if p.counterflashing_lap is None:
        lap = min(lap, height - floor)
    strip_up = site.ruled(p.strip_in_up, "strip_in_wall_least")
    two_sheets = site.rules.value("sheets_on_wall") > 1.0 and termination != "coping"
    if p.strip_in_up is None and two_sheets:  # the strip-in is the second one
        strip_up = max(strip_up, rise_behind_hem(site, height - cant_height - drop, lap))
    room = _ROOM.get(termination, inches(1))
    cut = termination == "reglet"
    least_reglet = site.rules.value("reglet_height_least") if cut else 0.0
    return WallSizes(
        termination=termination,
        foil=foil,
        wall_thickness=p.wall_thickness or _WALL_THICKNESS[p.wall],
        cant_height=cant_height,
        cant_run=p.cant_run or cant_height,
        strip_out=site.ruled(p.strip_in_out, "strip_in_toe_least"),
        strip_up=strip_up,
        band=p.prepared_band or band,
        reach=reach,
        height=height,
        reglet_height=p.reglet_height or max(height + room, least_reglet),
        reglet_depth=site.ruled(p.reglet_depth, "reglet_depth_least"),
        lap=lap,
        wall_height=p.wall_height or height + inches(10),
        upper_lap=site.ruled(p.upper_lap, "upper_lap_least"),
        coping_face=site.ruled(p.coping_face, "coping_face_least"),
        fastener_spacing=site.ruled(p.top_fastener_spacing, "top_fastener_spacing_most"),
    )


def wall_tilt(p: WallSheets, site: Site) -> float:
    return site.roof.slope * {"away": 1.0, "toward": -1.0, "along": 0.0}[p.fall]


def taken(p: WallSheets, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = wall_sizes(p, site)
    return {
        "wall_thickness": s.wall_thickness,
        "termination": s.termination,
        "flashing": "foil" if s.foil else "granule-in-cement",
        "cant_height": s.cant_height,
        "cant_run": s.cant_run,
        "strip_in_out": s.strip_out,
        "strip_in_up": s.strip_up,
        "prepared_band": s.band,
        "flashing_reach": s.reach,
        "flashing_height": s.height,
        "reglet_height": s.reglet_height,
        "reglet_depth": s.reglet_depth,
        "counterflashing_lap": s.lap,
        "top_fastener_spacing": s.fastener_spacing,
        "wall_height": s.wall_height,
        "upper_lap": s.upper_lap,
        "coping_face": s.coping_face,
        "deck_thickness": DECK_THICKNESS[site.roof.deck],
    }


def impossible(p: WallSheets, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = wall_sizes(p, site)
    drop = wall_tilt(p, site) * s.cant_run
    found: list[Impossible] = []

    def add(keys: tuple[str, ...], message: str, allowed: str, mend: str) -> None:
        found.append(Impossible(keys, message, allowed, mend))

    if p.wall == "stud" and s.termination == "reglet":
        add(
            ("termination", "wall"),
            "A stud wall has no joint or mass to cut a reglet into.",
            "surface or coping",
            "Use another termination.",
        )
    top = s.wall_height - _UNDER_BLOCKING if s.termination == "coping" else s.height
    if s.cant_height + drop + inches(1) > top:
        add(
            ("cant_height", "flashing_height", "wall_height"),
            "The cant is as tall as the flashing on the wall.",
            "at least 1 in less than the flashing's height",
            "Lower the cant.",
        )
    if s.strip_up + s.cant_height + drop > s.height - inches(0.25):
        add(
            ("strip_in_up", "flashing_height"),
            "The strip-in ply ends higher than the flashing sheet that must cover it.",
            "cant height and strip-in rise together less than the flashing's height",
            "Lower the strip-in ply or raise the flashing.",
        )
    if s.termination == "coping":
        if s.height > s.wall_height - _UNDER_BLOCKING + 1e-6:
            add(
                ("flashing_height", "wall_height"),
                "The lower flashing sheet is taller than the wall leaves room for.",
                "at least 2 in less than wall_height",
                "Lower the flashing or raise the wall.",
            )
        if (
            s.upper_lap
            > s.height - hem_floor(site, s.cant_height, drop) + inches(0.25) - 1e-6
        ):
            add(
                ("upper_lap", "flashing_height"),
                "The upper sheet would lap down onto the cant.",
                "a lower edge above the top of the cant",
                "Shorten the lap or raise the flashing.",
            )
    else:
        room = _ROOM[s.termination]
        if s.reglet_height < s.height + room - 1e-6:
            add(
                ("flashing_height", "reglet_height"),
                "The flashing sheet reaches above where its counterflashing starts.",
                f"reglet_height at least {room / 25.4:g} in above flashing_height",
                "Lower the flashing or raise the reglet.",
            )
        if s.lap > s.height - hem_floor(site, s.cant_height, drop) + inches(0.25) - 1e-6:
            add(
                ("counterflashing_lap", "flashing_height"),
                "The counterflashing would run down over the cant.",
                "a hem above the top of the cant",
                "Shorten the lap or raise the flashing.",
            )
    return found
