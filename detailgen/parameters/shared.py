"""What a job may say whatever its conditions: project, roof, overrides, distances."""

from typing import Annotated, Final, Literal, cast

from pydantic import BeforeValidator, Field

from detailgen.parameters.fields import Length, Model, Rise, choice, length, material
from detailgen.section import Method
from detailgen.units import UnitSystem, parse_length, parse_slope

STEEPEST: Final = 0.25
"""Slope of the steepest roof, rise per run."""
MOST_SETS: Final = 2
"""So many rule sets can be combined."""


def _as_sets(value: object) -> object:
    """Return the ids of rule sets as a tuple: one may be written without a list."""
    if isinstance(value, str):
        return (value,)
    if not isinstance(value, list | tuple) or not value:
        msg = "the id of a rule set, or a list of two ids, is needed"
        raise ValueError(msg)
    ids = cast("list[object] | tuple[object, ...]", value)
    if not all(isinstance(one, str) for one in ids):
        msg = "the ids of rule sets are texts in quotes"
        raise ValueError(msg)
    if len(ids) > MOST_SETS:
        msg = f"at most {MOST_SETS} rule sets can be combined"
        raise ValueError(msg)
    if len(set(ids)) < len(ids):
        msg = "the same rule set stands twice"
        raise ValueError(msg)
    return tuple(ids)


RuleSets = Annotated[tuple[str, ...], BeforeValidator(_as_sets)]
"""Ids of the rule sets that a job is held against: one, or two that are combined."""


class Project(Model, frozen=True):
    """Project data for the title block."""

    name: str = Field(
        min_length=1,
        max_length=80,
        description="Name of the job.",
        examples=["Records Hall"],
    )
    number: str = Field("", max_length=24, description="Job number.")
    location: str = Field("", max_length=80, description="Where the building stands.")
    drawn_by: str = Field("", max_length=24, description="Initials or name of the drafter.")
    checked_by: str = Field("", max_length=24, description="Left blank when nobody has.")
    date: str = Field(
        "", max_length=16, description="Date of issue, as it shall be printed."
    )
    revision: str = Field("", max_length=4, description="Revision mark.")
    office: str = Field(
        "", max_length=200, description="Settings file of the office, beside this file."
    )
    units: UnitSystem = Field(
        UnitSystem.FEET_INCHES,
        description="How lengths are printed: feet-inches or millimetres.",
    )
    show_both_units: bool = Field(
        False, description="Print the other unit in brackets too."
    )
    sheet: Literal[
        "ANSI A", "ANSI B", "ANSI C", "ANSI D", "ISO A4", "ISO A3", "ISO A2", "ISO A1"
    ] = Field("ANSI B", description="Size of the sheets, laid on their long side.")
    rules: RuleSets = Field(
        ("common-practice",),
        description="Id of the rule set; or a list of two, of which the stricter value "
        "of every rule is asked.",
        json_schema_extra={
            "quantity": "rule sets",
            "default_text": "common-practice",
        },
    )


InsulationLayer = Annotated[
    Length, Field(ge=parse_length("1/2 in"), le=parse_length("6 in"))
]
"""Thickness of one insulation layer."""


class Roof(Model, frozen=True):
    """What all conditions of the job have in common."""

    deck: Literal["concrete", "steel", "wood"] = choice(
        "Kind of deck: concrete, fluted steel, or wood.", default="concrete"
    )
    deck_thickness: Length | None = length(
        "Thickness of the deck; for steel the depth of its flutes. "
        "Without it: concrete 6 in, steel 1 1/2 in, wood 1 1/2 in.",
        default=None,
        least="1/2 in",
        most="16 in",
    )
    insulation: tuple[InsulationLayer, ...] = Field(
        (parse_length("1 1/2 in"), parse_length("1 1/2 in")),
        max_length=3,
        description="Thickness of each insulation layer from the deck up; none to three.",
        json_schema_extra={
            "default_text": '["1 1/2 in", "1 1/2 in"]',
            "least_text": "1/2 in",
            "most_text": "6 in",
            "quantity": "length",
        },
    )
    cover_board: Length | None = length(
        "Thickness of the cover board over the insulation; leave it out for none.",
        default=None,
        least="1/4 in",
        most="1 in",
    )
    slope: Rise = Field(
        parse_slope("1/4 in per ft"),
        ge=0.0,
        le=STEEPEST,
        description="Slope of the roof surface.",
        json_schema_extra={
            "by_rule": "slope_least",
            "least_text": "0 %",
            "most_text": "3 in per ft",
            "quantity": "slope",
        },
    )
    adhesion: Method = Field(
        Method.TORCH,
        description="How sheets are stuck: torch, hot asphalt or cold adhesive.",
    )
    base_ply: str = material(
        "Material of the base ply and the strip-ins.",
        default="base-ply-glass-smooth",
        family="sheet",
    )
    finish_ply: str = material(
        "Material of the finish ply.", default="finish-ply-glass-granule", family="sheet"
    )
    roll_width: Length = length(
        "Width of a roll of sheet.", default="1 m", least="18 in", most="1.2 m"
    )


class RuleOverride(Model, frozen=True):
    """Another value for one row of the rule set, with a reason that is printed."""

    rule: str = Field(
        max_length=64, description="Id of the rule row.", examples=["flashing_height_least"]
    )
    value: str | int | float = Field(
        description="The value that this job asks.", examples=["8 in"]
    )
    reason: str = Field(
        min_length=3,
        max_length=160,
        description="Why; printed on sheets.",
        examples=["Agreed with the owner"],
    )


class Acceptance(Model, frozen=True):
    """A rule that the owner leaves failing in one condition: an accepted deviation."""

    rule: str = Field(
        max_length=64,
        description="Id of the rule whose failure is accepted.",
        examples=["low_flashing"],
    )
    reason: str = Field(
        min_length=3,
        max_length=160,
        description="Why; printed on sheets.",
        examples=["Sills cannot be raised"],
    )
    by: str = Field(
        min_length=1,
        max_length=60,
        description="Who accepts it; printed on sheets.",
        examples=["the owner's agent"],
    )


class Distance(Model, frozen=True):
    """How near two conditions of a job stand to each other."""

    of: str = Field(max_length=24, description="Id of one condition.", examples=["S1"])
    to: str = Field(max_length=24, description="Id of the other.", examples=["D1"])
    clear: Length = length(
        "Clear between the faces of the two: of pipes, curbs and walls as they rise from "
        "the roof, of a drain's bowl, of the outer edge of the roof.",
        default=None,
        least="0 in",
        most="100 m",
        example="30 in",
        needed=True,
    )


class MaterialOverride(Model, frozen=True):
    """Another figure for one material of the catalogue, with a reason that is printed."""

    material: str = Field(
        max_length=64, description="Id of the material.", examples=["base-ply-glass-smooth"]
    )
    thickness: Length | None = length(
        "Thickness.", default=None, least="0.1 mm", most="1 m"
    )
    mass: float | None = Field(None, gt=0, le=200, description="Mass, kg per square metre.")
    name: str | None = Field(
        None, min_length=1, max_length=80, description="Name on sheets."
    )
    reason: str = Field(
        min_length=3,
        max_length=160,
        description="Why; printed on sheets.",
        examples=["Agreed with the owner"],
    )


class Placed(Model, frozen=True):
    """What every condition of a job has, whatever its kind."""

    id: str = Field(
        pattern=r"^[A-Za-z0-9][A-Za-z0-9_-]{0,23}$",
        description="Short mark of the detail, and the name of its files.",
        examples=["W1"],
        json_schema_extra={
            "allowed_text": "1 to 24 letters, digits, - and _, a letter or digit first"
        },
    )
    title: str = Field("", max_length=60, description="Title of the sheet.")
    length: Length | None = length(
        "How much of it there is: a length along the edge or wall.",
        default=None,
        least="1 in",
        most="10000 m",
        example="120 ft",
    )
    count: int | None = Field(
        None, ge=1, le=10_000, description="How much of it there is: a number of places."
    )
