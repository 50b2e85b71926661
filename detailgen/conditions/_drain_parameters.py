"""What drains have in common: their parameters, and the sizes that follow from them."""

from dataclasses import dataclass
from typing import Literal

from pydantic import Field

from detailgen.conditions._condition import Impossible, Site
from detailgen.conditions._metalwork import usual_copper
from detailgen.conditions._strainer import StrainerSizes, slots_of
from detailgen.conditions._sump import room_for_sump
from detailgen.parameters import Length, Placed, Rise, choice, length
from detailgen.units import inches, parse_slope

Metal = Literal["lead-4", "lead-3", "lead-2half", "copper-16", "copper-20"]
USUAL_TAPER = 1.0 / 24.0
"""1/2 in per ft: 1 in over the 2 ft from the middle of a 48 in sump (computed)."""
LIP = inches(0.25)
"""The ring stays this much short of the outer edge of the bowl's flange (common practice,
no source)."""
WALL = inches(0.25)
"""Thickness of the bowl's walls (common practice, no source)."""
SHALLOWEST = inches(0.125)
"""A sump that is less deep is none."""
RING = inches(0.375)
"""Thickness of the clamping ring (common practice, no source)."""
SIDE = 0.7
"""Part of a dome's rise that its side takes, up to its shoulder."""
STRAINER = 5.0
"""Thickness of a cast strainer, mm (common practice, no source)."""


class DrainParameters(Placed, frozen=True):
    """Parameters that all drains have."""

    bowl: Length = length(
        "Diameter of the bowl's opening.", default="10 in", least="8 in", most="16 in"
    )
    bowl_depth: Length = length(
        "Depth of the bowl below its rim.", default="5 in", least="4 1/2 in", most="10 in"
    )
    bowl_flange: Length = length(
        "Width of the bowl's flange, on which the sheets are clamped.",
        default="2 1/2 in",
        least="2 1/2 in",
        most="4 in",
    )
    outlet: Length = length(
        "Inside diameter of the outlet and its leader.",
        default="4 in",
        least="2 in",
        most="6 in",
    )
    sump: Length | None = length(
        "Width of the sump, a square about the drain.",
        default=None,
        least="30 in",
        most="96 in",
        by_rule="sump_width_least",
    )
    sump_taper: Rise | None = Field(
        None,
        ge=0.0,
        le=parse_slope("3/4 in per ft"),
        description="Taper of the boards in the sump, against the roof beside it. Without "
        "it: 1/2 in per ft, or what the insulation leaves room for.",
        json_schema_extra={
            "default_text": "",
            "least_text": "0 %",
            "most_text": "3/4 in per ft",
            "quantity": "slope",
        },
    )
    metal: Metal | None = choice(
        "Metal in the membrane. Without it: lead of 4 lb, or what the rule set asks.",
        default=None,
    )
    sheet: Length | None = length(
        "Side of the square of metal.",
        default=None,
        least="22 in",
        most="48 in",
        by_rule="drain_sheet_least",
    )
    base_cement: Length | None = length(
        "Base ply in plastic cement, out from the opening.",
        default=None,
        least="1 in",
        most="12 in",
        by_rule="drain_base_cement_least",
    )
    base_into_bowl: Length = length(
        "How far the base ply is cut down into the bowl.",
        default="1 in",
        least="1/2 in",
        most="2 in",
    )
    dressed: Length = length(
        "How far the metal is dressed down past the end of the base ply in the bowl.",
        default="1 in",
        least="1/2 in",
        most="2 in",
    )
    target: Length | None = length(
        "How far the target runs past the metal.",
        default=None,
        least="1 in",
        most="12 in",
        by_rule="drain_target_least",
    )
    target_cement: Length | None = length(
        "Innermost part of the target in plastic cement.",
        default=None,
        least="1 in",
        most="8 in",
        by_rule="drain_target_cement_least",
    )
    ring: Length = length(
        "Width of the clamping ring.", default="2 in", least="1 1/4 in", most="2 1/8 in"
    )
    short_of_ring: Length = length(
        "How far short of the ring's inner edge the sheets under it end.",
        default="1/4 in",
        least="1/8 in",
        most="1 in",
    )
    strainer: Literal["dome", "flat"] = choice(
        "Strainer: a dome, or a flat one where the roof is walked on.", default="dome"
    )
    strainer_height: Length | None = length(
        "Height of a domed strainer above the roof next to the drain.",
        default=None,
        least="1 in",
        most="12 in",
        by_rule="strainer_height_least",
    )
    strainer_slot: Length = length(
        "Width of the strainer's slots.", default="1/2 in", least="1/4 in", most="1 in"
    )
    strainer_slots: int | None = Field(
        None,
        ge=4,
        le=80,
        description="Number of the strainer's slots, as far as there is room. Without it: "
        "as many as the open area asks.",
    )
    plug: bool = choice(
        "The outlet is plugged while the roof is built, since debris could fall in.",
        default=True,
    )


@dataclass(frozen=True, slots=True)
class DrainSizes:
    """The parameters with every default filled in, mm; x counts from the axis outward."""

    bowl: float
    """Radius of the opening."""
    depth: float
    flange: float
    outlet: float
    """Radius of the outlet."""
    sump: float
    """Half of the sump's width."""
    taper: float
    metal: str
    half: float
    """Half of the side of the metal's square."""
    base_cement: float
    base_drop: float
    dressed: float
    target: float
    target_cement: float
    ring: float
    under: float
    dome: bool
    strainer_height: float

    @property
    def rim(self) -> float:
        """Outer edge of the bowl's flange, where the sump is lowest."""
        return self.bowl + self.flange

    @property
    def ring_outer(self) -> float:
        """Outer edge of the clamping ring."""
        return self.rim - LIP

    @property
    def ring_inner(self) -> float:
        """Inner edge of the clamping ring."""
        return self.ring_outer - self.ring

    @property
    def inner(self) -> float:
        """Inner end of target and finish ply, under the ring."""
        return self.ring_outer - self.under

    @property
    def rise(self) -> float:
        """Rise of a domed strainer above its foot on the ring, without its thickness."""
        return max(self.strainer_height - RING - STRAINER, STRAINER)

    @property
    def drop(self) -> float:
        """How far the boards' taper sinks the rim below the roof beside the sump."""
        return self.taper * (self.sump - self.rim)


def sizes(p: DrainParameters, site: Site) -> DrainSizes:
    """Return the parameters with every default filled in."""
    sump = site.ruled(p.sump, "sump_width_least") / 2.0
    run = sump - p.bowl / 2.0 - p.bowl_flange
    taper = p.sump_taper
    if taper is None:
        taper = min(USUAL_TAPER, room_for_sump(site) / run) if run > 0.0 else 0.0
        taper = taper if taper * run >= SHALLOWEST else 0.0
    return DrainSizes(
        bowl=p.bowl / 2.0,
        depth=p.bowl_depth,
        flange=p.bowl_flange,
        outlet=p.outlet / 2.0,
        sump=sump,
        taper=taper,
        metal=p.metal or usual_metal(site),
        half=site.ruled(p.sheet, "drain_sheet_least") / 2.0,
        base_cement=site.ruled(p.base_cement, "drain_base_cement_least"),
        base_drop=p.base_into_bowl,
        dressed=p.base_into_bowl + p.dressed,
        target=site.ruled(p.target, "drain_target_least"),
        target_cement=site.ruled(p.target_cement, "drain_target_cement_least"),
        ring=p.ring,
        under=p.ring - p.short_of_ring,
        dome=p.strainer == "dome",
        strainer_height=site.ruled(p.strainer_height, "strainer_height_least"),
    )


def strainer_sizes(p: DrainParameters, s: DrainSizes, site: Site) -> StrainerSizes:
    """Return what the strainer over a drain is like."""
    row = "strainer_open_halves_least" if s.dome else "flat_strainer_open_halves_least"
    return StrainerSizes(
        dome=s.dome,
        radius=s.ring_inner,
        rise=SIDE * s.rise,
        slot=p.strainer_slot,
        slots=p.strainer_slots,
        leader=s.outlet,
        halves=site.rules.value(row),
    )


def usual_metal(site: Site) -> str:
    """Return the metal that is taken where the job names none."""
    return usual_copper(site) if site.rules.value("drain_sheet_of_copper") else "lead-4"


def taken(p: DrainParameters, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = sizes(p, site)
    return {
        "sump": 2.0 * s.sump,
        "sump_taper": s.taper,
        "metal": s.metal,
        "sheet": 2.0 * s.half,
        "base_cement": s.base_cement,
        "target": s.target,
        "target_cement": s.target_cement,
        "strainer_height": s.strainer_height,
        "strainer_slots": len(slots_of(strainer_sizes(p, s, site)).seen),
    }


def impossible(p: DrainParameters, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = sizes(p, site)
    found: list[Impossible] = []

    def need(holds: bool, keys: str, message: str, allowed: str, mend: str) -> None:
        if not holds:
            found.append(Impossible(tuple(keys.split()), message, allowed, mend))

    need(
        inches(30) - 1e-6 <= 2.0 * s.sump <= inches(96) + 1e-6,
        "sump",
        "The sump that the rule asks is narrower or wider than can be built.",
        "30 in to 96 in",
        "Write the width of the sump, or another value of the rule sump_width_least.",
    )
    need(
        s.base_cement >= inches(0.5),
        "base_cement",
        "The cement under the base ply that the rule asks is too narrow to be spread.",
        "at least 1/2 in",
        "Write its width, or another value of the rule drain_base_cement_least.",
    )
    need(
        s.half >= s.rim + inches(2) - 1e-6,
        "sheet bowl bowl_flange",
        "The square of metal hardly reaches past the bowl's flange.",
        "at least 2 in past the flange on every side",
        "Take a larger sheet or a smaller drain.",
    )
    need(
        s.inner + s.target_cement <= s.half - inches(0.5) + 1e-6,
        "target_cement sheet",
        "The cement under the target runs out to the edge of the metal.",
        "an end at least 1/2 in short of the metal's edge",
        "Spread less cement or take a larger sheet.",
    )
    need(
        s.drop <= room_for_sump(site) + 1e-6 or not s.taper,
        "sump_taper sump",
        "The sump is deeper than the insulation has room for.",
        f"a drop of at most {room_for_sump(site) / 25.4:.4g} in "
        f"({room_for_sump(site):.0f} mm): 1 in of insulation stays under the drain",
        "Taper it less, make it smaller or use thicker insulation.",
    )
    return found
