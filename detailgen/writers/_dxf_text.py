r"""Text for a DXF file: nothing in it may act, and a dimension's number stays alive.

A reader takes `%%d`, `^J`, `\P`, `{\f...}` and `\U+0041` in a text for commands; what a
user typed must come out as it was typed. A dimension's text is written with `<>` for the
number, and the number's format with it, wherever a reader that measures again would print
the same.
"""

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from detailgen.lettering import letterable
from detailgen.scene import Dimension
from detailgen.units import MM_PER_INCH

DECIMAL, ARCHITECTURAL, FRACTIONAL = 2, 4, 5
"""DIMLUNIT: decimal, feet and inches, fractions."""
_ALTERNATE: Final = re.compile(r"(?P<unit>.*?)(?P<gap> ?)\[(?P<other>[^\[\]]+)\]")
_MOST_DECIMALS: Final = 3
_FRACTIONS: Final = (4, 5, 6)
"""Digits of a fraction of an inch: 1/16, 1/32, 1/64."""
_UNITS: Final = {
    DECIMAL: ("", " mm", "mm"),
    ARCHITECTURAL: ("",),
    FRACTIONAL: ('"', " in", " in."),
}
"""What may follow a number; feet and inches carry their marks with them."""


def plain(text: str) -> str:
    """Return what a TEXT or an attribute holds to show `text` as it stands."""
    text = re.sub(r"%(?=%)", "% ", letterable(text)).replace("^", "\u02c6")
    return re.sub(r"\\(?=[UM]\+)", r"\\ ", text)


def multiline(text: str) -> str:
    """Return what an MTEXT holds to show `text`, one line, as it stands."""
    return re.sub(r"([\\{}])", r"\\\1", plain(text))


@dataclass(frozen=True, slots=True)
class NumberFormat:
    """How a dimension style prints a length: DIMLUNIT and DIMDEC, and those in brackets."""

    units: int
    digits: int
    other_units: int = 0
    """0 when no second number is printed."""
    other_digits: int = 0

    @property
    def name(self) -> str:
        """Return a name for a dimension style's own."""
        first = f"{'DFA'[self._letter(self.units)]}{self.digits}"
        if not self.other_units:
            return first
        return f"{first}-{'DFA'[self._letter(self.other_units)]}{self.other_digits}"

    @staticmethod
    def _letter(units: int) -> int:
        return {DECIMAL: 0, FRACTIONAL: 1, ARCHITECTURAL: 2}[units]


def dimension_text(item: Dimension, *, inches: bool) -> tuple[str, NumberFormat]:
    """Return the text of a dimension entity and how its style prints numbers.

    The text is literal when no number format gives what the sheet prints.
    """
    end = len(item.text) - len(item.suffix)
    number = item.text[len(item.prefix) : end]
    found = _match_both(number, item.true, inches=inches)
    if found is None:
        return _inert(item.text), NumberFormat(ARCHITECTURAL if inches else DECIMAL, 4)
    live, form = found
    return f"{_inert(item.prefix)}{live}{_inert(item.suffix)}", form


def _inert(text: str) -> str:
    """Return a part of a dimension's text that is not replaced by a number."""
    return multiline(text).replace("<>", "< >").replace("[]", "[ ]")


def _match_both(text: str, true: float, *, inches: bool) -> tuple[str, NumberFormat] | None:
    """Match `number unit [number]` or `number unit`."""
    both = _ALTERNATE.fullmatch(text)
    if both is None:
        one = _match(text, true, inches=inches)
        return one and (f"<>{_inert(one[0])}", NumberFormat(*one[1:]))
    one = _match(both["unit"], true, inches=inches)
    other = _match(both["other"], true, inches=not inches)
    if one is None or other is None or other[0]:
        return None
    live = f"<>{_inert(one[0])}{both['gap']}[]"
    return live, NumberFormat(*one[1:], *other[1:])


def _match(text: str, true: float, *, inches: bool) -> tuple[str, int, int] | None:
    """Return what follows the number, and the number's units and digits."""
    if inches:
        value = true / MM_PER_INCH
        forms = [(u, d) for u in (ARCHITECTURAL, FRACTIONAL) for d in _FRACTIONS]
    else:
        value = true
        forms = [(DECIMAL, digits) for digits in range(_MOST_DECIMALS + 1)]
    for units, digits in forms:
        number = shown(value, units, digits)
        rest = text.removeprefix(number)
        # What follows is the unit and nothing else: `2 PLIES` is no length.
        if rest != text and rest in _UNITS[units]:
            return rest, units, digits
    return None


def shown(value: float, units: int, digits: int) -> str:
    """Return a length as a program prints it in these units; ties go up."""
    if units == DECIMAL:
        step = Fraction(1, 10**digits)
        text = f"{float(_steps(value, step) * step):.{digits}f}"
        return text.rstrip("0").rstrip(".") if digits else text
    step = Fraction(1, 2**digits)
    whole, part = divmod(_steps(value, step) * step, 1)
    feet, whole = divmod(whole, 12) if units == ARCHITECTURAL else (0, whole)
    if not feet:
        text = " ".join(str(n) for n in (whole, part) if n) or "0"
        return f'{text}"' if units == ARCHITECTURAL else text
    return f"{feet}'-{whole}{f' {part}' if part else ''}\""


def _steps(value: float, step: Fraction) -> int:
    exact = Fraction(round(value * 1e9), 10**9)
    return math.floor(exact / step + Fraction(1, 2))
