"""Exclusions and cautions: what the package leaves out, and what to mind on site."""

from collections.abc import Iterable
from typing import Final

from detailgen.book import Part
from detailgen.package._told import ToldJob
from detailgen.sheet.blocks import printed
from detailgen.sheet.words import circumstances

KEY: Final = "exclusions"


def circumstances_of(told: ToldJob) -> frozenset[str]:
    """Return the circumstances of all details together."""
    every: Iterable[frozenset[str]] = (circumstances(c.section) for c in told.checked)
    return frozenset[str]().union(*every)


def exclusions_and_cautions(told: ToldJob) -> Part:
    """Return what is left out, and the cautions of all details, each once."""
    drafting, found = told.job.catalog.drafting, circumstances_of(told)
    blocks = (
        printed("EXCLUSIONS", drafting.exclusions_for(found)),
        printed("CAUTIONS", drafting.cautions_for(found)),
    )
    return Part(KEY, "Exclusions and cautions", blocks, columns=True)
