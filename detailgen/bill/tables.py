"""The bill as CSV and as JSON."""

import csv
import io
import json
from collections.abc import Iterable, Sequence
from typing import Any, Final

from detailgen.bill._nouns import Bill, Counted, Line, Total
from detailgen.bill._shown import UNITS, Shown

FORMAT: Final = 1
"""Version of the JSON; it grows when a key changes its meaning or goes."""
_FORMULA: Final = frozenset("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")
"""What a spreadsheet may take for the beginning of a formula, at its full width too."""
_LINES: Final = (
    "condition",
    "title",
    "quantity",
    "item",
    "unit",
    "net",
    "lap factor",
    "ends",
    "added at each end",
    "offcut factor",
    "waste",
    "gross",
    "stock pieces",
    "how computed",
    "from net to gross",
    "source",
)
_TOTALS: Final = (
    "item",
    "name",
    "standard",
    "unit",
    "net",
    "gross",
    "pack",
    "pack holds",
    "packs",
    "weight",
    "weight unit",
    "board feet",
    "price for",
    "price",
    "cost",
    "hours",
    "source of pack and waste",
)


def harmless(text: str) -> str:
    """Return text that no spreadsheet reads as a formula.

    >>> harmless("=1+1"), harmless("Parapet, north")
    ("'=1+1", 'Parapet, north')
    """
    return f"'{text}" if text.lstrip(" \xa0")[:1] in _FORMULA else text


def csv_files(bill: Bill, shown: Shown) -> dict[str, bytes]:
    """Return the lines of conditions, and the totals, in the units of the job."""
    lines = [_line_row(one, line, shown) for one, line in bill.lines]
    lines += [[one.id, one.title, one.missing] for one in bill.uncounted]
    totals = [_total_row(total, shown) for total in bill.totals]
    return {
        "conditions.csv": csv_text(_LINES, lines),
        "materials.csv": csv_text(_TOTALS, totals),
    }


def json_text(bill: Bill, shown: Shown) -> str:
    """Return the bill as JSON: amounts in SI, and in the units of the job beside them."""
    content = {
        "format": FORMAT,
        "project": bill.project,
        "number": bill.number,
        "revision": bill.revision,
        "date": bill.date,
        "prices": bill.prices.file,
        "currency": bill.prices.currency,
        "conditions": [_condition(one, shown) for one in bill.conditions],
        "materials": [_total(total, shown) for total in bill.totals],
        "cost": _round(bill.cost) if bill.prices.rows else None,
        "hours": _round(bill.hours) if bill.prices.rows else None,
        "without_price": list(bill.unpriced) if bill.prices.rows else [],
        "prices_not_used": list(bill.unused),
    }
    return json.dumps(content, indent=2, ensure_ascii=False)


def csv_text(head: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """Return rows as the bytes of a CSV file; no cell of it is read as a formula."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([_cell(name) for name in head])
    for row in rows:
        writer.writerow([_cell(v) for v in row] + [""] * (len(head) - len(row)))
    return text.getvalue().encode("utf-8-sig")  # so that spreadsheets know it is UTF-8


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{_round(value)}"
    return harmless(str(value))


def _line_row(one: Counted, line: Line, shown: Shown) -> list[object]:
    factor = shown.factor(line.measure)
    row: list[object] = [one.id, one.title, line.label, line.item]
    row += [shown.unit(line.measure), line.net * factor]
    if line.bought:
        row += [line.laps, line.ends, line.at_end * factor, line.offcuts, line.waste]
        row += [line.gross * factor, line.pieces or ""]
    else:
        row += [""] * 7
    return [*row, line.formula, line.told, line.source]


def _total_row(total: Total, shown: Shown) -> list[object]:
    factor, price = shown.factor(total.measure), total.price
    unit, mass = shown.unit(total.measure), shown.weight
    weight = total.gross * total.mass * mass[1] if total.mass else None
    feet = total.gross * total.board_feet if total.board_feet else None
    row: list[object] = [total.item, total.name, total.standard, unit]
    row += [total.net * factor, total.gross * factor]
    row += [total.pack, total.holds * factor, total.packs]
    row += [weight, mass[0] if weight else "", feet]
    row += [(unit if total.by_unit else total.pack) if price else ""]
    row += [price.price if price else None, total.cost, total.hours]
    return [*row, total.source]


def _condition(one: Counted, shown: Shown) -> dict[str, Any]:
    return {
        "id": one.id,
        "title": one.title,
        "kind": one.kind,
        "counted": not one.missing,
        "missing": one.missing,
        "length_mm": one.length,
        "count": one.places,
        "lines": [_line(line, shown) for line in one.lines],
        "by_others": list(one.others),
    }


def _line(line: Line, shown: Shown) -> dict[str, Any]:
    told: dict[str, Any] = {
        "id": line.id,
        "label": line.label,
        "item": line.item,
        "material": line.material,
        "unit": UNITS[line.measure],
        "net": _round(line.net),
        "shown": {
            "unit": shown.unit(line.measure),
            "net": _round(line.net * shown.factor(line.measure)),
        },
        "formula": line.formula,
        "source": line.source,
    }
    if not line.bought:
        return told | {"bought": False}
    told["shown"]["gross"] = _round(line.gross * shown.factor(line.measure))
    return told | {
        "bought": True,
        "gross": _round(line.gross),
        "laps": _round(line.laps),
        "ends": line.ends,
        "at_each_end": _round(line.at_end),
        "offcuts": _round(line.offcuts),
        "waste": line.waste,
        "stock_pieces": line.pieces or None,
        "gross_formula": line.told,
    }


def _total(total: Total, shown: Shown) -> dict[str, Any]:
    factor, price = shown.factor(total.measure), total.price
    return {
        "item": total.item,
        "name": total.name,
        "standard": total.standard,
        "unit": UNITS[total.measure],
        "net": _round(total.net),
        "gross": _round(total.gross),
        "shown": {
            "unit": shown.unit(total.measure),
            "net": _round(total.net * factor),
            "gross": _round(total.gross * factor),
        },
        "pack": total.pack,
        "pack_holds": _round(total.holds),
        "packs": total.packs,
        "mass_kg": _round(total.gross * total.mass) if total.mass else None,
        "board_feet": _round(total.gross * total.board_feet) if total.board_feet else None,
        "price": price.price if price else None,
        "price_for": shown.unit(total.measure) if total.by_unit else total.pack,
        "cost": None if total.cost is None else _round(total.cost),
        "hours": None if total.hours is None else _round(total.hours),
        "source": total.source,
    }


def _round(value: float) -> float:
    return round(value, 6) + 0.0
