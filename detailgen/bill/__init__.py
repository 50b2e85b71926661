"""The bill: from the quantities of one metre or one piece to what a whole job takes.

Net amounts are quantities times length or count. Gross amounts add laps, offcuts, the ends
of runs and waste; all of that is proportional, so that a length split in two changes the
gross amount by its two more ends and by nothing else. What is bought, in whole packs, is
rounded once a material, over the whole job.
"""

from detailgen.bill._cells import Book, Page, at
from detailgen.bill._count import PLATES, Given, count, empty_bill
from detailgen.bill._nouns import Bill, Counted, Line, Price, Prices, Total
from detailgen.bill._shown import Shown, how_much
from detailgen.bill._words import factors, figures, pack_of, weight_of
from detailgen.bill.tables import csv_files, csv_text, json_text
from detailgen.bill.workbook import workbook

__all__ = [
    "PLATES",
    "Bill",
    "Book",
    "Counted",
    "Given",
    "Line",
    "Page",
    "Price",
    "Prices",
    "Shown",
    "Total",
    "at",
    "count",
    "csv_files",
    "csv_text",
    "empty_bill",
    "factors",
    "figures",
    "how_much",
    "json_text",
    "pack_of",
    "weight_of",
    "workbook",
]
