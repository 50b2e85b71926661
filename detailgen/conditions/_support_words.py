"""What a sheet says of the height of a unit on posts."""

from detailgen.catalog.lookups import HeightTable
from detailgen.equipment import ClearHeight


def _told(height: float) -> str:
    return f"{height / 25.4:.4g} in ({height:.0f} mm)"


def height_note(asked: ClearHeight, drawn: float) -> str:
    """Return what a sheet says of a clear height: asked by which table, and how plainly.

    Args:
        asked: What the table says of the unit's width.
        drawn: The clear height that is drawn, mm.
    """
    unit = f"Unit {_told(asked.width)} wide"
    if asked.height is None:
        return f"{unit}: {asked.reason} {_told(drawn)} clear is drawn."
    source = f" ({asked.source})" if asked.source else ""
    if asked.ambiguous:
        heights = " or ".join(_told(h) for h in asked.heights)
        said = f"{unit}: the table is not plain, it can be read to ask {heights}{source}. "
        said += asked.reason
    else:
        said = f"{unit}: the table asks {_told(asked.height)} clear{source}."
    if drawn < asked.height - 0.01:
        return f"{said} Only {_told(drawn)} is drawn: less than the stricter reading asks."
    if asked.ambiguous and drawn < asked.height + 0.01:
        return f"{said} The larger is drawn."
    return said


def sleeper_note(width: float, table: HeightTable) -> str:
    """Return what a sheet says of sleepers: whether the table in force takes them.

    Args:
        width: Of the unit, mm.
        table: The table of the code or the guideline in force.
    """
    unit = f"Unit {_told(width)} wide"
    source = f" ({table.source})" if table.source else ""
    if not table.sleepers:
        return (
            f"{unit}: {table.name} takes no sleepers under equipment; posts are to carry "
            f"it{source}."
        )
    return (
        f"{unit}, on sleepers flashed as curbs: heights for units on legs do not apply; "
        "the roof under the unit must still be got at."
    )
