"""Variants of a parameter file: the same file, as if it had said something else.

A variant is loaded as every file is, so that nothing that cannot be built comes of it.
What is wrong with it is told with the place that says so: the alternate's, if it is one.
"""

import tomllib
from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any, Final, cast

from detailgen.conditions import CONDITIONS
from detailgen.errors import Problem, UserError, printable
from detailgen.loader._alternates import (
    CONDITION,
    KIND,
    ROOF,
    RULES,
    WITHOUT,
    Alternate,
    Setting,
)
from detailgen.loader._complaints import suggestion
from detailgen.loader._file import Document
from detailgen.loader._places import Path, Place
from detailgen.loader.fields import told
from detailgen.loader.job import Job, job_from
from detailgen.parameters import Roof

GONE: Final = object()
"""For a key that the variant does not have."""
NOWHERE: Final = Place(0)
"""For what no file says."""
_OPTION: Final = "--with"
_WAYS: Final = (
    "rules=SET, KEY=VALUE, roof.KEY=VALUE, KIND.KEY=VALUE, ID.KEY=VALUE, without=ID"
)


@dataclass(frozen=True, slots=True)
class Put:
    """One value that a variant has in the place of what the file says."""

    path: Path
    value: object
    place: Place
    """Where it is said; line 0 for nowhere."""


def variant(document: Document, puts: Iterable[Put], without: Collection[str] = ()) -> Job:
    """Return the job of a file that says something else.

    Args:
        document: The file.
        puts: What it says else.
        without: Ids of conditions that it does not have.

    Raises:
        UserError: It says what cannot be; all mistakes are told.
    """
    values, places = deepcopy(dict(document.values)), dict(document.places)
    for put in puts:
        home: Any = values
        for step, after in zip(put.path[:-1], put.path[1:], strict=True):
            if isinstance(step, str) and step not in home:
                home[step] = [] if isinstance(after, int) else {}
            home = home[step]
        last = put.path[-1]
        if put.value is GONE:
            home.pop(last, None)
        else:
            home[last] = put.value
        places = {k: v for k, v in places.items() if k[: len(put.path)] != put.path}
        places[put.path] = put.place
    done = Document(document.file, values, places)
    return job_from(_left(done, without) if without else done)


def _left(document: Document, without: Collection[str]) -> Document:
    """Return the file without some conditions, and what it says of them."""
    values = dict(document.values)
    tables = cast("list[dict[str, Any]]", values["condition"])
    kept = [n for n, table in enumerate(tables) if table.get("id") not in without]
    values["condition"] = [tables[n] for n in kept]
    listed = cast("list[dict[str, Any]]", values.get("distance", []))
    near = [
        n
        for n, one in enumerate(listed)
        if not {one.get("of"), one.get("to")} & set(without)
    ]
    values["distance"] = [listed[n] for n in near]
    moved = {"condition": kept, "distance": near}
    places: dict[Path, Place] = {}
    for path, place in document.places.items():
        match path:
            case ("condition" | "distance" as name, int(number), *rest):
                if number in moved[name]:
                    places[name, moved[name].index(number), *rest] = place
            case _:
                places[path] = place
    for name in ("alternate", "revision"):  # they may tell of what is left out
        values.pop(name, None)
    return Document(document.file, values, places)


def alternate_job(document: Document, alternate: Alternate) -> Job:
    """Return the job as an alternate has it.

    Raises:
        UserError: The alternate says what cannot be; each problem names it.
    """
    puts: list[Put] = []
    for setting in alternate.settings:
        puts += _puts(document, setting)
    try:
        return variant(document, puts, alternate.without)
    except UserError as error:
        name = printable(alternate.name, 48)
        problems = [
            replace(
                p, message=f'in the alternate "{name}": {p.message}', line=p.line or None
            )
            for p in error.problems
        ]
        raise UserError(list(dict.fromkeys(problems))) from None


def _puts(document: Document, setting: Setting) -> list[Put]:
    """Return where the file says something else for one key of an alternate."""
    place = document.places.get(setting.path) or Place(0, str(setting.value))
    if setting.home == RULES:
        return [Put(("project", RULES), setting.value, place)]
    if setting.home == ROOF:
        return [Put((ROOF, setting.key), setting.value, place)]
    own = KIND if setting.home == KIND else "id"
    tables = cast("list[dict[str, Any]]", document.values["condition"])
    return [
        Put(("condition", number, setting.key), setting.value, place)
        for number, table in enumerate(tables)
        if table.get(own) == setting.of
    ]


# --- what the command line says ---------------------------------------------------------


def given_alternates(texts: Sequence[str], job: Job) -> list[Alternate]:
    """Return the alternates that a command line asks for, each by its own words.

    Args:
        texts: As `adhesion=cold adhesive` or `W1.flashing_height=10 in, E1.edge=flush`.
        job: The base.

    Raises:
        UserError: Texts that mean nothing in this job; all of them are told.
    """
    problems: list[Problem] = []
    found: list[Alternate] = []
    taken = {one.name.casefold() for one in job.alternates}
    for text in texts:
        settings: list[Setting] = []
        without: list[str] = []
        for name, value in _pairs(text, problems):
            if name == WITHOUT:
                without += _left_out(value, job, problems)
            else:
                settings += _meant(name, value, job, problems)
        name = printable(" ".join(text.split()), 60)
        if name.casefold() in taken:
            problems.append(_problem("this alternate is asked for twice", text))
        taken.add(name.casefold())
        found.append(Alternate(name, tuple(settings), tuple(without)))
    if problems:
        raise UserError(problems)
    return found


def _problem(told: str, text: str, *, allowed: str = "", mend: str = "") -> Problem:
    shown = printable(text)
    return Problem(told, key=_OPTION, value=shown, allowed=allowed, mend=mend)


def _pairs(text: str, problems: list[Problem]) -> list[tuple[str, str]]:
    """Return names and values; a comma goes on with the next where a name follows it."""
    parts: list[str] = []
    for part in text.split(","):
        if parts and "=" not in part:
            parts[-1] += f",{part}"
        else:
            parts.append(part)
    pairs = [tuple(side.strip() for side in part.partition("=")[::2]) for part in parts]
    if all(name and value for name, value in pairs):
        return [(name, value) for name, value in pairs]
    told = "an alternate is a name and a value"
    problems.append(_problem(told, text, allowed=_WAYS))
    return []


def _left_out(value: str, job: Job, problems: list[Problem]) -> list[str]:
    ids = [placed.id for placed in job.conditions]
    wanted = [one.strip() for one in value.split("+")]
    for one in wanted:
        if one not in ids:
            told = "there is no condition of this id"
            close = suggestion(one, ids)
            problems.append(
                _problem(told, f"without={one}", allowed=", ".join(ids), mend=close)
            )
    if set(ids) <= set(wanted):
        told = "this leaves no condition in the job"
        problems.append(_problem(told, f"without={value}"))
    return wanted


def _meant(name: str, text: str, job: Job, problems: list[Problem]) -> list[Setting]:
    """Return what a name and a value mean in a job."""
    if name == RULES:
        sets = [one.strip() for one in text.split("+")]
        return [Setting(RULES, "", RULES, sets if len(sets) > 1 else sets[0])]
    home, _, key = name.rpartition(".")
    kinds = {placed.id: placed.condition.kind for placed in job.conditions}
    if home == ROOF or (not home and key in Roof.model_fields):
        return [Setting(ROOF, "", key, _value(text, key, None))]
    if home in kinds:
        return [Setting(CONDITION, home, key, _value(text, key, kinds[home]))]
    having = [
        kind
        for kind in dict.fromkeys(kinds.values())
        if home in {"", kind} and (home or key in CONDITIONS[kind].parameters.model_fields)
    ]
    if having and key not in {"id", KIND}:
        return [Setting(KIND, kind, key, _value(text, key, kind)) for kind in having]
    told = f"nothing in this job is called {printable(name, 40)}"
    known = [*Roof.model_fields, *dict.fromkeys(kinds.values()), *kinds]
    close = suggestion(home or key, known)
    problems.append(_problem(told, f"{name}={text}", allowed=_WAYS, mend=close))
    return []


def _value(text: str, key: str, kind: str | None) -> object:
    """Return a value as the file would have it; a choice may be cut short."""
    model = CONDITIONS[kind].parameters if kind else Roof
    field = next((one for one in told(model) if one.key == key), None)
    if field and field.choices and text not in field.choices:
        begun = [one for one in field.choices if one.startswith(text)]
        return begun[0] if len(begun) == 1 else text
    try:
        read: object = cast("Mapping[str, object]", tomllib.loads(f"v = {text}"))["v"]
    except tomllib.TOMLDecodeError:
        return text
    if isinstance(read, bool | int | float | str):
        return read
    return cast("list[object]", read) if isinstance(read, list) else text
