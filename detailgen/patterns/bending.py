"""Bend allowance: from the outside lengths of a bent metal to the width of the flat piece.

A is the angle bent through, R the inside radius, T the thickness, K the depth of the
neutral fibre as a share of T (engineering page on bend allowance - read):

    allowance  BA   = (pi / 180) A (R + K T)
    setback    OSSB = (R + T) tan(A / 2)
    deduction  BD   = 2 OSSB - BA
    flat            = leg + leg - BD, legs measured outside
"""

from math import pi, radians, tan

HALF_TURN = 179.5
"""From this angle on a bend is a fold, measured to its outer edge, degrees."""


def allowance(angle: float, radius: float, thickness: float, k: float) -> float:
    """Return the length of the neutral fibre in a bend, mm."""
    return pi / 180.0 * angle * (radius + k * thickness)


def setback(angle: float, radius: float, thickness: float) -> float:
    """Return the outside setback, mm; of a fold, from its outer edge to the tangent."""
    if angle >= HALF_TURN:
        return radius + thickness
    return (radius + thickness) * tan(radians(angle / 2.0))


def deduction(angle: float, radius: float, thickness: float, k: float) -> float:
    """Return how much narrower the flat piece is than the outside legs together, mm."""
    return 2.0 * setback(angle, radius, thickness) - allowance(angle, radius, thickness, k)


def beyond_centre(angle: float, thickness: float) -> float:
    """Return how far the outer apex lies beyond the corner of the centre line, mm."""
    return thickness / 2.0 * tan(radians(angle / 2.0))
