"""What each body is to water, and what it costs to pass between two of them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from detailgen.catalog import RuleSet
from detailgen.geometry import Point
from detailgen.geometry.arrangement import away_from
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

SLACK = 0.01
"""A lap this little short, mm, is not short."""
TOUCHING = 0.02
"""A joint of record holds for an edge that lies this close to it, mm."""
_ABSENT = frozenset({Role.BEAD, Role.FASTENER})
_SHEDS = frozenset({Role.EDGE_METAL, Role.COUNTERFLASHING, Role.COPING})
"""Metals that are there to keep water out; bars and cleats only hold them."""
_UNDER = {Role.EDGE_METAL: "flange_width_least", Role.FLASHING: "flashing_reach_least"}
"""Row of the lap asked of what a sheet or metal of this role lies on."""


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
        self._kind = section.kind
        self._roles = {b.id: b.role for b in section.bodies}
        self.joints: dict[frozenset[str], list[Joint]] = {}
        for joint in section.joints:
            self.joints.setdefault(frozenset((joint.upper, joint.lower)), []).append(joint)
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
            self.worth.append(float("inf"))
        covers = Role.COUNTERFLASHING in self._roles.values()
        self.climb = self._asked(
            "counterflashing_lap_least" if covers else "coping_face_least"
        )
        """Rise, mm, that counts 1."""

    def passing(self, one: int, other: int, at: Point) -> Passing:
        """Return how water passes between two bodies, at a point of their joint."""
        a, b = self.bodies[one].id, self.bodies[other].id
        near = [
            (away, joint)
            for joint in self.joints.get(frozenset((a, b)), ())
            if (away := away_from(joint.line, at)) <= TOUCHING
        ]
        if near:
            joint = min(near, key=lambda found: found[0])[1]
            if joint.bond in ADHERED:
                lap = self._lap(joint.upper, joint.lower)
                return Passing(Passage.STUCK, lap, joint.upper)
            if joint.bond is Bond.FASTENED and self._receives(joint):
                lap = self._asked("reglet_depth_least")
                return Passing(Passage.RECEIVER, lap, joint.upper)
        later = self.bodies[max(one, other)].id
        return Passing(Passage.DRY, self.climb, later)

    def _receives(self, joint: Joint) -> bool:
        return (
            self._roles[joint.upper] is Role.COUNTERFLASHING
            and self._roles[joint.lower] not in SHEETS | METALS
        )

    def _asked(self, row: str) -> float:
        return max(self._rules.value(row) - SLACK, SLACK)

    def _lap(self, upper: str, lower: str) -> float:
        """Return the lap that is asked where one body is stuck on another, mm."""
        role = self._roles[self._set_in.get(upper, upper)]
        below = self._roles[self._set_in.get(lower, lower)]
        if below in METALS:  # the flange, less what a flush edge may leave bare
            gap = self._rules.value("finish_gap_flush_most")
            return max(self._asked("flange_width_least") - gap, SLACK)
        if role is Role.UPPER_FLASHING:
            return self._asked(
                "upper_lap_least" if below in SHEETS else "coping_face_least"
            )
        if role is Role.STRIP_IN:
            edge = self._kind == "roof-edge"
            return self._asked("flange_strip_in_least" if edge else "strip_in_toe_least")
        return self._asked(_UNDER.get(role, "end_lap_least"))

    def _worth(self, section: LayeredSection, body: Body) -> float:
        """Return what it costs to go through a body: nothing, up to 1, or no way at all."""
        if body.role in SHEETS:
            return 1.0
        if body.role not in {*METALS, *_ABSENT, Role.CEMENT}:
            return float("inf")
        if body.role not in _SHEDS:
            return 0.0
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
    return dict(sorted(held, key=lambda pair: held[pair]))
