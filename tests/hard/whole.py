"""Whether files that were written are whole and hold what their format allows."""

import csv
import io
import json
import re
import zipfile
from collections.abc import Callable, Sequence
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import ezdxf.recover
import pypdf

_NO_NUMBER = re.compile(rb"(?<![A-Za-z])(?:nan|inf|-inf)(?![A-Za-z])")


def some_of_each(names: Sequence[str]) -> list[str]:
    """Return a few of the files of each format: the readers of some are slow."""
    found: dict[str, list[str]] = {}
    for name in names:
        found.setdefault(name.rpartition(".")[2], []).append(name)
    return [name for kind in found.values() for name in (*kind[:2], *kind[-1:])]


def whole(name: str, content: bytes) -> None:
    """Hold a file that was written to its format; of others, that they are text."""
    assert content, name
    try:
        _READERS.get(name.rpartition(".")[2], bytes.decode)(content)
    except Exception as error:
        message = f"{name} is not whole: {error}"
        raise AssertionError(message) from error


def _svg(content: bytes) -> None:
    ET.fromstring(content)  # noqa: S314  (made here)
    for given in re.findall(rb' (?:d|x|y|points|transform|viewBox)="[^"]*"', content):
        assert not _NO_NUMBER.search(given), given


def _json(content: bytes) -> None:
    json.loads(content, parse_constant=refused)


def refused(name: str) -> None:
    """Refuse a number that JSON does not have."""
    message = f"JSON holds {name}"
    raise AssertionError(message)


def _csv(content: bytes) -> None:
    rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))
    assert len({len(row) for row in rows}) == 1
    assert not {cell.strip().lower() for row in rows for cell in row} & {
        "nan",
        "inf",
        "-inf",
    }


def _pdf(content: bytes) -> None:
    assert len(pypdf.PdfReader(io.BytesIO(content), strict=True).pages) > 0


def _dxf(content: bytes) -> None:
    _, audit = ezdxf.recover.read(io.BytesIO(content))
    assert not audit.errors, audit.errors[:3]


def _png(content: bytes) -> None:
    assert content.startswith(b"\x89PNG\r\n\x1a\n")
    assert content.endswith(b"IEND\xaeB`\x82")


def _xlsx(content: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        assert book.testzip() is None
        for part in book.namelist():
            ET.fromstring(book.read(part))  # noqa: S314  (made here)


def _html(content: bytes) -> None:
    HTMLParser().feed(content.decode())
    assert content.rstrip().endswith(b"</html>")


_READERS: dict[str, Callable[[bytes], object]] = {
    "svg": _svg,
    "json": _json,
    "csv": _csv,
    "pdf": _pdf,
    "dxf": _dxf,
    "png": _png,
    "xlsx": _xlsx,
    "html": _html,
}
