"""The page as a whole: head, list of details, one article for each, style and script.

The page allows itself nothing but its own style and script, by their hashes: no network,
and nothing that a text could bring in would run.
"""

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Final

from detailgen.browse._drawing import FACTOR, drawing, patterns_used
from detailgen.browse._markup import hatch_fills, lines, tag, text
from detailgen.browse._words import (
    before_told,
    findings_told,
    finished_told,
    parts_told,
    stage_told,
)
from detailgen.checks import due
from detailgen.finding import Outcome
from detailgen.lessons import steps_of
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import fault_letters
from detailgen.units import UnitSystem

_FOLDER: Final = Path(__file__).parent
_UNITS: Final = {UnitSystem.FEET_INCHES: "in", UnitSystem.MILLIMETRES: "mm"}


@dataclass(frozen=True, slots=True)
class Detail:
    """One condition on the page."""

    request: SheetRequest
    summary: str
    """How many rules hold and how many fail."""
    about: str
    """What kind of condition it is."""


def page(name: str, details: Sequence[Detail], units: UnitSystem) -> bytes:
    """Return the page of a job.

    Args:
        name: Of the job.
        details: Its conditions.
        units: Which of both it shows at first.
    """
    style = (_FOLDER / "look.css").read_text(encoding="utf-8")
    script = (_FOLDER / "look.js").read_text(encoding="utf-8")
    policy = (
        f"default-src 'none'; style-src '{_hash(style)}'; script-src '{_hash(script)}'; "
        "base-uri 'none'; form-action 'none'"
    )
    title = name or "Details"
    body = lines([
        tag("a", "To the detail", class_="skip", href="#details"),
        _defs(details),
        tag("header", tag("h1", text(title)) + _controls(_UNITS[units])),
        tag("nav", _listed(details), aria_label="Details"),
        tag(
            "main",
            lines(_article(n, detail) for n, detail in enumerate(details)),
            id="details",
            tabindex="-1",
        ),
        f"<script>{script}</script>",
    ])
    head = lines([
        '<meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<meta name="color-scheme" content="light dark">',
        tag("title", text(title)),
        f"<style>{style}</style>",
    ])
    whole = tag("body", body, data_units=_UNITS[units], data_ink="colour")
    html = tag("html", f"<head>\n{head}\n</head>\n{whole}\n", lang="en")
    return f"<!DOCTYPE html>\n{html}\n".encode()


def _hash(content: str) -> str:
    return f"sha256-{b64encode(sha256(content.encode()).digest()).decode()}"


def _defs(details: Sequence[Detail]) -> str:
    """Return the hatch patterns, once for all drawings."""
    requests = [d.request for d in details]
    if not requests:
        return ""
    table = requests[0].catalog.drafting.patterns
    fills = "".join(hatch_fills(table[n], FACTOR) for n in patterns_used(requests))
    inner = tag("defs", fills)
    return tag("svg", inner, class_="defs", aria_hidden="true", width="0", height="0")


def _controls(units: str) -> str:
    """Return the switches of the page."""

    def choice(group: str, value: str, told: str, on: str) -> str:
        checked = " checked" if value == on else ""
        button = f'<input type="radio" name="{group}" value="{value}"{checked}>'
        return tag("label", f"{button} {told}")

    return tag(
        "div",
        lines([
            "<fieldset><legend>Units</legend>"
            + choice("units", "in", "feet and inches", units)
            + choice("units", "mm", "millimetres", units)
            + "</fieldset>",
            "<fieldset><legend>Ink</legend>"
            + choice("ink", "colour", "colour", "colour")
            + choice("ink", "bw", "black and white", "colour")
            + "</fieldset>",
            tag("button", "Print this detail", type="button", id="print-one"),
            tag("button", "Print all", type="button", id="print-all"),
        ]),
        class_="controls",
    )


def _listed(details: Sequence[Detail]) -> str:
    rows: list[str] = []
    for number, detail in enumerate(details):
        request = detail.request
        fails = any(f.outcome is Outcome.FAIL for f in request.findings)
        told = (
            f"{tag('b', text(request.mark))} {tag('span', text(request.title))}"
            f"{tag('small', text(detail.summary))}"
        )
        state = "fails" if fails else "holds"
        rows.append(tag("li", tag("a", told, href=f"#d{number}"), class_=state))
    return tag("ul", lines(rows))


def _article(number: int, detail: Detail) -> str:
    """Return one condition: drawing, slider, stages, parts, findings."""
    request, key = detail.request, f"d{number}"
    steps = steps_of(request.section, request.findings, request.catalog)
    marks = fault_letters(request, FACTOR)
    last = len(steps)
    slider = (
        f'<label for="{key}-stage">Stage</label>'
        f'<input type="range" id="{key}-stage" class="slider" min="0" max="{last + 1}" '
        f'value="{last + 1}" step="1">'
    )
    steer = lines([
        tag("button", "Back", type="button", class_="back"),
        slider,
        tag("button", "Next", type="button", class_="next"),
        tag("output", "", class_="where", for_=f"{key}-stage"),
    ])
    shown = drawing(request, marks, due(request.section))
    told = [
        tag("section", before_told(request), class_="stage", data_s="0"),
        *(stage_told(step, last) for step in steps),
        tag(
            "section",
            finished_told(request, detail.summary),
            class_="stage",
            data_s=str(last + 1),
        ),
    ]
    legend = tag(
        "p",
        "<span class='stuck'>stuck down</span> <span class='dry'>laid dry</span> "
        "<span class='bed'>in cement</span> <span class='coat'>primer</span>",
        class_="key",
    )
    picture = tag(
        "figure",
        f"{shown}{tag('figcaption', legend)}"
        + tag(
            "div", "Point at a part, or choose it below.", class_="reader", role="status"
        ),
    )
    return tag(
        "article",
        lines([
            tag("h2", text(f"{request.mark} {request.title}"), id=f"{key}-title"),
            tag("p", text(f"{detail.about}. {detail.summary}."), class_="state"),
            tag("div", steer, class_="steer"),
            tag(
                "div",
                picture + tag("div", lines(told), class_="stages"),
                class_="side-by-side",
            ),
            tag("div", tag("h3", "Parts") + parts_told(request, f"{key}-p"), class_="box"),
            tag("div", tag("h3", "Rules") + findings_told(request, marks), class_="box"),
        ]),
        id=key,
        aria_labelledby=f"{key}-title",
        data_last=str(last + 1),
    )
