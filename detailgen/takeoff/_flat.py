"""Pieces that are cut to a pattern: one of each for every corner."""

from detailgen.flat import FlatPiece, ring_area
from detailgen.quantity import Cut, Measure, Per, Quantity
from detailgen.section import LayeredSection

_PATTERN = "geometry of the pattern"


def flat_pieces(section: LayeredSection) -> tuple[Quantity, ...]:
    """Return the pieces of a corner, each cut from a rectangle of the roll."""
    found: list[Quantity] = []
    for piece in section.pieces:
        body = section.body(piece.sheet)
        if body is not None and not body.by_others:
            found.append(_piece(piece, body.material))
    return tuple(found)


def _piece(piece: FlatPiece, material: str) -> Quantity:
    xs, ys = [x for x, _ in piece.outline], [y for _, y in piece.outline]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    area = abs(ring_area(piece.outline))
    told = f"cut from {wide / 1000.0:.3f} x {high / 1000.0:.3f} m"
    return Quantity(
        piece.id,
        piece.name,
        material,
        Measure.AREA,
        area / 1e6,
        f"area of its pattern {area / 1e6:.4f} m2; {told}",
        _PATTERN,
        (piece.sheet,),
        Per.PIECE,
        cut=Cut(laps=wide * high / area, along=(min(wide, high),), told=told),
    )
