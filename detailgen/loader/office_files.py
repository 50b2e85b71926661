"""The settings of an office to start with, and the JSON Schema of such files."""

from typing import Any, Final

from detailgen.catalog import CIRCUMSTANCES, Catalog
from detailgen.loader._office import LAYER, MOST_NOTES, NoteTable, OfficeTable
from detailgen.loader.fields import told
from detailgen.loader.schema import DRAFT, OFFICE_TITLE, table_schema, written
from detailgen.loader.starter import comment, shown_keys

FILE_NAME: Final = "detailgen-office.schema.json"
NAME: Final = "office"
"""What is started by this name, where else a kind of condition is named."""
_TABLES: Final = {
    "office": "Who answers for the sheets.",
    "note": "A standard note of the office.",
    "layers": "Names of layers in DXF; those that are left out keep theirs.",
}


def office_starter(catalog: Catalog) -> str:
    """Return settings that change nothing as they stand, every key shown as a comment."""
    layers = catalog.drafting.layers
    return (
        "\n".join([
            f"#:schema ./{FILE_NAME}",
            "",
            *comment(
                "The settings of an office, for the sheets of its jobs. A job beside this "
                'file names it in [project]: office = "office.toml". Take the # from a '
                "line to set its key."
            ),
            "",
            "[office]",
            *shown_keys(told(OfficeTable), catalog),
            "",
            *comment(f"Standard notes, up to {MOST_NOTES} of them, each in a table:"),
            "# [[note]]",
            *shown_keys(told(NoteTable), catalog),
            "",
            *comment(
                "Notes are printed always, or in some of these circumstances: "
                f"{', '.join(sorted(CIRCUMSTANCES))}."
            ),
            "",
            "[layers]",
            "",
            *comment(
                f"{_TABLES['layers']} A name has up to 60 letters, digits, - and _, a "
                "letter first."
            ),
            *(f'# {layer.role} = "{layer.name}"' for layer in layers),
        ])
        + "\n"
    )


def office_schema(catalog: Catalog) -> dict[str, Any]:
    """Return the schema of an office's settings."""
    note = table_schema(NoteTable, catalog)
    note["properties"]["when"]["items"] = {"enum": sorted(CIRCUMSTANCES)}
    layers = {
        layer.role: {"type": "string", "pattern": f"^{LAYER}$", "default": layer.name}
        for layer in catalog.drafting.layers
    }
    tables: dict[str, dict[str, Any]] = {
        "office": table_schema(OfficeTable, catalog),
        "note": {"type": "array", "maxItems": MOST_NOTES, "items": note},
        "layers": {
            "type": "object",
            "additionalProperties": False,
            "properties": layers,
        },
    }
    return {
        "$schema": DRAFT,
        "title": OFFICE_TITLE,
        "type": "object",
        "additionalProperties": False,
        "properties": {
            name: {"description": _TABLES[name], **table} for name, table in tables.items()
        },
    }


def office_schema_text(catalog: Catalog) -> str:
    """Return the schema of an office's settings as the text of a file."""
    return written(office_schema(catalog))
