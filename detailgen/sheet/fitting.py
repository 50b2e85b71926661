"""Texts that must fit into a given width, whatever a user wrote."""

from detailgen.lettering import text_width, wrap


def shortened(text: str, room: float, height: float) -> str:
    """Return as much of a text as fits into `room` mm, with an ellipsis."""
    while text and text_width(f"{text}…", height) > room:
        text = text[:-1].rstrip()
    return f"{text}…"


def lines_of(text: str, room: float, height: float, most: int) -> list[str]:
    """Return a text in at most so many lines of `room` mm; more is cut, with an ellipsis.

    There is always one line, which is empty for an empty text.
    """
    lines = wrap(text, room, height) or [""]
    if len(lines) > most:
        cut = shortened(" ".join(lines[most - 1 :]), room, height)
        lines = [*lines[: most - 1], cut]
    return lines
