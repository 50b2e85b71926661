"""The sections that mutations are made on: every variant of every kind, with room to spare.

Each measure lies some way beyond what its rule asks, so that a cut can end just within the
limit or just past it.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from detailgen.catalog import RuleSet, with_material_overrides, with_rule_overrides
from detailgen.checks import check
from detailgen.conditions import CONDITIONS, Site
from detailgen.finding import Finding, Outcome
from detailgen.parameters import MaterialOverride, Roof, RuleOverride
from detailgen.section import LayeredSection, Method, Neighbour, Role, Stand
from tests.checks.handmade import catalog
from tests.checks.variants_curbs import CURBS, ROOMY_CURBS
from tests.checks.variants_points import POINTS, ROOMY_POINTS

IN = 25.4
NO_VALUES: Mapping[str, object] = {}

ROOMY: Mapping[str, Mapping[str, object]] = {
    "wall": {
        "cant_height": 4 * IN,
        "cant_run": 4.5 * IN,
        "strip_in_out": 4 * IN,
        "strip_in_up": 2.5 * IN,
        "prepared_band": 7 * IN,
        "flashing_reach": 6 * IN,
        "flashing_height": 12 * IN,
        "counterflashing_lap": 5 * IN,
        "reglet_depth": 1.5 * IN,
        "reglet_height": 14 * IN,
        "top_fastener_spacing": 6 * IN,
        "bar_fastener_spacing": 6 * IN,
        "upper_lap": 5 * IN,
        "wall_height": 22 * IN,
        "coping_face": 2 * IN,
    },
    "roof-edge": {
        "nailer_width": 7.25 * IN,
        "flange": 4.5 * IN,
        "base_ply_drop": 5.5 * IN,
        "rise": 1.5 * IN,
        "strip_in": 5 * IN,
        "nail_spacing": 2.5 * IN,
        "cleat_nail_spacing": 5 * IN,
        "nail_length": 2.25 * IN,
        "finish_gap": 3 / 8 * IN,
        "edge_strip_height": 0.5 * IN,
        "kick": 1.25 * IN,
        "cleat_hook": 0.75 * IN,
    },
    **ROOMY_POINTS,
    **ROOMY_CURBS,
}
ROOMY = {
    **ROOMY,
    **{
        kind: {**ROOMY["wall"], "corner_lap": 4 * IN}
        for kind in ("inside-corner", "outside-corner")
    },
}
ROOF: Mapping[str, object] = {"slope": 0.375 / 12}


@dataclass(frozen=True, eq=False)
class Base:
    """A section that mutations are made on, and how to build it otherwise."""

    code: str
    about: str
    kind: str
    parameters: Mapping[str, object] = field(default_factory=dict)
    roof: Mapping[str, object] = field(default_factory=dict)
    rule_set: str = "common-practice"
    asks: Mapping[str, str] = field(default_factory=dict)
    """Values of single rows that differ from the rule set's."""
    only: frozenset[str] = frozenset()
    """The only rules that it is made for; empty for all."""
    changed: Callable[[LayeredSection], LayeredSection] = lambda section: section
    """What is changed in it after building: for what no condition builds."""

    @cached_property
    def rules(self) -> RuleSet:
        """The rule set that it is held against."""
        changes = [
            RuleOverride(rule=row, value=value, reason="to try it")
            for row, value in self.asks.items()
        ]
        return with_rule_overrides(catalog().rule_set(self.rule_set), changes)

    def built(
        self,
        parameters: Mapping[str, object] = NO_VALUES,
        roof: Mapping[str, object] = NO_VALUES,
        materials: Mapping[str, float] = NO_VALUES,  # type: ignore[assignment]
    ) -> LayeredSection:
        """Return the section with other parameters, another roof or thicknesses."""
        changes = [
            MaterialOverride(material=name, thickness=mm, reason="to try it")
            for name, mm in materials.items()
        ]
        data = with_material_overrides(catalog(), changes)
        site = Site(Roof(**{**ROOF, **self.roof, **roof}), data, self.rules)  # type: ignore[arg-type]
        condition = CONDITIONS[self.kind]
        values = {**ROOMY[self.kind], **self.parameters, **parameters}
        given = condition.parameters(id="M1", **values)  # type: ignore[arg-type]
        problems = condition.impossible(given, site)
        assert not problems, (self.code, problems)
        return self.changed(condition.build(given, site))

    @cached_property
    def section(self) -> LayeredSection:
        """The section as it is."""
        return self.built()

    def find(self, section: LayeredSection) -> Mapping[str, Finding]:
        """Return what every rule finds on a section."""
        return {f.rule: f for f in check(section, self.rules, catalog())}

    @cached_property
    def findings(self) -> Mapping[str, Finding]:
        """What every rule finds on the section as it is."""
        return self.find(self.section)

    def applies(self, rule: str) -> bool:
        """Tell whether a rule has something to measure here, and holds as it is."""
        if self.only and rule not in self.only:
            return False
        return self.findings[rule].outcome is Outcome.PASS

    def limit(self, row: str) -> float:
        """Return what a row of the rule set asks."""
        return self.rules.value(row)


def failing(findings: Mapping[str, Finding]) -> set[str]:
    """Return the rules that fail."""
    return {rule for rule, found in findings.items() if found.outcome is Outcome.FAIL}


def _plies_exchanged(section: LayeredSection) -> LayeredSection:
    """Return an edge whose finish ply lies under the flange and whose base ply over it."""
    swap = {"base-ply": Role.FINISH_PLY, "finish-ply": Role.BASE_PLY}
    bodies = tuple(replace(b, role=swap.get(b.id, b.role)) for b in section.bodies)
    return replace(section, bodies=bodies)


def _walls() -> list[Base]:
    foil, granules = {"flashing": "foil"}, {"flashing": "granule-in-cement"}
    hot, cold = {"adhesion": Method.HOT_ASPHALT}, {"adhesion": Method.COLD_ADHESIVE}
    reglet, surface, coping = (
        {"termination": name} for name in ("reglet", "surface", "coping")
    )
    on_flutes = {"deck": "steel", "insulation": (), "cover_board": IN / 2}
    tall = {"flashing_height": 30 * IN, "reglet_height": 32 * IN}
    return [
        Base("W1", "reglet, foil torched", "wall", {**reglet, **foil}),
        Base("W2", "reglet, granules in cement", "wall", {**reglet, **granules}, hot),
        Base("W3", "surface-mounted, foil torched", "wall", {**surface, **foil}),
        Base("W4", "surface-mounted, granules", "wall", {**surface, **granules}, cold),
        Base("W5", "coping, foil torched", "wall", {**coping, **foil}),
        Base("W6", "coping, granules in cement", "wall", {**coping, **granules}, hot),
        Base("W7", "as W1 on a fluted deck", "wall", {**reglet, **foil}, on_flutes),
        Base("W8", "as W4, 30 in tall", "wall", {**surface, **granules, **tall}, cold),
        Base("W9", "as W3, stud wall", "wall", {**surface, **foil, "wall": "stud"}),
        Base(
            "W10", "as W1, roof falls to it", "wall", {**reglet, **foil, "fall": "toward"}
        ),
        Base(
            "W11",
            "as W1, reglet 11 in high",
            "wall",
            {
                **reglet,
                **foil,
                "flashing_height": 9 * IN,
                "reglet_height": 11 * IN,
                "counterflashing_lap": 4.1 * IN,
            },
            rule_set="sheet-metal-handbook",
            asks={"flashing_height_least": "8 in", "hem_above_cant_least": "0 in"},
            only=frozenset({"low_reglet"}),
        ),
        Base("W12", "as W1", "wall", {**reglet, **foil}, rule_set="canadian-manual"),
        Base(
            "W13",
            "as W5, 17 in tall",
            "wall",
            {**coping, **foil, "wall_height": 17 * IN},
            rule_set="navy-guides",
            only=frozenset({"tall_parapet"}),
        ),
    ]


def _edges() -> list[Base]:
    found: list[Base] = []
    for edge in ("raised", "flush"):
        for cleat in (True, False):
            for strip in (False, True):
                about = edge + (", cleat" if cleat else "") + (", strip" if strip else "")
                values = {"edge": edge, "cleat": cleat, "edge_strip": strip}
                found.append(Base(f"E{len(found) + 1}", about, "roof-edge", values))
    let_in = {"insulation": (), "adhesion": Method.HOT_ASPHALT}
    return [
        *found,
        Base(
            "E9",
            "raised, on a wood deck",
            "roof-edge",
            {},
            {"deck": "wood", "insulation": ()},
        ),
        Base("E10", "raised, roof falls out", "roof-edge", {"fall": "outward"}),
        Base(
            "E11",
            "flush, roof falls out",
            "roof-edge",
            {"edge": "flush", "fall": "outward"},
        ),
        Base("E12", "raised, on a steel deck", "roof-edge", {}, {"deck": "steel"}),
        Base("E13", "raised, nailer let in", "roof-edge", {}, let_in),
        Base(
            "E14",
            "as E1, flange 4 in",
            "roof-edge",
            {"flange": 4 * IN},
            rule_set="copper-handbook",
        ),
        Base(
            "E15",
            "as E1, flange on the finish ply",
            "roof-edge",
            rule_set="us-government-guide",
            only=frozenset({"flange_below_finish_ply"}),
            changed=_plies_exchanged,
        ),
    ]


def _beside(stand: Stand, clear: float) -> Callable[[LayeredSection], LayeredSection]:
    """Return what puts a neighbour beside a section, whose sheets come 7 in out."""
    near = Neighbour("N1", stand, hot=False, clear=clear, reach=7 * IN)
    return lambda section: replace(section, neighbours=(near,))


def _near() -> list[Base]:
    return [
        Base(
            code,
            f"with a {stand.value} near it",
            kind,
            only=frozenset({"crowded_neighbours", "meeting_sheets"}),
            changed=_beside(stand, clear),
        )
        for code, kind, stand, clear in (
            ("N1", "wall", Stand.CURB, 26 * IN),
            ("N2", "roof-edge", Stand.PIPE, 20 * IN),
            ("N3", "wall", Stand.DRAIN, 26 * IN),
        )
    ]


def _points() -> list[Base]:
    return [
        Base(code, about, kind, given, roof, **more)  # type: ignore[arg-type]
        for code, about, kind, given, roof, more in (*POINTS, *CURBS)
    ]


CORNER_RULES = frozenset({
    "bare_corner",
    "off_relief_cut",
    "open_pinhole",
    "panel_off_face",
    "short_corner_lap",
    "short_corner_patch",
    "unprepared_corner",
    "wide_corner_piece",
})


def _corners() -> list[Base]:
    granules = {"flashing": "granule-in-cement"}
    return [
        Base(
            code,
            f"{angle:g} degrees",
            kind,
            {**more, "corner_angle": angle},
            roof,
            only=CORNER_RULES,
        )
        for code, kind, angle, more, roof in (
            ("IC1", "inside-corner", 75.0, {}, {}),
            ("IC2", "inside-corner", 130.0, granules, {"adhesion": Method.HOT_ASPHALT}),
            ("OC1", "outside-corner", 75.0, {}, {}),
            ("OC2", "outside-corner", 130.0, granules, {"adhesion": Method.HOT_ASPHALT}),
        )
    ]


_ALL = (*_walls(), *_edges(), *_near(), *_points(), *_corners())
BASES: Mapping[str, Base] = {b.code: b for b in _ALL}
assert len(BASES) == len(_ALL), "two sections have one code"
"""Every section by its code."""
