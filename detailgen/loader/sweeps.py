"""What a sweep runs over, as a person writes it: a parameter and its values.

flashing_height: 6 in to 14 in by 1/2 in
roof.slope: 0 in per ft to 1/2 in per ft by 1/16 in per ft
top: counterflashing, coping
"""

import re
from collections.abc import Sequence
from fractions import Fraction
from math import floor, prod
from typing import Any, Final

from pydantic import ValidationError

from detailgen.errors import Problem, UserError, printable
from detailgen.loader._complaints import nearest
from detailgen.loader.fields import Kind, Told, told
from detailgen.loader.job import Job, PlacedCondition
from detailgen.mend import Sort
from detailgen.parameters import FROM_FILE, Placed, Roof
from detailgen.sweep import MOST, ROOF, Axis, Value
from detailgen.units import parse_length, parse_slope

OPTION: Final = "--over"
FORM: Final = "NAME: FROM to TO by STEP, or NAME: VALUE, VALUE, ..."
MOST_AXES: Final = 2
_WRITTEN: Final = re.compile(r"\s*([A-Za-z_.]+)\s*:\s*(.+?)\s*", re.DOTALL)
_RANGE: Final = re.compile(r"(.+?)\s+to\s+(.+?)\s+by\s+(.+)", re.DOTALL)
_UNITS: Final = {
    Kind.LENGTH: Sort.LENGTH,
    Kind.SLOPE: Sort.SLOPE,
    Kind.WHOLE: Sort.WHOLE,
    Kind.NUMBER: Sort.WHOLE,
}


def axes_of(
    job: Job, mark: str, written: Sequence[str]
) -> tuple[PlacedCondition, tuple[Axis, ...]]:
    """Return the condition of an id, and the axes that a sweep of it runs over.

    Raises:
        UserError: There is no such condition, or an axis cannot be; all mistakes are told.
    """
    marks = [placed.id for placed in job.conditions]
    if mark not in marks:
        close = nearest(mark, marks)
        raise UserError([
            Problem(
                "there is no condition of this id",
                job.file,
                key="--detail",
                value=printable(mark),
                allowed=", ".join(marks[:40]),
                mend=f"Did you mean {close}?" if close else "",
            )
        ])
    placed = job.conditions[marks.index(mark)]
    problems: list[Problem] = []
    axes: list[Axis] = []
    if not 1 <= len(written) <= MOST_AXES:
        problems.append(_problem(f"{len(written)} of them", "one or two are needed", FORM))
    for text in written:
        try:
            axes.append(_axis(text, placed))
        except _NotAnAxisError as error:
            problems.append(error.problem)
    if len({axis.name for axis in axes}) < len(axes):
        told = "this parameter is named twice"
        problems.append(_problem(axes[0].name, told, "", "Keep one of the two."))
    places = prod(len(axis.values) for axis in axes)
    if not problems and places > MOST:
        problems.append(_problem(f"{places} places", "too many", f"up to {MOST}"))
    if problems:
        raise UserError(problems)
    return placed, tuple(axes)


class _NotAnAxisError(Exception):
    def __init__(self, text: str, message: str, allowed: str, mend: str = "") -> None:
        super().__init__(message)
        self.problem = _problem(text, message, allowed, mend)


def _problem(text: str, message: str, allowed: str, mend: str = "") -> Problem:
    return Problem(message, key=OPTION, value=printable(text), allowed=allowed, mend=mend)


def _axis(text: str, placed: PlacedCondition) -> Axis:
    found = _WRITTEN.fullmatch(text)
    if not found:
        raise _NotAnAxisError(text, "this does not say what runs over what", FORM)
    name, values = found.groups()
    model = Roof if name.startswith(ROOF) else type(placed.parameters)
    key = name.removeprefix(ROOF)
    fields = {
        field.key: field
        for field in told(model)
        if model is Roof or field.key not in Placed.model_fields
    }
    if key not in fields:
        close = nearest(key, fields)
        raise _NotAnAxisError(
            name,
            f"{placed.id} has no parameter of this name"
            if model is not Roof
            else "the roof has no such figure",
            ", ".join(fields),
            f"Did you mean {close}?" if close else "",
        )
    field = fields[key]
    span = _RANGE.fullmatch(values)
    if span and field.kind in _UNITS:
        taken = _run(model, field, span.groups(), text)
    else:
        parts = [part.strip() for part in values.split(",")]
        taken = tuple(_value(model, field, part, text) for part in parts if part)
    if len(set(taken)) < len(taken):
        raise _NotAnAxisError(text, "a value stands there twice", "each value once")
    sort = _UNITS.get(field.kind, Sort.WORD)
    return Axis(name, field.about, sort.value, taken)


def _value(model: type[Placed] | type[Roof], field: Told, part: str, text: str) -> Value:
    """Return one value as the parameter file would take it."""
    raw: Any = part
    if field.kind is Kind.SWITCH:
        raw = {"true": True, "false": False}.get(part, part)
    elif field.kind in {Kind.WHOLE, Kind.NUMBER}:
        raw = int(part) if part.isascii() and part.isdigit() else part
    base = {f.key: f.example for f in told(model) if f.required}
    try:
        whole = model.model_validate({**base, field.key: raw}, context={FROM_FILE: True})
    except ValidationError:
        raise _NotAnAxisError(
            text, f"{printable(part, 30)} is no value of {field.key}", field.allowed
        ) from None
    value: object = getattr(whole, field.key)
    if not isinstance(value, float | int | str) and not hasattr(value, "value"):
        raise _NotAnAxisError(
            text, f"{field.key} is a list, which nothing runs over", "another parameter"
        )
    return value  # type: ignore[return-value]


def _run(
    model: type[Placed] | type[Roof], field: Told, span: tuple[str, ...], text: str
) -> tuple[Value, ...]:
    """Return the values of a range, its end included where the steps come out even."""
    first, last = (float(_value(model, field, part, text)) for part in span[:2])  # type: ignore[arg-type]
    try:
        step = {Kind.LENGTH: parse_length, Kind.SLOPE: parse_slope}.get(
            field.kind, Fraction
        )(span[2])
    except (ValueError, ZeroDivisionError):
        message = f"{printable(span[2], 30)} is no step of {field.key}"
        raise _NotAnAxisError(text, message, "a step such as 1/2 in") from None
    by = float(step)
    if not by > 0.0 or last < first:
        message = "the range does not go up from its first value to its last"
        raise _NotAnAxisError(text, message, FORM)
    count = floor((last - first) / by + 1e-9)
    if count >= MOST:
        raise _NotAnAxisError(text, "too many values", f"up to {MOST}")
    kind = type(_value(model, field, span[0], text))
    return tuple(kind(first + by * n) for n in range(count + 1))
