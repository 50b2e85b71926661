"""At which stage of building it shows that work has strayed."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from detailgen.catalog import Tolerance
from detailgen.conditions import Condition, Site
from detailgen.margins._astray import settled, tolerances_of
from detailgen.parameters import Placed
from detailgen.section import LayeredSection

_SAME = 1e-3
"""Corners nearer than this, mm, are the same."""


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
        stage = _first(drawn, strayed) if drawn and strayed else None
        if stage is not None:
            found.setdefault(stage, []).append(tolerance)
    return MappingProxyType({n: tuple(these) for n, these in sorted(found.items())})


def _first(drawn: LayeredSection, strayed: LayeredSection) -> int | None:
    """Return the first stage of which something was built otherwise; None for no stage."""
    before = {b.id: b for b in drawn.bodies}
    stages = [
        body.stage
        for body in strayed.bodies
        if (old := before.get(body.id)) is None
        or not old.region.equals_exact(body.region, _SAME)
    ]
    stages += _of_coats(drawn, strayed) if not stages else []
    stages += _of_parts(drawn, strayed) if not stages else []
    return min(stages, default=None)


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
                mine = [body.stage for body in drawn.of_role(a.role)]
                found.append(min(mine, default=last))
    return found
