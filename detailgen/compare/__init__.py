"""What two versions of a job differ in: values, dimensions, parts, findings, amounts.

Versions are compared as they are built: a dimension is measured on the true section, a
body by the area that only one of the two versions covers. Every field of a section is
looked at, so that nothing changes silently.
"""

from detailgen.compare._beside import (
    Alternates,
    Beside,
    FindingRow,
    MaterialRow,
    failing,
    unpriced,
)
from detailgen.compare._compare import compared, moved
from detailgen.compare._counts import same_number, total_rows
from detailgen.compare._nouns import (
    Amounts,
    Comparison,
    DetailChange,
    DimensionChange,
    Fate,
    FindingChange,
    OtherChange,
    PartChange,
    QuantityChange,
    SharedChange,
    Side,
    State,
    TotalChange,
    ValueChange,
    Version,
)
from detailgen.compare._shared import is_printing
from detailgen.compare._values import show_value, words_of
from detailgen.compare._words import (
    by_how_much,
    dimension_words,
    finding_words,
    revision_text,
    sentences,
)
from detailgen.compare.beside_files import beside_files, beside_json
from detailgen.compare.content import comparison_content, finding_json, rounded, total_json

__all__ = [
    "Alternates",
    "Amounts",
    "Beside",
    "Comparison",
    "DetailChange",
    "DimensionChange",
    "Fate",
    "FindingChange",
    "FindingRow",
    "MaterialRow",
    "OtherChange",
    "PartChange",
    "QuantityChange",
    "SharedChange",
    "Side",
    "State",
    "TotalChange",
    "ValueChange",
    "Version",
    "beside_files",
    "beside_json",
    "by_how_much",
    "compared",
    "comparison_content",
    "dimension_words",
    "failing",
    "finding_json",
    "finding_words",
    "is_printing",
    "moved",
    "revision_text",
    "rounded",
    "same_number",
    "sentences",
    "show_value",
    "total_json",
    "total_rows",
    "unpriced",
    "words_of",
]
