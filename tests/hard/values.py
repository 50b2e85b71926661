"""Values that no reader expects, and those at the very ends of what is declared."""

from datetime import date, time
from random import Random
from typing import Any

from detailgen.loader import Kind, Told
from detailgen.units import parse_length, parse_slope

TEXTS = (
    "",
    " ",
    "x",
    "x" * 5000,
    "W1",
    "D1",
    "wall",
    "roof-edge",
    "true",
    "nan",
    "-1",
    "12",
    "0.1 mm",
    "100 m",
    "99999 m",
    "0 in",
    "-0 in",
    "-8 in",
    "1e9 mm",
    "1/0 in",
    "1 1/0 in",
    "9" * 400 + " in",
    "8",
    "8 furlongs",
    "1:0",
    "0:1",
    "1:1",
    "1000 %",
    "179 deg",
    "90 deg",
    "0 deg",
    "1/4 in per ft",
    "=1+1",
    "@SUM(A1)",
    "+cmd|' /C calc'!A0",
    "<script>",
    "]]>",
    "&amp;",
    "../../x",
    "/etc/passwd",
    "CON",
    "a:b",
    "C:\\x",
    "\u202e in",
    "a\u2066b\u2069",
    "\u05e9\u05dc\u05d5\u05dd",
    "\u0627\u0644\u0633\u0637\u062d",
    "\u0000",
    "\u0007",
    "\u001b[2J",
    "a\nb",
    "a\r\n  0\nEOF",
    "\ufeff",
    "\uff11 mm",
    "\u00bd in",
    "e\u0301",
    "\U0001f3e0",
    "\ufdd0",
    "%%u",
    "{\\fArial;x}",
    "\\P",
    "(\\)",
    "\u2028",
    "\u200b",
    "roof - 3 in",
    "cant.top + 2 in",
    "0.5 t",
    "1e400 t",
)
"""What may stand where a text is read."""
NUMBERS = (
    0,
    1,
    -1,
    2,
    3,
    179,
    400,
    99999,
    10**18,
    10**400,
    0.0,
    -0.0,
    0.1,
    2.5,
    1e-300,
    1e308,
    float("nan"),
    float("inf"),
    float("-inf"),
)
LENGTHS = ("0.1 mm", "100 m", "0 in", "1e-9 mm", "8 in", "1/64 in", "10000 m", "70 mil")
SLOPES = ("0 %", "1:1", "1:48", "1/4 in per ft", "100 %", "89 deg", "0.001 %", "1:100000")


def odd(by: Random) -> Any:
    """Return a value of any kind that TOML has, often of the wrong one."""
    way = by.randrange(10)
    if way < 4:
        return by.choice(TEXTS)
    if way < 6:
        return by.choice(NUMBERS)
    if way == 6:
        return by.choice([True, False, date(1979, 5, 27), time(7, 32)])
    if way == 7:
        return (
            [odd(by) for _ in range(by.choice([0, 1, 3, 40]))] if by.random() < 0.7 else []
        )
    if way == 8:
        return {by.choice(["a", "x", "material", "at"]): by.choice(TEXTS)}
    return deep(by.choice([3, 12, 60]), tables=by.random() < 0.5)


def deep(levels: int, *, tables: bool) -> Any:
    """Return lists or tables in one another."""
    value: Any = 1
    for _ in range(levels):
        value = {"a": value} if tables else [value]
    return value


def fitting(field: Told, by: Random, wild: float) -> Any:  # noqa: PLR0911  (one each kind)
    """Return a value for a key: at an end of its range or in it, or something else.

    Args:
        field: The key.
        by: Chooses.
        wild: How often it is something that the key cannot be.
    """
    if by.random() < wild / 3:
        return odd(by)
    if field.kind is Kind.LENGTH:
        return _length(field, by, wild)
    if field.kind is Kind.SLOPE:
        return by.choice(SLOPES) if by.random() < wild else _ranged(field, by, wild)
    if field.kind is Kind.LENGTHS:
        most = int(field.most or 3) + (by.random() < wild)
        return [_length(field, by, wild) for _ in range(by.choice([0, 1, 2, most]))]
    if field.kind is Kind.SWITCH:
        return by.random() < 0.5
    if field.kind in {Kind.WHOLE, Kind.NUMBER}:
        ends = [v for v in (field.least, field.most) if v is not None] or [2]
        return by.choice(ends) + (by.choice([-1, 1, 1e300]) if by.random() < wild else 0)
    if field.choices:
        chosen = by.choice(field.choices)
        return [chosen] if field.kind is Kind.CHOICES else chosen
    if by.random() < wild:
        return by.choice(TEXTS)
    longest = int(field.most or 1)
    return by.choice([
        field.example or "x",
        "x" * longest,
        "W" * longest,
        "\u00c4\u00df1"[:longest],
    ])


def _length(field: Told, by: Random, wild: float) -> str:
    return by.choice(LENGTHS) if by.random() < wild else _ranged(field, by, wild)


def _ranged(field: Told, by: Random, wild: float) -> str:
    """Return a length or slope in its range, its ends most of all, seldom beyond."""
    least, _, most = field.allowed.rpartition("each ")[2].partition(" to ")
    sloped = field.kind is Kind.SLOPE
    read, unit, factor = (parse_slope, "%", 100.0) if sloped else (parse_length, "mm", 1.0)
    low, high = float(read(least)) * factor, float(read(most)) * factor
    if by.random() < wild:
        return f"{by.choice([max(low - 0.1, 0.0), high + 0.1]):.4f} {unit}"
    if (way := by.randrange(6)) < 2:
        return (least, most)[way]
    part = by.choice([by.random(), by.random() ** 3])
    return f"{low + (high - low) * part:.3f} {unit}"
