"""Inputs of every sort: spoilt and extreme files, odd words on the command line."""

from collections.abc import Callable
from random import Random

from tests.hard import spoiling
from tests.hard.given import OUT, ROOT, Given, catalog_files
from tests.hard.jobs import FULL, SMALL, job_text, samples
from tests.hard.lines import line_input
from tests.hard.logos import LOGO, spoilt_logo
from tests.hard.tomls import toml
from tests.hard.values import TEXTS

_ON_JOBS: tuple[tuple[int, list[str]], ...] = (
    (60, ["check"]),
    (3, ["check", "--stages"]),
    (4, ["check", "--json"]),
    (6, ["draw", "--fresh", "--format", "svg", "--out", OUT]),
    (2, ["draw", "--fresh", "--out", OUT]),
    (1, ["draw", "--fresh", "--format", "png", "--water", "--out", OUT]),
    (5, ["takeoff"]),
    (4, ["takeoff", "--json"]),
    (6, ["takeoff", "--out", OUT]),
    (4, ["pieces"]),
    (4, ["pieces", "--json", "--out", OUT]),
    (5, ["water"]),
    (2, ["water", "--json"]),
    (5, ["alternates", "--out", OUT]),
    (3, ["alternates", "--json"]),
    (1, ["package", "--out", OUT]),
    (1, ["teach", "--out", OUT]),
    (1, ["faults", "--papers", "2", "--out", OUT]),
    (2, ["mend"]),
    (1, ["mend", "--json", "--write", "mended.toml"]),
    (1, ["margins"]),
)


def job_input(by: Random) -> Given:
    """Return a spoilt parameter file with any command on jobs."""
    weights, wordings = zip(*_ON_JOBS, strict=True)
    name, *more = by.choices(wordings, weights)[0]
    given = Given({"job.toml": job_text(by)}, [name, "job.toml", *more])
    if by.random() < 0.04:
        other = by.choice(list(samples().values()))
        files = ["job.toml", "other.toml"]
        by.shuffle(files)
        given.files["other.toml"] = other
        given.words = ["compare", *files, *by.choice([[], ["--json"], ["--out", OUT]])]
    return given


def price_input(by: Random) -> Given:
    """Return a spoilt price list, in TOML or CSV."""
    if by.random() < 0.6:
        name, text = "prices.toml", by.choice(spoiling.SPOILING)(PRICES, by)
    else:
        change = by.choice([spoiling.spoilt_bytes, *[spoiling.spoilt_cells] * 3])
        name, text = "prices.csv", change(PRICE_TABLE, by)
    files = {"job.toml": SMALL, name: text}
    more = by.choice([[], ["--json"], ["--out", OUT]])
    return Given(files, ["takeoff", "job.toml", "--prices", name, *more], spoilt=name)


def office_input(by: Random) -> Given:
    """Return a job with spoilt settings of its office, or a spoilt logo."""
    files = {"job.toml": OFFICE_JOB, "office.toml": OFFICE, "logo.svg": LOGO}
    way = by.random()
    spoilt = "office.toml" if way < 0.6 else "logo.svg"
    if spoilt == "office.toml":
        files[spoilt] = by.choice(spoiling.SPOILING)(OFFICE, by)
    else:
        files[spoilt] = spoilt_logo(by)
    if by.random() < 0.06:
        name = by.choice([
            *TEXTS,
            "none.toml",
            "job.toml",
            "logo.svg",
            ".",
            "x/../office.toml",
        ])
        values = {"project": {"name": "x", "office": name}}
        files["job.toml"] = (
            toml(values).encode() + b'[[condition]]\nid="S1"\nkind="stack"\n'
        )
        spoilt = "job.toml"
    draw = ["draw", "job.toml", "--fresh", "--out", OUT, "--format"]
    words = by.choice(
        [["check", "job.toml"]] * 3 + [[*draw, by.choice(["svg", "pdf", "dxf"])]]
    )
    return Given(files, words, spoilt=spoilt)


def catalog_input(by: Random) -> Given:
    """Return a sound job, checked with a catalogue of which one file is spoilt."""
    file = by.choice(catalog_files())
    text = by.choice(spoiling.SPOILING)(file.read_bytes(), by)
    name = f"catalog/{file.relative_to(ROOT / 'catalog')}"
    more = ["--fresh", "--format", "svg", "--out", OUT]
    words = by.choice([
        ["check"],
        ["check"],
        ["takeoff"],
        ["pieces"],
        ["water"],
        ["draw", *more],
    ])
    job = by.choice([SMALL, SMALL, FULL])
    words = [words[0], "job.toml", *words[1:]]
    return Given({"job.toml": job, name: text}, words, catalog=name, spoilt=name)


INPUTS: tuple[tuple[int, Callable[[Random], Given]], ...] = (
    (55, job_input),
    (13, price_input),
    (10, office_input),
    (9, line_input),
    (13, catalog_input),
)


def random_input(by: Random) -> Given:
    """Return an input of any sort."""
    weights, makers = zip(*INPUTS, strict=True)
    return by.choices(makers, weights)[0](by)


PRICES = b"""currency = "CAD"
hour = 60
[[price]]
item = "base-ply-glass-smooth"
price = 100
per = "roll"
hours = 0.9
waste = 0.08
[[price]]
item = "finish-ply-glass-granule"
price = 118.5
holds = 8
"""
PRICE_TABLE = b"""item,price,per,hours,waste,holds
base-ply-glass-smooth,92.00,roll,0.9,,
finish-ply-glass-granule,118.00,roll,0.9,0.08,
lead-4,6.10,sq ft,,,
"""
OFFICE_JOB = b"""[project]
name = "Shed"
office = "office.toml"
[[condition]]
id = "S1"
kind = "stack"
"""
OFFICE = b"""[office]
name = "Quay"
lines = ["1 Rope Walk", "Port"]
logo = "logo.svg"
own_notes_only = false
[[note]]
title = "Ask:"
text = "Ask before you cut."
[[note]]
title = "Flame:"
text = "Only with a flame."
when = ["torch"]
[layers]
sheet = "OFF-SHEET"
metal = "OFF-METAL"
"""
