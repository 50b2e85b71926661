"""Logos that nobody should draw."""

from random import Random

from tests.hard.spoiling import spoilt_bytes
from tests.hard.values import TEXTS


def spoilt_logo(by: Random) -> bytes:
    """Return a spoilt SVG file."""
    way = by.randrange(5)
    if way == 0:
        return spoilt_bytes(LOGO, by)
    numbers = [b"0", b"-1", b"nan", b"inf", b"1e400", b"1e-300", b"", b"9" * 400, b"1e308"]
    text = LOGO
    for old in by.sample([b"40", b"20", b"10", b"4", b"5"], by.choice([1, 2])):
        text = text.replace(old, by.choice(numbers), by.choice([1, 9]))
    if way == 1:
        return text.replace(b"<circle", by.choice(_ELEMENTS) + b"<circle", 1)
    if way == 2:
        return LOGO.replace(b"M0 0", by.choice(_PATHS) + b"M0 0", 1)
    if way == 3:
        return LOGO.replace(b"#c03020", by.choice(TEXTS).encode(errors="replace"), 1)
    return text


_ELEMENTS = (
    b"<g>" * 4000,
    b"<script>x</script>",
    b"<rect/>",
    b"<rect width='4'/>",
    b"<!-- x -->",
    b"<?x y?>",
    b"<ellipse rx='1' ry='-1'/>",
    b"<polygon points='1'/>",
    b"<polygon points=''/>",
    b"<a xmlns='urn:x'/>",
    b"<polygon points='0,0 1,1 nan,2'/>",
    b"<path/>",
    b"<path d=''/>",
    b"<rect x='a' width='1' height='1'/>",
    b"<circle r='1%'/>",
    b"<rect width='1' height='1' rx='9' ry='-9'/>",
    b"<title>&#x202e;</title>",
)
_PATHS = (
    b"",
    b"L1 1 ",
    b"M1",
    b"m ",
    b"Z",
    b"M0 0 C1 1 ",
    b"M0 0 A1 1 0 0 0 2 2 ",
    b"M0 0 A0 0 0 2 3 2 2 ",
    b"M0 0" + b" l1 1" * 30_000,
    b"M0 0 Q" + b"1 1 " * 50,
    b"M0 0 T1 1 S 2 2 3 3 ",
    b"M1e308 1e308 L-1e308 0 ",
    b"M0 0 h1 v1 z " * 3000,
    b"q",
    b"M\xd9\xa1 1 L 2 2 0 0 z ",
    b"M0,0,,1 ",
    b"M0 0 L 1 ",
)


LOGO = b"""<svg xmlns="http://www.w3.org/2000/svg">
<path fill="#1b4f8f" d="M0 0 h40 v20 h-40 z M10 5 h20 v10 h-20 z"/>
<circle fill="#c03020" cx="20" cy="10" r="4"/></svg>"""
