"""The sheet of one condition: from its length or count to net and gross amounts."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from xlsxwriter.worksheet import Worksheet

from detailgen.bill._cells import GROSS, NET, Formats, at, heading, on, set_up
from detailgen.bill._job_sheets import FIRST, MATERIALS, WASTE
from detailgen.bill._nouns import Counted, Line
from detailgen.bill._shown import Shown
from detailgen.quantity import Measure, Per

HEAD: Final = 6
_TIMES: Final = (3, 1)
_ENDS: Final = (4, 1)
_WIDTHS: Final = (34, 24, 8, 12, 12, 9, 9, 12, 8, 12, 8, 60, 34, 40)


@dataclass(frozen=True, slots=True)
class ConditionSheet:
    """The sheet of one condition."""

    sheet: Worksheet
    name: str
    counted: Counted
    shown: Shown
    rows: Mapping[str, int]
    """Number of each item among the materials."""

    def row(self, number: int) -> int:
        """Return the row of a line."""
        return HEAD + 1 + number

    def write(self, formats: Formats) -> None:
        """Write all of it."""
        one, run = self.counted, self.shown.run(self.counted.per)
        set_up(self.sheet, formats, self.shown.system, _WIDTHS, HEAD)
        self.sheet.write_string(0, 0, f"{one.id}  {one.title}", formats("title"))
        self.sheet.write_string(1, 0, one.kind, formats("plain"))
        self._amounts(formats)
        names = (
            "Quantity",
            "Bought as",
            "Unit",
            f"Net per {run}",
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
        heading(self.sheet, formats, HEAD, names)
        for number, line in enumerate(one.lines):
            self._line(formats, self.row(number), line)
        after = self.row(len(one.lines)) + 1
        if one.others:
            told = f"There already, or set by others: {', '.join(one.others)}"
            self.sheet.write_string(after, 0, told, formats("note"))

    def _amounts(self, formats: Formats) -> None:
        one, shown = self.counted, self.shown
        if one.missing:
            self.sheet.write_string(3, 0, one.missing, formats("warn"))
            return
        by_piece = one.per is Per.PIECE
        told = "Count" if by_piece else f"Length, {shown.unit(Measure.LENGTH)}"
        self.sheet.write_string(_TIMES[0], 0, told, formats("label"))
        self.sheet.write_number(
            *_TIMES, self.times, formats("whole" if by_piece else "amount", entry=True)
        )
        self.sheet.write_string(_ENDS[0], 0, "Ends of runs", formats("label"))
        ends = one.lines[0].ends if one.lines else 0
        self.sheet.write_number(*_ENDS, ends, formats("whole", entry=True))

    @property
    def times(self) -> float:
        """How much there is of the condition, in the units of the job."""
        one = self.counted
        if one.per is Per.PIECE:
            return float(one.places or 0)
        return (one.length or 0.0) / 1000.0 * self.shown.per_run(one.per)

    def _line(self, formats: Formats, row: int, line: Line) -> None:
        sheet, one, shown = self.sheet, self.counted, self.shown
        factor = shown.factor(line.measure)
        sheet.write_string(row, 0, line.label, formats("text"))
        sheet.write_string(row, 1, line.item, formats("text"))
        sheet.write_string(row, 2, shown.unit(line.measure), formats("text"))
        rate = line.rate * factor / shown.per_run(one.per)
        sheet.write_number(row, 3, rate, formats("fine"))
        net = f"={at(row, 3)}*{at(*_TIMES, fixed=True)}"
        sheet.write_formula(row, NET, net, formats("amount"), line.net * factor)
        if line.bought:
            self._gross(formats, row, line, factor)
        else:
            for column in range(5, 11):
                sheet.write_blank(row, column, None, formats("text"))
        sheet.write_string(row, 11, line.formula, formats("text"))
        sheet.write_string(row, 12, line.told, formats("text"))
        sheet.write_string(row, 13, line.source, formats("text"))

    def _gross(self, formats: Formats, row: int, line: Line, factor: float) -> None:
        sheet = self.sheet
        sheet.write_number(row, 5, line.laps, formats("factor", entry=True))
        sheet.write_number(row, 6, line.offcuts, formats("factor", entry=True))
        at_end = line.at_end * factor
        sheet.write_number(row, 7, at_end, formats("fine", entry=True))
        waste = on(MATERIALS, at(FIRST + self.rows[line.item], WASTE, fixed=True))
        sheet.write_formula(row, 8, f"={waste}", formats("percent"), line.waste)
        ends = f"{at(*_ENDS, fixed=True)}*{at(row, 7)}"
        laid = f"{at(row, NET)}*{at(row, 5)}+{ends}"
        gross = f"=({laid})*{at(row, 6)}*(1+{at(row, 8)})"
        sheet.write_formula(row, GROSS, gross, formats("amount"), line.gross * factor)
        if not line.stock:
            sheet.write_blank(row, 10, None, formats("text"))
            return
        stock = line.stock * self.shown.per_run(self.counted.per)
        pieces = f"=ROUNDUP({at(*_TIMES, fixed=True)}/{stock!r}-1E-9,0)*{line.strips}"
        sheet.write_formula(row, 10, pieces, formats("whole"), line.pieces)
