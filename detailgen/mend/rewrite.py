"""Puts changed values into the text of a parameter file: comments and order stay.

tomlkit is imported here alone, and only when a file is to be written: it is what reads TOML
together with its comments and writes it back as it was.
"""

import tomllib
from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, cast

from tomlkit import dumps, nl, parse, table
from tomlkit.items import AoT, InlineTable, Item, Table
from tomlkit.toml_document import TOMLDocument

from detailgen.mend._result import ROOF, Change, Mended
from detailgen.mend._written import shown, written
from detailgen.units import UnitSystem

Values = str | int | bool


@dataclass(frozen=True, slots=True)
class Entry:
    """One value to be written."""

    condition: int | None
    """Number of the condition in the file, counted from 0; None for the roof."""
    key: str
    layer: int | None
    """Which item of a list, counted from 0; one past its end adds to it."""
    value: Values
    """As the file has it."""
    whole: tuple[Values, ...] = ()
    """For an item of a list that the file does not have: the whole list as it stands."""


def changed_text(
    text: str, mended: Mended, places: Mapping[str, int], system: UnitSystem
) -> str:
    """Return the text of a parameter file with all changes of a job.

    Args:
        text: A valid parameter file.
        mended: What becomes of it.
        places: Number in the file of each condition, counted from 0.
        system: The job's unit system, in which values are written.
    """
    changes = [*mended.roof, *(c for m in mended.conditions for c in m.changes)]
    return rewritten(text, [_entry(c, places, system) for c in changes])


def _entry(change: Change, places: Mapping[str, int], system: UnitSystem) -> Entry:
    value = written(change.needed, change.sort, system)
    number = None if change.home == ROOF else places[change.home]
    tell = written if system is UnitSystem.FEET_INCHES else shown
    whole = tuple(tell(v, change.sort, system) for v in change.whole)
    return Entry(number, change.key, change.layer, value, whole)


def rewritten(text: str, entries: Sequence[Entry]) -> str:
    """Return the text of a parameter file with changed values.

    Args:
        text: A valid parameter file.
        entries: What is to be changed.
    """
    crlf = text.count("\r\n") == text.count("\n") > 0
    plain = text.replace("\r\n", "\n") if crlf else text
    wanted = _wanted(tomllib.loads(plain), entries)
    for put in (_beside, _anywhere):
        document = parse(plain)
        for entry in entries:
            put(_home(document, entry), entry)
        done = dumps(document)
        if _says(done, wanted):
            return done.replace("\n", "\r\n") if crlf else done
    msg = "the changed file does not say what it should"
    raise AssertionError(msg)


def _says(text: str, wanted: dict[str, Any]) -> bool:
    try:
        return tomllib.loads(text) == wanted
    except tomllib.TOMLDecodeError:
        return False


def _wanted(values: dict[str, Any], entries: Sequence[Entry]) -> dict[str, Any]:
    """Return what the changed file has to say."""
    wanted = deepcopy(values)
    for entry in entries:
        if entry.condition is None:
            home = wanted.setdefault("roof", {})
        else:
            home = wanted["condition"][entry.condition]
        if entry.layer is None:
            home[entry.key] = entry.value
        else:
            layers = home.setdefault(entry.key, list(entry.whole))
            layers[entry.layer : entry.layer + 1] = [entry.value]
    return wanted


def _home(document: TOMLDocument, entry: Entry) -> Table | InlineTable:
    """Return the table that a value belongs in; one for the roof is made."""
    if entry.condition is not None:
        listed = cast("Sequence[Table]", document["condition"])
        return listed[entry.condition]
    if "roof" not in document:
        document.add(nl())
        document.add("roof", table())
    return cast("Table | InlineTable", document["roof"])


def _beside(home: Table | InlineTable, entry: Entry) -> None:
    """Put a value in the place of the old one, or on a line after the last key."""
    if entry.key in home or isinstance(home, InlineTable):
        _anywhere(home, entry)
        return
    last = _last_line(home)
    if last is None:
        _anywhere(home, entry)
        return
    scratch = table()
    _anywhere(scratch, entry)
    line = last.trivia.indent + scratch.as_string().rstrip("\n")
    end = last.trivia.trail
    closed = end.endswith("\n")  # not where the file ends there
    last.trivia.trail = f"{end}{line}\n" if closed else f"{end}\n{line}"


def _last_line(home: Table) -> Item | None:
    """Return the last value of a table that stands on lines of its own."""
    found = [
        item
        for key, item in home.value.body
        if key is not None and not isinstance(item, Table | AoT)
    ]
    return found[-1] if found else None


def _anywhere(home: Table | InlineTable, entry: Entry) -> None:
    """Put a value in a table, wherever tomlkit puts it."""
    if entry.layer is None:
        home[entry.key] = entry.value
        return
    if entry.key not in home:
        home[entry.key] = list(entry.whole)
    layers = cast("list[Values]", home[entry.key])
    if entry.layer < len(layers):
        layers[entry.layer] = entry.value
    else:
        layers.append(entry.value)
