"""The office that a job's sheets come from: what their title blocks say of it."""

from dataclasses import dataclass

from detailgen.geometry import Point


@dataclass(frozen=True, slots=True)
class Shape:
    """One filled area of a logo."""

    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...]
    colour: tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Logo:
    """A logo as filled areas, so that every format draws it by itself."""

    width: float
    """Width over height."""
    shapes: tuple[Shape, ...]
    """In heights of the logo, origin at its lower left corner, y up."""


@dataclass(frozen=True, slots=True)
class Office:
    """Who answers for the sheets."""

    name: str = ""
    lines: tuple[str, ...] = ()
    """Address and the like, line by line."""
    logo: Logo | None = None

    @property
    def shown(self) -> bool:
        """Return whether a title block has a row for it."""
        return bool(self.lines or self.logo)


NO_OFFICE = Office()
