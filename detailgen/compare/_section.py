"""What two sections differ in: dimensions, bodies, parts of layouts, and all else.

Every field of a section is looked at, so that nothing changes silently: what has no words
of its own here is told by the name of what it is.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any, Final, cast

from detailgen.compare._nouns import DimensionChange, Fate, OtherChange, PartChange
from detailgen.geometry import Line, Point, Region
from detailgen.geometry.changes import area_apart, same_line
from detailgen.section import Axis, Body, Gauge, LayeredSection, Part
from detailgen.units import NOISE

LEAST_LENGTH: Final = 0.01
"""Dimensions that differ by less, mm, are the same."""
LEAST_AREA: Final = 0.01
"""Bodies of which no more than this moved, mm2, are where they were."""
_TOLD: Final = frozenset({"bodies", "gauges", "layouts", "points", "extent"})
"""Fields of a section that are told by the functions here."""
_NAMES: Final = {
    "kind": "kind",
    "variant": "variant",
    "joints": "what lies on what, and how it is stuck",
    "coats": "primer",
    "stages": "order of building",
    "method": "adhesion",
    "slope": "slope of the surface",
    "breaks": "where the drawing breaks off",
    "hollows": "hollows",
    "never_idle": "rules that must be measured",
    "side_of_air": "side of the air",
    "notes": "notes",
    "roof_slope": "slope of the roof",
    "must_stay_dry": "what must stay dry",
    "dry_within": "where it must stay dry",
    "zones": "zones of the water path",
    "carried": "equipment that is carried",
    "serves": "drain that it serves",
    "families": "families of rules",
    "stand": "what it is to its neighbours",
    "hot": "hot to the touch",
    "neighbours": "what stands near it",
    "moving": "movement",
    "pieces": "patterns of cut pieces",
    "faces": "faces that pieces are folded onto",
    "by_the_piece": "counted by the piece",
}


def dimension_changes(
    old: LayeredSection, new: LayeredSection
) -> tuple[DimensionChange, ...]:
    """Return the dimensions that appeared, went, or moved."""
    before, after = _dimensions(old), _dimensions(new)
    found: list[DimensionChange] = []
    for key in dict.fromkeys([*after, *before]):
        was, now = before.get(key), after.get(key)
        if was and now and abs(was[0] - now[0]) <= LEAST_LENGTH:
            continue
        label = (now or was or (0.0, ""))[1]
        found.append(DimensionChange(*key, label, was and was[0], now and now[0]))
    return tuple(found)


def _dimensions(section: LayeredSection) -> dict[tuple[str, str], tuple[float, str]]:
    """Return the true length and the label of each dimension by its view and id."""
    own = ((g, section.points) for g in section.gauges)
    laid = ((g, v.points) for v in section.layouts for g in v.gauges)
    names = [v.id for v in section.layouts for _ in v.gauges]
    views = [*(g.view for g in section.gauges), *names]
    found: dict[tuple[str, str], tuple[float, str]] = {}
    for view, (gauge, points) in zip(views, (*own, *laid), strict=True):
        if gauge.start in points and gauge.end in points:
            found[view, gauge.id] = measure(gauge, points), label_of(gauge)
    return found


def measure(gauge: Gauge, points: Mapping[str, Point]) -> float:
    """Return how long a dimension is, mm."""
    along = 1 if gauge.axis is Axis.VERTICAL else 0
    return abs(points[gauge.end][along] - points[gauge.start][along])


def label_of(gauge: Gauge) -> str:
    """Return what a dimension measures, in words."""
    return gauge.label.lower() or gauge.id.replace("-", " ").replace("_", " ")


def part_changes(old: LayeredSection, new: LayeredSection) -> tuple[PartChange, ...]:
    """Return the bodies, and the parts of layouts, that are not what they were."""
    found = _changes("section", _bodies(old), _bodies(new), _body_words)
    views = dict.fromkeys([v.id for s in (new, old) for v in s.layouts])
    for view in views:
        before, after = _parts(old, view), _parts(new, view)
        found += _changes(view, before, after, _part_words)
    return tuple(found)


_Shape = Body | Part


def _bodies(section: LayeredSection) -> dict[str, _Shape]:
    return _numbered(section.bodies)


def _parts(section: LayeredSection, view: str) -> dict[str, _Shape]:
    layout = section.layout(view)
    return _numbered(layout.parts) if layout else {}


def _numbered(shapes: Iterable[_Shape]) -> dict[str, _Shape]:
    """Return shapes by their ids; of several with one id each has its number."""
    found: dict[str, _Shape] = {}
    for shape in shapes:
        name, number = shape.id, 2
        while name in found:
            name, number = f"{shape.id} ({number})", number + 1
        found[name] = shape
    return found


def _changes(
    view: str,
    old: Mapping[str, _Shape],
    new: Mapping[str, _Shape],
    words: Callable[[Any, Any], Sequence[tuple[str, str, str]]],
) -> list[PartChange]:
    found: list[PartChange] = []
    for name in dict.fromkeys([*new, *old]):
        was, now = old.get(name), new.get(name)
        if was is None or now is None:
            one = now or was
            assert one is not None  # the name is from one of the two
            fate = Fate.ADDED if was is None else Fate.REMOVED
            found.append(PartChange(view, name, one.name, fate, one.region.area))
            continue
        apart = area_apart(was.region, now.region)
        apart = apart if apart > LEAST_AREA else 0.0
        told = tuple(words(was, now))
        if apart or told:
            found.append(PartChange(view, name, now.name, Fate.CHANGED, apart, told))
    return found


def _body_words(old: Body, new: Body) -> list[tuple[str, str, str]]:
    """Return what of a body changed besides its outline."""
    told = _words(old, new, ("name", "material", "role", "sticks", "by_others", "stage"))
    if abs(old.thickness - new.thickness) > NOISE:
        told.append(("thickness", f"{old.thickness:.4g} mm", f"{new.thickness:.4g} mm"))
    if old.pierces != new.pierces:
        told.append(("goes through", ", ".join(old.pierces), ", ".join(new.pierces)))
    return told


def _part_words(old: Part, new: Part) -> list[tuple[str, str, str]]:
    return _words(old, new, ("name", "role", "level", "hidden"))


def _words(old: _Shape, new: _Shape, keys: Sequence[str]) -> list[tuple[str, str, str]]:
    pairs = ((key, getattr(old, key), getattr(new, key)) for key in keys)
    return [(key.replace("_", " "), str(a), str(b)) for key, a, b in pairs if a != b]


def other_changes(old: LayeredSection, new: LayeredSection) -> tuple[OtherChange, ...]:
    """Return what else of two sections is not the same."""
    found: list[OtherChange] = []
    for one in fields(LayeredSection):
        if one.name in _TOLD:
            continue
        was, now = getattr(old, one.name), getattr(new, one.name)
        if not alike(was, now):
            what = _NAMES.get(one.name, one.name.replace("_", " "))
            found.append(OtherChange(what, *_short(was, now)))
    found += _layout_changes(old, new)
    if not alike(old.extent, new.extent):
        found.append(OtherChange("how much is drawn", "", f"{_size(old)} -> {_size(new)}"))
    if not alike(old.points, new.points):
        moved = [
            name
            for name in dict.fromkeys([*new.points, *old.points])
            if not alike(old.points.get(name), new.points.get(name))
        ]
        told = f"{len(moved)} moved: {', '.join(moved[:6])}"
        found.append(OtherChange("places that are measured from", "", told))
    return tuple(found)


def _layout_changes(old: LayeredSection, new: LayeredSection) -> list[OtherChange]:
    """Return what of plans and elevations is neither a part nor a dimension."""
    found: list[OtherChange] = []
    for view in dict.fromkeys([v.id for s in (new, old) for v in s.layouts]):
        was, now = old.layout(view), new.layout(view)
        name = view.replace("-", " ")
        if was is None or now is None:
            told = ("not drawn", "drawn") if was is None else ("drawn", "not drawn")
            found.append(OtherChange(name, *told))
            continue
        if not alike(was.marks, now.marks):
            counts = [f"{len(one.marks)}" for one in (was, now)]
            pair = ("", "moved") if counts[0] == counts[1] else tuple(counts)
            found.append(OtherChange(f"fasteners in {name}", *pair))
        for key in ("title", "downhill", "close"):
            if not alike(getattr(was, key), getattr(now, key)):
                pair = str(getattr(was, key)), str(getattr(now, key))
                found.append(OtherChange(f"{key} of {name}", *pair))
    return found


def _size(section: LayeredSection) -> str:
    x0, y0, x1, y1 = section.extent.bounds
    return f"{x1 - x0:.0f} x {y1 - y0:.0f} mm"


def _short(old: object, new: object) -> tuple[str, str]:
    """Return two values in a few words: of lists, what is gone and what is new."""
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        one = cast("Mapping[str, object]", old)
        two = cast("Mapping[str, object]", new)
        names = [n for n in {**two, **one} if not alike(one.get(n), two.get(n))]
        return "", f"not the same for {', '.join(names)}"
    if not (isinstance(old, tuple) and isinstance(new, tuple)):
        return _told(old), _told(new)
    first, second = cast("tuple[Any, ...]", old), cast("tuple[Any, ...]", new)
    lost = [_told(one) for one in first if not any(alike(one, other) for other in second)]
    come = [_told(one) for one in second if not any(alike(one, other) for other in first)]
    moved = [name for name in dict.fromkeys(come) if name in lost]
    gone = ", ".join(name for name in lost if name and name not in moved)
    added = ", ".join(name for name in come if name and name not in moved)
    if moved:
        stay = ", ".join(name for name in moved if name)
        added = "; ".join(
            part for part in (added, f"moved: {stay}" if stay else "") if part
        )
    if not gone and not added:
        return "", "moved" if len(first) == len(second) else f"{len(second)} now"
    return gone, added


def _told(value: Any) -> str:  # noqa: ANN401  (any field of a section)
    if isinstance(value, float):
        return f"{value:.4g}"
    if isinstance(value, frozenset):
        return ", ".join(sorted(map(str, cast("frozenset[object]", value))))
    if value is None or isinstance(value, str | bool | int):
        return "none" if value is None else str(value)
    if hasattr(value, "upper") and hasattr(value, "lower"):
        return f"{value.upper} on {value.lower} ({value.bond})"
    for key in ("mark", "name", "id", "told", "row"):
        if named := getattr(value, key, ""):
            return str(named)
    return ""


def alike(old: object, new: object) -> bool:
    """Return whether two values of a section are the same but for noise."""
    if old is new:
        return True
    if isinstance(old, Region) and isinstance(new, Region):
        return area_apart(old, new) <= LEAST_AREA
    if isinstance(old, Line) and isinstance(new, Line):
        return same_line(old, new, NOISE)
    if isinstance(old, float | int) and isinstance(new, float | int):
        return abs(old - new) <= NOISE * 1e-3 * max(1.0, abs(old)) or abs(old - new) < 1e-6
    if isinstance(old, tuple) and isinstance(new, tuple):
        first, second = cast("tuple[object, ...]", old), cast("tuple[object, ...]", new)
        return len(first) == len(second) and all(map(alike, first, second))
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        one = cast("Mapping[object, object]", old)
        two = cast("Mapping[object, object]", new)
        return one.keys() == two.keys() and all(alike(one[k], two[k]) for k in one)
    return _alike_in_all(cast("object", old), new)


def _alike_in_all(old: object, new: object) -> bool:
    """Return whether two plain values are equal, or two nouns alike in every field."""
    if is_dataclass(old) and not isinstance(old, type) and type(old) is type(new):
        keys = (f.name for f in fields(old))
        return all(alike(getattr(old, k), getattr(new, k)) for k in keys)
    return old == new
