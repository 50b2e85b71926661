"""The history of a job: its revisions, as sheets print them."""

from collections.abc import Collection, Mapping
from typing import Final

from pydantic import Field

from detailgen.loader._complaints import Complaints, suggestion
from detailgen.parameters import Model

MOST_REVISIONS: Final = 40
"""More than sheets can list beside what they are for."""


class Revision(Model, frozen=True):
    """One revision of a job: what was changed, when and by whom."""

    mark: str = Field(
        min_length=1,
        max_length=4,
        description="Revision mark, as in the title block.",
        examples=["B"],
    )
    date: str = Field("", max_length=16, description="Date, as it shall be printed.")
    by: str = Field("", max_length=24, description="Initials or name of who made it.")
    text: str = Field(
        min_length=1,
        max_length=160,
        description="What was changed; printed on the sheets that it concerns.",
        examples=["Flashing height raised to 10 in"],
    )
    details: tuple[str, ...] | None = Field(
        None,
        max_length=500,
        description="Ids of the conditions that it concerns; without it, all of them.",
        json_schema_extra={
            "quantity": "texts",
            "allowed_text": 'a list of ids of conditions of this file: ["W1", "E2"]',
        },
    )

    def concerns(self, mark: str) -> bool:
        """Return whether it is printed on the sheets of a condition."""
        return self.details is None or mark in self.details


def told_revisions(
    found: Mapping[int, Revision], ids: Collection[str], complaints: Complaints
) -> tuple[Revision, ...]:
    """Return the revisions in the order of the file, after noting what is wrong."""
    if len(found) > MOST_REVISIONS:
        complaints.add(
            ("revision", MOST_REVISIONS),
            f"the job tells {len(found)} revisions",
            allowed=f"at most {MOST_REVISIONS}",
            mend="Put the oldest together into one.",
        )
    for number, revision in found.items():
        for place, named in enumerate(revision.details or ()):
            if named not in ids:
                complaints.add(
                    ("revision", number, "details", place),
                    "no condition has this id",
                    allowed="the id of a [[condition]] of this file",
                    mend=suggestion(named, ids),
                )
    return tuple(found.values())
