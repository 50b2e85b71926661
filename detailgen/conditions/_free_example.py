"""The free section that is drawn where a file gives none: what a starter file shows."""

import tomllib
from typing import Any, Final

EXAMPLE: Final = """
# Two opposite corners of what is drawn, and behind what closed spaces are meant to be:
drawn = [["-14 in", "-10 in"], ["8 in", "14 in"]]
hollows = ["cap"]

# --- What is there before roofing starts: closed outlines of points ---------------------
# x runs to the right and y upward; in a coordinate "roof" is the level of the roof plane.

[[condition.body]]
id = "deck"
role = "deck"
material = "deck-concrete"
points = [
  ["-14 in", "roof - 8 in"], ["0 in", "roof - 8 in"],
  ["0 in", "roof - 2 in"], ["-14 in", "roof - 2 in"],
]

[[condition.body]]
id = "board"
role = "insulation"
material = "insulation-board"
thickness = "2 in"
points = [
  ["-14 in", "roof - 2 in"], ["0 in", "roof - 2 in"],
  ["0 in", "roof"], ["-14 in", "roof"],
]

[[condition.body]]
id = "plinth"
role = "wall"
material = "wall-concrete"
points = [["0 in", "-10 in"], ["8 in", "-10 in"], ["8 in", "12 in"], ["0 in", "12 in"]]

# --- What lies open then: from its left end, the air on the left hand -------------------

[[condition.surface]]
at = ["-14 in", "roof"]
[[condition.surface]]
at = ["0 in", "roof"]
on = "board"
[[condition.surface]]
at = ["0 in", "12 in"]
on = "plinth"
[[condition.surface]]
at = ["8 in", "12 in"]
on = "plinth"

# --- Points with names, for what follows ------------------------------------------------

[[condition.point]]
name = "cant.toe"
at = ["-4 in", "roof"]
[[condition.point]]
name = "cant.top"
at = ["0 in", "4 in"]
[[condition.point]]
name = "plinth.top"
at = ["0 in", "12 in"]
[[condition.point]]
name = "flashing.top"
at = ["0 in", "plinth.top - 1/4 in"]

# --- Layers in the order of building, each on what lies open when its turn comes --------
# A place is the name of a point, or a distance from one: along the surface, across, or up.

[[condition.layer]]
id = "primer"
lay = "coat"
stage = 1
name = "Primer on the plinth"
start = "cant.top"
end = "flashing.top"

[[condition.layer]]
id = "cant"
lay = "fill"
stage = 2
role = "cant"
material = "cant-perlite"
start = "cant.toe"
end = "cant.top"

[[condition.layer]]
id = "base-ply"
lay = "sheet"
stage = 3
role = "base ply"
material = "base-ply-glass-smooth"
start = "start"
end = { point = "cant.top", corner = "4 in" }
fitted = true
stretches = [{ on = "cant", bond = "laid dry" }]

[[condition.layer]]
id = "strip-in"
lay = "sheet"
stage = 3
role = "strip-in ply"
material = "base-ply-glass-smooth"
name = "Strip-in ply, as the base ply"
start = { point = "cant.toe", across = "-3 in" }
end = { point = "cant.top", up = "3 1/4 in" }

[[condition.layer]]
id = "finish-ply"
lay = "sheet"
stage = 4
role = "finish ply"
material = "finish-ply-glass-granule"
start = "start"
end = { point = "cant.top", corner = "4 in" }
fitted = true

[[condition.layer]]
id = "flashing"
lay = "sheet"
stage = 5
role = "flashing sheet"
material = "flashing-foil"
start = { point = "cant.toe", across = "-4 in" }
end = "flashing.top"

[[condition.layer]]
id = "cap"
lay = "metal"
stage = 6
role = "coping"
material = "galvanized-24"
name = "Cap over the plinth, galvanized steel"
line = [
  ["flashing.end.top - 0.5 t - 1/4 in", "plinth.top - 3 1/4 in"],
  ["flashing.end.top - 0.5 t", "plinth.top - 3 in"],
  ["flashing.end.top - 0.5 t", "plinth.top + 0.5 t"],
  ["7 in", "plinth.top + 0.5 t"],
]
stretches = [
  { on = "flashing", bond = "laid dry" },
  { on = "plinth", bond = "fastened" },
]

# --- The order of building, in words ----------------------------------------------------

[[condition.stage]]
name = "Prime"
text = "Prime the plinth above the cant; let it dry."
[[condition.stage]]
name = "Cant"
text = "Lay the cant loose in the corner."
[[condition.stage]]
name = "Base ply"
text = "Over the cant to its top, loose over the cant; then the strip-in ply, fully stuck."
hold = true
[[condition.stage]]
name = "Finish ply"
text = "Over the cant to its top, fully stuck."
[[condition.stage]]
name = "Flashing sheet"
text = "From the roof up the plinth, fully stuck."
[[condition.stage]]
name = "Cap"
text = "Set the cap over the edge of the plinth and fasten it on top."

# --- What is dimensioned ----------------------------------------------------------------

[[condition.gauge]]
start = "cant.toe"
end = "cant.top"
axis = "vertical"
[[condition.gauge]]
start = "flashing.start"
end = "cant.toe"
axis = "horizontal"

# --- What must stay dry, and the zones for which the way of water is told ---------------

[[condition.dry]]
body = "deck"
[[condition.dry]]
body = "board"
[[condition.dry]]
body = "cant"

[[condition.zone]]
name = "roof"
right = "cant.toe"
[[condition.zone]]
name = "cant"
below = "cant.top + 10 mm"
[[condition.zone]]
name = "plinth"
low = false
"""
"""Tables below a `[[condition]]` of this kind."""


def example_tables() -> dict[str, Any]:
    """Return the example's tables as a file would give them."""
    condition: dict[str, Any] = tomllib.loads("[[condition]]\n" + EXAMPLE)["condition"][0]
    return condition
