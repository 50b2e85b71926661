"""What sheets can be written as."""

from enum import StrEnum
from typing import Final


class Format(StrEnum):
    """A format by its name, which is the end of its files' names, too."""

    DXF = "dxf"
    SVG = "svg"
    PDF = "pdf"
    PNG = "png"


USUAL_FORMATS: Final = ("dxf", "svg", "pdf")
"""What is written when nobody says as what."""
