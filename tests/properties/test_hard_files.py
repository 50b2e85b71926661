"""Spoilt and extreme files through the command line: a result or a clear message.

A few here; 20,000 with `--all-sets`. Never a traceback, a hang, or a file half-written.
"""

import random
import re
import signal
from collections.abc import Generator
from contextlib import contextmanager
from pathlib import Path

import pytest
from typer.testing import CliRunner

from detailgen.cli import app

FEW, ALL = 60, 20_000
LONGEST = 60
"""Seconds for one file; the slowest seen took nine on a busy machine."""
SAMPLES = [
    content
    for path in sorted((Path(__file__).parents[2] / "samples").glob("*.toml"))
    if len(content := path.read_bytes()) < 4000
]
VALUES = [
    b"nan", b"inf", b"-inf", b"-0.0", b"1e400", b"9" * 40, b"9" * 5000, b"179", b"true",
    b"1979-05-27", b"07:32:00", b"[[]]", b"{a = 1}", b"[" * 400 + b"]" * 400, b'""',
    b'"0.1 mm"', b'"100 m"', b'"179 deg"', b'"0 in"', b'"-0 in"', b'"1e9 mm"', b'"1/0 in"',
    b'"\\u202e in"', b'"\\u0000"', b'"\\ud800"', b'"=1+1"', b'"<script>"', b'"../../x"',
    b'"' + b"x" * 5000 + b'"', b'"\xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d"', b'"\xef\xbc\x91 mm"',
]  # fmt: skip
PRICES = b"""currency = "CAD"
[[price]]
item = "base-ply-glass-smooth"
price = 100
per = "roll"
"""
PRICE_TABLE = b"item,price,per\nbase-ply-glass-smooth,100,roll\n"
JOB = (
    b'[project]\nname = "Trial"\n[[condition]]\nid = "W1"\nkind = "wall"\nlength = "9 ft"\n'
)


def spoilt_bytes(text: bytes, by: random.Random) -> bytes:
    """Return a text with bytes changed, cut out or put in another coding."""
    way = by.randrange(4)
    if way == 0:
        changed = bytearray(text)
        for _ in range(by.choice([1, 3, 20])):
            changed[by.randrange(len(changed))] = by.randrange(256)
        return bytes(changed)
    if way == 1:
        cut = by.randrange(len(text))
        return text[:cut] + text[cut + by.randrange(80) :]
    if way == 2:
        return text.replace(b"\n", by.choice([b"\r", b"\r\n", b"\0", b"\xe2\x80\xa8"]))
    decoded = text.decode()
    return by.choice([b"\xef\xbb\xbf" + text, decoded.encode("utf-16"), b"\0" + text, b""])


def spoilt_values(text: bytes, by: random.Random) -> bytes:
    """Return a TOML text with values of some keys changed, swapped or made extreme."""
    lines = text.split(b"\n")
    keys = [n for n, line in enumerate(lines) if b"=" in line and line[:1] != b"#"]
    for _ in range(by.choice([1, 1, 2, 4]) if keys else 0):
        at = by.choice(keys)
        key = lines[at].split(b"=")[0]
        way = by.randrange(4)
        if way == 0:
            lines[at] = key + b"= " + by.choice(VALUES)
        elif way == 1:
            other = str(by.choice([0, 0.1, 1, 2.5, 7, 30, 179, 400, 99999])).encode()
            lines[at] = re.sub(rb"\d+(?:\.\d+)?", other, lines[at], count=1)
        elif way == 2:
            lines[at] = lines[by.choice(keys)]
        else:
            lines[at] = b"x" + lines[at]
    if by.random() < 0.02:
        lines *= 200
    return b"\n".join(lines)


@contextmanager
def in_time() -> Generator[None]:
    def slow(*_: object) -> None:
        pytest.fail("takes too long")

    before = signal.signal(signal.SIGALRM, slow)
    signal.alarm(LONGEST)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def told(spoilt: bytes, *arguments: str) -> int:
    """Run a command and return its exit code, after looking at what it said."""
    with in_time():
        result = CliRunner().invoke(app, arguments)
    assert result.exit_code in (0, 1, 2), (spoilt, result.output)
    assert "Traceback" not in result.output
    if result.exit_code == 2:
        assert "nothing was written" in result.stderr, spoilt
    return result.exit_code


def count_of(pytestconfig: pytest.Config) -> int:
    return ALL if pytestconfig.getoption("all_sets") else FEW


def test_spoilt_parameter_files(tmp_path: Path, pytestconfig: pytest.Config) -> None:
    by, codes = random.Random(20), {0: 0, 1: 0, 2: 0}
    file, out = tmp_path / "job.toml", tmp_path / "out"
    for number in range(count_of(pytestconfig)):
        change = by.choice([spoilt_bytes, spoilt_values, spoilt_values])
        spoilt = change(by.choice(SAMPLES), by)
        file.write_bytes(spoilt)
        code = told(spoilt, "check", str(file))
        codes[code] += 1
        if number % 20 == 0:
            given = ["draw", str(file), "--fresh", "--format", "svg", "--out", str(out)]
            drawn = told(spoilt, *given)
            assert (drawn == 2) == (code == 2)
            if drawn == 2:
                assert not out.exists()
        if out.exists():
            for path in sorted(out.rglob("*"), reverse=True):
                path.rmdir() if path.is_dir() else path.unlink()
            out.rmdir()
    assert min(codes[0] + codes[1], codes[2]) > 0


@pytest.mark.parametrize(
    ("name", "text"), [("p.toml", PRICES), ("p.csv", PRICE_TABLE)], ids=["toml", "csv"]
)
def test_spoilt_price_lists(
    tmp_path: Path, pytestconfig: pytest.Config, name: str, text: bytes
) -> None:
    by = random.Random(30)
    job, file, out = tmp_path / "job.toml", tmp_path / name, tmp_path / "out"
    job.write_bytes(JOB)
    file.write_bytes(text)
    assert told(text, "takeoff", str(job), "--prices", str(file)) == 0
    for _ in range(count_of(pytestconfig) // 6):
        spoilt = by.choice([spoilt_bytes, spoilt_values])(text, by)
        if name.endswith("csv") and by.random() < 0.5:
            spoilt = text.replace(b"100", by.choice(VALUES))
        file.write_bytes(spoilt)
        told(spoilt, "takeoff", str(job), "--prices", str(file))
    file.write_bytes(b"\0")
    given = ["takeoff", str(job), "--prices", str(file), "--out", str(out)]
    assert told(b"\0", *given) == 2
    assert not out.exists()
