"""How places are written in a free section: coordinates, spots, and places on the surface.

A coordinate is a sum of lengths and of things that are known: `-4 in`, `roof - 3 in` (the
roof plane at this x), `cant.top + 2 in` (the same coordinate of a named point), `0.5 t`
(half of the thickness of the metal in question).
"""

import re
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal, cast

from pydantic import BeforeValidator, Field

from detailgen.parameters import Model
from detailgen.units import parse_length

LONGEST: Final = 120
_NAME: Final = re.compile(r"[a-z][a-z0-9-]{0,31}(?:\.[a-z0-9][a-z0-9-]{0,15}){1,2}")
_TIMES: Final = re.compile(r"(\d{1,3}(?:\.\d{1,12})?) t")
_SPLIT: Final = re.compile(r"\s+([+-])\s+")
NAME: Final = f"^{_NAME.pattern}$"
"""Pattern of the name of a point: words with a point between them."""
ID: Final = r"^[a-z][a-z0-9-]{0,31}$"
"""Pattern of the id of a body or layer."""
ID_TOLD: Final = {"allowed_text": "a small letter, then small letters, digits and -"}
NAME_TOLD: Final = {"allowed_text": 'words of an id with a point between: "cant.toe"'}


@dataclass(frozen=True, slots=True)
class Coordinate:
    """One coordinate as it was written."""

    fixed: float = 0.0
    """The lengths in it, mm."""
    roof: float = 0.0
    """How many times the level of the roof plane is in it."""
    thick: float = 0.0
    """How many thicknesses of the metal are in it."""
    named: tuple[tuple[str, float], ...] = ()
    """Points whose coordinate is in it, and how many times."""


def coordinate(text: object) -> Coordinate:
    """Return a coordinate that a person wrote.

    Raises:
        ValueError: It is none; the message says what to write.

    >>> coordinate("-4 in").fixed, coordinate("cant.top + 50 mm").named
    (-101.6, (('cant.top', 1.0),))
    """
    if isinstance(text, Coordinate):
        return text
    if not isinstance(text, str):
        msg = 'not a coordinate: write it as text, such as "-4 in" or "roof + 2 in"'
        raise ValueError(msg)  # noqa: TRY004  (one kind of exception for all of it)
    if len(text) > LONGEST:
        msg = "too long for a coordinate"
        raise ValueError(msg)
    plain = text.strip().replace("\u2212", "-")
    sign = -1.0 if plain.startswith("-") else 1.0
    parts = _SPLIT.split(plain.removeprefix("-").removeprefix("+").strip())
    fixed = roof = thick = 0.0
    named: list[tuple[str, float]] = []
    for i in range(0, len(parts), 2):
        if i:
            sign = -1.0 if parts[i - 1] == "-" else 1.0
        term = parts[i].strip()
        if term == "roof":
            roof += sign
        elif times := _TIMES.fullmatch(term):
            thick += sign * float(times[1])
        elif _NAME.fullmatch(term):
            named.append((term, sign))
        else:
            fixed += sign * _length(term)
    return Coordinate(fixed, roof, thick, tuple(named))


def _length(term: str) -> float:
    if term in {"0", "0.0"}:
        return 0.0
    return float(parse_length(term))


@dataclass(frozen=True, slots=True)
class Spot:
    """A point of the section: where x and y are, or that of a name."""

    x: Coordinate
    y: Coordinate


def _as_spot(value: object) -> Spot:
    if isinstance(value, Spot):
        return value
    if isinstance(value, str) and _NAME.fullmatch(value.strip()):
        name = ((value.strip(), 1.0),)
        return Spot(Coordinate(named=name), Coordinate(named=name))
    pair = cast("list[object]", value) if isinstance(value, list | tuple) else []
    if len(pair) != 2:
        msg = 'a point is needed: ["x", "y"], or the name of a point'
        raise ValueError(msg)
    return Spot(coordinate(pair[0]), coordinate(pair[1]))


SpotText = Annotated[Spot, BeforeValidator(_as_spot)]
Signed = Annotated[Coordinate, BeforeValidator(coordinate)]
_POINT: Final = 'a point, as ["-4 in", "roof + 2 in"], or the name of one'
_COORDINATE: Final = 'a sum such as "-4 in", "roof - 3 in" or "cant.top + 2 in"'


def spot(about: str, *, needed: bool = False) -> Any:  # noqa: ANN401  (pydantic's Field)
    """Return a field for one point."""
    return Field(
        default=... if needed else None,
        description=about,
        examples=["cant.top"],
        json_schema_extra={"quantity": "point", "allowed_text": _POINT},
    )


def spots(about: str, *, least: int = 0, most: int = 200) -> Any:  # noqa: ANN401
    """Return a field for a list of points; without a least number it may be left out."""
    return Field(
        default=... if least else (),
        min_length=least,
        max_length=most,
        description=about,
        json_schema_extra={
            "quantity": "points",
            "allowed_text": f"a list of {least} to {most} points, each "
            f"{_POINT.removeprefix('a point, as ')}",
        },
    )


def signed(about: str, *, default: Coordinate | None = None) -> Any:  # noqa: ANN401
    """Return a field for one coordinate or a distance with a sign."""
    return Field(
        default=default,
        description=about,
        examples=["-4 in"],
        json_schema_extra={"quantity": "coordinate", "allowed_text": _COORDINATE},
    )


class PlaceModel(Model, frozen=True):
    """A place on the surface that is exposed when its turn comes."""

    point: str = Field(
        max_length=64,
        description="A named point, or start or end of the whole surface.",
        examples=["cant.toe"],
    )
    along: Signed | None = signed(
        "How far along the surface from there, toward its end; negative toward its start."
    )
    across: Signed | None = signed(
        "How far across from the point, to the right; negative to the left."
    )
    up: Signed | None = signed("How far above the point; negative below it.")
    toward: Literal["start", "end"] | None = Field(
        None,
        description="Which way along the surface it is looked for from the point. Without "
        "it: toward the start for a place to the left, else toward the end.",
    )
    corner: Signed | None = signed(
        "Take the inside corner that is nearest to the point, no further away than this."
    )


def _as_place(value: object) -> object:
    return {"point": value} if isinstance(value, str) else value


Place = Annotated[PlaceModel, BeforeValidator(_as_place)]
"""A place, as a table or as the name of a point alone."""


def place(about: str, *, needed: bool = False) -> Any:  # noqa: ANN401
    """Return a field for a place on the exposed surface."""
    return Field(
        default=... if needed else None,
        description=about,
        examples=["cant.toe"],
        json_schema_extra={
            "allowed_text": "the name of a point, start, end, or a table such as "
            '{ point = "cant.toe", across = "-4 in" }',
        },
    )
