"""Inputs that once went wrong, and extremes that chance seldom makes."""

from tests.hard.given import OUT, ROOT, Given
from tests.hard.inputs import OFFICE, OFFICE_JOB
from tests.hard.jobs import SMALL
from tests.hard.logos import LOGO

_NO_LAP = b"""[project]
name = "Trial"
[[condition]]
id = "D1"
kind = "outside-corner"
[[rule]]
rule = "corner_patch_lap_least"
value = "0 in"
reason = "Asked by the owner"
"""
_SLEEPER = b"""[project]
name = "Trial"
units = "millimetres"
[roof]
deck = "steel"
[[condition]]
id = "D1"
kind = "equipment-sleeper"
"""
_SMALL_BEAD = _SLEEPER.replace(b"equipment-sleeper", b"vent-sleeve") + b'bead = "1/8 in"\n'
_DRAINS = (ROOT / "samples" / "tide-mill-drains.toml").read_bytes()
_COUNTED = SMALL.replace(b'length = "9 ft"', b"count = 2")
_CHECK = ["check", "job.toml"]
_PIECES = (ROOT / "catalog" / "pieces.toml").read_bytes()
_FREE = (ROOT / "samples" / "free-wall.toml").read_bytes()
_LAYER = b"[[condition.layer]]" + _FREE.split(b"[[condition.layer]]")[1].split(b"\n[[")[0]


def _job(text: bytes, *words: str) -> Given:
    return Given({"job.toml": text}, list(words) or _CHECK)


def _ruled(kind: str, rule: str, value: str) -> Given:
    """Return a condition with a value of its own for a rule."""
    text = _SLEEPER.replace(b"equipment-sleeper", kind.encode())
    told = f'[[rule]]\nrule = "{rule}"\nvalue = "{value}"\nreason = "Asked by the owner"\n'
    return _job(text + told.encode())


def _line(*words: str) -> Given:
    return Given({"job.toml": SMALL}, list(words), spoilt="--")


def _with_logo(logo: bytes) -> Given:
    files = {"job.toml": OFFICE_JOB, "office.toml": OFFICE, "logo.svg": logo}
    words = ["draw", "job.toml", "--fresh", "--format", "dxf", "--out", OUT]
    return Given(files, words, spoilt="logo.svg")


def _with_catalog(name: str, text: bytes) -> Given:
    return Given({"job.toml": SMALL, name: text}, _CHECK, catalog=name, spoilt=name)


def _keyed(line: bytes) -> Given:
    return _job(SMALL.replace(b'length = "9 ft"', line))


def _rowed(value: bytes) -> Given:
    text = _NO_LAP.replace(b"outside-corner", b"wall").replace(b"0 in", value)
    return _job(text.replace(b"corner_patch_lap_least", b"intermediate_row_above"))


FOUND = {
    "a sump that a rule makes too narrow": (
        _job(
            _NO_LAP
            .replace(b"outside-corner", b"deep-drain")
            .replace(b"corner_patch_lap_least", b"sump_width_least")
            .replace(b"0 in", b"8 in")
        ),
        {2},
    ),
    "no cement beside a drain": (
        _job(
            _NO_LAP.replace(b"outside-corner", b"deep-drain").replace(
                b"corner_patch_lap_least", b"drain_base_cement_least"
            )
        ),
        {2},
    ),
    "rows of fasteners without a distance": (_rowed(b"0 in"), {2}),
    "rows of fasteners all but without one": (_rowed(b"0.1 mm"), {2}),
    "rows of fasteners as near as can be": (_rowed(b"2 in"), {0, 1}),
    "no lap of a patch is asked": (_job(_NO_LAP), {0, 1}),
    "more that has changed than a column can hold": (
        Given(
            {
                "job.toml": _DRAINS,
                "new.toml": _SLEEPER,
            },
            ["compare", "job.toml", "new.toml", "--format", "svg", "--out", OUT],
        ),
        {0, 1},
    ),
    "nothing to lay out": (_job(_COUNTED, "pieces", "job.toml", "--out", OUT), {0}),
    "a name too long to start a file": (_line("start", "wall", "x" * 5000), {2}),
    "a name that turns text round": (_line("start", "wall", "a\u2066b"), {0}),
    "points of a logo that all but meet": (
        _with_logo(LOGO.replace(b'cy="10"', b'cy="-1"')),
        {0},
    ),
    "a logo of far too many outlines": (
        _with_logo(LOGO.replace(b"M0 0", b"M0 0 h1 v1 z " * 3000 + b"M0 0")),
        {2},
    ),
    "a logo that is all but a line": (_with_logo(LOGO.replace(b"20", b"1e-300")), {2}),
    "an office that is not there": (_job(OFFICE_JOB), {2}),
    "data that go too deep": (
        _with_catalog("catalog/pieces.toml", b"a = " + b"[" * 9000),
        {2},
    ),
    "data with a long number": (
        _with_catalog("catalog/pieces.toml", _PIECES + b"\n[x]\ny = " + b"9" * 5000),
        {2},
    ),
    "data of which a row is missing": (
        _with_catalog("catalog/pieces.toml", _PIECES.partition(b"[end_lap_offset]")[0]),
        {2},
    ),
    "data with a mark at their beginning": (
        _with_catalog("catalog/pieces.toml", b"\xef\xbb\xbf" + _PIECES),
        {0},
    ),
    "lists that go too deep": (_keyed(b"length = " + b"[" * 9000 + b"]" * 9000), {2}),
    "a number too long to read": (_keyed(b"count = " + b"9" * 9000), {2}),
    "a key of too many parts": (_keyed(b"a." * 4000 + b"b = 1"), {2}),
    "a lone surrogate": (_keyed(b'title = "\\ud800"'), {2}),
    "a lone surrogate in bytes": (_keyed(b'title = "\xed\xa0\x80"'), {2}),
    "text from the right": (_keyed('title = "\u05e9\u05dc\u05d5\u05dd"'.encode()), {2}),
    "text of a megabyte": (_keyed(b'title = "' + b"x" * 1_000_000 + b'"'), {2}),
    "more than a megabyte": (_job(SMALL + b"# " + b"x" * 1_100_000), {2}),
    "no number": (_keyed(b"count = nan"), {2}),
    "endless": (_keyed(b"count = -inf"), {2}),
    "100 m of a height": (_keyed(b'flashing_height = "100 m"'), {2}),
    "0.1 mm of a height": (_keyed(b'flashing_height = "0.1 mm"'), {2}),
    "an end lap as long as a roll": (
        _ruled("equipment-sleeper", "end_lap_least", "10 m"),
        {2},
    ),
    "no side lap": (_ruled("vent-sleeve", "side_lap_least", "0 in"), {2}),
    "no cant": (_ruled("expansion-joint", "cant_height_least", "0 in"), {2}),
    "no flange": (_ruled("penetration-pocket", "flange_width_least", "0 in"), {2}),
    "a long word for a count": (
        _ruled("wall", "sheets_at_hold_point", "x" * 3000),
        {2},
    ),
    "a bead that can stray to nothing": (
        _job(_SMALL_BEAD, "teach", "job.toml", "--part", "checklist", "--out", OUT),
        {0},
    ),
    "a corner of 179 degrees": (
        _job(_NO_LAP.replace(b"[[rule]]", b"corner_angle = 179\n[[rule]]")),
        {2},
    ),
    "thousands of layers": (
        _job(_FREE + _LAYER * 3000),
        {2},
    ),
    "thousands of conditions": (
        _job(SMALL + b'[[condition]]\nid = "W"\nkind = "wall"\n' * 3000),
        {2},
    ),
}
"""By what they are, with the exit codes that they may have."""
