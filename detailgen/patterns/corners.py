r"""Inside and outside corners of a wall flashing on a cant: every sheet laid flat.

In plan, wall 1 is to the right of the arris for one who stands on the roof and looks at it,
wall 2 to the left. The angle is that between the wall faces, less than 180 deg:

    inside       arris                outside  2 \    walls    / 1
                  / \                             \   within  /
                 /   \                             \   the   /
              2 /roof \ 1                           \ angle /
               / within\                              arris
                the angle                       roof, all round

The corner piece, face up (V vertex, T toe corner, = relief cuts, - / folds and edges):

                inside                              outside
     reach_up   _____________________      reach_up    ________________
      wall tab |     | wall          |       wall tab |    | wall      |
     cant top  |=====V---------------|               ===== V-----------|
       top flap \    .\              |     cant tab  /   ./            |
       cant tab  \  .  \  cant       |     toe flap / . /   cant       |
     toe          =======T-----------|         ======T-----------------|
       roof tab  |       | roof      |        |        roof            |
     reach_out   |_______|___________|        |________________________|
                     |<--- run ----->|                     |<-- run -->|

The main panel (wall, cant and roof of wall 1) is set first, then the tabs, the lowest
first. Two relief cuts, on the lines of the cant's top and of the toe, run from the end of
the piece in to V and to T. They free three tabs:

- the wall tab turns about the arris onto wall 2;
- the cant tab turns about the mitre V-T onto cant 2. Inside it is too much for that cant,
  and what is over is turned up wall 2 (top flap); outside it leaves a wedge of the cant
  bare at V, and what is over at T is turned out on the roof (toe flap);
- the roof tab turns up about the toe of wall 2 onto cant 2, inside; outside the roof goes
  on flat to where the sheet of wall 2 ends, and no tab is needed.

The next piece belongs to wall 2 and ends square at the arris, so that the wall face there
is covered twice; inside, the mitre ends its cant and its roof. Outside, the corner piece
leaves a wedge open on cant 2 and one on the roof. The patch lies over
them: after the corner piece, before the next piece.

At V and T, where three faces meet, every sheet has a pinhole: a touch of sealant closes it.

Cuts, folds and wedges are angles round V and round T. With the lean of the mitre on the
cant's face, lean = atan(run / tan(angle / 2) / hypot(height, run)):

    from the top fold to the mitre, at V      inside 90 - lean, outside 90 + lean
    from the toe fold to the mitre, at T      inside 90 + lean, outside 90 - lean
    inside: top flap at V                     2 lean
    outside: wedge open on the cant at V      2 lean
    outside: wedge open on the roof at T      180 - angle - 2 lean

Sheets are taken as without thickness, the roof as level, the walls as plumb, and cant and
reaches as the same on both walls. Reaches are from the bare cant: out from its toe, square
to the wall, and up from its top. Which piece wraps, the two relief cuts, the order of the
tabs, the square end and the patch are common practice, no source; lengths and angles follow
from them by geometry.
"""

from collections.abc import Sequence
from dataclasses import replace

from detailgen.flat import FlatPiece
from detailgen.patterns._assembly import Draft, assembled, with_zones
from detailgen.patterns._bench import Bench, CornerSheet
from detailgen.patterns._bench import least_run as _least_run
from detailgen.patterns._corner_piece import corner_piece
from detailgen.patterns._faces import Corner, CornerKind
from detailgen.patterns._second_wall import next_piece, patch

__all__ = [
    "BLUNTEST",
    "SHARPEST",
    "CornerKind",
    "CornerSheet",
    "corner_pieces",
    "least_run",
]

SHARPEST, BLUNTEST = 60.0, 150.0
"""Plan angles, degrees, between which patterns are made."""


def corner_pieces(
    kind: CornerKind,
    angle_deg: float,
    cant_height: float,
    cant_run: float,
    sheets: Sequence[CornerSheet],
    roll: float = 0.0,
) -> tuple[FlatPiece, ...]:
    """Return the flat pieces of all sheets at a corner, in the order of laying.

    Ids are `<sheet>-corner`, `<sheet>-patch` (outside only) and `<sheet>-next`. On all of
    them x is measured from the arris, with wall 1 at x > 0 and wall 2 at x < 0, and y from
    the toe of the bare cant. Where the corner piece belongs to the left-hand wall, take
    `mirrored()` of every piece.

    Args:
        kind: `inside`: the roof lies within the angle; `outside`: the walls do.
        angle_deg: Plan angle between the two wall faces, less than 180 in both kinds.
        cant_height: Vertical leg of the cant.
        cant_run: Horizontal leg of the cant.
        sheets: In the order of laying, the first at the bottom.
        roll: Width of the rolls that they are cut from; 0 where that is not known.

    Raises:
        ValueError: A size is out of what a pattern can be made for.
    """
    corner = Corner(kind, angle_deg, cant_height, cant_run)
    wrong = _wrong(corner, sheets)
    if wrong:
        raise ValueError("; ".join(wrong))
    drafts: list[Draft] = []
    for sheet in sheets:
        bench = Bench(corner, sheet)
        drafts.append(corner_piece(bench))
        if kind == "outside":
            drafts.append(patch(bench))
        drafts.append(next_piece(bench))
    flat = [replace(assembled(d), roll=roll) for d in drafts]
    return tuple(with_zones(drafts, flat))


def least_run(
    kind: CornerKind,
    angle_deg: float,
    cant_height: float,
    cant_run: float,
    sheet: CornerSheet,
) -> float:
    """Return the least length of a sheet's pieces along the wall from the arris, mm."""
    return _least_run(Corner(kind, angle_deg, cant_height, cant_run), sheet)


def _wrong(corner: Corner, sheets: Sequence[CornerSheet]) -> list[str]:
    """Return why no pattern can be made, if so."""
    wrong: list[str] = []
    if not SHARPEST <= corner.angle <= BLUNTEST:
        wrong.append(f"the angle is not from {SHARPEST:g} to {BLUNTEST:g} degrees")
    if min(corner.height, corner.run) <= 0.0:
        wrong.append("both legs of the cant must be more than 0")
    if len({s.id for s in sheets}) < len(sheets):
        wrong.append("two sheets have the same id")
    if wrong:
        return wrong
    for s in sheets:
        if min(s.reach_out, s.lap) <= 0.0 or s.reach_up < 0.0:
            wrong.append(f"{s.id}: reaches and laps must be more than 0")
        least = _least_run(corner, s)
        if s.run is not None and s.run < least - 1e-6:
            wrong.append(f"{s.id}: run must be at least {least:.1f} mm")
    return wrong
