"""The settings of an office: title-block texts, logo, standard notes, names of layers."""

import re
from dataclasses import replace
from pathlib import Path
from typing import Any, Final, cast

from pydantic import Field

from detailgen.catalog import CIRCUMSTANCES, COMMON_PRACTICE, Catalog, Printed
from detailgen.errors import Problem, UserError, printable
from detailgen.loader._complaints import Complaints, suggestion
from detailgen.loader._file import read_document
from detailgen.loader._texts import check_texts
from detailgen.loader._validate import validated
from detailgen.office import Office
from detailgen.parameters import Model

TABLES: Final = ("office", "note", "layers")
MOST_NOTES: Final = 40
_ALWAYS: Final = ("always",)
LAYER: Final = r"[A-Za-z][A-Za-z0-9_-]{0,59}"
"""What every reader of DXF takes as the name of a layer."""
_RESERVED: Final = frozenset({"0", "defpoints"})


class OfficeTable(Model, frozen=True):
    """Who answers for the sheets."""

    name: str = Field(
        "",
        max_length=60,
        description="Name of the office: the legal owner.",
        examples=["Quay Roofing Details"],
    )
    lines: tuple[str, ...] = Field(
        (),
        max_length=4,
        description="Address and the like, line by line.",
        json_schema_extra={
            "quantity": "texts",
            "allowed_text": "a list of up to 4 texts",
        },
    )
    logo: str = Field(
        "",
        max_length=200,
        description="SVG file of filled shapes, beside this file.",
        examples=["logo.svg"],
    )
    own_notes_only: bool = Field(
        False, description="Leave out the general notes that the program has."
    )


class NoteTable(Model, frozen=True):
    """One standard note of the office."""

    title: str = Field(
        "", max_length=60, description="What stands first, in bold.", examples=["Laps"]
    )
    text: str = Field(
        min_length=1,
        max_length=600,
        description="The note.",
        examples=["Ask before you cut."],
    )
    when: tuple[str, ...] = Field(
        (),
        max_length=20,
        description="Circumstances in which it is printed; without it, always.",
        json_schema_extra={
            "quantity": "texts",
            "allowed_text": 'a list of ways or circumstances: ["torch"]',
        },
    )


def beside(base: str, named: str) -> Path | None:
    """Return a file beside or below another one; None for a path that leads elsewhere."""
    path = Path(named)
    if path.is_absolute() or ".." in path.parts or "\\" in named or ":" in named:
        return None
    return Path(base).parent / path


def office_of(path: Path, catalog: Catalog) -> tuple[Office, Catalog]:
    """Return an office and the catalogue with its notes and its names of layers.

    Raises:
        UserError: The file cannot be read, or says what cannot be; all mistakes are told.
    """
    document = read_document(path)
    complaints = Complaints(document)
    check_texts(document, complaints)
    for key in document.values:
        if key not in TABLES:
            complaints.add(
                (key,),
                f"there is no table {printable(key, 40)} in an office's settings",
                allowed=", ".join(TABLES),
                mend=suggestion(key, TABLES) or "Take it out.",
            )
    given = document.values.get("office", {})
    table = validated(OfficeTable, given, ("office",), complaints)
    if table is None:
        complaints.tell()
        table = OfficeTable.model_validate({})
    notes = _notes(document.values.get("note", []), complaints)
    names = _names(document.values.get("layers", {}), catalog, complaints)
    file = beside(str(path), table.logo) if table.logo else None
    if table.logo and file is None:
        complaints.add(
            ("office", "logo"),
            "the logo is a file beside or below the settings",
            allowed="a relative path without ..",
            mend="Put the logo beside the settings.",
        )
    elif file and not _there(file):
        complaints.add(
            ("office", "logo"),
            "there is no such file beside the settings",
            allowed="the path of an SVG file, as from the settings",
            mend="Put the logo beside the settings, or take the key out.",
        )
    complaints.tell()
    logo = None
    if file:
        from detailgen.loader._logo import read_logo

        logo = read_logo(file)
    office = Office(table.name, table.lines, logo)
    drafting = catalog.drafting
    layers = tuple(
        replace(one, name=names.get(one.role, one.name)) for one in drafting.layers
    )
    kept = () if table.own_notes_only else drafting.notes
    changed = replace(drafting, layers=layers, notes=(*kept, *notes))
    return office, replace(catalog, drafting=changed)


def _there(path: Path) -> bool:
    """Return whether there is something of this name, of whatever sort."""
    try:
        return path.exists() and not path.is_dir()
    except (OSError, ValueError):
        return False


def _notes(given: object, complaints: Complaints) -> list[Printed]:
    listed = cast("list[object]", given) if isinstance(given, list) else [given]
    if len(listed) > MOST_NOTES:
        told = f"the office has {len(listed)} notes"
        mend = "Put some together, or take some out."
        limit = f"at most {MOST_NOTES}"
        complaints.add(("note", MOST_NOTES), told, allowed=limit, mend=mend)
        return []
    found = [
        validated(NoteTable, one, ("note", n), complaints) for n, one in enumerate(listed)
    ]
    for n, one in enumerate(found):
        for place, named in enumerate(one.when if one else ()):
            if named not in CIRCUMSTANCES:
                complaints.add(
                    ("note", n, "when", place),
                    "no note is printed for this",
                    allowed=", ".join(sorted(CIRCUMSTANCES)),
                    mend=suggestion(named, CIRCUMSTANCES),
                )
    return [
        Printed(
            f"office-{n}", one.title, one.text, one.when or ("always",), COMMON_PRACTICE
        )
        for n, one in enumerate(found, 1)
        if one
    ]


def _names(given: object, catalog: Catalog, complaints: Complaints) -> dict[str, str]:
    """Return names of layers by their roles, after noting what is wrong with them."""
    roles = {layer.role: layer.name for layer in catalog.drafting.layers}
    if not isinstance(given, dict):
        complaints.add(("layers",), "layers is a table", mend="Write [layers].")
        return {}
    found: dict[str, str] = {}
    for role, name in cast("dict[str, Any]", given).items():
        path = ("layers", role)
        if role not in roles:
            complaints.add(
                path,
                f"there is no layer {printable(role, 40)} here",
                allowed=", ".join(roles),
                mend=suggestion(role, roles),
            )
        elif not isinstance(name, str) or not re.fullmatch(LAYER, name):
            complaints.add(
                path,
                "this cannot name a layer",
                allowed="1 to 60 letters, digits, - and _, a letter first",
            )
        elif name.casefold() in _RESERVED:
            complaints.add(
                path,
                "drawings keep this layer for themselves",
                mend="Choose another name.",
            )
        else:
            found[role] = name
    taken: dict[str, str] = {}
    for role, name in (roles | found).items():
        if other := taken.get(name.casefold()):
            complaints.add(
                ("layers", role if role in found else other),
                f"the layers {other} and {role} would have the same name",
                mend="Choose another name.",
            )
        taken[name.casefold()] = role
    return found


def told_office(
    named: str, file: str, line: int | None, catalog: Catalog
) -> tuple[Office, Catalog]:
    """Return the office that a job names, and the catalogue as it changes it.

    Raises:
        UserError: It is not beside the job's file, or its file has mistakes.
    """
    path = beside(file, named)
    if path is None or not _there(path):
        told = "there is no such file beside this one"
        if path is None:
            told = "the office's settings are a file beside or below this one"
        raise UserError([
            Problem(
                told,
                file,
                line,
                "project.office",
                printable(named),
                "a relative path without ..",
                "Put the settings beside the job; `detailgen start office` writes a file "
                "to start with.",
            )
        ])
    return office_of(path, catalog)
