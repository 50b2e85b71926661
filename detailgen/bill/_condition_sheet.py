"""The sheet of one condition: from its length or count to net and gross amounts."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from detailgen.bill._cells import GROSS, NET, Page, at, on
from detailgen.bill._materials_sheet import FIRST, MATERIALS, WASTE
from detailgen.bill._nouns import Counted, Line
from detailgen.bill._shown import Shown
from detailgen.quantity import Measure, Per

HEAD: Final = 7
_TIMES: Final = {Per.METRE: (3, 1), Per.PIECE: (5, 1)}
_ENDS: Final = (4, 1)
_WIDTHS: Final = (34, 24, 8, 12, 12, 9, 9, 12, 8, 12, 8, 60, 34, 40)


@dataclass(frozen=True, slots=True)
class ConditionSheet:
    """The sheet of one condition."""

    sheet: Page
    name: str
    counted: Counted
    shown: Shown
    rows: Mapping[str, int]
    """Number of each item among the materials."""

    def row(self, number: int) -> int:
        """Return the row of a line."""
        return HEAD + 1 + number

    def write(self) -> None:
        """Write all of it."""
        one = self.counted
        self.sheet.set_up(_WIDTHS, HEAD)
        self.sheet.text(0, 0, f"{one.id}  {one.title}", "title")
        self.sheet.text(1, 0, one.kind, "plain")
        self._amounts()
        names = (
            "Quantity",
            "Bought as",
            "Unit",
            " or ".join(f"Net per {run}" for run in self._runs),
            "Net",
            "Lap factor",
            "Offcut factor",
            "Added at each end",
            "Waste",
            "Gross",
            "Stock pieces",
            "How the net amount is computed",
            "From net to gross",
            "Source",
        )
        self.sheet.texts(HEAD, names, "head")
        for number, line in enumerate(one.lines):
            self._line(self.row(number), line)
        after = self.row(len(one.lines)) + 1
        if one.others:
            told = f"There already, or set by others: {', '.join(one.others)}"
            self.sheet.text(after, 0, told, "note")

    @property
    def _runs(self) -> list[str]:
        """What net amounts are for: a metre or a foot, a piece, or both."""
        pers = [per for per in Per if self.counted.has(per)]
        return [self.shown.run(per) for per in pers or [Per.METRE]]

    def _amounts(self) -> None:
        one, unit = self.counted, self.shown.unit(Measure.LENGTH)
        if one.missing:
            self.sheet.text(2, 0, one.missing, "warn")
        if one.has(Per.METRE):
            length = (one.length or 0.0) / 1000.0 * self.shown.factor(Measure.LENGTH)
            self._amount(_TIMES[Per.METRE], f"Length, {unit}", length, "amount")
            ends = max(line.ends for line in one.lines)
            self._amount(_ENDS, "Ends of runs", ends, "whole")
        if one.has(Per.PIECE):
            self._amount(_TIMES[Per.PIECE], "Count", one.places or 0, "whole")

    def _amount(self, cell: tuple[int, int], name: str, value: float, kind: str) -> None:
        self.sheet.text(cell[0], 0, name, "label")
        self.sheet.number(*cell, value, kind)

    def _line(self, row: int, line: Line) -> None:
        sheet, shown, times = self.sheet, self.shown, at(*_TIMES[line.per], fixed=True)
        factor = shown.factor(line.measure)
        sheet.text(row, 0, line.label, "text")
        sheet.text(row, 1, line.item, "text")
        sheet.text(row, 2, shown.unit(line.measure), "text")
        rate = line.rate * factor / shown.per_run(line.per)
        sheet.fixed(row, 3, rate, "fine")
        net = f"{at(row, 3)}*{times}"
        sheet.formula(row, NET, net, "amount", line.net * factor)
        if line.bought:
            self._gross(row, line, factor)
        else:
            for column in range(5, 11):
                sheet.blank(row, column, "text")
        sheet.text(row, 11, line.formula, "text")
        sheet.text(row, 12, line.told, "text")
        sheet.text(row, 13, line.source, "text")

    def _gross(self, row: int, line: Line, factor: float) -> None:
        sheet = self.sheet
        sheet.number(row, 5, line.laps, "factor")
        sheet.number(row, 6, line.offcuts, "factor")
        at_end = line.at_end * factor
        sheet.number(row, 7, at_end, "fine")
        waste = on(MATERIALS, at(FIRST + self.rows[line.item], WASTE, fixed=True))
        sheet.formula(row, 8, waste, "percent", line.waste)
        ends = f"{at(*_ENDS, fixed=True)}*{at(row, 7)}"
        laid = f"{at(row, NET)}*{at(row, 5)}+{ends}"
        gross = f"({laid})*{at(row, 6)}*(1+{at(row, 8)})"
        sheet.formula(row, GROSS, gross, "amount", line.gross * factor)
        if not line.stock:
            sheet.blank(row, 10, "text")
            return
        stock = line.stock * self.shown.per_run(line.per)
        times = at(*_TIMES[line.per], fixed=True)
        pieces = f"ROUNDUP({times}/{stock!r}-1E-9,0)*{line.strips}"
        sheet.formula(row, 10, pieces, "whole", line.pieces)
