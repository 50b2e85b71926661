"""What a user wants kept: `W1.reglet_height`, `roof.slope`, `roof`, or a bare key."""

from collections.abc import Iterable, Mapping
from typing import Final

from detailgen.errors import Problem, UserError, printable
from detailgen.mend._result import ROOF
from detailgen.parameters import Placed, Roof

_WAYS: Final = "ID.key, roof.key, roof, or a key for all conditions that have it"


def kept_of(
    names: Iterable[str], conditions: Mapping[str, Placed]
) -> dict[str, frozenset[str]]:
    """Return what is to be kept in each condition, the roof's keys with `roof.` before.

    Args:
        names: As the user gives them.
        conditions: Parameters by the id of the condition.

    Raises:
        UserError: Names that mean nothing in this job.
    """
    kept: dict[str, set[str]] = {mark: set() for mark in conditions}
    problems: list[Problem] = []
    for name in names:
        home, _, key = name.rpartition(".")
        found = [
            (mark, told)
            for mark, parameters in conditions.items()
            if home in {"", mark, ROOF}
            for told in _meant(home, key, parameters)
        ]
        for mark, told in found:
            kept[mark].add(told)
        if not found:
            problems.append(_unknown(name, home, key, conditions))
    if problems:
        raise UserError(problems)
    return {mark: frozenset(told) for mark, told in kept.items()}


def _meant(home: str, key: str, parameters: Placed) -> list[str]:
    """Return what a key means for one condition."""
    own = key in _own(parameters) and home != ROOF
    shared = key in Roof.model_fields and home in {"", ROOF}
    whole = key == ROOF and not home
    return [
        *([key] if own else []),
        *([f"{ROOF}.{key}"] if shared else []),
        *([ROOF] if whole else []),
    ]


def _own(parameters: Placed) -> list[str]:
    return [k for k in type(parameters).model_fields if k not in Placed.model_fields]


def _unknown(name: str, home: str, key: str, conditions: Mapping[str, Placed]) -> Problem:
    if home in conditions:
        message = f"{home} has no parameter of this name that could change"
        allowed = ", ".join(_own(conditions[home]))
    elif home == ROOF:
        message, allowed = "the roof has no such figure", ", ".join(Roof.model_fields)
    elif home:
        message, allowed = "there is no condition of this id", ", ".join(conditions)
    else:
        message, allowed = f"nothing in this job is called {printable(key, 40)}", _WAYS
    return Problem(message, key="--keep", value=printable(name), allowed=allowed)
