"""What a student gets says nothing that is not printed on it.

A drawing file carries more than its picture: layers have names and descriptions, hatch
patterns are named after what they stand for, outlines after their bodies. On an exercise
all of that would be the answer, so it is taken out here, for every format alike.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import assert_never

from detailgen.scene import (
    Circle,
    Dimension,
    Hatch,
    Item,
    Leader,
    Path,
    Pattern,
    Scene,
    Text,
    TitleBlock,
)


def blind(scene: Scene, *, measured: bool = False) -> Scene:
    """Return a sheet with the same picture, and no names behind it.

    Layers and patterns are numbered, in the order of first use; layers that nothing uses,
    and views that are not plotted, are left out. Outlines have no tags, views no titles.

    Args:
        scene: The sheet.
        measured: Whether dimensions may stay, since they print the lengths that they tell.
    """
    shown = [view for view in scene.views if view.plotted]
    every = [*scene.items, *(i for view in shown for i in view.items)]
    layers: dict[str, str] = {}
    patterns: dict[str, Pattern] = {}
    for item in every:
        for role in _layers(item):
            layers.setdefault(role, f"line-{len(layers) + 1}")
        if isinstance(item, Hatch):
            name = f"P{len(patterns) + 1}"
            patterns.setdefault(item.pattern.name, replace(item.pattern, name=name))

    def done(items: Sequence[Item]) -> tuple[Item, ...]:
        if not measured and any(isinstance(i, Dimension) for i in items):
            message = "a dimension tells its length: draw it with lines on an exercise"
            raise TypeError(message)
        return tuple(_blinded(i, layers, patterns) for i in items)

    return replace(
        scene,
        layers=tuple(
            replace(
                scene.layer(role),
                role=name,
                name=f"G-EXER-{number:04d}",
                about="",
            )
            for number, (role, name) in enumerate(layers.items(), 1)
        ),
        items=done(scene.items),
        views=tuple(
            replace(v, id=f"view-{n}", title="", items=done(v.items))
            for n, v in enumerate(shown, 1)
        ),
    )


def _layers(item: Item) -> tuple[str, ...]:
    if isinstance(item, TitleBlock):
        return item.layer, item.text_layer
    return (item.layer,)


def _blinded(item: Item, layers: dict[str, str], patterns: dict[str, Pattern]) -> Item:
    layer = layers[item.layer]
    match item:
        case Path():
            return replace(item, layer=layer, tag="")
        case Hatch():
            pattern = patterns[item.pattern.name]
            return replace(item, layer=layer, tag="", pattern=pattern)
        case TitleBlock():
            return replace(item, layer=layer, text_layer=layers[item.text_layer])
        case Circle() | Text() | Leader() | Dimension():
            return replace(item, layer=layer)
        case _:
            assert_never(item)
