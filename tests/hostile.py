"""A job, its office and its prices in which every free text tries to break out of a file.

Each text carries a mark of its own (`Q07Z`), so that a reader can tell where it came out.
"""

import json
from pathlib import Path

PAYLOADS = (
    "=1+1</text><script>hit(1)</script>",
    "@SUM(1,2) {\\fArial|b1;c}\\P%%c ^J \\U+0041",
    "+cmd|' /C x'!A0 ) Tj ET (\\) << /JS (x) >>",
    '-2+3" onload="hit(2)" x=\'',
    "]]> <!-- --> &lt;script&gt; &#0; <img src=x onerror=hit(3)>",
    "../../../evil  0 CIRCLE  8 0 $\\frac{x$ %s {0} ${y}",
)
"""The signs that a format could take for its own; short fields get the beginning."""


class Texts:
    """Hands out hostile texts and remembers them by their marks."""

    def __init__(self) -> None:
        self.given: dict[str, str] = {}
        self.keys: list[str] = []

    def __call__(self, key: str, longest: int) -> str:
        """Return a line `key = "text"` whose text fits into a field."""
        return f"{key} = {self.text(key, longest)}"

    def text(self, key: str, longest: int) -> str:
        """Return a hostile text in quotes; of two or three signs there is no mark."""
        number = len(self.keys)
        self.keys.append(key)
        payload, mark = PAYLOADS[number % len(PAYLOADS)], f"Q{number:02}Z"
        text = payload[:longest] if longest < 6 else payload[: longest - 5] + " " + mark
        self.given[mark] = text
        return json.dumps(text, ensure_ascii=False)


def office(texts: Texts) -> str:
    """Return the settings of an office."""
    lines = ", ".join(texts.text("lines", 40) for _ in range(4))
    return f"""[office]
{texts("name", 60)}
lines = [{lines}]
logo = "logo.svg"
[[note]]
{texts("title", 60)}
{texts("text", 200)}
"""


LOGO = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 10">
<title>=1+1 &lt;script&gt;hit(4)&lt;/script&gt;</title><desc>) Tj (</desc>
<path d="M0 0H20V10H0Z" fill="#204060" id="x&quot; onload=&quot;hit(5)"/></svg>
"""
PRICES = """item,price,per,hours,waste,holds
base-ply-glass-smooth,92.00,roll,0.9,,
"""


def job(texts: Texts) -> str:
    """Return a parameter file: a wall with an accepted fault, an edge, a free section."""
    return f"""[project]
office = "office.toml"
{texts("name", 80)}
{texts("number", 24)}
{texts("location", 80)}
{texts("drawn_by", 24)}
{texts("checked_by", 24)}
{texts("date", 16)}
{texts("revision", 4)}
[[rule]]
rule = "flashing_height_least"
value = "7 in"
{texts("reason", 160)}
[[material]]
material = "base-ply-glass-smooth"
thickness = "3.0 mm"
{texts("name", 80)}
{texts("reason", 160)}
[[revision]]
{texts("mark", 4)}
{texts("date", 16)}
{texts("by", 24)}
{texts("text", 160)}
[[alternate]]
{texts("name", 40)}
{texts("about", 160)}
condition.W1.flashing_height = "11 in"
[[run]]
of = "W1"
low = "3 ft"
[[condition]]
id = "W1"
kind = "wall"
{texts("title", 60)}
length = "30 ft"
strip_in_out = "1 in"
[[condition.accept]]
rule = "short_strip_in_at_toe"
{texts("reason", 160)}
{texts("by", 60)}
[[condition]]
id = "E1"
kind = "roof-edge"
{texts("title", 60)}
length = "20 ft"
[[condition]]
id = "F1"
kind = "free-section"
{texts("title", 60)}
length = "10 ft"
notes = [{texts.text("notes", 80)}]
[[condition.body]]
id = "deck"
role = "deck"
material = "deck-concrete"
{texts("name", 80)}
points = [["-10 in", "-4 in"], ["0 in", "-4 in"], ["0 in", "0 in"], ["-10 in", "0 in"]]
[[condition.surface]]
at = ["-10 in", "0 in"]
[[condition.surface]]
at = ["0 in", "0 in"]
on = "deck"
[[condition.point]]
name = "mid.deck"
at = ["-5 in", "0 in"]
[[condition.layer]]
id = "ply"
lay = "sheet"
stage = 1
role = "base ply"
material = "base-ply-glass-smooth"
{texts("name", 80)}
{texts("sticks", 60)}
start = "start"
end = "mid.deck"
[[condition.stage]]
{texts("name", 40)}
{texts("text", 300)}
[[condition.gauge]]
start = "ply.start"
end = "mid.deck"
axis = "horizontal"
{texts("label", 24)}
"""


def written(folder: Path) -> Texts:
    """Write job, office, logo and prices into a folder; return the texts in them."""
    texts = Texts()
    (folder / "job.toml").write_text(job(texts), encoding="utf-8")
    (folder / "office.toml").write_text(office(texts), encoding="utf-8")
    (folder / "logo.svg").write_text(LOGO, encoding="utf-8")
    (folder / "prices.csv").write_text(PRICES, encoding="utf-8")
    old = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "old.toml").write_text(
        old.replace('length = "30 ft"', 'length = "30 ft"\nflashing_height = "9 in"'),
        encoding="utf-8",
    )
    return texts
