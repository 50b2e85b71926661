"""The sheets with profiles: what stands on them, and that the legs have their lengths."""

import re
from dataclasses import replace

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.loader import job_of
from detailgen.pipeline import draw_job
from detailgen.profile import NOTHING, Make, Profile, Shopwork
from detailgen.scene import Path, Scene, Text
from detailgen.sheet import SheetRequest, compose
from detailgen.sheet.board import board_of
from detailgen.sheet.clashes import clashes
from detailgen.sheet.profile_pages import profile_pages
from detailgen.sheet.profile_view import drawn_line, profile_figure, thickness_times
from detailgen.units import UnitSystem, show_angle, show_length, show_thickness
from detailgen.writers._scene_gate import validate
from tests.sheet.asked import catalog, random_requests, typical, with_shop

INCHES = UnitSystem.FEET_INCHES
VARIANTS = [
    ("wall", {}), ("wall", {"termination": "surface"}), ("wall", {"termination": "coping"}),
    ("roof-edge", {}), ("roof-edge", {"edge": "flush"}), ("roof-edge", {"cleat": False}),
    ("scupper", {}), ("penetration-pocket", {}), ("expansion-joint", {}),
    ("independent-wall", {}), ("curb", {}), ("equipment-sleeper", {}), ("free-section", {}),
]  # fmt: skip
BENT = sorted({kind for kind, _ in VARIANTS} | {"drain", "deep-drain", "inside-corner"})


def shop_scenes(request: SheetRequest) -> list[Scene]:
    board = board_of(request)
    pages = profile_pages(board)
    return [board.scene(page, n, len(pages)) for n, page in enumerate(pages, 1)]


def said(scenes: list[Scene]) -> str:
    """Return all text of the sheets, lines joined as they follow one another."""
    texts = [i.content for s in scenes for i in s.items if isinstance(i, Text)]
    return " ".join(texts)


def labels(scenes: list[Scene], number: int) -> list[str]:
    """Return what stands beside the metal in the view of a profile."""
    (view,) = [v for s in scenes for v in s.views if v.id == f"profile-{number}"]
    return [i.content for i in view.items if isinstance(i, Text)]


@pytest.fixture(scope="module", params=VARIANTS, ids=str)
def drawn(request: pytest.FixtureRequest) -> tuple[SheetRequest, list[Scene]]:
    kind, extra = request.param
    asked = with_shop(typical(kind, **extra))
    return asked, shop_scenes(asked)


def test_every_leg_and_every_bend_stands_beside_the_metal(drawn):
    asked, scenes = drawn
    assert asked.shop.profiles
    for number, profile in enumerate(asked.shop.profiles, 1):
        found = sorted(labels(scenes, number))
        wanted = [show_length(leg.length, INCHES) for leg in profile.legs]
        for bend in profile.bends:
            way = bend.turn.value.upper()
            wanted.append(
                f"{show_angle(bend.angle)} {way}"
                if bend.make is Make.BEND
                else f"{bend.make.value.upper()} {way}"
            )
        wanted += [f"holes {n}" for n in range(1, len(profile.holes) + 1)]
        assert found == sorted(wanted)


def test_the_table_says_what_the_shop_must_know(drawn):
    asked, scenes = drawn
    text = said(scenes)
    for profile in asked.shop.profiles:
        assert f"({show_thickness(profile.developed, INCHES)})" in text
        assert profile.metal.split(",")[0] in text
        if not profile.made_to_fit:
            assert f"needs a gap of {show_length(profile.gap_needed, INCHES)}" in text
    count = len(asked.shop.profiles)
    assert text.count("Sources:") == count
    assert text.count("Up on the brake:") == count
    assert all(one.name.split(",")[0] in text for one in asked.shop.left_out)


def test_the_exaggeration_is_stated_on_every_view(drawn):
    asked, scenes = drawn
    text = said(scenes)
    for number, profile in enumerate(asked.shop.profiles, 1):
        (view,) = [v for s in scenes for v in s.views if v.id == f"profile-{number}"]
        times = thickness_times(profile, view.factor)
        stated = f"{times:g} times thicker" if times > 1.0 else "at true thickness"
        assert f"Drawn {stated}" in text


def test_nothing_clashes_and_every_writer_would_take_it(drawn):
    _, scenes = drawn
    for scene in scenes:
        validate(scene)
        assert list(clashes(scene)) == []


@pytest.mark.parametrize("kind", BENT)
def test_nothing_clashes_on_any_paper(kind, pytestconfig):
    """16 sets of every kind that bends metal; 100 with `--all-sets`."""
    count, sheets = 100 if pytestconfig.getoption("all_sets") else 16, 0
    for number, request in enumerate(random_requests(kind, count, seed=9)):
        for scene in shop_scenes(with_shop(request)):
            validate(scene)
            assert list(clashes(scene)) == [], (number, request.paper)
            sheets += 1
    assert sheets >= count // 8


def _ring(profile: Profile, factor: float) -> list[tuple[float, float]]:
    scale = next(s for s in catalog().drafting.scales_of(INCHES) if s.factor == factor)
    figure = profile_figure(profile, 1, scale, INCHES, 200.0)
    (path,) = [i for i in figure.items if isinstance(i, Path) and i.layer == "metal"]
    return list(path.points)


@pytest.mark.parametrize("factor", [1.0, 2.0, 4.0])
def test_the_drawn_metal_has_the_outside_lengths_of_its_legs(drawn, factor):
    """Measured on the outline as it is inked: from outermost corner to outermost corner."""
    asked, _ = drawn
    for profile in asked.shop.profiles:
        ring = _ring(profile, factor)
        half = len(ring) // 2
        left, right = ring[:half], ring[::-1][:half]
        thick = profile.thickness * thickness_times(profile, factor)
        line = drawn_line(profile, thick)
        for leg, (a, b) in zip(profile.legs, line.legs, strict=True):
            ends = [i for i, p in enumerate(line.points) if p in {a, b}]
            ux, uy = b[0] - a[0], b[1] - a[1]
            span = (ux**2 + uy**2) ** 0.5
            if span <= 0.31 * thick:  # too short to be drawn with so thick a metal
                continue
            along = [
                (x * ux + y * uy) / span
                for side in (left, right)
                for x, y in (side[ends[0]], side[ends[-1]])
            ]
            assert max(along) - min(along) == pytest.approx(leg.length, abs=0.02)


def test_a_bend_up_turns_toward_the_stated_face(drawn):
    asked, _ = drawn
    for profile in asked.shop.profiles:
        line = drawn_line(profile, profile.thickness)
        for i, bend in enumerate(profile.bends):
            if bend.make is not Make.BEND:
                continue
            (ax, ay), (bx, by) = line.legs[i]
            (cx, cy), (dx, dy) = line.legs[i + 1]
            turn = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
            assert (turn > 0.0) == ((bend.turn.value == "up") == profile.face_left)


def test_the_view_lies_as_in_the_section(drawn):
    """Where nothing is drawn thicker, the view is the section's metal, moved."""
    asked, _ = drawn
    for profile in asked.shop.profiles:
        if any(b.make is not Make.BEND for b in profile.bends):
            continue  # a closed hem is opened a little, to be seen
        line = drawn_line(profile, profile.thickness)
        (x0, y0), shift = profile.course[0], line.points[0]
        for (x, y), (u, v) in zip(profile.course, line.points, strict=True):
            assert (u - shift[0], v - shift[1]) == pytest.approx((x - x0, y - y0), abs=0.01)


def test_a_tight_joint_is_told():
    asked = with_shop(typical("roof-edge"))
    tight = tuple(
        replace(p, gap_drawn=0.5 * p.movement) if p.gap_drawn else p
        for p in asked.shop.profiles
    )
    assert "TOO TIGHT" in said(shop_scenes(replace(asked, shop=Shopwork(tight))))
    assert "TOO TIGHT" not in said(shop_scenes(asked))


def test_holes_are_staggered_as_in_the_plan():
    text = said(shop_scenes(with_shop(typical("roof-edge"))))
    assert re.search(r'3" apart, the first [^;]+ from the end; staggered by 1 1/2"', text)


def test_profiles_come_last_and_only_where_there_are_any():
    asked = typical("roof-edge")
    plain, full = compose(asked), compose(with_shop(asked))
    assert len(full) == len(plain) + 1
    shown = [v.id for v in full[-1].views]
    assert shown == ["profile-1", "profile-2", "flat-1", "flat-2"]
    assert asked.shop is NOTHING
    assert not shop_scenes(asked)
    assert not shop_scenes(with_shop(typical("stack")))


def test_the_pipeline_draws_them_for_every_kind_that_bends_metal():
    tables = [
        f'[[condition]]\nid = "C{n}"\nkind = "{kind}"' for n, kind in enumerate(CONDITIONS)
    ]
    job = job_of('[project]\nname = "J"\n' + "\n".join(tables), "j.toml")
    files = draw_job(job, ("svg",)).files
    shown = {
        kind
        for n, kind in enumerate(CONDITIONS)
        if any(
            b"SHOP DATA OF PROFILE 1" in content
            for path, content in files.items()
            if f"/C{n}-" in path
        )
    }
    assert shown >= {kind for kind, _ in VARIANTS}
