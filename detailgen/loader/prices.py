"""Price lists: TOML or CSV to prices by item; every mistake is told at once.

Nothing is invented: what the list does not give has no price, and the waste and the packs
of what it does not name stay those of the catalogue.
"""

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from io import StringIO
from math import isfinite
from pathlib import Path as FilePath
from typing import Any, Final, cast

from detailgen.bill import Price, Prices, Shown
from detailgen.catalog import Catalog, Pack
from detailgen.catalog.packs import ONE
from detailgen.errors import Problem, UserError, printable, unprintable
from detailgen.loader._complaints import suggestion
from detailgen.loader._file import document_of, read_text
from detailgen.quantity import Measure

KEYS: Final = ("item", "price", "per", "hours", "waste", "holds")
_TOP: Final = ("currency", "hour", "price")
_RANGES: Final[Mapping[str, tuple[float, float]]] = {
    "price": (0.0, 1e9),
    "hours": (0.0, 1e5),
    "waste": (0.0, 1.0),
    "holds": (1e-3, 1e6),
    "hour": (0.0, 1e6),
}
_NUMBERS: Final = ("price", "hours", "waste", "holds")
_MEASURES: Final = {
    "m2": Measure.AREA,
    "m": Measure.LENGTH,
    "L": Measure.VOLUME,
    "kg": Measure.MASS,
    "each": Measure.COUNT,
}
_LONGEST: Final = 12
_MEND: Final = "Give a price list, in TOML or CSV; the README shows both."


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of a price list, as it was written."""

    line: int
    values: Mapping[str, object]
    lines: Mapping[str, int]

    def at(self, key: str) -> int:
        return self.lines.get(key, self.line)


class _Reader:
    """Reads the rows of one list, and collects what is wrong with them."""

    def __init__(self, file: str, catalog: Catalog, shown: Shown) -> None:
        self.file, self.catalog, self.shown = file, catalog, shown
        self.problems: list[Problem] = []

    def complain(
        self, line: int, key: str, value: object, told: str, allowed: str, mend: str = ""
    ) -> None:
        """Note a mistake."""
        written = printable(str(value)) if value is not None else ""
        self.problems.append(
            Problem(told, self.file, line, printable(key, 40), written, allowed, mend)
        )

    def prices(self, rows: Sequence[_Row]) -> dict[str, Price]:
        """Return the prices by item."""
        found: dict[str, Price] = {}
        first: dict[str, int] = {}
        for row in rows:
            self._check_keys(row)
            item = self._item(row)
            if item is None:
                self._numbers(row)
                continue
            if item in first:
                told = f"the item is already on line {first[item]}"
                self.complain(
                    row.at("item"), "item", item, told, "each item once", "Keep one."
                )
                continue
            first[item] = row.at("item")
            found[item] = self._price(row, item)
        return found

    def number(self, key: str, value: object, line: int) -> float | None:
        """Return a number in its range; None where there is none."""
        low, high = _RANGES[key]
        if value is None:
            return None
        if isinstance(value, int | float) and not isinstance(value, bool):
            try:
                number = float(value)
            except OverflowError:
                number = float("inf")
            if isfinite(number) and low <= number <= high:
                return number
        mend = "Write a plain number, with a point before decimals and no unit."
        allowed = f"{low:g} to {high:.0f}"
        if key == "waste":
            allowed, mend = "0 to 1", "Write the share: 0.05 for 5 percent."
        self.complain(
            line, key, value, f"{key} is not a number in its range", allowed, mend
        )
        return None

    def text(self, key: str, value: object, line: int) -> str:
        """Return a short text."""
        if value is None:
            return ""
        if isinstance(value, str) and len(value) <= _LONGEST and not unprintable(value):
            return value.strip()
        allowed = f"a text of at most {_LONGEST} signs"
        self.complain(
            line, key, value, f"{key} is not a short text", allowed, "Shorten it."
        )
        return ""

    def _check_keys(self, row: _Row) -> None:
        for key, value in row.values.items():
            if key not in KEYS:
                told = f"there is no key {printable(key, 40)} in a price"
                mend = suggestion(key, KEYS) or "Take it out."
                self.complain(row.at(key), key, value, told, ", ".join(KEYS), mend)

    def _item(self, row: _Row) -> str | None:
        """Return the item of a row: a material, and its size or the piece."""
        value, line = row.values.get("item"), row.at("item")
        if not isinstance(value, str) or not value.strip():
            told = "the item is missing" if value is None else "the item is not a text"
            self.complain(line, "item", value, told, "an item of `detailgen takeoff`")
            return None
        material, _, size = value.strip().partition(" ")
        materials = self.catalog.materials
        if material not in materials:
            mend = suggestion(material, materials)
            told = "there is no such material"
            self.complain(line, "item", value, told, ", ".join(materials), mend)
            return None
        sizes = [name for name, _ in materials[material].widths]
        if sizes and size and size not in sizes:
            allowed = ", ".join(f"{material} {name}" for name in sizes)
            self.complain(line, "item", value, "there is no such size", allowed)
            return None
        return f"{material} {size}".strip()

    def _price(self, row: _Row, item: str) -> Price:
        per, found = self._per(row, item), self._numbers(row)
        price, hours, waste, holds = (found[key] for key in _NUMBERS)
        return Price(item, price, per, hours, waste, holds)

    def _numbers(self, row: _Row) -> dict[str, float | None]:
        """Return the numbers of a row, after noting what is wrong with them."""
        return {k: self.number(k, row.values.get(k), row.at(k)) for k in _NUMBERS}

    def _per(self, row: _Row, item: str) -> str:
        """Return what a price is for: a pack of the item, or its unit."""
        value = row.values.get("per")
        if value is None:
            return ""
        pack = self._pack(item)
        allowed = (pack.name, self.shown.unit(_MEASURES[pack.unit]))
        if value in allowed:
            return str(value)
        told = "the item is not bought so"
        self.complain(row.at("per"), "per", value, told, " or ".join(allowed))
        return ""

    def _pack(self, item: str) -> Pack:
        material, _, size = item.partition(" ")
        known = self.catalog.materials[material]
        single = size and not known.widths
        return ONE if single else self.catalog.pack(material)


def load_prices(path: FilePath, catalog: Catalog, shown: Shown) -> Prices:
    """Return the prices of a list.

    Args:
        path: A file that ends in .csv, or else holds TOML.
        catalog: With the materials that may have a price.
        shown: Units of the job, which are those of `per` and `holds`.

    Raises:
        UserError: It cannot be read, or says what cannot be; all mistakes are told.
    """
    file = printable(str(path), 200)
    try:
        text = read_text(path)
    except UserError as error:
        raise UserError([replace(p, mend=_MEND) for p in error.problems]) from None
    reader = _Reader(file, catalog, shown)
    parse: Callable[[str, _Reader], Prices]
    parse = _from_csv if path.suffix.lower() == ".csv" else _from_toml
    prices = parse(text, reader)
    if not prices.rows and not reader.problems:
        told = "the list has no price"
        reader.complain(1, "price", None, told, "[[price]], or rows of CSV", _MEND)
    if reader.problems:
        raise UserError(sorted(reader.problems, key=lambda p: p.line or 0))
    return prices


def _from_toml(text: str, reader: _Reader) -> Prices:
    try:
        document = document_of(text, reader.file)
    except UserError as error:
        raise UserError([replace(p, mend=_MEND) for p in error.problems]) from None
    values, places = document.values, document.places

    def line(*path: str | int) -> int:
        return places[path].line if path in places else 1

    for key in values:
        if key not in _TOP:
            told = f"there is no key {printable(key, 40)} here"
            mend = suggestion(key, _TOP) or "Take it out."
            reader.complain(line(key), key, None, told, ", ".join(_TOP), mend)
    listed = values.get("price", [])
    tables = cast("list[object]", listed) if isinstance(listed, list) else [listed]
    rows: list[_Row] = []
    for number, table in enumerate(tables):
        if isinstance(table, dict):
            given = cast("dict[str, Any]", table)
            lines = {key: line("price", number, key) for key in given}
            rows.append(_Row(line("price", number), given, lines))
        else:
            told = "a price is a table"
            mend = "Write [[price]] on a line of its own and the keys below it."
            reader.complain(line("price"), "price", table, told, "[[price]]", mend)
    return Prices(
        rows=reader.prices(rows),
        currency=reader.text("currency", values.get("currency"), line("currency")),
        rate=reader.number("hour", values.get("hour"), line("hour")),
        file=FilePath(reader.file).name,
    )


def _from_csv(text: str, reader: _Reader) -> Prices:
    head = text.partition("\n")[0]
    between = ";" if head.count(";") > head.count(",") else ","
    table = csv.reader(StringIO(text, newline=""), delimiter=between, strict=True)
    names: list[str] = []
    rows: list[_Row] = []
    try:
        for cells in table:
            if not any(cell.strip() for cell in cells):
                continue
            if not names:
                names = [cell.strip().lower() for cell in cells]
                _check_head(names, table.line_num, reader)
                continue
            if len(cells) > len(names):
                told = f"the row has {len(cells)} cells, the header {len(names)}"
                mend = "Quote cells that hold the separator."
                reader.complain(table.line_num, "", cells[-1], told, "a cell a key", mend)
                continue
            rows.append(_csv_row(names, cells, table.line_num))
    except csv.Error as error:
        told = f"not valid CSV, so the rest was not read: {error}"
        reader.complain(table.line_num, "", None, told, "a cell a key, quotes closed")
    return Prices(reader.prices(rows), file=FilePath(reader.file).name)


def _check_head(names: Sequence[str], line: int, reader: _Reader) -> None:
    """Note keys that are missing from the header, or stand there twice."""
    if "item" not in names:
        told = "the header has no item"
        reader.complain(line, "item", None, told, ", ".join(KEYS), _MEND)
    for name in sorted({n for n in names if names.count(n) > 1}):
        told = "the header names it twice"
        reader.complain(line, name, None, told, "each key once", "Keep one of the columns.")


def _csv_row(names: Sequence[str], cells: Sequence[str], line: int) -> _Row:
    """Return a row of CSV; empty cells are not given, and numbers are numbers."""
    values: dict[str, object] = {}
    for name, cell in zip(names, cells, strict=False):
        written = cell.strip()
        if written:
            values[name] = _number(written) if name in _RANGES else written
    return _Row(line, values, {})


def _number(written: str) -> object:
    """Return a number, or the text if it is none."""
    if not written.isascii() or "_" in written:
        return written
    try:
        return float(written)
    except ValueError:
        return written
