"""What a free section says: ground, surface, layers, points, and what shall be told."""

from typing import Any, Literal

from pydantic import Field

from detailgen.conditions._free_words import (
    ID,
    ID_TOLD,
    NAME,
    NAME_TOLD,
    Place,
    Signed,
    SpotText,
    place,
    signed,
    spot,
    spots,
)
from detailgen.parameters import Length, Model, Placed, length
from detailgen.section import Axis, Bond, Role

FAMILIES = Literal["wall", "roof-edge", "flange"]
_LONG = 160


class GroundBody(Model, frozen=True):
    """A solid that is there before roofing starts."""

    id: str = Field(
        pattern=ID,
        description="Its id.",
        examples=["deck"],
        json_schema_extra=dict[str, Any](ID_TOLD),
    )
    role: Role = Field(description="What it is for.", examples=["deck"])
    material: str = Field(
        max_length=64, description="Id of its material.", examples=["deck-concrete"]
    )
    points: tuple[SpotText, ...] = spots("Its corners, in order.", least=3)
    name: str = Field("", max_length=80, description="What a callout calls it.")
    stage: int = Field(0, ge=0, le=60, description="Stage in which it is built.")
    thickness: Length | None = length(
        "Thickness, where rules or quantities ask for it.",
        default=None,
        least="0.1 mm",
        most="1 m",
    )
    sticks: str = Field("", max_length=_LONG, description="How it is fixed.")


class SurfacePoint(Model, frozen=True):
    """One corner of the surface that lies open before roofing starts."""

    at: SpotText = spot("The corner.", needed=True)
    on: str = Field(
        "",
        max_length=32,
        description="Id of the body that the stretch from the corner before lies on.",
    )


class NamedPoint(Model, frozen=True):
    """A point that layers, dimensions and rules refer to."""

    name: str = Field(
        pattern=NAME,
        description="Its name.",
        examples=["cant.toe"],
        json_schema_extra=dict[str, Any](NAME_TOLD),
    )
    at: SpotText = spot("Where it is.", needed=True)


class Stretch(Model, frozen=True):
    """A part of a layer that is stuck in another way than the rest."""

    bond: Bond = Field(description="How it is stuck there.", examples=["laid dry"])
    on: str = Field("", max_length=32, description="Where it lies on this body.")
    start: Place | None = place("Where the stretch begins on the surface.")
    end: Place | None = place("Where the stretch ends.")


class Layer(Model, frozen=True):
    """One thing that is laid, set, filled, brushed or driven, in the order of building."""

    id: str = Field(
        pattern=ID,
        description="Its id.",
        examples=["base-ply"],
        json_schema_extra=dict[str, Any](ID_TOLD),
    )
    lay: Literal["sheet", "bed", "fill", "metal", "solid", "coat", "fastener"] = Field(
        description="How: a sheet or a bed along the surface, a fill between the surface "
        "and a line over it, metal bent along a line, a solid of given corners, a coat on "
        "a surface, a fastener.",
        examples=["sheet"],
    )
    stage: int = Field(ge=0, le=60, description="Stage in which it is built.", examples=[1])
    role: Role | None = Field(None, description="What it is for; a coat has none.")
    material: str = Field(
        "", max_length=64, description="Id of its material; a coat needs none."
    )
    name: str = Field("", max_length=80, description="What a callout calls it.")
    sticks: str = Field("", max_length=_LONG, description="How it is fixed, in words.")
    start: Place | None = place("Where it begins: of a sheet, bed, fill or coat.")
    end: Place | None = place("Where it ends.")
    fitted: bool = Field(
        False, description="Its end lies in an inside corner and is fitted to the face."
    )
    bond: Bond | None = Field(
        None,
        description="How it is stuck. Without it: a sheet as the job sticks sheets, a bed "
        "in cement, a fill laid dry.",
    )
    stretches: tuple[Stretch, ...] = Field(
        (), max_length=12, description="Where it is stuck in another way."
    )
    line: tuple[SpotText, ...] = spots(
        "Of metal its middle line; of a fill the line over it; of a coat on a body the "
        "line that is brushed; of a fastener its head and its point."
    )
    points: tuple[SpotText, ...] = spots("Corners of a solid, in order.")
    carries: bool = Field(
        False, description="Later layers are laid on this metal or solid."
    )
    body: str = Field(
        "", max_length=32, description="Of a coat with a line: the body it is brushed on."
    )
    thickness: Length | None = length(
        "Thickness of a solid, where rules or quantities ask for it.",
        default=None,
        least="0.1 mm",
        most="1 m",
    )
    shank: Length | None = length(
        "Diameter of a fastener's shank.", default=None, least="1 mm", most="20 mm"
    )
    cap: Length | None = length(
        "Diameter of a fastener's head or cap.", default=None, least="2 mm", most="4 in"
    )
    cap_depth: Signed | None = signed(
        "Height of the cap over the surface; negative into it."
    )
    spacing: Length | None = length(
        "Spacing of a fastener along the run.", default=None, least="1 in", most="48 in"
    )


class StageModel(Model, frozen=True):
    """One step of building; the first has the number 1."""

    name: str = Field(
        min_length=1, max_length=40, description="Its name.", examples=["Base ply"]
    )
    text: str = Field(
        min_length=1,
        max_length=320,
        description="What to do, in the imperative.",
        examples=["Lay the base ply."],
    )
    hold: bool = Field(False, description="Work stops until this has been looked at.")


class GaugeModel(Model, frozen=True):
    """A distance that is dimensioned."""

    start: str = Field(
        pattern=NAME,
        description="From this point.",
        examples=["cant.foot"],
        json_schema_extra=dict[str, Any](NAME_TOLD),
    )
    end: str = Field(
        pattern=NAME,
        description="To this one.",
        examples=["cant.top"],
        json_schema_extra=dict[str, Any](NAME_TOLD),
    )
    axis: Axis = Field(description="Along what.", examples=["vertical"])
    suffix: Literal["", "MIN.", "MAX."] = Field("", description="After the number.")
    label: str = Field("", max_length=24, description="Before the number.")
    rank: int = Field(1, ge=1, le=6, description="1 nearest the view.")


class ZoneModel(Model, frozen=True):
    """A part of the section: all that lies within the limits that are given."""

    name: str = Field("", max_length=24, description="Its name.")
    low: bool = Field(
        True, description="On roof, cant or flange, where more is asked than higher up."
    )
    left: Signed | None = signed("It begins here, to the right of this.")
    right: Signed | None = signed("It ends here, to the left of this.")
    below: Signed | None = signed("It lies below this.")
    above: Signed | None = signed("It lies above this.")


class DryModel(Model, frozen=True):
    """A body that must stay dry, everywhere or within limits."""

    body: str = Field(max_length=32, description="Its id.", examples=["wall"])
    left: Signed | None = signed("Only to the right of this.")
    right: Signed | None = signed("Only to the left of this.")
    below: Signed | None = signed("Only below this.")
    above: Signed | None = signed("Only above this.")


class BreakModel(Model, frozen=True):
    """A side on which a wall or a deck goes on beyond the drawing."""

    start: SpotText = spot("One end of the side.", needed=True)
    end: SpotText = spot("Its other end.", needed=True)


class FreeSection(Placed, frozen=True):
    """Parameters of a free section; without any shape the example is drawn."""

    families: tuple[FAMILIES, ...] = Field(
        (),
        max_length=3,
        description="Whose rules apply besides those of every section.",
        json_schema_extra={"quantity": "choices"},
    )
    fall: Literal["left", "right", "along"] = Field(
        "left",
        description="Which way the roof falls in the section.",
        json_schema_extra={"settled": "yes"},
    )
    companion: Literal["none", "wall-elevation", "flange-plan"] = Field(
        "none",
        description="A second view, drawn from the named points and the fasteners: of a "
        "wall its pieces (top-fastener-1, bar-fastener-1), of a flange its nails (nail-1, "
        "nail-2, cleat-nail-1).",
        json_schema_extra={"settled": "yes"},
    )
    drawn: tuple[SpotText, ...] = spots(
        "Two opposite corners of what is drawn. Without them: all of it.", most=2
    )
    hollows: tuple[str, ...] = Field(
        (),
        max_length=20,
        description="Ids of the bodies behind which closed spaces are meant to be.",
        json_schema_extra={"quantity": "texts", "allowed_text": "a list of ids"},
    )
    body: tuple[GroundBody, ...] = Field(
        (), max_length=60, description="What is there before roofing starts."
    )
    surface: tuple[SurfacePoint, ...] = Field(
        (),
        max_length=200,
        description="The surface that lies open then, from its left end, air on the left "
        "hand.",
    )
    point: tuple[NamedPoint, ...] = Field(
        (), max_length=100, description="Points that are referred to by name."
    )
    layer: tuple[Layer, ...] = Field(
        (), max_length=60, description="What is laid, in the order of building."
    )
    stage: tuple[StageModel, ...] = Field(
        (),
        max_length=60,
        description="The steps of building. Without them: one for each number of a layer.",
    )
    gauge: tuple[GaugeModel, ...] = Field(
        (), max_length=40, description="What is dimensioned."
    )
    zone: tuple[ZoneModel, ...] = Field(
        (),
        max_length=8,
        description="Zones for which the way of water is told; of two that overlap the "
        "first counts. Without them: one, the whole.",
    )
    dry: tuple[DryModel, ...] = Field(
        (),
        max_length=60,
        description="What must stay dry. Without them: deck, boards, cants and wood.",
    )
    edge: tuple[BreakModel, ...] = Field(
        (), max_length=8, description="Sides on which something goes on beyond the drawing."
    )
    notes: tuple[str, ...] = Field(
        (),
        max_length=8,
        description="What the reader must know besides.",
        json_schema_extra={"quantity": "texts", "allowed_text": "a list of texts"},
    )
