"""Parameters of the sheets that turn up a curb, for every condition that stands on one."""

from dataclasses import dataclass

from detailgen.conditions import _turn_up_parameters as turned
from detailgen.conditions._condition import Impossible, Site
from detailgen.conditions._curbs import CurbSizes
from detailgen.conditions._wall_heights import hem_floor, rise_behind_hem
from detailgen.parameters import Length, Placed, length
from detailgen.section import Method
from detailgen.units import inches


class CurbSheets(Placed, frozen=True):
    """Parameters of cant, sheets and lap at a curb."""

    flashing: turned.FlashingSheet | None = turned.flashing_sheet()
    cant_height: Length | None = turned.cant_rise()
    cant_run: Length | None = turned.cant_out()
    cant_material: turned.CantMaterial = turned.cant_made_of()
    strip_in_out: Length | None = turned.strip_in_on_roof()
    strip_in_up: Length | None = turned.strip_in_up("curb", "the metal's leg")
    prepared_band: Length | None = turned.band_on_finish_ply()
    flashing_reach: Length | None = turned.flashing_on_roof()
    counterflashing_lap: Length | None = length(
        "How far the leg of the metal covers the flashing sheet, from the nailer's top. "
        "Without it: the rule's least, or what the cant leaves room for.",
        default=None,
        least="1/2 in",
        most="24 in",
        by_rule="counterflashing_lap_least",
    )
    top_fastener_spacing: Length | None = turned.spacing_at_top()


@dataclass(frozen=True, slots=True)
class Stands:
    """How a curb stands, before its sheets are known, mm."""

    kind: str
    thickness: float
    height: float
    top_slope: float
    drop: float
    """How far the toe of the cant lies below the foot of the curb."""
    lap: float
    """How far the metal's leg comes down from the nailer's top."""


def cant_of(p: CurbSheets, site: Site) -> tuple[float, float]:
    """Return the height and the run of the cant, mm."""
    height = p.cant_height or site.rules.value("cant_height_least")
    return height, p.cant_run or height


def spacing_of(p: CurbSheets, site: Site) -> float:
    """Return the spacing of the fasteners along the top edge of a cement-set sheet, mm."""
    return p.top_fastener_spacing or site.rules.value("top_fastener_spacing_most")


def sizes_of(p: CurbSheets, site: Site, stands: Stands) -> CurbSizes:
    """Return the parameters with every default filled in."""
    cant_height, cant_run = cant_of(p, site)
    reach = site.ruled(p.flashing_reach, "flashing_reach_least")
    strip_up = site.ruled(p.strip_in_up, "strip_in_wall_least")
    if p.strip_in_up is None and site.rules.value("sheets_on_wall") > 1.0:
        over_cant = stands.height - cant_height - stands.drop
        strip_up = max(strip_up, rise_behind_hem(site, over_cant, stands.lap))
    return CurbSizes(
        kind=stands.kind,
        thickness=stands.thickness,
        height=stands.height,
        top_slope=stands.top_slope,
        cant_height=cant_height,
        cant_run=cant_run,
        cant_material=p.cant_material,
        strip_out=site.ruled(p.strip_in_out, "strip_in_toe_least"),
        strip_up=strip_up,
        band=p.prepared_band or max(site.rules.value("prepared_band_least"), reach),
        reach=reach,
        foil=p.flashing == "foil" if p.flashing else site.roof.adhesion is Method.TORCH,
    )


def sheets_taken(p: CurbSheets, s: CurbSizes, site: Site) -> dict[str, float | str]:
    """Return what is taken for the parameters of the sheets."""
    return {
        "flashing": "foil" if s.foil else "granule-in-cement",
        "cant_height": s.cant_height,
        "cant_run": s.cant_run,
        "strip_in_out": s.strip_out,
        "strip_in_up": s.strip_up,
        "prepared_band": s.band,
        "flashing_reach": s.reach,
        "top_fastener_spacing": spacing_of(p, site),
    }


def sheets_impossible(
    s: CurbSizes, drop: float, lap: float, site: Site
) -> list[Impossible]:
    """Return what of cant, sheets and lap cannot stand on a curb of this height."""
    found: list[Impossible] = []
    if s.cant_height + drop + inches(1) > s.height:
        found.append(
            Impossible(
                ("cant_height", "curb_height"),
                "The cant is as tall as the curb stands out of the roof.",
                "at least 1 in less than the curb's height where it is drawn",
                "Lower the cant or raise the curb.",
            )
        )
    if s.strip_up + s.cant_height + drop > s.height - inches(0.25):
        found.append(
            Impossible(
                ("strip_in_up", "curb_height"),
                "The strip-in ply ends higher than the face of the curb under it.",
                "cant height and strip-in rise together less than the curb's height",
                "Lower the strip-in ply or raise the curb.",
            )
        )
    floor = hem_floor(site, s.cant_height, drop)
    if lap > s.height - floor + inches(0.25) - 1e-6:
        found.append(
            Impossible(
                ("counterflashing_lap", "curb_height"),
                "The leg of the metal would run down over the cant.",
                "a hem above the top of the cant",
                "Shorten the lap or raise the curb.",
            )
        )
    return found
