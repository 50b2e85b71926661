"""Tolerances: how far work on site may stray from the drawing, and what that moves."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Final

from detailgen.catalog._tables import Row, read_rows, source_of
from detailgen.errors import Problem
from detailgen.finding import Unit
from detailgen.units import parse_length, parse_slope

FILE: Final = "tolerances.toml"
ANY: Final = "any"
"""Kind of a tolerance that every condition has."""
_OF: Final = {"length": Unit.LENGTH, "slope": Unit.SLOPE}
_MOST_TIMES: Final = 100.0


@dataclass(frozen=True, slots=True)
class Move:
    """One thing that a tolerance moves: a parameter, bodies, or a piece in a layout."""

    parameter: str = ""
    """Of the condition; `roof.slope` of the roof."""
    over: str = ""
    """Parameter to whose present value the change keeps its ratio."""
    bodies: tuple[str, ...] = ()
    """Beginnings of ids."""
    part: str = ""
    """Id of a piece in a layout."""
    times: float = 1.0
    """How many times the tolerance: to the right in a layout, up for bodies."""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """One way in which work strays from the drawing."""

    id: str
    kinds: tuple[str, ...]
    """Kinds of condition, or `any` alone."""
    value: float
    """mm, or rise per run, as `unit` says."""
    unit: Unit
    written: str
    """The value as the data file writes it: `1/2 in`."""
    text: str
    """What goes wrong, in words."""
    source: str
    back: str
    """What goes wrong the other way; empty where it strays one way only."""
    moves: tuple[Move, ...]
    rules: tuple[str, ...] = ()
    """The only checks that can tell what it does; empty for all."""


def read_tolerances(root: Path, problems: list[Problem]) -> Mapping[str, Tolerance]:
    """Return the tolerances of a catalogue; none where it has no such file."""
    file = root / FILE
    rows = read_rows(file, problems) if file.exists() else []
    return MappingProxyType({row.id: _tolerance(row) for row in rows})


def _tolerance(row: Row) -> Tolerance:
    unit = _OF.get(row.one_of("of", _OF, "length"), Unit.LENGTH)
    parse = parse_slope if unit is Unit.SLOPE else parse_length
    value = row.read("value", parse, None, '"1/2 in", "3 mm"; of a slope "1/16 in per ft"')
    if value <= 0.0 and "value" in row.data:
        row.complain("value", "a tolerance is more than nothing")
    moves = tuple(_move(part) for part in row.tables("moves"))
    if not moves:
        row.complain("moves", "a tolerance moves something", mend="Add moves to the row.")
    source, _ = source_of(row)
    found = Tolerance(
        id=row.id,
        kinds=row.texts("kinds") if "kinds" in row.data else (row.text("kind"),),
        value=value,
        unit=unit,
        written=row.text("value", ""),
        text=row.text("text"),
        source=source,
        back=row.text("back", ""),
        moves=moves,
        rules=row.texts("rules"),
    )
    if any(move.bodies for move in moves) and not found.rules:
        row.complain("moves", "a row that moves bodies names its rules", mend="Add rules.")
    row.done()
    return found


def _move(row: Row) -> Move:
    """Read one move; exactly one of its three kinds."""
    ways = [key for key in ("parameter", "bodies", "part") if key in row.data]
    if len(ways) != 1:
        row.complain(
            "moves",
            "a move is of a parameter, of bodies or of a part",
            allowed='{ parameter = "...", times = -1.0 }, { bodies = ["..."], up = 1.0 }, '
            '{ part = "...", along = 1.0 }',
        )
        return Move()
    (way,) = ways
    amount = {"parameter": "times", "bodies": "up", "part": "along"}[way]
    found = Move(
        parameter=row.text("parameter", ""),
        over=row.text("over", "") if way == "parameter" else "",
        bodies=row.texts("bodies"),
        part=row.text("part", ""),
        times=row.number(amount, least=-_MOST_TIMES, most=_MOST_TIMES),
    )
    row.done()
    return found
