"""What each body is to water, and what it costs to pass between two of them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import inf

from detailgen.catalog import RuleSet
from detailgen.geometry import Point
from detailgen.geometry.arrangement import away_from, corners_of
from detailgen.section import (
    ADHERED,
    METALS,
    SHEETS,
    Body,
    Bond,
    Joint,
    LayeredSection,
    Part,
    Role,
)

SLACK = 0.05
"""A lap this little short, mm, is not short."""
TOUCHING = 0.02
"""A joint of record holds for an edge that lies this close to it, mm."""
_ABSENT = frozenset({
    Role.BACKING_PLATE,
    Role.BEAD,
    Role.CLEAT,
    Role.FASTENER,
    Role.FILL,
    Role.STRAINER,
    Role.TERMINATION_BAR,
})
"""What never counts: it seals for a while, holds, or is open."""
_IN_LENGTHS = frozenset({
    Role.COPING,
    Role.COUNTERFLASHING,
    Role.EDGE_METAL,
    Role.JOINT_COVER,
})
"""Metals that come in lengths: they count for as much as their joints do."""
_WHOLE = frozenset({
    Role.BARRIER,
    Role.CLAMPING_RING,
    Role.COLLAR,
    Role.DRAIN_LEAD,
    Role.HOOD,
    Role.LINER,
    Role.PAN,
    Role.POURED_SEALANT,
    Role.SLEEVE,
})
"""What is in one piece, soldered, welded or poured: it counts as a sheet."""
_LAPS = {
    Role.FLASHING: "flashing_reach_least",
    Role.UPPER_FLASHING: "upper_lap_least",
}
"""Row of the lap asked of a sheet on what lies under it, where it is not that of an end."""
_CLAMPED = frozenset({Role.COLLAR, Role.HOOD})
"""What is clamped round a pipe. The argument ends there: the whole joint counts 1, as it
does at a fill of pourable sealant and under the ring of a drain."""


class Passage(StrEnum):
    """How water passes along an edge between two bodies."""

    STUCK = "stuck"
    DRY = "dry"
    RECEIVER = "receiver"


@dataclass(frozen=True, slots=True)
class Passing:
    """Along what water passes between two bodies, and at what price."""

    passage: Passage
    lap: float
    """Length or rise, mm, that counts 1."""
    upper: str
    """Id of the body that lies on top."""


class Model:
    """The bodies that count for something, and the laps that the rule set asks of them."""

    def __init__(self, section: LayeredSection, rules: RuleSet) -> None:
        """Sort the bodies of a section by what they are to water."""
        self._rules = rules
        turned_up = "cant.toe" in section.points
        self._strip = "strip_in_toe_least" if turned_up else "flange_strip_in_least"
        self._roles = {b.id: b.role for b in section.bodies}
        self.joints: dict[frozenset[str], list[Joint]] = {}
        for joint in section.joints:
            self.joints.setdefault(frozenset((joint.upper, joint.lower)), []).append(joint)
        self._lines: dict[tuple[int, int], list[tuple[Joint, list[Point]]]] = {}
        worth = {b.id: self._worth(section, b) for b in section.bodies}
        self._set_in = _beds(section)
        for bed, owner in self._set_in.items():
            worth[bed] = worth[owner]
        self.bodies: list[Body] = []
        """Those that are there for water, in the order of building."""
        self.owners: list[str] = []
        """Of each body the one that it counts with: a bed with what is set in it."""
        self.worth: list[float] = []
        """What it costs to enter each body; infinite for what takes no part."""
        for body in section.bodies:
            if worth[body.id] > 0.0:
                self.bodies.append(body)
                self.owners.append(self._set_in.get(body.id, body.id))
                self.worth.append(worth[body.id])
        for flute in _flutes(section):
            self.bodies.append(flute)
            self.owners.append(flute.id)
            self.worth.append(inf)
        covers = Role.COUNTERFLASHING in self._roles.values()
        self.climb = self._asked(
            "counterflashing_lap_least" if covers else "coping_face_least"
        )
        """Rise, mm, that counts 1."""

    def passing(self, one: int, other: int, at: Point) -> Passing:
        """Return how water passes between two bodies, at a point of their joint."""
        near = [
            (away, joint)
            for joint, corners in self._joints_of(min(one, other), max(one, other))
            if (away := away_from(corners, at)) <= TOUCHING
        ]
        if near:
            joint = min(near, key=lambda found: found[0])[1]
            if joint.bond in ADHERED:
                return Passing(Passage.STUCK, self._lap(joint), joint.upper)
            held = self._held(joint)
            if held:
                return Passing(Passage.RECEIVER, held, joint.upper)
        later = self.bodies[max(one, other)].id
        return Passing(Passage.DRY, self.climb, later)

    def _joints_of(self, one: int, other: int) -> list[tuple[Joint, list[Point]]]:
        """Return the joints of two bodies, each with the corners of its line."""
        found = self._lines.get((one, other))
        if found is None:
            pair = frozenset((self.bodies[one].id, self.bodies[other].id))
            found = [(j, corners_of(j.line)) for j in self.joints.get(pair, ())]
            self._lines[one, other] = found
        return found

    def _held(self, joint: Joint) -> float:
        """Return along how much of a receiver's joint counts 1, mm; 0 where none is."""
        upper, lower = self._roles[joint.upper], self._roles[joint.lower]
        fastened = joint.bond is Bond.FASTENED and lower not in SHEETS | METALS
        if upper is Role.COUNTERFLASHING and fastened:
            return self._asked("reglet_depth_least")
        poured = joint.bond is Bond.SEALED and upper is Role.POURED_SEALANT
        ends = poured or (fastened and upper in _CLAMPED)
        return max(joint.line.length - SLACK, SLACK) if ends else 0.0

    def _asked(self, row: str) -> float:
        return max(self._rules.value(row) - SLACK, SLACK)

    def _lap(self, joint: Joint) -> float:
        """Return the lap that is asked where one body is stuck on another, mm."""
        role = self._roles[self._set_in.get(joint.upper, joint.upper)]
        below = self._roles[self._set_in.get(joint.lower, joint.lower)]
        if below is Role.DRAIN_BOWL:
            return max(joint.line.length - SLACK, SLACK)
        if below in METALS:  # the flange, less what a flush edge may leave bare
            gap = self._rules.value("finish_gap_flush_most")
            return max(self._asked("flange_width_least") - gap, SLACK)
        if role is Role.UPPER_FLASHING and below not in SHEETS:
            return self._asked("coping_face_least")
        if below is Role.CLAD_SHEET:
            return self._asked("clad_border_least")
        if Role.STRIP_IN in {role, below} and role is not Role.FLASHING:
            return self._asked(self._strip)
        if role in METALS:
            return self._asked("flange_width_least")
        return self._asked(_LAPS.get(role, "end_lap_least"))

    def _worth(self, section: LayeredSection, body: Body) -> float:
        """Return what it costs to go through a body: nothing, up to 1, or no way at all."""
        if body.role in SHEETS | _WHOLE:
            return 1.0
        if body.role in _ABSENT or body.role is Role.CEMENT:
            return 0.0
        if body.role not in _IN_LENGTHS:
            return inf
        pieces = [v.of_role(body.role) for v in section.layouts if v.of_role(body.role)]
        if not pieces:
            return 0.0
        plates = [p for v in section.layouts for p in v.of_role(Role.BACKING_PLATE)]
        return min(self._joined(parts, plates) for parts in pieces)

    def _joined(self, parts: Sequence[Part], plates: Sequence[Part]) -> float:
        """Return for how much the joints between pieces of metal count, at most 1."""
        worst = 1.0
        ordered = sorted(parts, key=lambda p: p.region.bounds[0])
        for first, second in pairwise(ordered):
            end, start = first.region.bounds[2], second.region.bounds[0]
            lapped = (end - start) / self._asked("counterflashing_end_lap_least")
            reach = [
                min(end - p.region.bounds[0], p.region.bounds[2] - start) for p in plates
            ]
            backed = max(reach, default=0.0) / self._asked("backing_plate_lap_least")
            worst = min(worst, max(lapped, backed, 0.0))
        return worst


def _flutes(section: LayeredSection) -> list[Body]:
    """Return the flutes of a deck as solid: at its edge they are closed."""
    decks, metals = section.of_role(Role.DECK), section.of_role(*METALS)
    return [
        Body(f"flute-{i}", Role.DECK, "", hollow, 0, "flute of the deck")
        for i, hollow in enumerate(section.hollows)
        if any(hollow.distance(b.region) < TOUCHING for b in decks)
        and not any(hollow.distance(b.region) < TOUCHING for b in metals)
    ]


def _beds(section: LayeredSection) -> Mapping[str, str]:
    """Return of each bed of cement the sheet or metal that is set in it."""
    roles = {b.id: b.role for b in section.bodies}
    held: dict[tuple[str, str], float] = {}
    for joint in section.joints:
        bed = joint.bond is Bond.CEMENT and roles.get(joint.lower) is Role.CEMENT
        if bed and roles.get(joint.upper) in SHEETS | METALS:
            pair = (joint.lower, joint.upper)
            held[pair] = held.get(pair, 0.0) + joint.line.length
    return dict(sorted(held, key=lambda pair: held[pair]))  # the longest comes last
