"""What is told to a user: one value for each mistake, all of them at once."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

_UNPRINTABLE: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""Unicode categories that draw nothing, turn text around or break a line."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake in what the user gave, in terms of the user's own file."""

    message: str
    """What is wrong, one sentence."""
    file: str = ""
    line: int | None = None
    key: str = ""
    value: str = ""
    allowed: str = ""
    """What would be accepted."""
    mend: str = ""
    """How to put it right, one sentence."""

    @property
    def place(self) -> str:
        """Return where it is: `job.toml, line 12`; empty when it is nowhere."""
        return f"{self.file}, line {self.line}" if self.line else self.file


class UserError(Exception):
    """Mistakes of the user's: told together, then exit code 2."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)  # it may have to cross over from another process

    def __str__(self) -> str:  # pyright: ignore[reportImplicitOverride]
        """Return all of them in one line."""
        return "; ".join(p.message for p in self.problems)


def unprintable(text: str) -> str:
    r"""Return the first sign that a sheet or a terminal must not get, or nothing.

    >>> unprintable("Parapet, north"), ascii(unprintable("a\u202eb"))
    ('', "'\\u202e'")
    """
    return next((sign for sign in text if unicodedata.category(sign) in _UNPRINTABLE), "")


def printable(text: str, longest: int = 60) -> str:
    r"""Return text that is safe to print: strange signs escaped, and cut when long.

    >>> printable("tab\there"), printable("x" * 9, longest=4)
    ('tab\\x09here', 'xxx…')
    """
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    return "".join(_escaped(s) if unprintable(s) else s for s in cut)


def _escaped(sign: str) -> str:
    code = ord(sign)
    if code <= 0xFF:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}"
