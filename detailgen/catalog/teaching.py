"""Words for a class: what parts are called, why they are there, what is asked of them.

Plain values read from `catalog/drafting/`.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from detailgen.catalog._tables import Row, source_of


@dataclass(frozen=True, slots=True)
class Reason:
    """Why parts of a role are there, in plain language."""

    id: str
    role: str
    """A role of bodies, or `coat`."""
    named: tuple[str, ...]
    """Beginnings of names, in small letters, that it is narrowed to; empty for all."""
    kinds: tuple[str, ...]
    """Kinds of condition that it is narrowed to; empty for all."""
    name: str
    """What a class calls it."""
    text: str
    source: str

    def weight(self, name: str, kinds: Collection[str]) -> int:
        """Return how well it fits: 0 not at all, more the more it is narrowed."""
        low = name.lower()
        if self.named and not any(low.startswith(n) for n in self.named):
            return 0
        if self.kinds and not set(self.kinds) & set(kinds):
            return 0
        return 1 + 2 * bool(self.named) + bool(self.kinds)


def best_reason(
    reasons: Sequence[Reason], role: str, name: str, kinds: Collection[str]
) -> Reason | None:
    """Return the row that fits a part best, the first of equals; None where none fits."""
    fitting = [r for r in reasons if r.role == role and r.weight(name, kinds)]
    return max(fitting, key=lambda r: r.weight(name, kinds), default=None)


def read_reason(row: Row) -> Reason:
    """Return a row of `reasons.toml`."""
    reason = Reason(
        id=row.id,
        role=row.text("role"),
        named=tuple(n.lower() for n in row.texts("named")),
        kinds=row.texts("kinds"),
        name=row.text("name"),
        text=row.text("text"),
        source=source_of(row)[0],
    )
    row.done()
    return reason


def read_asks(row: Row) -> tuple[str, ...]:
    """Return the rules that ask what a dimension shows: a row of `asks.toml`."""
    rules = row.texts("rules")
    if not rules:
        row.complain("rules", "it names no rule", mend="Add rules or take the row out.")
    row.done()
    return rules
