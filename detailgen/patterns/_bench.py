"""The bench on which one sheet of a corner is laid out flat."""

from collections.abc import Sequence
from dataclasses import dataclass

from detailgen.geometry import Point
from detailgen.patterns._assembly import Hinge, Leaf
from detailgen.patterns._faces import Corner
from detailgen.patterns._plane import STAY, Motion, Side, within, y_from, y_to


@dataclass(frozen=True, slots=True)
class CornerSheet:
    """One sheet of the straight run, as far as its pieces at the corner need it, mm."""

    id: str
    """Stem of the pieces' ids, as the section's body: `flashing`."""
    name: str
    reach_out: float
    """From the toe of the bare cant out on the roof."""
    reach_up: float
    """From the top of the bare cant up the wall; 0 for a sheet that ends there."""
    lap: float
    """How far tabs and patch reach past the line at which they start."""
    primed: bool
    """Its face takes primer wherever another sheet lands: foil does."""
    run: float | None = None
    """Length of corner piece and next piece along the wall from the arris. Without it: the
    least that carries the sheet past the corner."""


class Bench:
    """What all pieces of one sheet share: sizes, and the strips that limit its panels."""

    def __init__(self, corner: Corner, sheet: CornerSheet) -> None:
        """Take the measure of a sheet."""
        self.corner, self.sheet = corner, sheet
        self.inside = corner.kind == "inside"
        self.run = least_run(corner, sheet) if sheet.run is None else sheet.run
        self.top = corner.slant + sheet.reach_up
        self.on_wall = (y_from(corner.slant), y_to(self.top))
        self.on_cant = (y_from(0.0), y_to(corner.slant))
        self.on_roof = (y_from(-sheet.reach_out), y_to(0.0))
        self._room = 10.0 * (self.run + self.top + corner.run + sheet.reach_out + sheet.lap)

    def roof_mitre(self) -> tuple[Point, Point]:
        """Return the ends of the line that halves the roof of the corner, in strip 2."""
        c, out = self.corner, self.sheet.reach_out
        return c.toe2, (-c.skew * (c.run + out), -out)

    def leaf(
        self,
        name: str,
        face: str,
        flat: Sequence[Side],
        own: Sequence[Side] = (),
        place: Motion = STAY,
        hinge: Hinge | None = None,
    ) -> list[Leaf]:
        """Return the panel within limits, in a list; an empty list when nothing is left.

        Args:
            name: Id of the panel.
            face: Face that it lies on.
            flat: Limits on the flat piece.
            own: Limits in the strip of its face. On the roof that is strip 2.
            place: From that strip to the flat piece.
            hinge: What it hangs on.
        """
        shape = within([*flat, *(side.moved(place) for side in own)], self._room)
        if face == "roof":  # as a face, the roof has the coordinates of strip 1
            place = place.after(self.corner.strip2_in_roof.inverse())
        return [Leaf(name, face, shape, place, hinge)] if shape else []


def least_run(corner: Corner, sheet: CornerSheet) -> float:
    """Return the least length of a sheet's pieces along the wall from the arris, mm.

    It carries the main panel by the laps of tabs and patch past the last mitred line.
    """
    last = corner.skew * (corner.run + sheet.reach_out)
    return max(last, 0.0) + 2.0 * sheet.lap
