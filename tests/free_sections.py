"""Random free sections: a stepped profile, and layers from anywhere to anywhere on it.

Written as a person writes them, so that the reading of places is tried along.
"""

from itertools import pairwise
from math import cos, radians, sin
from random import Random
from typing import Any

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.parameters import FROM_FILE, Placed, Roof
from detailgen.section import Method

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
SHEETS = (
    ("base ply", "base-ply-glass-smooth"),
    ("strip-in ply", "base-ply-glass-smooth"),
    ("finish ply", "finish-ply-glass-granule"),
    ("flashing sheet", "flashing-foil"),
    ("flashing sheet", "flashing-granule"),
)
METALS = ("galvanized-24", "aluminium-040", "copper-16")


def mm(value: float) -> str:
    return f"{value:.3f} mm"


def _profile(rng: Random) -> list[tuple[float, float]]:
    """Return a surface from the left: a field, then rises, benches and falls."""
    points = [(-rng.uniform(250, 600), 0.0), (0.0, 0.0)]
    x, y = points[-1]
    for _ in range(rng.randint(1, 3)):
        lean, size = rng.uniform(50, 90), rng.uniform(80, 300)
        down = rng.random() < 0.25
        x += size * cos(radians(lean))
        y += size * sin(radians(lean)) * (-1 if down else 1)
        points.append((x, y))
        x += rng.uniform(60, 250)
        points.append((x, y))
    return points


def _layer(rng: Random, i: int, length: float, at: float) -> dict[str, Any]:
    """Return one layer along the surface, of any kind, from one distance to another."""
    end = min(at + rng.uniform(40, 400), length - 25.0)
    begin = "start" if at < 15.0 else {"point": "start", "along": mm(at)}
    layer: dict[str, Any] = {
        "id": f"layer-{i}",
        "stage": i,
        "start": begin,
        "end": {"point": "start", "along": mm(end)},
    }
    kind = rng.choice(("sheet", "sheet", "sheet", "bed", "fill", "metal", "coat"))
    if kind == "sheet":
        role, material = rng.choice(SHEETS)
        layer |= {"lay": kind, "role": role, "material": material}
        if rng.random() < 0.4:
            loose = {"point": "start", "along": mm((at + end) / 2.0)}
            layer["stretches"] = [{"bond": "laid dry", "start": loose}]
    elif kind == "bed":
        layer |= {"lay": kind, "role": "cement", "material": "plastic-cement"}
    elif kind == "fill":
        layer |= {"lay": kind, "role": "sealant bead", "material": "sealant"}
        layer["start"] = {"point": "foot.one", "corner": "60 mm", "along": "-12 mm"}
        layer["end"] = {"point": "foot.one", "corner": "60 mm", "along": "12 mm"}
    elif kind == "coat":
        layer |= {"lay": kind, "name": "Primer"}
    else:
        layer |= {
            "lay": kind,
            "role": rng.choice(("edge metal", "counterflashing", "coping")),
            "material": rng.choice(METALS),
            "carries": rng.random() < 0.5,
        }
    return layer


def tables(rng: Random) -> dict[str, Any]:
    """Return the tables of a random free section, as a file would give them."""
    points = _profile(rng)
    left, right = points[0][0], points[-1][0]
    low = min(y for _, y in points) - rng.uniform(80, 200)
    ring = [*points, (right, low), (left, low)]
    length = sum(
        ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in pairwise(points)
    )
    stops = sorted(rng.uniform(0.0, length - 120.0) for _ in range(rng.randint(1, 6)))
    rng.shuffle(stops)
    layers = [_layer(rng, i, length, at) for i, at in enumerate(stops, 1)]
    if rng.random() < 0.5:
        x = rng.uniform(left + 30, -30)
        layers.append({
            "id": "nail",
            "lay": "fastener",
            "stage": len(layers) + 1,
            "material": "flange-nail",
            "shank": "3.2 mm",
            "line": [[mm(x), "10 mm"], [mm(x), "-30 mm"]],
        })
    return {
        "fall": "along",
        "body": [
            {
                "id": "ground",
                "role": rng.choice(("deck", "wall", "insulation")),
                "material": rng.choice(("deck-concrete", "wall-masonry", "deck-wood")),
                "points": [[mm(x), mm(y)] for x, y in ring],
            }
        ],
        "surface": [
            {"at": [mm(x), mm(y)], **({"on": "ground"} if i else {})}
            for i, (x, y) in enumerate(points)
        ],
        "point": [{"name": "foot.one", "at": ["0 in", "0 in"]}],
        "layer": layers,
    }


def draw_free(rng: Random) -> tuple[Placed, Site]:
    """Return a random free section that can be built, and where."""
    condition = CONDITIONS["free-section"]
    for _ in range(100):
        roof = Roof(slope=rng.uniform(0.0, 0.1), adhesion=rng.choice(list(Method)))
        where = Site(roof, CATALOG, RULES)
        given = {"id": "X1", **tables(rng)}
        parameters = condition.parameters.model_validate(given, context={FROM_FILE: True})
        if not condition.impossible(parameters, where):
            return parameters, where
    raise AssertionError("no free section in a hundred can be built")
