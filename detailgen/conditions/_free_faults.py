"""What in a free section cannot stand as it is written, all of it at once."""

from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches
from typing import Final

from detailgen.catalog import Catalog
from detailgen.conditions._condition import Impossible
from detailgen.conditions._free_parameters import (
    DryModel,
    FreeSection,
    Layer,
    Stretch,
    ZoneModel,
)
from detailgen.conditions._free_places import Where
from detailgen.conditions._free_words import Coordinate, PlaceModel, Spot

_KEYS: Final = {
    "sheet": (("role", "material", "start", "end"), ("fitted", "bond", "stretches")),
    "bed": (("role", "material", "start", "end"), ("fitted", "bond", "stretches")),
    "fill": (("role", "material", "start", "end"), ("line", "bond", "stretches")),
    "metal": (
        ("role", "material"),
        ("start", "end", "line", "carries", "bond", "stretches"),
    ),
    "solid": (
        ("role", "material", "points"),
        ("carries", "bond", "stretches", "thickness"),
    ),
    "coat": (("name",), ("start", "end", "line", "body")),
    "fastener": (
        ("material", "line", "shank"),
        ("cap", "cap_depth", "spacing"),
    ),
}
"""What each way of laying must have, and what it may have besides."""
_ALWAYS: Final = {"id", "lay", "stage", "name", "sticks"}
NEEDED: Final = {
    "wall": ("cant.toe", "cant.top", "roof.datum"),
    "roof-edge": ("edge.top", "wood.bottom", "flange.outer", "metal.bend", "metal.leaves"),
    "flange": ("edge.top", "flange.outer", "metal.bend", "metal.leaves"),
    "wall-elevation": ("roof.datum", "flashing.top"),
    "flange-plan": (
        "flange.outer",
        "metal.bend",
        "strip.outer",
        "finish.end",
    ),
}
"""Points that the rules of a family, or a companion view, measure from."""
_TOGETHER: Final = {
    "cf.hem": ("cf.top", "reglet.mouth"),
    "wall.joint": ("upper.bottom", "blocking.top"),
    "upper.bottom": ("wall.joint", "blocking.top"),
    "reglet.mouth": ("cf.hem", "cf.top"),
}
"""Points that rules look for where another one stands."""


def faults(shape: FreeSection, catalog: Catalog) -> list[Impossible]:
    """Return everything that can be said of a free section before it is laid."""
    return list(_Faults(shape, catalog).all())


class _Faults:
    def __init__(self, shape: FreeSection, catalog: Catalog) -> None:
        self.shape, self.catalog = shape, catalog
        self.bodies = [b.id for b in shape.body]
        self.named = {p.name: i for i, p in enumerate(shape.point)}
        self.layers = [one.id for one in shape.layer]

    def all(self) -> Iterator[Impossible]:
        if len(self.shape.surface) < 2:
            yield _impossible(
                ("surface",),
                "a free section needs a surface to lay things on",
                "at least two corners",
                "Give its corners from the left end on, with the air on the left hand.",
            )
        yield from self._ids()
        yield from self._surface()
        yield from self._points()
        for number, layer in enumerate(self.shape.layer):
            yield from self._layer(number, layer)
        yield from self._told()
        yield from self._families()

    def _ids(self) -> Iterator[Impossible]:
        seen: set[str] = set()
        listed = [(("body", i, "id"), b.id) for i, b in enumerate(self.shape.body)]
        for i, one in enumerate(self.shape.layer):
            if one.lay != "coat":  # several coats may be one thing
                listed.append((("layer", i, "id"), one.id))
        for where, name in listed:
            if name in seen:
                yield _impossible(where, "the id is already taken", "", "Choose another.")
            seen.add(name)
        for i, body in enumerate(self.shape.body):
            yield from self._material(("body", i, "material"), body.material, "")
            yield from self._spots(("body", i, "points"), body.points, 0)

    def _surface(self) -> Iterator[Impossible]:
        for i, corner in enumerate(self.shape.surface):
            yield from self._spots(("surface", i, "at"), [corner.at], 0)
            if i and corner.on not in self.bodies:
                yield self._unknown(("surface", i, "on"), corner.on, self.bodies, "body")

    def _points(self) -> Iterator[Impossible]:
        auto = {name for one in self.layers for name in _corners(one)}
        for i, point in enumerate(self.shape.point):
            if point.name in auto or self.named[point.name] != i:
                message = "the name is already taken"
                yield _impossible(("point", i, "name"), message, "", "Choose another.")
            elif point.name in self._reached(point.name):
                message = "the point hangs on itself"
                yield _impossible(
                    ("point", i, "at"), message, "", "Give it by lengths or other points."
                )
            yield from self._spots(("point", i, "at"), [point.at], len(self.layers))

    def _reached(self, name: str) -> set[str]:
        """Return the points of the file that a point hangs on, near or far."""
        found: set[str] = set()
        waiting = [name]
        while waiting:
            for other in self._hangs_on(waiting.pop()) & set(self.named) - found:
                found.add(other)
                waiting.append(other)
        return found

    def _hangs_on(self, name: str) -> set[str]:
        at = self.shape.point[self.named[name]].at
        return {other for written in (at.x, at.y) for other, _ in written.named}

    def _layer(self, number: int, layer: Layer) -> Iterator[Impossible]:
        where: Where = ("layer", number)
        yield from _keys(where, layer)
        if layer.material:
            yield from self._material((*where, "material"), layer.material, layer.lay)
        earlier = [*self.bodies, *self.layers[:number]]
        if layer.body and layer.body not in earlier:
            yield self._unknown((*where, "body"), layer.body, earlier, "earlier body")
        for key in ("start", "end"):
            yield from self._place((*where, key), getattr(layer, key), number)
        yield from self._spots(
            (*where, "line"), layer.line, number, thick=layer.lay == "metal"
        )
        yield from self._spots((*where, "points"), layer.points, number)
        for i, stretch in enumerate(layer.stretches):
            yield from self._stretch((*where, "stretches", i), stretch, layer, number)
        if layer.stage > len(self.shape.stage) > 0:
            yield _impossible(
                (*where, "stage"),
                "there is no stage of this number",
                f"0 to {len(self.shape.stage)}",
                "Add a stage table, or take another number.",
            )

    def _stretch(
        self, where: Where, stretch: Stretch, layer: Layer, number: int
    ) -> Iterator[Impossible]:
        earlier = [*self.bodies, *self.layers[:number]]
        shaped = layer.lay in {"metal", "solid"}
        if stretch.on and stretch.on not in earlier:
            yield self._unknown((*where, "on"), stretch.on, earlier, "earlier body")
        if shaped and not stretch.on:
            message = "a stretch of metal or of a solid is told by the body that it is on"
            yield _impossible(where, message, "", "Add on, with the id of a body.")
        for key in ("start", "end"):
            yield from self._place((*where, key), getattr(stretch, key), number)

    def _place(
        self, where: Where, place: PlaceModel | None, number: int
    ) -> Iterator[Impossible]:
        if place is None:
            return
        if place.point not in {"start", "end"}:
            yield from self._name((*where, "point"), place.point, number)
        if place.across is not None and place.up is not None:
            message = "a place is looked for across or up, not both"
            yield _impossible((*where, "up"), message, "", "Take one of the two out.")
        for key in ("along", "across", "up", "corner"):
            written: Coordinate | None = getattr(place, key)
            if written is not None:
                yield from self._coordinate((*where, key), written, number)

    def _spots(
        self, where: Where, spots: Sequence[Spot], number: int, *, thick: bool = False
    ) -> Iterator[Impossible]:
        several = where[-1] in {"points", "line"}
        for i, at in enumerate(spots):
            here = (*where, i) if several else where
            for written in (at.x, at.y):
                yield from self._coordinate(here, written, number, thick=thick)

    def _coordinate(
        self, where: Where, written: Coordinate, number: int, *, thick: bool = False
    ) -> Iterator[Impossible]:
        if written.thick and not thick:
            message = "t is the thickness of a metal, and this is none"
            yield _impossible(where, message, "a length", "Write a length instead.")
        for name, _ in written.named:
            yield from self._name(where, name, number)

    def _name(self, where: Where, name: str, number: int) -> Iterator[Impossible]:
        """Tell when a point is not there before the layer of this number is laid."""
        auto = {c: i for i, one in enumerate(self.shape.layer) for c in _laid(one)}
        if name not in self.named and name not in auto:
            yield self._unknown(where, name, [*self.named, *auto], "point")
            return
        roots = {name, *(self._reached(name) if name in self.named else ())}
        waits = {auto.get(c, -1) for r in roots for c in (r, *self._below(r))}
        if max(waits) >= number:
            message = f"the point {name} is not there yet when this is laid"
            mend = "Put this after the layer that the point belongs to."
            yield _impossible(where, message, "a point that is there by then", mend)

    def _below(self, name: str) -> set[str]:
        return self._hangs_on(name) if name in self.named else set()

    def _told(self) -> Iterator[Impossible]:
        """Tell of what is said besides bodies and layers: all of these are laid then."""
        shape, last = self.shape, len(self.layers)
        every = [*self.bodies, *self.layers]
        for i, one in enumerate(shape.gauge):
            for key in ("start", "end"):
                yield from self._name(("gauge", i, key), getattr(one, key), last)
        for i, one in enumerate(shape.dry):
            if one.body not in every:
                yield self._unknown(("dry", i, "body"), one.body, every, "body")
            yield from self._limits(("dry", i), one)
        for i, one in enumerate(shape.zone):
            yield from self._limits(("zone", i), one)
        for i, one in enumerate(shape.edge):
            for key in ("start", "end"):
                yield from self._spots(("edge", i, key), [getattr(one, key)], last)
        for i, name in enumerate(shape.hollows):
            if name not in every:
                yield self._unknown(("hollows", i), name, every, "body")
        yield from self._spots(("drawn",), shape.drawn, last)

    def _limits(self, where: Where, limits: ZoneModel | DryModel) -> Iterator[Impossible]:
        for side in ("left", "right", "below", "above"):
            written: Coordinate | None = getattr(limits, side)
            if written is not None:
                yield from self._coordinate((*where, side), written, len(self.layers))

    def _families(self) -> Iterator[Impossible]:
        wanted = [*shape_families(self.shape)]
        missing = {
            name: family
            for family in wanted
            for name in NEEDED[family]
            if name not in self.named
        }
        for name in [n for n in self.named if "wall" in wanted and n in _TOGETHER]:
            missing |= dict.fromkeys(
                (n for n in _TOGETHER[name] if n not in self.named), "wall"
            )
        views = {"wall-elevation", "flange-plan"}
        for number, (name, family) in enumerate(missing.items()):
            where = ("companion", number) if family in views else ("families", number)
            yield _impossible(
                where,
                f"the {family} is measured from the point {name}, which is missing",
                "",
                f'Add a point table with name = "{name}".',
            )
        if "wall-elevation" in wanted and not any(
            one.role and one.role.value == "flashing sheet" for one in self.shape.layer
        ):
            message = "the elevation shows a flashing sheet, and there is none"
            yield _impossible(("companion",), message, "", "Lay one, or take it out.")
        if "flange-plan" in wanted and "nail-1" not in self.layers:
            message = "the plan shows the nails of the flange, nail-1, nail-2 and so on"
            yield _impossible(("companion",), message, "", "Drive them, or take it out.")

    def _material(self, where: Where, named: str, lay: str) -> Iterator[Impossible]:
        known = self.catalog.materials
        if named not in known:
            yield self._unknown(where, named, list(known), "material of the catalogue")
        elif lay in {"sheet", "bed", "metal"} and known[named].thickness <= 0.0:
            message = f"this material has no thickness, so it is no {lay}"
            yield _impossible(where, message, "", "Take another material.")

    def _unknown(
        self, where: Where, named: str, known: Iterable[str], what: str
    ) -> Impossible:
        listed = list(dict.fromkeys(known))
        close = get_close_matches(named[:64], listed, n=1, cutoff=0.6)
        few = 0 < len(listed) <= 24
        allowed = ", ".join(listed) if few else f"a {what} of this section"
        return _impossible(
            where,
            f"there is no {what} of this name" if named else f"the {what} is missing",
            allowed,
            f"Did you mean {close[0]}?" if close else f"Name one, or add the {what}.",
        )


def shape_families(shape: FreeSection) -> tuple[str, ...]:
    """Return whose points a section must have: families of rules, and its companion."""
    companion = () if shape.companion == "none" else (shape.companion,)
    return (*shape.families, *companion)


def _keys(where: Where, layer: Layer) -> Iterator[Impossible]:
    """Tell which keys a layer lacks, and which it cannot have."""
    must, may = _KEYS[layer.lay]
    given = {k for k in layer.model_fields_set if getattr(layer, k) not in {None, "", ()}}
    a_lay = f"an {layer.lay}" if layer.lay[0] in "aeiou" else f"a {layer.lay}"
    for key in must:
        if key not in given:
            yield _impossible(
                (*where, key), f"{a_lay} needs the key {key}", "", f"Add {key}."
            )
    for key in given - {*must, *may} - _ALWAYS:
        allowed = ", ".join((*must, *may))
        yield _impossible((*where, key), f"{a_lay} has no {key}", allowed, "Take it out.")
    along = {"start", "end"} <= given
    if layer.lay == "coat" and along == ({"line", "body"} <= given):
        message = "a coat has a start and an end, or else a body and a line on it"
        yield _impossible(where, message, "", "Give it one of the two.")
    if layer.lay == "metal" and not along and "line" not in given:
        message = "a metal has a line, or a start and an end, or both"
        yield _impossible(where, message, "", "Add line, with the points of its bends.")
    yield from _counts(where, layer, along=along)


def _counts(where: Where, layer: Layer, *, along: bool) -> Iterator[Impossible]:
    """Tell when a line or an outline has too few points, or too many."""
    count = len(layer.line)
    least = 1 if layer.lay == "metal" and along else 2
    if layer.lay == "fastener" and count != 2:
        message = "the line of a fastener is its head and its point"
        yield _impossible((*where, "line"), message, "two points", "Give the two.")
    elif layer.lay in {"metal", "coat"} and 0 < count < least:
        message = "a line has at least two points"
        yield _impossible((*where, "line"), message, "", "Add what is missing.")
    if layer.lay == "solid" and 0 < len(layer.points) < 3:
        message = "a solid has at least three corners"
        yield _impossible((*where, "points"), message, "", "Add what is missing.")


def _laid(layer: Layer) -> tuple[str, ...]:
    """Return the names that a layer gives to its corners, if it has any."""
    return _corners(layer.id) if layer.lay in {"sheet", "bed", "fill"} else ()


def _corners(layer: str) -> tuple[str, ...]:
    """Return the names that the corners of a layer get."""
    return tuple(f"{layer}.{end}" for end in ("start", "start.top", "end", "end.top"))


def _impossible(where: Where, message: str, allowed: str, mend: str) -> Impossible:
    return Impossible((str(where[0]),), message, allowed, mend, at=where)
