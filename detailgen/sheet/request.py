"""What the sheet step is given for one condition."""

from collections.abc import Callable
from dataclasses import dataclass

from detailgen.catalog import Catalog, RuleSet
from detailgen.finding import Finding
from detailgen.office import NO_OFFICE, Office
from detailgen.profile import NOTHING, Shopwork
from detailgen.quantity import Quantity
from detailgen.section import LayeredSection, Thickening
from detailgen.units import UnitSystem


@dataclass(frozen=True, slots=True)
class Job:
    """Project data for the title block; what is not known stays blank."""

    name: str
    number: str = ""
    location: str = ""
    drawn_by: str = ""
    checked_by: str = ""
    date: str = ""
    revision: str = ""


@dataclass(frozen=True, slots=True)
class RevisionRow:
    """One revision, as the table above the title block tells it."""

    mark: str
    date: str
    by: str
    text: str
    """What changed."""


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """One condition, built, checked and counted, ready to be drawn."""

    job: Job
    mark: str
    """The condition's id: the mark of the detail and the stem of its files."""
    title: str
    kind: str
    amount: str
    """How much of it there is, as printed: `120'-0"` or `4 places`."""
    section: LayeredSection
    """At true size."""
    rebuild: Callable[[Thickening], LayeredSection]
    """Build the same section with thicker sheets, metal and beds."""
    findings: tuple[Finding, ...]
    quantities: tuple[Quantity, ...]
    rules: RuleSet
    catalog: Catalog
    length: float = 0.0
    """How much of it there is, mm; 0 when that is not known."""
    count: int = 0
    """How many of it there are; 0 when that is not known."""
    paper: str = "ANSI B"
    """Name of a sheet size in the catalogue."""
    units: UnitSystem = UnitSystem.FEET_INCHES
    both_units: bool = False
    water: bool = False
    """Whether the easiest ways of water are drawn."""
    office: Office = NO_OFFICE
    """Whose sheets they are."""
    shop: Shopwork = NOTHING
    """What a shop bends for it."""
    first_sheet: int = 1
    """Number of this condition's first sheet in the set."""
    sheets_in_set: int = 0
    """How many sheets the whole set has; 0 when that is not known."""
    revisions: tuple[RevisionRow, ...] = ()
    """What was revised, the oldest first; the sheets bear the mark of the last."""

    @property
    def inches(self) -> bool:
        """Whether the job is in feet and inches."""
        return self.units is UnitSystem.FEET_INCHES

    @property
    def extent(self) -> float:
        """How much there is of it: pieces, or mm of a run; 0 when that is not known."""
        return float(self.count) if self.section.by_the_piece else self.length

    @property
    def failures(self) -> tuple[Finding, ...]:
        """The findings that fail."""
        return tuple(f for f in self.findings if f.outcome.value == "fail")
