"""Mutations for the rules on clear distances, made beside neighbours."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from detailgen.section import LayeredSection
from tests.checks.mutating import Mutation, rebuilt
from tests.checks.rows import Row, Where, caught, harmless
from tests.checks.variants import IN, Base

CROWDED, MEETING = "crowded_neighbours", "meeting_sheets"
JUST = 0.5
"""A little past a limit, or within it, mm."""


ROWS = {"N1": "clear_curbs_least", "N2": "clear_upright_least", "N3": "clear_drain_least"}


def set_to(words: str, clear: Callable[[Base], float]) -> Mutation:
    """Set the neighbour nearer, or further off."""

    def change(base: Base, section: LayeredSection) -> LayeredSection:
        near = replace(section.neighbours[0], clear=clear(base))
        return replace(section, neighbours=(near,))

    return Mutation(f"neighbour {words}", change)


def reaching(words: str, more: float) -> Mutation:
    """Let the neighbour's sheets come out further, or less far."""

    def change(_: Base, section: LayeredSection) -> LayeredSection:
        near = section.neighbours[0]
        return replace(section, neighbours=(replace(near, reach=near.reach + more),))

    return Mutation(f"the neighbour's sheets {words}", change)


def wall(base: Base) -> bool:
    """Tell whether the section is of a wall."""
    return base.kind == "wall"


def edge(base: Base) -> bool:
    """Tell whether the section is of a roof edge."""
    return base.kind == "roof-edge"


def sheet_out(where: Where, inches: float) -> tuple[Mutation, Where]:
    """Let the outermost sheet come out so far on the roof."""
    values = {"flashing_reach" if where is wall else "strip_in": inches * IN}
    if where is wall:
        values["prepared_band"] = inches * IN
    words = f"{next(iter(values)).replace('_', ' ')} {inches:g} in"
    return rebuilt(words, parameters=values), where


def rows() -> Iterator[Row]:
    """Yield the changes for the rules on clear distances."""
    for words, part in (("at 0.9 of what is asked", 0.9), ("at half of it", 0.5)):

        def near(base: Base, part: float = part) -> float:
            return part * base.limit(ROWS[base.code])

        yield caught(CROWDED, set_to(words, near), MEETING)
    yield caught(
        CROWDED,
        set_to("just too near", lambda b: b.limit(ROWS[b.code]) - JUST),
        MEETING,
    )
    yield harmless(CROWDED, set_to("far off", lambda _: 200 * IN))
    yield harmless(CROWDED, reaching("30 mm shorter", -30.0))

    for where, far_out, within in ((wall, 15.5, 7.5), (edge, 11.0, 5.5)):
        change, only = sheet_out(where, far_out)
        yield caught(MEETING, change, where=only)
        change, only = sheet_out(where, within)
        yield harmless(MEETING, change, where=only)
    yield caught(MEETING, reaching("200 mm further out", 200.0))
    yield caught(MEETING, reaching("400 mm further out", 400.0))
    yield harmless(MEETING, reaching("30 mm shorter", -30.0))
