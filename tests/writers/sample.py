"""A made-up sheet that holds every primitive, for the tests of all writers."""

from dataclasses import replace

from detailgen.scene import (
    Align,
    Cell,
    Circle,
    Dimension,
    Hatch,
    HatchFamily,
    Layer,
    Leader,
    Paper,
    Path,
    Pattern,
    Scene,
    Terminator,
    Text,
    TitleBlock,
    View,
)

IN = 25.4
BLACK = (0, 0, 0)
HOSTILE = (
    "</text><script>alert(1)</script>",
    "45%%d and %%p 1/2 %%c",
    r"a\Pb {\fArial|b1;c} \U+0041",
    "a ^J b & 'c' \"d\" ^",
    "]]> <!-- x --> $\\alpha$ 5 $ 6",
    "gap  of two, Ø ≥ ½ ° µ² ÉÅ — fine",
)
LAYERS = (
    Layer("cut", "A-DETL-MCUT", 0.5, BLACK, about="Outlines of what is cut"),
    Layer("sheet", "A-DETL-SHET", 0.35, (150, 30, 20)),
    Layer("beyond", "A-DETL-MBND", 0.25, (90, 90, 90), dash=(3.0, 1.5)),
    Layer("hatch", "A-DETL-PATT", 0.13, (110, 110, 110)),
    Layer("dims", "A-ANNO-DIMS", 0.18, (0, 60, 130)),
    Layer("notes", "A-ANNO-NOTE", 0.18, BLACK),
    Layer("symbols", "A-ANNO-SYMB", 0.25, BLACK),
    Layer("title", "A-ANNO-TTLB", 0.7, BLACK),
    Layer("hidden", "A-ANNO-REFR", 0.13, (200, 0, 200), plots=False),
)
BOARD = Pattern(
    "DG_BOARD", (HatchFamily(45.0, 2.0), HatchFamily(-45.0, 4.0, dashes=(2.0, -1.0)))
)
STONE = Pattern(
    "DG_STONE",
    (
        HatchFamily(0.0, 1.5, 0.75, (0.3, 0.2), (0.0, -1.5)),
        HatchFamily(60.0, 3.0, 1.0, dashes=(1.2, -2.0, 0.0, -1.0)),
    ),
)


def box(x0, y0, x1, y1):
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


WALL = box(0.0, -4 * IN, 8 * IN, 14 * IN)
HOLE = box(2 * IN, 2 * IN, 6 * IN, 10 * IN)
DECK = box(-16 * IN, -3 * IN, 0.0, 0.0)
CANT = ((-4 * IN, 0.0), (0.0, 0.0), (0.0, 4 * IN))
PLY = ((-16 * IN, 0.0), (-4 * IN, 0.0), (0, 4 * IN), (0, 12 * IN), (-3, 12 * IN))
PLY = (*PLY, (-3, 4 * IN + 2), (-4 * IN - 2, 3.0), (-16 * IN, 3.0))


def section_items():
    return (
        Path(DECK, "cut", closed=True, tag="deck"),
        Hatch(DECK, "hatch", STONE, tag="deck"),
        Path(WALL, "cut", closed=True, holes=(HOLE,), tag="wall"),
        Hatch(WALL, "hatch", BOARD, holes=(HOLE,), tag="wall"),
        Path(CANT, "cut", closed=True, fill=(225, 205, 160), tag="cant"),
        Path(PLY, "sheet", closed=True, fill=(150, 30, 20), tag="ply-1"),
        Path(((-6 * IN, -3 * IN), (-6 * IN, 0.0), (-5 * IN, 0.0)), "beyond"),
        Path(((-200.0, 5.0), (-100.0, 5.0)), "hidden"),
        Circle((4 * IN, 6 * IN), 2.5, "symbols", fill=(0, 0, 0)),
        dimension((0, 4 * IN), (0, 12 * IN), (-2 * IN, 0), 90.0, '8"', " MIN."),
        dimension(
            (-4 * IN, 0), (-4 * IN - 9.375 * IN, 0), (0, -5 * IN), 0.0, '9 3/8"', "", "USE "
        ),
        dimension((-16 * IN, -3 * IN), (-16 * IN, 0), (-17.5 * IN, 0), 90.0, '3" [76]', ""),
        dimension(
            (0, 14 * IN), (8 * IN, 13 * IN), (0, 15.5 * IN), 0.0, '8"', " {\\P} %%d <>"
        ),
        dimension((6 * IN, 10 * IN), (8 * IN, 10 * IN), (0, 11 * IN), 0.0, "2 PLIES", ""),
        narrow_dimension(),
    )


def dimension(start, end, line, angle, number, suffix, prefix="", factor=4.0):
    """Return a dimension with its text above the middle of its line."""
    if angle == 0.0:
        true, at = abs(end[0] - start[0]), ((start[0] + end[0]) / 2, line[1] + factor)
    else:
        true, at = abs(end[1] - start[1]), (line[0] - factor, (start[1] + end[1]) / 2)
    text = f"{prefix}{number}{suffix}"
    return Dimension(
        start, end, line, angle, text, prefix, suffix, at, 2.5, "dims", float(true)
    )


def narrow_dimension():
    """Return a dimension whose text stands past its end."""
    found = dimension((-IN, 0), (-1.5 * IN, 0), (0, -2.2 * IN), 0.0, '1/2"', " NOM.")
    return replace(found, text_at=(-5 * IN, found.text_at[1]))


def skew_items():
    turn = Dimension(
        (0.0, 0.0),
        (30.0, 40.0),
        (-8.0, 6.0),
        53.13010235415598,
        "50 mm",
        "",
        "",
        (9.4, 24.2),
        2.5,
        "dims",
        50.0,
    )
    return (
        Path(box(0, 0, 60, 60), "cut", closed=True, tag="plate"),
        Hatch(CANT_SMALL, "hatch", BOARD, tag="plate"),
        turn,
    )


CANT_SMALL = ((30.0, 5.0), (55.0, 5.0), (55.0, 30.0))


def true_items():
    return (
        Path(DECK, "cut", closed=True, tag="deck"),
        Path(WALL, "cut", closed=True, holes=(HOLE,), tag="wall"),
        dimension((0, 4 * IN), (0, 12 * IN), (-2 * IN, 0), 90.0, '8"', ""),
    )


def bubble(number, centre, tip, reach=4.0):
    """Return a leader, its bubble and the number in it; a line may run on under it."""
    x, y = centre
    return (
        Leader((tip, (x - 12, y), (x - reach, y)), "notes", Terminator.DOT, number),
        Circle(centre, 4.0, "symbols", fill=(255, 255, 255)),
        Text((x, y - 1.25), number, 2.5, "notes", Align.CENTRE),
    )


def title_block(width):
    cells = (
        Cell("TITLE", "TITLE", "WALL BASE FLASHING", 0, 14, 90, 13, 5.0),
        Cell("SCALE", "SCALE", '3" = 1\'-0"  (1:4)', 90, 14, 60, 13, 3.5),
        Cell("PROJECT", "PROJECT", "Depot <No. 7> & Yard %%d", 0, 0, 90, 14, 3.5),
        Cell("APPROVED", "APPROVED", "", 90, 0, 30, 14, 3.5),
        Cell("SHEET", "", "A-501", 120, 0, 30, 14, 5.0),
    )
    return TitleBlock((width - 160.0, 10.0), 150.0, 27.0, cells, "title", "notes")


def rich_scene(*, inches=True):
    """Return a sheet with every primitive, on ANSI B or on A3."""
    paper = Paper("ANSI B", 431.8, 279.4) if inches else Paper("ISO A3", 420.0, 297.0)
    width, height = paper.width, paper.height
    notes = [
        Text((250.0, 230.0 - 6 * i), text, 2.5, "notes") for i, text in enumerate(HOSTILE)
    ]
    items = (
        Path(box(8, 8, width - 8, height - 8), "title", closed=True),
        *bubble("1", (200.0, 200.0), (150.0, 190.0)),
        *bubble("2", (200.0, 180.0), (140.0, 150.0), reach=2.0),
        Leader(((150.0, 100.0), (185.0, 120.0)), "notes", Terminator.ARROW, "CANT <45>"),
        Text((186.0, 118.75), "CANT <45>", 2.5, "notes", bold=True),
        Leader(((100.0, 60.0), (120.0, 45.0)), "notes", Terminator.NONE, "not a text"),
        *notes,
        Text((250.0, 60.0), "TURNED", 3.5, "notes", rotation=90.0),
        Text((300.0, 70.0), "right", 3.5, "notes", Align.RIGHT, rotation=30.0),
        Hatch(box(250, 150, 290, 180), "hatch", STONE),
        Hatch(box(300, 150, 340, 180), "hatch", BOARD),
        title_block(width),
    )
    views = (
        View(
            "section",
            "Section",
            4.0,
            '3" = 1\'-0"',
            (135.0, 95.0),
            (12.0, 40.0, 195.0, 200.0),
            section_items(),
        ),
        View(
            "skew",
            "Plate",
            1.0,
            "1:1",
            (310.0, 70.0),
            (295.0, 60.0, 400.0, 140.0),
            skew_items(),
        ),
        View(
            "true",
            "True size",
            4.0,
            "",
            (0.0, 0.0),
            (0, 0, 0, 0),
            true_items(),
            plotted=False,
        ),
    )
    return Scene(
        "A-501",
        "Wall base flashing <A & B>",
        paper,
        LAYERS,
        items,
        views,
        inches,
        subject="Depot & Yard",
        author="J. Doe",
    )
