"""What bodies of a section are for, and how they are held to one another."""

from enum import StrEnum
from typing import Final

RIGHT: Final = "-right"
"""What ids of bodies and named points end in at the right of a two-sided section."""


class Role(StrEnum):
    """What a body is for. Materials say what it is made of."""

    DECK = "deck"
    WALL = "wall"
    INSULATION = "insulation"
    COVER_BOARD = "cover board"
    CANT = "cant"
    EDGE_STRIP = "tapered edge strip"
    NAILER = "nailer"
    SHIM = "shim"
    BLOCKING = "blocking"
    BASE_PLY = "base ply"
    STRIP_IN = "strip-in ply"
    FINISH_PLY = "finish ply"
    FLASHING = "flashing sheet"
    UPPER_FLASHING = "upper flashing sheet"
    CEMENT = "cement"
    EDGE_METAL = "edge metal"
    BACKING_PLATE = "backing plate"
    CLEAT = "continuous cleat"
    COUNTERFLASHING = "counterflashing"
    TERMINATION_BAR = "termination bar"
    COPING = "coping"
    DRAIN_BOWL = "drain bowl"
    DRAIN_LEAD = "drain flashing"
    CLAMPING_RING = "clamping ring"
    STRAINER = "strainer"
    CLAD_SHEET = "metal-clad sheet"
    LINER = "scupper liner"
    FASTENER = "fastener"
    BEAD = "sealant bead"
    PIPE = "pipe"
    POST = "post"
    SLEEVE = "sleeve"
    HOOD = "hood"
    COLLAR = "storm collar"
    PAN = "pan"
    FILL = "fill"
    POURED_SEALANT = "pourable sealant"
    EQUIPMENT = "equipment"
    FILLER = "compressible filler"
    BARRIER = "flexible barrier"
    JOINT_COVER = "joint cover"
    PLUG = "plug"


SHEETS = frozenset({
    Role.BASE_PLY,
    Role.STRIP_IN,
    Role.FINISH_PLY,
    Role.FLASHING,
    Role.UPPER_FLASHING,
    Role.CLAD_SHEET,
})
METALS = frozenset({
    Role.EDGE_METAL,
    Role.BACKING_PLATE,
    Role.CLEAT,
    Role.COUNTERFLASHING,
    Role.TERMINATION_BAR,
    Role.COPING,
    Role.SLEEVE,
    Role.HOOD,
    Role.COLLAR,
    Role.PAN,
    Role.JOINT_COVER,
    Role.DRAIN_LEAD,
    Role.LINER,
})
WOOD = frozenset({Role.NAILER, Role.SHIM, Role.BLOCKING})
TOOLS = frozenset({Role.PLUG})
"""What is taken out again before the work is finished, and not bought for it."""


class Bond(StrEnum):
    """How one body is held to another along their joint."""

    TORCHED = "torched"
    HOT_ASPHALT = "in hot asphalt"
    COLD_ADHESIVE = "in cold adhesive"
    SELF_ADHERED = "self-adhered"
    CEMENT = "in cement"
    FASTENED = "fastened"
    DRY = "laid dry"
    SEALED = "sealed"


ADHERED = frozenset({
    Bond.TORCHED,
    Bond.HOT_ASPHALT,
    Bond.COLD_ADHESIVE,
    Bond.SELF_ADHERED,
    Bond.CEMENT,
})


class Method(StrEnum):
    """The job's way of sticking sheets."""

    TORCH = "torch"
    HOT_ASPHALT = "hot asphalt"
    COLD_ADHESIVE = "cold adhesive"
