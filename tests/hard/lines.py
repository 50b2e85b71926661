"""Odd words on the command line, with a sound job."""

from collections.abc import Callable
from random import Random

from tests.hard.given import OUT, Given
from tests.hard.jobs import FULL, SMALL
from tests.hard.values import TEXTS


def line_input(by: Random) -> Given:
    """Return a sound job with odd words on the command line."""
    make: Callable[[Random], list[str]] = by.choice(_LINES)
    words = [word.replace("\0", "0") for word in make(by)]
    files = {"job.toml": SMALL if by.random() < 0.5 else FULL}
    return Given(files, words, spoilt="--")


_RANGES = (
    "flashing_height: 6 in to 14 in by 4 in",
    "roof.slope: 0 % to 3 % by 1 %",
    "termination: reglet, coping",
    "flashing_height: 8 in, 200 mm",
)


def _sweep(by: Random) -> list[str]:
    names = [
        "flashing_height",
        "roof.slope",
        "top",
        "cant",
        "title",
        "length",
        "count",
        *TEXTS,
    ]
    values = [
        "0 in",
        "1 mm",
        "8 in",
        "14 in",
        "100 m",
        "1e9 in",
        "nan",
        "-1",
        "0",
        "true",
        *TEXTS,
    ]

    def over() -> str:
        if by.random() < 0.3:
            return by.choice(_RANGES)
        a, b, c = by.choices(values, k=3)
        ranged = f"{a} to {b} by {c}" if by.random() < 0.6 else f"{a}, {b}, {c}"
        return by.choice([f"{by.choice(names)}: {ranged}", by.choice(TEXTS), ranged])

    some = [w for _ in range(by.choice([0, 1, 1, 2, 3])) for w in ("--over", over())]
    mark = by.choice(["W1"] * 90 + [*TEXTS])
    return ["sweep", "job.toml", "--detail", mark, *some, *by.choice([[], ["--out", OUT]])]


def _with(by: Random) -> list[str]:
    keys = [
        "adhesion",
        "roof.slope",
        "W1.flashing_height",
        "wall.top",
        "rules",
        "without",
        "x",
    ]

    def one() -> str:
        value = by.choice([
            "cold",
            "9 in",
            "W1",
            "navy-guides",
            "a+b",
            "[1]",
            "{a=1}",
            *TEXTS,
        ])
        return f"{by.choice(keys)}{by.choice(['=', '=', '', '=='])}{value}"

    asked = [",".join(one() for _ in range(by.choice([1, 1, 2]))) for _ in range(2)]
    return ["alternates", "job.toml", *(w for text in asked for w in ("--with", text))]


def _named(by: Random) -> list[str]:
    text = by.choice(TEXTS)
    ways = [
        [
            "mend",
            "job.toml",
            "--keep",
            by.choice([text, f"W1.{text}", f"roof.{text}", "W1", "roof"]),
        ],
        ["patterns", "job.toml", "--detail", by.choice([text, "W1"]), "--out", OUT],
        ["patterns", "job.toml", "--detail", "K1", "--piece", text, "--out", OUT],
        ["patterns", "job.toml", "--detail", "W1", "--paper", text, "--out", OUT],
        [
            "faults",
            "job.toml",
            "--faults",
            by.choice([text, "1..3", "3..1", "2.."]),
            "--out",
            OUT,
        ],
        ["faults", "job.toml", "--condition", by.choice([text, "W1"]), "--out", OUT],
        ["teach", "job.toml", "--paper", text, "--out", OUT],
        [
            "teach",
            "job.toml",
            "--seed",
            by.choice(["0", "9" * 30, "-1", "x"]),
            "--out",
            OUT,
        ],
        ["rules", text],
        ["rules", "--set", text],
        ["kinds", text],
        ["start", text],
        ["rules", "--json", text],
        ["start", "wall", by.choice(["job.toml", "no/x.toml", text])],
        ["check", by.choice([text, ".", "/dev/null", "no.toml"])],
        [
            "draw",
            "job.toml",
            "--fresh",
            "--format",
            "svg",
            "--out",
            by.choice(["job.toml", "job.toml/x", "/proc/x"]),
        ],
        ["takeoff", "job.toml", "--prices", by.choice([text, ".", "job.toml"])],
    ]
    return by.choice(ways)


_LINES = (_sweep, _with, _named, _named)
