"""Writers: a scene to bytes, one format a file.

A writer sees the scene and the lettering, and nothing else of the program; nothing else of
the program knows a format. Each is imported when it is first used, because their libraries
take longer to load than a sheet takes to write.
"""

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Final

from detailgen.scene import MIN_TEXT, Layer, Paper, Scene, Text


def load(formats: Iterable[str]) -> None:
    """Have the writers of some formats load all that they need, before they are used."""
    layer = Layer("text", "A-ANNO-TEXT", 0.25, (0, 0, 0))
    words = Text((1.0, 1.0), "Aa", MIN_TEXT, layer.role)
    sheet = Scene(
        "load", "Load", Paper("", 10.0, 10.0), (layer,), (words,), (), inches=True
    )
    for name in formats:
        WRITERS[name](sheet)


def _dxf(scene: Scene) -> bytes:
    import logging

    # The library lists the machine's fonts when it loads, and warns when it cannot keep the
    # list; no font of the machine is used here.
    logging.getLogger("ezdxf").setLevel(logging.ERROR)

    from detailgen.writers import dxf

    return dxf.write(scene)


def _svg(scene: Scene) -> bytes:
    from detailgen.writers import svg

    return svg.write(scene)


def _pdf(scene: Scene) -> bytes:
    from detailgen.writers import pdf

    return pdf.write(scene)


def _png(scene: Scene) -> bytes:
    from detailgen.writers import png

    return png.write(scene)


WRITERS: Final[Mapping[str, Callable[[Scene], bytes]]] = MappingProxyType({
    "dxf": _dxf,
    "svg": _svg,
    "pdf": _pdf,
    "png": _png,
})
"""Writer by file extension."""
