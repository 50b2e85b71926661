"""At which stage of building it shows that work has strayed."""

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from detailgen.catalog import Tolerance
from detailgen.conditions import Condition, Site
from detailgen.geometry import Region
from detailgen.geometry.measures import moved_by
from detailgen.geometry.regions import box
from detailgen.margins._astray import ROOF, settled, tolerances_of
from detailgen.parameters import Placed
from detailgen.section import LayeredSection, Role

_TELLING = 0.4
"""A body tells of a tolerance when it moves by more than this part of it."""
_INSET = 0.5
"""The edge of a drawing is left out, mm."""
_FITTED = frozenset({Role.DECK, Role.INSULATION, Role.COVER_BOARD})
"""What is cut to fit what stands beside it."""


def shown_at(
    condition: Condition,
    parameters: Placed,
    site: Site,
    tolerances: Iterable[Tolerance],
) -> Mapping[int, tuple[Tolerance, ...]]:
    """Return the tolerances of a condition by the stage whose work they show in first.

    0 stands for what is there before the first stage. A tolerance that moves nothing that
    is drawn is left out, and so is one that cannot be built.
    """
    case = settled(condition, parameters, site)
    drawn = case.with_values({})
    found: dict[int, list[Tolerance]] = {}
    for tolerance in tolerances_of(condition, tolerances) if drawn else ():
        strayed = case.strayed(tolerance, 1.0)
        stage = _first(drawn, strayed, tolerance) if drawn and strayed else None
        if stage is not None:
            found.setdefault(stage, []).append(tolerance)
    return MappingProxyType({n: tuple(these) for n, these in sorted(found.items())})


def _first(
    drawn: LayeredSection, strayed: LayeredSection, tolerance: Tolerance
) -> int | None:
    """Return the first stage of which something was built otherwise; None for no stage.

    How much of a roof is drawn may change, too, so bodies are looked at where both sections
    are drawn. Boards are cut to fit what stands beside them, and tell only of themselves.
    """
    if any(move.parameter.startswith(ROOF) for move in tolerance.moves):
        return 0 if drawn.bodies != strayed.bodies else None
    window = _shared(drawn.extent.bounds, strayed.extent.bounds)
    changed = [
        body
        for body in strayed.bodies
        if (old := drawn.body(body.id)) is None
        or moved_by(old.region, body.region, window) > tolerance.value * _TELLING
    ]
    stages = [b.stage for b in changed if b.role not in _FITTED]
    stages = stages or _of_coats(drawn, strayed) or _of_parts(drawn, strayed)
    return min(stages or [b.stage for b in changed], default=None)


def _shared(one: Sequence[float], other: Sequence[float]) -> Region:
    """Return the window that two drawings have in common, a little within."""
    x0, y0, x1, y1 = zip(one, other, strict=True)
    return box(max(x0) + _INSET, max(y0) + _INSET, min(x1) - _INSET, min(y1) - _INSET)


def _of_coats(drawn: LayeredSection, strayed: LayeredSection) -> list[int]:
    pairs = zip(drawn.coats, strayed.coats, strict=False)
    return [a.stage for a, b in pairs if not a.line.equals(b.line)]


def _of_parts(drawn: LayeredSection, strayed: LayeredSection) -> list[int]:
    """Return the stages of the pieces that lie otherwise in a plan or an elevation."""
    last = max((s.number for s in drawn.stages), default=0)
    found: list[int] = []
    for one, other in zip(drawn.layouts, strayed.layouts, strict=False):
        for a, b in zip(one.parts, other.parts, strict=False):
            if not a.region.equals(b.region):
                role = Role.EDGE_METAL if a.role is Role.BACKING_PLATE else a.role
                mine = [body.stage for body in drawn.of_role(role)]
                found.append(min(mine, default=last))
    return found
