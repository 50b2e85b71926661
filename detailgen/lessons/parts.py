"""Parts of a section as a class speaks of them: a plain name, and why they are there."""

from dataclasses import dataclass, field
from typing import Final

from detailgen.catalog import Catalog
from detailgen.catalog.teaching import best_reason
from detailgen.lessons.step import COAT
from detailgen.lettering import letterable, text_width
from detailgen.section import Body, Coat, LayeredSection

_LONGEST: Final = 90.0
"""Widest name in letters of 3.5 mm: what a free section's file says may be longer."""


@dataclass(slots=True)
class ClassPart:
    """All that a class calls by one name: what looks the same is asked once."""

    name: str
    reason: str
    stage: int
    bodies: list[Body] = field(default_factory=list[Body])
    coats: list[Coat] = field(default_factory=list[Coat])


def parts_of(section: LayeredSection, catalog: Catalog) -> tuple[ClassPart, ...]:
    """Return the parts of a section, each once, in the order of building."""
    found: dict[str, ClassPart] = {}

    def part(role: str, called: str, stage: int, own: str = "") -> ClassPart:
        row = best_reason(catalog.drafting.reasons, role, called, {section.kind})
        plain = own or (row.name if row else called.partition(",")[0])
        name = _short(letterable(plain))
        reason = row.text if row else ""
        return found.setdefault(name.lower(), ClassPart(name, reason, stage))

    for body in section.bodies:
        own = _own_name(section, body, catalog)
        part(body.role.value, body.name, body.stage, own).bodies.append(body)
    for coat in section.coats:
        part(COAT, coat.name, coat.stage).coats.append(coat)
    return tuple(sorted(found.values(), key=lambda p: p.stage))


def _own_name(section: LayeredSection, body: Body, catalog: Catalog) -> str:
    """Return the name that a free section's file gives a body, if it gives one."""
    if section.kind != "free-section":
        return ""
    name = body.name.partition(",")[0].strip()
    material = catalog.material(body.material).name.partition(",")[0]
    return "" if name.lower() == material.lower() else name


def _short(name: str) -> str:
    if text_width(name, 3.5) <= _LONGEST:
        return name
    while text_width(f"{name}…", 3.5) > _LONGEST:
        name = name[:-1].rstrip()
    return f"{name}…"
