"""Pages of tables and texts that look like the sheets: frame, title block, lettering.

A part of a book has blocks that go down the sheet beside the column with the title block,
or texts that fill all its columns. What helps to read it stands in that column, and under
it on every sheet the list of the parts, which leads to each of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from detailgen.book.table import Linked, leading
from detailgen.lettering import letterable
from detailgen.scene import Scene, TitleBlock
from detailgen.sheet import SheetRequest
from detailgen.sheet.board import GUTTER, Board, Page, board_of
from detailgen.sheet.flow import GAP, Block, Column, Piece, balanced, fill, pieces_of
from detailgen.sheet.numbering import numbered
from detailgen.sheet.pages import lettered

Box = tuple[float, float, float, float]
_TABLE: Final = 330.0
"""Where two tables of this width, mm, have room beside one another, they stand so."""
_CONTENTS: Final = 52.0
"""What the list of parts takes of a column, mm, about."""
_PART: Final = "PART"
"""What the cell with the mark of a detail is called on such a page."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a book."""

    key: str
    """Where links lead that lead to it."""
    title: str
    blocks: tuple[Block, ...]
    notes: tuple[Block, ...] = ()
    """What helps to read it, in the column at the right."""
    columns: bool = False
    """Whether its blocks are texts that fill all columns of the sheet."""


@dataclass(frozen=True, slots=True)
class TextPage:
    """One page of a part."""

    scene: Scene
    parts: tuple[Part, ...]
    """The parts that stand on it."""
    begins: tuple[Part, ...]
    """Those of them that begin on it."""
    links: tuple[tuple[Box, str], ...]
    """Where on the page, mm, and to what key."""


@dataclass(slots=True)
class _Made:
    """A page in the making."""

    page: Page
    columns: list[Column]
    parts: list[Part]
    begins: list[Part]


def text_pages(
    request: SheetRequest,
    parts: Sequence[Part],
    document: str,
    sheets: Sequence[tuple[str, str, str]],
    mark: str = "B",
) -> tuple[TextPage, ...]:
    """Return the pages of all parts, numbered through: `B1 OF 12`.

    Args:
        request: Any condition of the job: paper, units and what the title block says.
        parts: The parts, in order; one without anything in it is left out.
        document: What the title block calls it.
        sheets: What follows in the book: words, numbers of sheets, where they lead.
        mark: Letter before the numbers.
    """
    board = board_of(lettered(request))
    made: list[_Made] = []
    for part in parts:
        if not pieces_of(part.blocks, board.rest):
            continue
        if part.columns:
            made += _columned(board, part)
        elif not (made and _shares(made[-1], part)):
            made += _wide(board, part)
    listed = _contents(made, mark, sheets)
    done: list[TextPage] = []
    for one in made:
        _place_contents(board, one, listed)
        done.append(_finished(board, one, document, len(done) + 1))
    scenes = numbered([page.scene for page in done], mark=mark)
    return tuple(replace(p, scene=s) for p, s in zip(done, scenes, strict=True))


def _wide(board: Board, part: Part) -> list[_Made]:
    """Return pages with blocks beside the column at the right."""
    waiting = pieces_of(part.blocks, _main_columns(board)[0].width)
    beside = pieces_of(part.notes, board.column)
    made: list[_Made] = []
    while waiting or beside:
        mains, side = _main_columns(board), board.side_column()
        waiting, beside = _set(waiting, mains), fill(beside, [side])
        made.append(_Made(Page(), [*mains, side], [part], [] if made else [part]))
    return made


def _main_columns(board: Board) -> list[Column]:
    """Return what stands left of the column with the title block: one column, or more."""
    x0, y0, _, y1 = board.inner
    count = max(1, int((board.rest + GUTTER) / (_TABLE + GUTTER)))
    wide = (board.rest + GUTTER) / count - GUTTER
    return [Column(x0 + n * (wide + GUTTER), wide, y1, y0) for n in range(count)]


def _shares(last: _Made, part: Part) -> bool:
    """Set a short part on the sheet of the one before, if all of it has room; say so."""
    trial = [replace(column, rows=[*column.rows]) for column in last.columns]
    *mains, side = trial
    begun = max((n for n, c in enumerate(mains) if c.started), default=0)
    blocks = pieces_of(part.blocks, mains[0].width)
    side.bottom += _CONTENTS
    if fill(blocks, mains[begun:]) or fill(pieces_of(part.notes, side.width), [side]):
        return False
    side.bottom -= _CONTENTS
    last.columns[:] = trial
    last.parts.append(part)
    last.begins.append(part)
    return True


def _set(pieces: list[Piece], columns: list[Column]) -> list[Piece]:
    """Set pieces; one whose opening rows find no room on a fresh page is not lost."""
    left = fill(pieces, columns)
    if left and not any(c.started for c in columns):
        message = f"a row of {left[0].title!r} is higher than the sheet"
        raise ValueError(message)
    return left


def _columned(board: Board, part: Part) -> list[_Made]:
    """Return pages with texts in all columns, even at the bottom on the last one."""
    waiting = pieces_of((*part.blocks, *part.notes), board.column)
    made: list[_Made] = []
    while waiting:
        columns = board.text_columns()
        # The last column is left to the list of parts where the others will do.
        few, left = balanced(waiting, columns[:-1])
        if left:
            columns = board.text_columns()
            waiting = _set(waiting, columns)
        else:
            columns, waiting = [*few, board.side_column()], []
        made.append(_Made(Page(), columns, [part], [] if made else [part]))
    return made


def _contents(
    made: Sequence[_Made], mark: str, sheets: Sequence[tuple[str, str, str]]
) -> list[tuple[str, str, str]]:
    """Return the list of parts: title, numbers of its sheets, and its key."""
    numbers: dict[str, list[int]] = {}
    titles: dict[str, str] = {}
    for number, one in enumerate(made, 1):
        for part in one.parts:
            numbers.setdefault(part.key, []).append(number)
            titles[part.key] = part.title
    listed: list[tuple[str, str, str]] = []
    for key, found in numbers.items():
        last = f"-{mark}{found[-1]}" if len(found) > 1 else ""
        listed.append((titles[key], f"{mark}{found[0]}{last}", key))
    return [*listed, *sheets]


def _place_contents(
    board: Board, made: _Made, listed: Sequence[tuple[str, str, str]]
) -> None:
    """Set the list of parts above the title block, where the column has room."""
    side = made.columns[-1]
    block = leading(
        "IN THIS PACKAGE", listed, lambda key: any(key == p.key for p in made.parts)
    )
    (piece,) = pieces_of([block], board.column)
    trial = Column(side.x, side.width, side.top, side.bottom, started=side.started)
    if fill([piece], [trial]):
        return
    height = side.top - trial.top
    low = Column(side.x, side.width, side.bottom + height, side.bottom)
    if side.started:
        low.top -= GAP
    fill([piece], [low])
    made.columns.append(low)


def _finished(board: Board, made: _Made, document: str, number: int) -> TextPage:
    page = made.page
    links: list[tuple[Box, str]] = []
    for column in made.columns:
        page.items += column.items
        for row, top in column.rows:
            for link in row.links if isinstance(row, Linked) else ():
                x0, y0, x1, y1 = link.box
                box = (x0 + column.x, y0 + top, x1 + column.x, y1 + top)
                links.append((box, link.target))
    first, *others = (part.title for part in made.parts)
    title = ", ".join([first, *(t[:1].lower() + t[1:] for t in others)])
    request = replace(board.request, mark="BID", title=title)
    scene = replace(board, request=request).scene(page, number, 1)
    scene = _titled(scene, document)
    name = letterable(f"{request.job.name}: {title}")
    scene = replace(scene, id=f"bid-{number}", title=name)
    return TextPage(scene, tuple(made.parts), tuple(made.begins), tuple(links))


def _titled(scene: Scene, document: str) -> Scene:
    """Return a page whose title block says that it is no detail."""

    def block(item: TitleBlock) -> TitleBlock:
        cells = (
            replace(
                cell,
                caption=_PART if cell.tag == "MARK" else cell.caption,
                value=document if cell.tag == "DOCTYPE" else cell.value,
            )
            for cell in item.cells
        )
        return replace(item, cells=tuple(cells))

    items = (block(i) if isinstance(i, TitleBlock) else i for i in scene.items)
    return replace(scene, items=tuple(items))
