"""Parameters of cant and sheets that walls and curbs have in common.

Each function makes one field anew; a kind puts it where it belongs among its own.
"""

from typing import Any, Literal

from detailgen.parameters import choice, length

FlashingSheet = Literal["foil", "granule-in-cement"]
CantMaterial = Literal["perlite", "wood-fibre", "wood"]


def flashing_sheet() -> Any:  # noqa: ANN401
    """Return the field of the kind of flashing sheet."""
    return choice(
        "Flashing sheet: foil-faced, stuck as the roof is; or granule-surfaced, in "
        "flashing cement with its top edge fastened. Without it: foil under a torch, else "
        "granules.",
        default=None,
    )


def cant_rise() -> Any:  # noqa: ANN401
    """Return the field of the cant's vertical leg."""
    return length(
        "Vertical leg of the cant.",
        default=None,
        least="1 1/2 in",
        most="6 in",
        by_rule="cant_height_least",
    )


def cant_out() -> Any:  # noqa: ANN401
    """Return the field of the cant's horizontal leg."""
    return length(
        "Horizontal leg of the cant. Without it: as its height (45 deg).",
        default=None,
        least="1 1/2 in",
        most="8 in",
    )


def cant_made_of() -> Any:  # noqa: ANN401
    """Return the field of the cant's material."""
    return choice(
        "What the cant is made of; under a torch it must not burn.", default="perlite"
    )


def strip_in_on_roof() -> Any:  # noqa: ANN401
    """Return the field of the strip-in's reach."""
    return length(
        "Reach of the strip-in ply from the toe of the bare cant out on the roof.",
        default=None,
        least="1/2 in",
        most="12 in",
        by_rule="strip_in_toe_least",
    )


def strip_in_up(what: str, behind: str) -> Any:  # noqa: ANN401
    """Return the field of the strip-in's rise on a wall or a curb, behind its metal."""
    return length(
        f"Rise of the strip-in ply up the {what} from the top of the bare cant. Without "
        f"it: the rule's least, or behind {behind} where two sheets are asked.",
        default=None,
        least="1/2 in",
        most="6 in",
        by_rule="strip_in_wall_least",
    )


def band_on_finish_ply() -> Any:  # noqa: ANN401
    """Return the field of the prepared band's width."""
    return length(
        "Width of the prepared band from the toe out on the finish ply. Without it: the "
        "rule's least, or the flashing's reach where that is more.",
        default=None,
        least="1 in",
        most="18 in",
    )


def flashing_on_roof() -> Any:  # noqa: ANN401
    """Return the field of the flashing sheet's reach."""
    return length(
        "Reach of the flashing sheet from the toe of the bare cant out on the roof.",
        default=None,
        least="1 in",
        most="16 in",
        by_rule="flashing_reach_least",
    )


def spacing_at_top() -> Any:  # noqa: ANN401
    """Return the field of the spacing along the flashing sheet's top edge."""
    return length(
        "Spacing of the fasteners along the top edge of a cement-set flashing sheet.",
        default=None,
        least="2 in",
        most="24 in",
        by_rule="top_fastener_spacing_most",
    )
