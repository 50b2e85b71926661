"""Changes of a finished section: what no parameter says and no sheet's turn brings about.

They name bodies, joints and pieces by their ids, so that the same change can be made to
the section as it is and to the one that a view draws thicker.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from detailgen.faults._change import Change, Sort
from detailgen.geometry.regions import box
from detailgen.section import RIGHT, Bond, LayeredSection, Layout, Mark, Method, Part, Role

STUCK_BY: Final[Mapping[Method, Bond]] = MappingProxyType({
    Method.TORCH: Bond.TORCHED,
    Method.HOT_ASPHALT: Bond.HOT_ASPHALT,
    Method.COLD_ADHESIVE: Bond.COLD_ADHESIVE,
})
"""How a sheet is stuck that should lie loose."""


def edited(section: LayeredSection, change: Change) -> LayeredSection:
    """Return a section with a change made to it; as it is where the change is no edit."""
    edit = _EDITS.get(change.sort)
    return edit(section, change) if edit else section


def _left_out(section: LayeredSection, change: Change) -> LayeredSection:
    """Take out what the engine did not build; views show none of it either."""
    names = {change.what, change.what + RIGHT}
    for name in sorted(names):
        section = section.without(name)
    gone = {Role(change.other)} - {b.role for b in section.bodies}
    layouts = tuple(v.without(gone, names) for v in section.layouts)
    return replace(section, layouts=layouts)


def _bonded(section: LayeredSection, change: Change) -> LayeredSection:
    loose = change.sort is Sort.LOOSE
    bond = Bond.DRY if loose else STUCK_BY[section.method]
    joints = tuple(
        replace(j, bond=bond)
        if (one_side(j.upper), one_side(j.lower)) == (change.what, change.other)
        else j
        for j in section.joints
    )
    return replace(section, joints=joints)


def one_side(body_id: str) -> str:
    """Return the id that both sides of a section share."""
    return body_id.removesuffix(RIGHT)


def _bare(section: LayeredSection, change: Change) -> LayeredSection:
    coats = tuple(c for c in section.coats if c.id != change.what)
    return replace(section, coats=coats)


def _sparse(section: LayeredSection, change: Change) -> LayeredSection:
    def fewer(layout: Layout) -> Layout:
        row = [m for m in layout.marks if str(m.row) == change.other]
        kept: list[Mark] = sorted(row, key=lambda m: m.at)[:: max(2, int(change.value))]
        marks = tuple(m for m in layout.marks if m not in row or m in kept)
        return replace(layout, marks=marks)

    return _in_view(section, change.what, fewer)


def _reversed(section: LayeredSection, change: Change) -> LayeredSection:
    one, _, other = change.other.partition("+")

    def turned(layout: Layout) -> Layout:
        level = {p.id: p.level for p in layout.parts}
        if not {one, other} <= set(level):
            return layout
        swapped = {one: level[other], other: level[one]}
        parts = tuple(replace(p, level=swapped.get(p.id, p.level)) for p in layout.parts)
        return replace(layout, parts=parts)

    return _in_view(section, change.what, turned)


def _short_lap(section: LayeredSection, change: Change) -> LayeredSection:
    def shorter(part: Part) -> Part:
        if part.id != change.other:
            return part
        x0, y0, x1, y1 = part.region.bounds
        return replace(part, region=box(x0, y0, x1 - change.value, y1))

    return _in_view(
        section,
        change.what,
        lambda v: replace(v, parts=tuple(map(shorter, v.parts))),
    )


def _in_view(
    section: LayeredSection, view: str, changed: Callable[[Layout], Layout]
) -> LayeredSection:
    layouts = tuple(changed(v) if v.id == view else v for v in section.layouts)
    return replace(section, layouts=layouts)


_EDITS: Final[Mapping[Sort, Callable[[LayeredSection, Change], LayeredSection]]] = (
    MappingProxyType({
        Sort.LEFT_OUT: _left_out,
        Sort.LOOSE: _bonded,
        Sort.STUCK: _bonded,
        Sort.BARE: _bare,
        Sort.SPARSE: _sparse,
        Sort.REVERSED: _reversed,
        Sort.SHORT_LAP: _short_lap,
    })
)
