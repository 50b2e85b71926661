"""The open area of a strainer: how many slots it needs, and where they are."""

from dataclasses import dataclass
from math import ceil, cos, fsum, hypot, pi, sin, sqrt

from detailgen.geometry import Region
from detailgen.geometry.regions import box, polygon
from detailgen.section import Part, Role
from detailgen.units import inches

BAR = inches(0.25)
"""Least bar between two slots (common practice, no source)."""
EDGE = inches(0.5)
"""Rim of a strainer without slots (common practice, no source)."""
SEAT = 4.0
"""A dome's side starts this much inside the ring, mm."""
LEAN = 0.1
"""A dome's side leans in by this part of its radius."""


@dataclass(frozen=True, slots=True)
class StrainerSizes:
    """What a strainer is like, mm."""

    dome: bool
    radius: float
    """Of its foot, inside the ring."""
    rise: float
    """Height of a dome's side, along which its slots run."""
    slot: float
    """Width of a slot."""
    slots: int | None
    """How many; None for as many as the open area asks."""
    leader: float
    """Radius of the leader."""
    halves: float
    """Open area asked, in halves of the leader's area."""

    @property
    def side(self) -> float:
        """Length of a dome's side, from its foot to its shoulder."""
        return hypot(LEAN * self.radius, self.rise)

    @property
    def run(self) -> tuple[float, float]:
        """From where to where slots run along a dome's side, from its foot."""
        long = max(self.side - 2.0 * EDGE, self.side / 3.0)
        low = (self.side - long) / 2.0
        return low, low + long

    @property
    def asked(self) -> float:
        """Open area that is asked, mm2."""
        return self.halves / 2.0 * pi * self.leader**2


@dataclass(frozen=True, slots=True)
class Slots:
    """The slots of a strainer."""

    seen: tuple[Region, ...]
    """As they are seen from above."""
    open: float
    """Their area, mm2: of a dome's along its side."""
    length: float
    """Of the longest one, mm."""


def slots_of(s: StrainerSizes) -> Slots:
    """Return the slots of a strainer: as many as asked, or as there is room for."""
    return _round(s) if s.dome else _flat(s)


def slot_parts(s: StrainerSizes, level: int) -> tuple[Part, ...]:
    """Return the slots as parts of a plan."""
    return tuple(
        Part(f"slot-{i}", Role.STRAINER, "Slot of the strainer", one, level)
        for i, one in enumerate(slots_of(s).seen, 1)
    )


def slot_note(s: StrainerSizes) -> str:
    """Return what is said of a strainer's open area."""
    found = slots_of(s)
    square = 25.4**2
    return (
        f"Strainer: {len(found.seen)} slots {s.slot / 25.4:.3g} in ({s.slot:.0f} mm) wide, "
        f"{'' if s.dome else 'up to '}{found.length / 25.4:.3g} in ({found.length:.0f} mm) "
        f"long, {found.open / square:.1f} sq in open; {s.asked / square:.1f} sq in are "
        f"{s.halves / 2.0:.3g} times the leader's area."
    )


def _round(s: StrainerSizes) -> Slots:
    """Return the slots along a dome's side, which stand all round."""
    low, high = s.run
    foot = s.radius - SEAT
    shoulder = foot - LEAN * s.radius
    room = max(int(2.0 * pi * shoulder / (s.slot + BAR)), 1)
    wanted = s.slots or ceil(s.asked / (s.slot * (high - low)) - 1e-9)
    count = min(wanted, room)
    lean = LEAN * s.radius / s.side
    one = box(foot - high * lean, -s.slot / 2.0, foot - low * lean, s.slot / 2.0)
    turns = [2.0 * pi * (i + 0.5) / count for i in range(count)]
    return Slots(
        tuple(_turned(one, a) for a in turns),
        count * s.slot * (high - low),
        high - low,
    )


def _turned(region: Region, angle: float) -> Region:
    c, t = cos(angle), sin(angle)
    return polygon([(x * c - y * t, x * t + y * c) for x, y in region.exterior.coords])


def _flat(s: StrainerSizes) -> Slots:
    inner = s.radius - EDGE
    room = max(int((2.0 * inner + BAR) / (s.slot + BAR)), 1)
    slots: list[Region] = []
    for count in [min(s.slots, room)] if s.slots else range(1, room + 1):
        slots = _across(inner, s.slot, count)
        if fsum(one.area for one in slots) >= s.asked:
            break
    longest = max(one.bounds[2] - one.bounds[0] for one in slots)
    return Slots(tuple(slots), fsum(one.area for one in slots), longest)


def _across(radius: float, slot: float, count: int) -> list[Region]:
    """Return so many slots side by side in a circle, each as long as it leaves room for."""
    pitch = 2.0 * radius / count
    out: list[Region] = []
    for i in range(count):
        y = (i + 0.5) * pitch - radius
        far = min(abs(y) + slot / 2.0, 0.98 * radius)
        half = sqrt(radius**2 - far**2)
        out.append(box(-half, y - slot / 2.0, half, y + slot / 2.0))
    return out
