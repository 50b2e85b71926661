"""The metal shop list: every piece of metal, what it is bent to, and how many."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Final

from detailgen.bill import PLATES, Counted, figures, pack_of, weight_of
from detailgen.bill import Line as Bought
from detailgen.book import Part
from detailgen.book.columns import Cell, Col, Line, Note, Picture, chosen
from detailgen.book.package import mark_key, sheet_key
from detailgen.book.table import table, texts
from detailgen.package._details import NOT_TOLD
from detailgen.package._told import ToldJob
from detailgen.profile import Profile
from detailgen.quantity import Measure, Per
from detailgen.scene import Item, Path
from detailgen.sheet.flow import Block
from detailgen.units import show_length, show_run

KEY: Final = "metal"
_WIDE: Final = 24.0
_HIGH: Final = 9.0
"""Room of the small drawing of a profile, mm."""
_LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_NONE: Final = "-"
_AS_METAL: Final = "flat or bent as the metal that they back"
_SHOP: Final = (
    Col("Piece"), Col("Shape"), Col("Name"), Col("Metal"),
    Col("Developed", number=True), Col("Legs, outside"), Col("Long", number=True),
    Col("Pieces", number=True), Col("Gap", number=True), Col("Weight", number=True),
    Col("Sheet"),
)  # fmt: skip
_STOCK: Final = (
    Col("Metal"), Col("Net", number=True), Col("Gross", number=True), Col("Unit"),
    Col("To buy", number=True), Col("of"), Col("Weight", number=True),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Piece:
    """One kind of piece of one detail."""

    mark: str
    """`W1/1`: the detail, and the number of the profile on its sheet, or a letter."""
    detail: str
    name: str
    material: str
    pieces: str
    kilograms: float
    """0 where it is not known by itself."""
    profile: Profile | None = None
    number: int = 0
    """Number of the profile on its sheet."""
    reason: str = ""
    """Why there is no profile."""
    long: float = 0.0
    """Length of a plate behind a joint, mm."""
    fits: bool = False
    """Made for its one place, without a stock length or a joint."""


def shop_list(told: ToldJob) -> Part:
    """Return the metal shop list of a job."""
    pieces = [piece for one in told.bill.conditions for piece in _pieces(told, one)]
    if not pieces:
        nothing = texts("METAL SHOP LIST", [("Nothing:", "no detail has metal.")])
        return Part(KEY, "Metal shop list", (nothing,))
    lines = [_line(told, piece) for piece in pieces]
    blocks = (
        table("METAL SHOP LIST", _SHOP, lines, narrow=_narrowed(lines)),
        _without(pieces),
        _stock(told),
    )
    return Part(KEY, "Metal shop list", blocks, _notes())


def _pieces(told: ToldJob, one: Counted) -> Iterator[_Piece]:
    """Yield the pieces of one detail: those with a profile first."""
    metals = [line for line in _of_metal(told, one) if line.measure is not Measure.MASS]
    shop = told.shops[one.id]
    owners = {p.id: _owner(p, metals) for p in shop.profiles}
    for number, profile in enumerate(shop.profiles, 1):
        owner = owners[profile.id]
        beside = [p for p in shop.profiles if owners[p.id] is owner] if owner else []
        yield _profiled(told, one, owner, profile, number, beside)
    reasons = {out.body: out.reason for out in shop.left_out}
    rest = [m for m in metals if not any(m is owner for owner in owners.values())]
    for letter, line in zip(_LETTERS, rest, strict=False):
        ids = (line.id, *line.bodies)
        plates = line.id.endswith(PLATES)
        reason = next((reasons[i] for i in ids if i in reasons), "")
        yield _Piece(
            f"{one.id}/{letter}",
            one.id,
            line.label,
            line.material,
            _count(line),
            _weight(told, one, line),
            reason=_AS_METAL if plates else reason,
            long=_plate_length(line, metals) if plates else 0.0,
        )
    if one.missing:
        yield from _uncounted(told, one, len(rest))


def _uncounted(told: ToldJob, one: Counted, after: int) -> Iterator[_Piece]:
    """Yield the metals without a profile of a detail that the job does not count."""
    (section,) = (c.section for c in told.checked if c.placed.id == one.id)
    counted = {i for line in one.lines for i in line.bodies}
    out = [x for x in told.shops[one.id].left_out if x.body not in counted]
    for letter, metal in zip(_LETTERS[after:], out, strict=False):
        body = section.body(metal.body)
        if body is not None and not body.by_others:
            mark = f"{one.id}/{letter}"
            name, why = metal.name, metal.reason
            yield _Piece(mark, one.id, name, body.material, NOT_TOLD, 0.0, reason=why)


def _owner(profile: Profile, metals: Sequence[Bought]) -> Bought | None:
    """Return the line of the takeoff that counts a profile; None where nothing does."""
    of = {profile.id, *profile.also}
    lines = (m for m in metals if not m.id.endswith(PLATES))
    return next((m for m in lines if of & set(m.bodies)), None)


def _profiled(
    told: ToldJob,
    one: Counted,
    owner: Bought | None,
    profile: Profile,
    number: int,
    beside: Sequence[Profile],
) -> _Piece:
    """Return the piece of a profile, with its part of what its line counts.

    Two profiles of one thing, as both sides of a pan, are one piece; two metals along a run
    that are bent otherwise are pieces each.
    """
    count, weight = NOT_TOLD, 0.0
    if owner is not None and owner.per is Per.PIECE:
        first = f"{one.id}/{_number(told, one, beside[0])}"
        whole = profile is beside[0]
        count = _count(owner) if whole else f"in {first}"
        weight = _weight(told, one, owner) if whole else 0.0
    elif owner is not None:
        strips = [1 + len(p.also) for p in beside]
        girths = [p.developed * n for p, n in zip(beside, strips, strict=True)]
        place = next(n for n, p in enumerate(beside) if p is profile)
        count = f"{owner.pieces * strips[place] / sum(strips):,.0f}"
        weight = _weight(told, one, owner) * girths[place] / fsum(girths)
    return _Piece(
        f"{one.id}/{number}",
        one.id,
        profile.name,
        profile.material,
        count,
        weight,
        profile,
        number,
        fits=profile.made_to_fit or (owner is not None and owner.per is Per.PIECE),
    )


def _number(told: ToldJob, one: Counted, profile: Profile) -> int:
    return told.shops[one.id].profiles.index(profile) + 1


def _plate_length(plates: Bought, metals: Sequence[Bought]) -> float:
    """Return how long a plate is along the run, mm: as wide as its metal, one a length."""
    stem = plates.id.removesuffix(PLATES)
    girth = next((m.rate for m in metals if m.id == stem), 0.0)
    return plates.rate * plates.stock / girth * 1000.0 if girth else 0.0


def _without_metal(name: str, metal: str) -> str:
    """Return the name of a piece without that of its metal, which has its own column."""
    at = name.lower().find(f", {metal.lower()}")
    return name if at < 0 else name[:at] + name[at + len(metal) + 2 :]


def _of_metal(told: ToldJob, one: Counted) -> list[Bought]:
    materials = told.job.catalog.materials
    return [
        line
        for line in one.lines
        if line.material in materials
        and materials[line.material].family == "metal"
        and line.bought
    ]


def _count(line: Bought) -> str:
    """Return how many pieces it takes; nothing where that does not matter."""
    if line.per is Per.PIECE:
        return f"{line.times:,.0f}"
    return f"{line.pieces:,}" if line.pieces else ""


def _weight(told: ToldJob, one: Counted, line: Bought) -> float:
    """Return what a line's net amount weighs, kg; 0 where that is not known by itself."""
    if line.measure is Measure.AREA:
        return line.net * told.job.catalog.materials[line.material].mass
    if line.measure is not Measure.COUNT:
        return 0.0
    alike = [m for m in _of_metal(told, one) if m.material == line.material]
    if sum(m.measure is Measure.COUNT for m in alike) > 1:
        return 0.0
    whole = fsum(
        m.net
        for m in one.lines
        if m.measure is Measure.MASS and m.material == line.material
    )
    rest = whole - fsum(_weight(told, one, m) for m in alike if m is not line)
    return max(rest, 0.0)


def _line(told: ToldJob, piece: _Piece) -> Line:
    units, profile = told.units, piece.profile
    unit, factor = told.shown.weight
    weight = piece.kilograms * factor
    metal = told.job.catalog.material(piece.material).name
    name = _without_metal(piece.name, metal)
    targets = {0: mark_key(piece.detail)}
    cells: list[Cell] = [piece.mark, _NONE, name, metal, *[_NONE] * 3]
    if piece.long:
        cells[6] = show_length(piece.long, units)
    gap, sheet = _NONE, told.sheets[piece.detail].numbers
    if profile is not None:
        cells[1:7] = [
            _picture(profile),
            name,
            metal,
            show_length(profile.developed, units),
            ", ".join(show_length(leg.length, units) for leg in profile.legs),
            "to fit" if piece.fits else show_run(profile.piece, units),
        ]
        if not piece.fits:
            gap = _gap(told, profile)
        at = told.sheets[piece.detail].of_view(f"profile-{piece.number}")
        if at is not None:
            sheet = str(at)
            targets[len(_SHOP) - 1] = sheet_key(at)
    weighed = f"{figures(weight)} {unit}" if weight else _NONE
    cells += [piece.pieces or _NONE, gap, weighed, sheet]
    return Line(tuple(cells), targets=targets)


def _gap(told: ToldJob, profile: Profile) -> str:
    """Return the gap that a joint needs, or that pieces lap."""
    if profile.lap_drawn is not None:
        return f"lap {show_length(profile.lap_drawn, told.units)}"
    needed = show_length(profile.gap_needed, told.units)
    return f"{needed}, DRAWN TIGHT" if profile.gap_is_tight else needed


def _narrowed(lines: Sequence[Line]) -> tuple[list[Col], list[Line]]:
    """Return the list for a small sheet: without shapes and legs, the metal by the name."""
    told = [
        replace(x, cells=(*x.cells[:2], f"{x.cells[2]}: {x.cells[3]}", *x.cells[3:]))
        for x in lines
    ]
    return chosen(_SHOP, told, [0, 2, 4, 6, 7, 8, 9, 10])


def _picture(profile: Profile) -> Picture:
    """Return a small drawing of a profile, as large as its cell, true in its shape."""
    xs, ys = zip(*profile.course, strict=True)
    across, up = max(xs) - min(xs), max(ys) - min(ys)
    scale = min(_WIDE / max(across, 1e-6), _HIGH / max(up, 1e-6))
    points = tuple(
        ((x - min(xs)) * scale, (y - max(ys)) * scale) for x, y in profile.course
    )
    items: tuple[Item, ...] = (Path(points, "metal"),)
    return Picture(_WIDE, up * scale, items)


def _without(pieces: Sequence[_Piece]) -> Block:
    """Return why some pieces have no profile."""
    reasons: dict[str, list[str]] = {}
    for piece in pieces:
        if piece.reason:
            reasons.setdefault(piece.reason, []).append(piece.mark)
    said = [(f"{', '.join(marks)}:", f"{why}.") for why, marks in reasons.items()]
    return texts("PIECES WITHOUT A PROFILE", said)


def _stock(told: ToldJob) -> Block:
    materials = told.job.catalog.materials
    shown = told.shown
    lines: list[Line | Note] = []
    for total in told.bill.totals:
        stem = total.item.partition(" ")[0]
        if stem in materials and materials[stem].family == "metal":
            factor = shown.factor(total.measure)
            lines.append(
                Line((
                    total.name,
                    figures(total.net * factor),
                    figures(total.gross * factor),
                    shown.unit(total.measure),
                    f"{total.packs:,}",
                    pack_of(total, shown),
                    weight_of(total, shown) or _NONE,
                ))
            )
    return table("METAL TO BUY", _STOCK, lines)


def _notes() -> tuple[Block, ...]:
    said = [
        ("Piece:", "the detail, and the number of the profile on its sheet."),
        ("Shape:", "the profile as it stands in the section, to no scale."),
        ("Developed:", "width of the flat piece, with bend allowance."),
        ("Long:", "stock length of a piece, or made to fit its place."),
        ("Pieces:", "of that length, the last one cut; or one for each place."),
        ("In another:", "the profile of another side of the same piece."),
        ("Gap:", "least clear joint between two pieces, over all temperatures."),
        ("Weight:", "of what is built in, without laps and offcuts."),
        ("Bends and holes:", "on the sheet of the profile."),
    ]
    return (texts("HOW TO READ IT", said),)
