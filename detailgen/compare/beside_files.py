"""A job beside its alternates as CSV, as JSON and as a workbook.

In the workbook differences and sums are formulas, so that an estimator who changes an
amount, a count of packs or a price sees them move.
"""

import json
from typing import Any, Final

from detailgen.bill import Book, Page, Shown, Total, at, csv_text
from detailgen.compare._beside import Alternates, failing, unpriced
from detailgen.compare._words import finding_words
from detailgen.compare.content import finding_json, rounded, total_json

FORMAT: Final = 1
"""Version of the JSON; it grows when a key changes its meaning or goes."""
_HEAD: Final = 3
_FIRST: Final = _HEAD + 1
_LEAD: Final = 4
"""Columns before the base: item, name, unit, pack."""
_OF_ONE: Final = ("net", "gross", "packs", "price", "cost")
_NET, _GROSS, _PACKS, _PRICE, _COST = range(len(_OF_ONE))
_BY: Final = ("gross by", "packs by", "cost by")
_MOVED: Final = (_GROSS, _PACKS, _COST)


def beside_files(found: Alternates, currency: str) -> dict[str, bytes]:
    """Return workbook, CSV and JSON by the names of the files."""
    return {
        "alternates.xlsx": _workbook(found, currency),
        "alternates.json": (beside_json(found, indent=2) + "\n").encode(),
        "materials.csv": _materials_csv(found),
        "findings.csv": _findings_csv(found),
    }


def beside_json(found: Alternates, indent: int | None = None) -> str:
    """Return the base and its alternates as JSON: amounts in SI."""
    system = found.base.job.project.units
    names = [None, *(one.name for one in found.others)]
    content: dict[str, Any] = {
        "format": FORMAT,
        "file": found.base.job.file,
        "alternates": [
            {
                "name": name,
                "about": one.about if one else "",
                "changes": list(one.changes) if one else [],
                "same_as_base": one.nothing if one else True,
                "rule_sets": list(version.job.rules.set_ids),
                **dict(
                    zip(
                        ("required_fail", "accepted", "advice_not_met"),
                        failing(version),
                        strict=True,
                    )
                ),
                "cost": rounded(cost) if found.priced else None,
                "hours": rounded(hours) if found.priced else None,
                "without_price": unpriced(version) if found.priced else [],
            }
            for name, one, version, cost, hours in zip(
                names,
                (None, *found.others),
                found.versions,
                found.costs,
                found.hours,
                strict=True,
            )
        ],
        "materials": [
            {
                "item": row.item,
                "name": row.one.name,
                "unit": str(row.one.measure),
                "moves": row.moves,
                "totals": [total_json(total) for total in row.totals],
            }
            for row in found.materials
        ],
        "findings": [
            {
                "condition": row.mark,
                "rule": row.rule,
                "title": row.title,
                "left_out": [not kept for kept in row.kept],
                "says": [finding_json(f, system) for f in row.findings],
            }
            for row in found.findings
        ],
    }
    return json.dumps(content, indent=indent, ensure_ascii=False)


# --- CSV --------------------------------------------------------------------------------


def _materials_csv(found: Alternates) -> bytes:
    shown = Shown(found.base.job.project.units)
    rows: list[list[object]] = []
    for row in found.materials:
        base = row.totals[0]
        for name, total in zip(found.names, row.totals, strict=True):
            factor = shown.factor(row.one.measure)
            unit = shown.unit(row.one.measure)
            cells: list[object] = [row.item, row.one.name, unit, name]
            cells += _figures(total, factor)
            cells += [
                _gross(total, factor) - _gross(base, factor),
                (total.packs if total else 0) - (base.packs if base else 0),
                _cost(total) - _cost(base) if found.priced else None,
            ]
            rows.append(cells)
    head = ("item", "name", "unit", "alternate", "net", "gross", "pack", "packs", "cost")
    return csv_text((*head, "hours", *_BY), rows)


def _figures(total: Total | None, factor: float) -> list[object]:
    if total is None:
        return [0.0, 0.0, "", 0, None, None]
    amounts = [total.net * factor, total.gross * factor]
    return [*amounts, total.pack, total.packs, total.cost, total.hours]


def _gross(total: Total | None, factor: float) -> float:
    return total.gross * factor if total else 0.0


def _cost(total: Total | None) -> float:
    return (total.cost or 0.0) if total else 0.0


def _findings_csv(found: Alternates) -> bytes:
    system = found.base.job.project.units
    rows = [
        [
            row.mark,
            row.rule,
            row.title,
            *(
                finding_words(f, system) if kept else "left out"
                for f, kept in zip(row.findings, row.kept, strict=True)
            ),
        ]
        for row in found.findings
    ]
    return csv_text(("condition", "rule", "title", *found.names), rows)


# --- the workbook -----------------------------------------------------------------------


def _workbook(found: Alternates, currency: str) -> bytes:
    project = found.base.job.project
    book = Book(project.name, project.units, "Alternates")
    summary, materials = book.page("Summary"), book.page("Materials")
    sums = _materials(materials, found, currency)
    _summary(summary, found, currency, sums)
    _findings(book.page("Findings"), found)
    return book.content()


def _summary(page: Page, found: Alternates, currency: str, sums: list[str]) -> None:
    page.set_up((40, 52, 14, 12, 14, 16, 16, 12, 14), _HEAD)
    page.text(0, 0, found.base.job.project.name, "title")
    page.text(1, 0, "The base and its alternates", "note")
    money = f"Cost, {currency}" if currency else "Cost"
    heads = ("Alternate", "What it changes", "Required fail", "Accepted", "Advice not met")
    page.texts(_HEAD, (*heads, money, "By", "Hours", "Items without a price"), "head")
    told = ["", *("; ".join(one.changes) for one in found.others)]
    columns = zip(found.names, told, found.versions, found.costs, found.hours, strict=True)
    for number, (name, changes, version, cost, hours) in enumerate(columns):
        row = _FIRST + number
        page.text(row, 0, name, "text")
        page.text(row, 1, changes, "text")
        for column, count in enumerate(failing(version), 2):
            page.fixed(row, column, count, "whole")
        if found.priced:
            page.formula(row, 5, f"Materials!{sums[number]}", "amount", cost)
            by = f"{at(row, 5)}-{at(_FIRST, 5, fixed=True)}"
            page.formula(row, 6, by, "amount", cost - found.costs[0])
            page.fixed(row, 7, hours, "amount")
            page.fixed(row, 8, len(unpriced(version)), "whole")


def _materials(page: Page, found: Alternates, currency: str) -> list[str]:
    """Write what each takes; return the cells of the sums of cost."""
    shown = Shown(found.base.job.project.units)
    widths = [28.0, 40.0, 8.0, 14.0, *[12.0] * _width(len(found.names))]
    page.set_up(widths, _HEAD)
    page.text(0, 0, "Materials of the base and of its alternates", "title")
    note = (
        "Differences and costs are formulas; what stands on a tinted ground may be changed."
    )
    page.text(1, 0, note, "note")
    page.texts(_HEAD, ("Item", "Name", "Unit", "Pack"), "head")
    for number, name in enumerate(found.names):
        start = _start(number)
        page.text(_HEAD - 1, start, name, "label")
        heads = (*_OF_ONE, *(_BY if number else ()))
        for column, head in enumerate(heads):
            told = f"{head}, {currency}" if currency and head in {"price", "cost"} else head
            page.text(_HEAD, start + column, told.capitalize(), "head")
    for line, row in enumerate(found.materials):
        at_row = _FIRST + line
        unit, factor = shown.unit(row.one.measure), shown.factor(row.one.measure)
        for column, text in enumerate((row.item, row.one.name, unit, row.one.pack)):
            page.text(at_row, column, text, "text")
        for number, total in enumerate(row.totals):
            _figures_of(page, at_row, _start(number), total, factor)
            if number:
                _moved(page, at_row, number, (row.totals[0], total), factor)
    return _sums(page, found)


def _figures_of(
    page: Page, row: int, start: int, total: Total | None, factor: float
) -> None:
    page.fixed(row, start + _NET, total.net * factor if total else 0.0, "amount")
    page.fixed(row, start + _GROSS, _gross(total, factor), "amount")
    page.number(row, start + _PACKS, total.packs if total else 0, "whole")
    price = total.price.price if total and total.price else None
    if total is None or price is None:
        page.blank(row, start + _PRICE, "amount", entry=True)
    else:
        page.number(row, start + _PRICE, price, "amount")
    # a price is for a pack, or for one of the unit of the gross amount
    many = _GROSS if total is not None and total.by_unit else _PACKS
    cost = f"{at(row, start + many)}*{at(row, start + _PRICE)}"
    page.formula(row, start + _COST, cost, "amount", _cost(total))


def _moved(
    page: Page,
    row: int,
    number: int,
    pair: tuple[Total | None, Total | None],
    factor: float,
) -> None:
    old, new = pair
    by = (
        _gross(new, factor) - _gross(old, factor),
        (new.packs if new else 0) - (old.packs if old else 0),
        _cost(new) - _cost(old),
    )
    start = _start(number)
    for place, (column, value) in enumerate(zip(_MOVED, by, strict=True)):
        formula = f"{at(row, start + column)}-{at(row, _start(0) + column)}"
        kind = "whole" if column == _PACKS else "amount"
        page.formula(row, start + len(_OF_ONE) + place, formula, kind, value)


def _sums(page: Page, found: Alternates) -> list[str]:
    last = _FIRST + len(found.materials)
    page.text(last, 0, "Sum", "label")
    cells: list[str] = []
    for number, cost in enumerate(found.costs):
        column = _start(number) + _COST
        summed = f"SUM({at(_FIRST, column)}:{at(max(last - 1, _FIRST), column)})"
        page.formula(last, column, summed, "total", cost)
        cells.append(at(last, column))
        if number:
            by = f"{at(last, column)}-{at(last, _start(0) + _COST)}"
            place = _start(number) + len(_OF_ONE) + 2
            page.formula(last, place, by, "total", cost - found.costs[0])
    return cells


def _start(number: int) -> int:
    """Return the first column of the base, or of an alternate."""
    if not number:
        return _LEAD
    return _LEAD + len(_OF_ONE) + (number - 1) * (len(_OF_ONE) + len(_BY))


def _width(columns: int) -> int:
    return _start(columns) - _LEAD


def _findings(page: Page, found: Alternates) -> None:
    system = found.base.job.project.units
    page.set_up((12, 26, 46, *[30.0] * len(found.names)), _HEAD)
    page.text(0, 0, "Rules that say something else than in the base", "title")
    page.texts(_HEAD, ("Detail", "Rule", "Title", *found.names), "head")
    for number, row in enumerate(found.findings):
        told = [
            finding_words(f, system) if kept else "left out"
            for f, kept in zip(row.findings, row.kept, strict=True)
        ]
        page.texts(_FIRST + number, (row.mark, row.rule, row.title, *told), "text")
