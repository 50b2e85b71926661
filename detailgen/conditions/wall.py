"""Wall base flashing on a cant.

                              |#| wall
          reglet_height  ---- |=|~~ counterflashing, its hem counterflashing_lap below
        flashing_height  ---- || |    the top of the flashing sheet
                              || |
       strip_in_up  --------- ||/|  <- top of the cant
                             //  |
    field ________________.//____|  <- cant_height, cant_run
          |<- flashing_reach ->|
            |<- strip_in_out ->|  toe of the cant

Heights of the flashing are vertical from the top of the finish ply at the toe; reaches are
horizontal from the toe of the bare cant; the strip-in's rise is from the top of the bare
cant.
"""

from detailgen.conditions._condition import Condition, Site
from detailgen.conditions._wall_parameters import WallSheets
from detailgen.conditions._wall_section import build_wall
from detailgen.conditions._wall_sizes import impossible, taken
from detailgen.section import LayeredSection


class Wall(WallSheets, frozen=True):
    """Parameters of a wall base flashing."""


def build(p: Wall, site: Site) -> LayeredSection:
    """Build the section of a wall base flashing."""
    return build_wall(p, site)


CONDITION = Condition(
    kind="wall",
    title="Wall base flashing on a cant",
    about="Membrane turned up a wall over a cant, under a counterflashing or a coping",
    parameters=Wall,
    build=build,
    impossible=impossible,
    taken=taken,
)
