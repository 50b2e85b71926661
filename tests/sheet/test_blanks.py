"""Flat pieces of bent metals: outline, bends and holes are where the shop data say."""

import io
from itertools import pairwise

import ezdxf
import pytest

from detailgen.profile import Turn
from detailgen.scene import Circle, Path, Scene, Text, View
from detailgen.sheet import SheetRequest
from detailgen.units import UnitSystem, show_thickness
from detailgen.writers import WRITERS
from tests.sheet.asked import typical, with_shop
from tests.sheet.test_profiles import VARIANTS, shop_scenes

MM_PER_INCH = 25.4
EXACT = 1e-6


@pytest.fixture(scope="module", params=VARIANTS, ids=str)
def drawn(request: pytest.FixtureRequest) -> tuple[SheetRequest, list[Scene]]:
    kind, extra = request.param
    asked = with_shop(typical(kind, **extra))
    return asked, shop_scenes(asked)


def blank(scenes: list[Scene], number: int) -> View:
    """Return the one view of a flat piece."""
    (view,) = [v for s in scenes for v in s.views if v.id == f"flat-{number}"]
    return view


def lines(view: View, layer: str) -> list[tuple[tuple[float, float], ...]]:
    return [i.points for i in view.items if isinstance(i, Path) and i.layer == layer]


def test_every_profile_has_its_flat_piece_as_wide_as_it_is_developed(drawn):
    asked, scenes = drawn
    count = len(asked.shop.profiles)
    flats = [v.id for s in scenes for v in s.views if v.id.startswith("flat-")]
    assert sorted(flats) == sorted(f"flat-{n}" for n in range(1, count + 1))
    for number, profile in enumerate(asked.shop.profiles, 1):
        (ring,) = lines(blank(scenes, number), "pattern")
        xs, ys = {x for x, _ in ring}, {y for _, y in ring}
        assert (len(ring), len(xs), len(ys)) == (4, 2, 2)
        assert max(ys) - min(ys) == pytest.approx(profile.developed, abs=EXACT)
        assert max(xs) - min(xs) <= profile.piece + EXACT


def test_bends_toward_the_reader_and_away_are_where_they_should_be(drawn):
    asked, scenes = drawn
    for number, profile in enumerate(asked.shop.profiles, 1):
        view = blank(scenes, number)
        for turn, layer in ((Turn.UP, "valley"), (Turn.DOWN, "ridge")):
            found = lines(view, layer)
            assert all(a[1] == b[1] for a, b in found)
            wanted = [bend.at for bend in profile.bends if bend.turn is turn]
            assert [-a[1] for a, _ in found] == pytest.approx(wanted, abs=EXACT)
        told = " ".join(i.content for i in view.items if isinstance(i, Text))
        for bend in profile.bends:
            at = show_thickness(bend.at, UnitSystem.FEET_INCHES)
            assert f"{bend.turn.upper()} AT {at}" in told


def test_legs_between_bends_are_what_the_bends_leave(drawn):
    """From middle to middle of two bends is what is flat between them, and half of each."""
    asked, _ = drawn
    for profile in asked.shop.profiles:
        for (one, other), leg in zip(
            pairwise(profile.bends), profile.legs[1:-1], strict=True
        ):
            half = (one.allowance + other.allowance) / 2.0
            assert other.at - one.at == pytest.approx(leg.flat + half, abs=1e-6)


def test_holes_are_true_and_in_their_rows():
    asked = with_shop(typical("roof-edge"))
    scenes = shop_scenes(asked)
    shown = 0
    for number, profile in enumerate(asked.shop.profiles, 1):
        view = blank(scenes, number)
        holes = [i for i in view.items if isinstance(i, Circle)]
        shown += len(holes)
        for row in profile.holes:
            mine = [h for h in holes if abs(h.centre[1] + row.across) < EXACT]
            along = row.along(profile.piece)[: len(mine)]
            assert [h.centre[0] for h in mine] == pytest.approx(along)
            for hole in mine:
                assert 2 * hole.radius * view.factor == pytest.approx(row.diameter)
    assert shown >= 4


def test_a_dxf_reader_finds_the_bends_in_inches():
    asked = with_shop(typical("wall"))
    scenes = shop_scenes(asked)
    (profile,) = asked.shop.profiles
    (scene,) = [s for s in scenes for v in s.views if v.id == "flat-1"]
    doc = ezdxf.read(io.StringIO(WRITERS["dxf"](scene).decode()))
    model = doc.modelspace()
    (ring,) = [p for p in model.query('LWPOLYLINE[layer=="A-DETL-PATN"]') if p.closed]
    top = max(y for _, y in ring.get_points("xy"))
    low = min(y for _, y in ring.get_points("xy"))
    assert top - low == pytest.approx(profile.developed / MM_PER_INCH, abs=1e-6)
    found: list[float] = []
    for layer in ("A-DETL-FVAL", "A-DETL-FRDG"):
        for line in model.query(f'LINE LWPOLYLINE[layer=="{layer}"]'):
            y = (
                line.dxf.start.y
                if line.dxftype() == "LINE"
                else line.get_points("xy")[0][1]
            )
            found.append((top - y) * MM_PER_INCH)
    assert sorted(found) == pytest.approx([bend.at for bend in profile.bends], abs=1e-5)
