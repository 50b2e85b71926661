"""HTML and SVG as text: everything that was not written here is escaped here."""

from collections.abc import Iterable, Sequence
from html import escape
from math import fsum

from detailgen.catalog import PatternData
from detailgen.geometry import Point, Region
from detailgen.geometry.regions import holes, outline
from detailgen.lettering import letterable


def text(content: str) -> str:
    """Return text that no reader takes for markup, controls and odd characters dropped."""
    return escape(letterable(content), quote=True)


def tag(name: str, inner: str = "", /, **attributes: str) -> str:
    """Return an element; `inner` is markup, values of attributes are text.

    A trailing underscore of an attribute's name is dropped, others become hyphens.
    """
    told = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{text(value)}"'
        for key, value in attributes.items()
    )
    return f"<{name}{told}>{inner}</{name}>"


def lines(parts: Iterable[str]) -> str:
    """Return markup with each part on a line of its own."""
    return "\n".join(part for part in parts if part)


def number(value: float) -> str:
    """Return a coordinate to a hundredth of a millimetre, as short as it goes."""
    told = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if told == "-0" else told


def track(points: Sequence[Point], *, closed: bool = False) -> str:
    """Return the data of a path along some points."""
    body = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{body}Z" if closed else f"M{body}"


def area(region: Region) -> str:
    """Return the data of a path round a region and its holes."""
    rings = (outline(region), *holes(region))
    return "".join(track(ring, closed=True) for ring in rings)


def hatch_names(pattern: PatternData) -> list[str]:
    """Return the ids of the fills that make up a hatch pattern."""
    return [f"h-{pattern.name}-{n}" for n, _ in enumerate(pattern.families)]


def hatch_fills(pattern: PatternData, factor: float) -> str:
    """Return a hatch pattern as fills: one for each of its families of lines.

    A tile is as long as the dashes of a line and as high as the distance of two lines. It
    is slanted by the shift from line to line, which leaves the lines level.
    """
    made: list[str] = []
    for name, family in zip(hatch_names(pattern), pattern.families, strict=True):
        period = fsum(abs(part) for part in family.dashes) or 10.0
        at, strokes = 0.0, ""
        for part in family.dashes or (period,):
            if part >= 0:
                middle = number(family.spacing / 2)
                strokes += f"M{number(at)} {middle}h{number(max(part, 0.3))}"
            at += abs(part)
        x, y = family.origin
        turn = (
            f"scale({number(factor)}) rotate({number(family.angle)}) "
            f"translate({number(x)} {number(y - family.spacing / 2)}) "
            f"matrix(1 0 {family.shift / family.spacing:.5f} 1 0 0)"
        )
        made.append(
            f'<pattern id="{text(name)}" patternUnits="userSpaceOnUse" '
            f'width="{number(period)}" height="{number(family.spacing)}" '
            f'patternTransform="{turn}"><path class="hl" d="{strokes}"/></pattern>'
        )
    return "".join(made)
