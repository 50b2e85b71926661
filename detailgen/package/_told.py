"""A job as a package tells it: checked, counted, drawn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from detailgen.bill import Bill, Counted, Shown
from detailgen.checked import Checked
from detailgen.loader import Job
from detailgen.profile import Shopwork
from detailgen.scene import Scene
from detailgen.units import UnitSystem


@dataclass(frozen=True, slots=True)
class Sheets:
    """The sheets of one detail."""

    first: int
    """Number of its first sheet."""
    scenes: tuple[Scene, ...]

    @property
    def numbers(self) -> str:
        """Return the numbers of its sheets: `7` or `7-9`."""
        last = self.first + len(self.scenes) - 1
        return str(self.first) if last == self.first else f"{self.first}-{last}"

    def of_view(self, view: str) -> int | None:
        """Return the number of the sheet on which a view stands; None for none."""
        for number, scene in enumerate(self.scenes, self.first):
            if any(v.id == view for v in scene.views):
                return number
        return None


@dataclass(frozen=True, slots=True)
class ToldJob:
    """All that the pages of a package are made of."""

    job: Job
    checked: tuple[Checked, ...]
    bill: Bill
    sheets: Mapping[str, Sheets]
    """By the mark of the detail."""
    shops: Mapping[str, Shopwork]
    """By the mark of the detail."""

    @property
    def units(self) -> UnitSystem:
        """Return the units of the job."""
        return self.job.project.units

    @property
    def shown(self) -> Shown:
        """Return the units of its amounts."""
        return Shown(self.units)

    @property
    def counted(self) -> Mapping[str, Counted]:
        """Return the conditions of the bill by their marks."""
        return {one.id: one for one in self.bill.conditions}


def marks_of(told: ToldJob, marks: Sequence[str]) -> str:
    """Return marks in a row; `all` for all of several."""
    every = [one.placed.id for one in told.checked]
    if len(every) > 1 and set(every) <= set(marks):
        return f"all {len(every)} details"
    return ", ".join(marks)
