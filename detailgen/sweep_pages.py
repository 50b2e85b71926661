"""What the command line tells of a sweep: a map, a list, CSV and JSON."""

import csv
import io
from collections.abc import Sequence
from itertools import product
from string import ascii_uppercase
from typing import Any, Final

from rich.console import Group
from rich.table import Table
from rich.text import Text

from detailgen.finding import Outcome
from detailgen.loader import Job, PlacedCondition
from detailgen.mend import Sort, shown
from detailgen.sweep import Field, Place, State
from detailgen.units import UnitSystem

WIDEST: Final = 60
"""A map with more values across than this is not printed; the plot and the CSV have it."""
LONGEST: Final = 60
_MANY: Final = "*"
"""Stands for what fails where there are more ways to fail than letters."""
_OUTCOMES: Final = {
    Outcome.PASS: "holds",
    Outcome.FAIL: "fails",
    Outcome.NOT_APPLICABLE: "",
}


def ticks_of(field: Field, system: UnitSystem) -> list[list[str]]:
    """Return the values of each axis as printed."""
    return [
        [shown(value, Sort(axis.unit), system) for value in axis.values]
        for axis in field.axes
    ]


def sweep_text(job: Job, placed: PlacedCondition, field: Field) -> Group:
    """Return what a sweep has found: a map of letters, and what the letters mean."""
    system = job.project.units
    ticks = ticks_of(field, system)
    letters = _letters(field)
    parts: list[Table | Text] = [Text(f"{placed.id}  {placed.title}", style="bold")]
    if len(field.axes) == 1:
        parts.append(_list(field, ticks[0]))
    elif len(ticks[1]) <= WIDEST and len(ticks[0]) <= LONGEST:
        parts.append(_map(field, ticks, letters))
        parts += [
            Text(f"{letter}  {', '.join(failing)}") for failing, letter in letters.items()
        ]
    else:
        parts.append(Text("The map is too large for the screen: see --out."))
    parts += [Text(f"x  {reason}") for reason in _reasons(field)]
    counts = {state: sum(p.state is state for p in field.places) for state in State}
    told = (
        f"{n} {'hold' if s is State.HOLDS else s.value}" for s, n in counts.items() if n
    )
    parts.append(Text(f"{len(field.places)} places: {', '.join(told)}."))
    return Group(*parts)


def _reasons(field: Field) -> list[str]:
    found = dict.fromkeys(p.reason for p in field.places if p.reason)
    return [f"cannot be built: {reason}" for reason in found]


def _letters(field: Field) -> dict[tuple[str, ...], str]:
    """Return a letter for every set of required rules that fail somewhere."""
    ways = dict.fromkeys(field.failing(p) for p in field.places if p.state is State.FAILS)
    names = [*ascii_uppercase]
    return {way: names[n] if n < len(names) else _MANY for n, way in enumerate(ways)}


def _sign(field: Field, place: Place, letters: dict[tuple[str, ...], str]) -> str:
    if place.state is State.IMPOSSIBLE:
        return "x"
    return letters[field.failing(place)] if place.state is State.FAILS else "."


def _map(
    field: Field, ticks: Sequence[Sequence[str]], letters: dict[tuple[str, ...], str]
) -> Table:
    across = len(ticks[1])
    table = Table(box=None, pad_edge=False, padding=(0, 1), show_header=False)
    table.add_column(justify="right", no_wrap=True)
    table.add_column(no_wrap=True)
    table.add_row(
        field.axes[0].name, f"{field.axes[1].name}: {ticks[1][0]} to {ticks[1][-1]}"
    )
    for row, name in enumerate(ticks[0]):
        places = field.places[row * across : (row + 1) * across]
        table.add_row(name, " ".join(_sign(field, place, letters) for place in places))
    return table


def _list(field: Field, ticks: Sequence[str]) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2))
    table.add_column(field.axes[0].name, justify="right", no_wrap=True)
    table.add_column("what is found")
    for name, place in zip(ticks, field.places, strict=True):
        failing = ", ".join(field.failing(place))
        told = {State.HOLDS: "holds", State.FAILS: f"fails: {failing}"}
        table.add_row(name, told.get(place.state, f"cannot be built: {place.reason}"))
    return table


def sweep_csv(field: Field, system: UnitSystem) -> str:
    """Return every place with what each rule finds there."""
    out = io.StringIO()
    rows = csv.writer(out)
    rows.writerow([*(axis.name for axis in field.axes), "result", "reason", *field.rules])
    for values, place in zip(product(*ticks_of(field, system)), field.places, strict=True):
        found = [_OUTCOMES[o] for o in place.outcomes] or [""] * len(field.rules)
        rows.writerow([*values, place.state.value, place.reason, *found])
    return out.getvalue()


def sweep_json(placed: PlacedCondition, field: Field) -> dict[str, Any]:
    """Return a sweep for programs; lengths in mm, slopes as rise per run."""
    return {
        "detail": placed.id,
        "axes": [
            {
                "name": axis.name,
                "unit": {"length": "mm", "slope": "rise per run"}.get(axis.unit, ""),
                "values": [getattr(value, "value", value) for value in axis.values],
            }
            for axis in field.axes
        ],
        "rules": [
            {"rule": rule, "title": title, "required": needed}
            for rule, title, needed in zip(
                field.rules, field.titles, field.required, strict=True
            )
        ],
        "places": [
            {
                "result": place.state.value,
                **({"reason": place.reason} if place.reason else {}),
                "failing": list(field.failing(place)),
            }
            for place in field.places
        ],
    }
