"""Stage sheets and checklists, read back item by item."""

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.lessons import checklist, cut_sheets, handout, stage_sheets
from detailgen.lessons.stage_view import NEW_SHEET, stage_items
from detailgen.margins import shown_at
from detailgen.scene import Path, Scene, Text, TitleBlock
from detailgen.section import SHEETS
from detailgen.sheet import compose
from tests.sheet.asked import catalog, typical


def words(scenes: tuple[Scene, ...]) -> list[str]:
    return [i.content for s in scenes for i in s.items if isinstance(i, Text)]


def test_what_is_new_stands_out_and_the_rest_is_quiet() -> None:
    request = typical("wall")
    section = request.section
    for stage in section.stages:
        items = stage_items(section, stage.number, catalog(), 8.0)
        drawn = {i.tag: i for i in items if isinstance(i, Path) and i.tag and i.closed}
        assert set(drawn) == {b.id for b in section.bodies if b.stage <= stage.number}
        for body in section.bodies:
            if body.stage > stage.number:
                continue
            item = drawn[body.id]
            assert (item.layer == "quiet") == (body.stage < stage.number)
            if body.role in SHEETS:
                assert (item.fill == NEW_SHEET) == (body.stage == stage.number)


def test_loose_stuck_and_bedded_are_told_apart_without_colour() -> None:
    def marks(kind: str, name: str) -> set[str]:
        section = typical(kind).section
        number = next(s.number for s in section.stages if s.name == name)
        items = stage_items(section, number, catalog(), 8.0)
        return {i.layer for i in items} & {"hidden", "stuck", "bedded"}

    assert marks("wall", "Base ply") == {"hidden", "stuck"}
    assert marks("wall", "Strip-in ply") == {"stuck"}
    assert "bedded" in marks("roof-edge", "Edge metal")
    layers = {layer.role: layer for layer in catalog().drafting.layers}
    looks = {(layers[n].pen, layers[n].dash) for n in ("hidden", "stuck", "bedded")}
    assert len(looks) == 3


def test_captions_say_what_to_do_and_name_the_rule_with_its_number() -> None:
    told = words(stage_sheets(typical("wall")))
    joined = " ".join(told)
    for start in ("Do:", "Held:", "Look:", "Rule:", "Cautions:"):
        assert start in told
    assert 'Base flashing height above the finished roof: at least 8"' in joined
    assert "Torch, too cold:" in told
    assert "Signs of torch:" in told


def test_a_failing_rule_says_so_in_its_caption() -> None:
    joined = " ".join(words(stage_sheets(typical("wall", strip_in_out=30.0))))
    assert "FAILS" in joined
    assert "FAILS" not in " ".join(words(stage_sheets(typical("wall"))))


@pytest.mark.parametrize("kind", CONDITIONS)
def test_a_side_column_that_is_free_lists_all_stages_and_the_sheets_own_in_bold(
    kind: str,
) -> None:
    request = typical(kind)
    numbers = [str(stage.number) for stage in request.section.stages]
    listing = 0
    for sheet in stage_sheets(request):
        texts = [i for i in sheet.items if isinstance(i, Text)]
        starts = [i for i in texts if i.content == "ALL STAGES"]
        for head in starts:
            listing += 1
            under = [
                i for i in texts if i.at[0] >= head.at[0] and i.at[1] < head.at[1] - 1.0
            ]
            listed = [i for i in under if i.content.split()[0] in numbers]
            assert [i.content.split()[0] for i in listed] == numbers
            own = [f"stage-{i.content.split()[0]}" for i in listed if i.bold]
            assert own == [v.id for v in sheet.views]
    assert listing


def test_where_panels_leave_a_sheet_free_there_are_lines_to_write_on() -> None:
    sheets = stage_sheets(typical("roof-edge"))
    ruled = [sheet for sheet in sheets if _lines(sheet)]
    assert ruled
    for sheet in ruled:
        (head,) = (i for i in sheet.items if isinstance(i, Text) and i.content == "NOTES")
        assert head.at[1] > max(_lines(sheet))
    for sheet in set(sheets) - set(ruled):
        assert "NOTES" not in words((sheet,))
        assert len(sheet.views) > 1


def _lines(sheet: Scene) -> list[float]:
    """Return the levels of the lines to write on: long ones that only rule the paper."""
    paths = (i for i in sheet.items if isinstance(i, Path) and i.layer == "table")
    long = (p.points for p in paths if len(p.points) == 2)
    levels = [a[1] for a, b in long if a[1] == b[1] and b[0] - a[0] > 60.0]
    heads = [
        i.at[1]
        for i in sheet.items
        if isinstance(i, Text) and i.bold and i.content.isupper()
    ]
    # a line under a heading is no line to write on
    return [y for y in levels if all(not 0.0 < h - y < 4.0 for h in heads)]


def test_the_checklist_has_values_tolerances_and_blanks() -> None:
    from detailgen.conditions import CONDITIONS, Site  # noqa: PLC0415
    from detailgen.parameters import Roof  # noqa: PLC0415

    request = typical("wall")
    condition = CONDITIONS["wall"]
    site = Site(Roof(), catalog(), request.rules)
    every = catalog().tolerances.values()
    strays = shown_at(condition, condition.parameters(id="D1"), site, every)
    scenes = checklist(request, strays)
    told = words(scenes)
    for head in ("Required", "As drawn", "Measured", "Name", "Date"):
        assert head in told
    assert "4 STRIP-IN PLY (HOLD POINT)" in told
    shown = sum(map(len, strays.values()))
    assert sum(t.endswith("at most") and t.startswith("by ") for t in told) == shown
    assert shown > 5
    blanks = [i for s in scenes for i in s.items if isinstance(i, Path)]
    flat = [p for p in blanks if len(p.points) == 2 and p.points[0][1] == p.points[1][1]]
    assert len(flat) > 60
    cells = {
        c.value
        for s in scenes
        for i in s.items
        if isinstance(i, TitleBlock)
        for c in i.cells
        if c.tag == "DOCTYPE"
    }
    assert cells == {"Checklist"}


def test_file_names_of_sheets_do_not_meet() -> None:
    request = typical("roof-edge")
    names = [s.id for s in (*stage_sheets(request), *checklist(request, {}))]
    assert len(set(names)) == len(names)
    assert names[0] == "D1-stages-1"
    assert names[-1].startswith("D1-checklist-")


def test_a_plug_is_drawn_until_it_is_taken_out_and_crossed_out_then() -> None:
    section = typical("drain").section
    numbers = [s.number for s in section.stages]
    for number in numbers:
        items = stage_items(section, number, catalog(), 8.0)
        layers = [i.layer for i in items if isinstance(i, Path) and i.tag == "plug"]
        if number == numbers[-1]:
            assert layers == ["beyond"] * 3
        else:
            assert layers == ["cut" if number == numbers[0] else "quiet"]
    told = words(stage_sheets(typical("drain")))
    assert "Plug, rubber with a grip" in told
    assert "Taken out in this stage" in told
    lists = " ".join(words(checklist(typical("drain"), {})))
    assert "Plug tight all round" in lists
    assert "Plug and all debris out" in lists
    assert "Taken out in this stage" not in words(stage_sheets(typical("stack")))


def test_a_plug_is_on_no_sheet_of_the_finished_work() -> None:
    """Not a line of it, nor a word but in the order of building."""
    request = typical("drain")
    finished = [*compose(request), *handout(request, ""), *cut_sheets(request)]
    for scene in finished:
        for item in (*scene.items, *(i for v in scene.views for i in v.items)):
            assert getattr(item, "tag", "") != "plug"
            if isinstance(item, Text):
                assert item.content != "Plug, rubber with a grip"
                assert "Plug in the outlet" not in item.content
