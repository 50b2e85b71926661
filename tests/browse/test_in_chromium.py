"""The page as a reader uses it, in a real headless Chromium.

Left out, with the reason, where there is no Chromium or no Playwright.
"""

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path

import pypdfium2 as pdfium
import pytest

from detailgen.classroom import class_page
from detailgen.loader import job_of
from detailgen.pipeline import check_job
from tests.browse.making import hostile_page, page_of, twenty_page

playwright = pytest.importorskip("playwright.sync_api", reason="Playwright is not here")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium here")
OPEN_MOST = 1000.0
"""ms until a page of 20 details has loaded."""
COUNTED = "() => { window.printed = 0; window.print = () => { window.printed += 1; }; }"
POINT = """(what) => {
  const f = document.querySelector(what), m = f.getScreenCTM(), b = f.getBBox();
  for (let i = 1; i < 60; i++) for (let j = 1; j < 60; j++) {
    const p = new DOMPoint(b.x + b.width * i / 60, b.y + b.height * j / 60);
    if (!f.isPointInFill(p)) continue;
    const q = p.matrixTransform(m);
    if (document.elementFromPoint(q.x, q.y) === f) return [q.x, q.y];
  }
  throw new Error("nothing of it can be pointed at");
}"""


@pytest.fixture(scope="module")
def browser() -> Iterator:
    with playwright.sync_playwright() as running:
        # Without a sandbox, since tests may run as root in a container.
        one = running.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield one
        one.close()


@pytest.fixture
def opened(browser, tmp_path: Path):
    """Open pages; after the test nothing may have been complained of or asked for."""

    @contextmanager
    def opening(content: bytes, width: int = 1300, **given):
        file = tmp_path / "details.html"
        file.write_bytes(content)
        context = browser.new_context(viewport={"width": width, "height": 900}, **given)
        page, wrong = context.new_page(), []
        page.on("console", lambda m: wrong.append(m.text))
        page.on("pageerror", lambda e: wrong.append(str(e)))
        page.on(
            "request",
            lambda r: None if r.url.startswith(file.as_uri()) else wrong.append(r.url),
        )
        page.on("dialog", lambda d: wrong.append(d.message))
        page.goto(file.as_uri())
        yield page
        assert wrong == []
        context.close()

    return opening


def shown(page) -> set[str]:
    """Return the stages of the bodies that are seen in the article that is open."""
    return set(
        page.evaluate(
            "[...document.querySelectorAll('article:not([hidden]) .b')]"
            ".filter(b => getComputedStyle(b).display !== 'none').map(b => b.dataset.s)"
        )
    )


def article(page):
    return page.locator("article:not([hidden])")


def test_the_slider_builds_it_up(opened) -> None:
    with opened(page_of("harbour-archive")) as page:
        slider = article(page).locator(".slider")
        last = int(slider.get_attribute("max"))
        assert slider.input_value() == str(last)
        every = shown(page)
        for number in range(last):
            slider.fill(str(number))
            assert {int(s) for s in shown(page)} == {
                int(s) for s in every if int(s) <= number
            }
            assert article(page).locator(".stage:visible").count() == 1
            quiet = article(page).locator(".b.quiet")
            assert {int(b.get_attribute("data-s")) for b in quiet.all()} <= set(
                range(number)
            )
        slider.fill("4")
        assert "Strip-in ply" in article(page).locator(".where").inner_text()
        assert (
            slider.get_attribute("aria-valuetext")
            == article(page).locator(".where").inner_text()
        )
        assert article(page).locator(".j.stuck.show").count() > 0


def test_a_plug_is_seen_until_it_is_taken_out(opened) -> None:
    job = job_of(
        '[project]\nname = "Drain"\n[[condition]]\nid = "D1"\nkind = "drain"\n', "job.toml"
    )
    with opened(class_page(job, check_job(job))) as page:
        plug = article(page).locator(".r-plug")
        slider = article(page).locator(".slider")
        assert plug.count() == 1
        last = int(plug.get_attribute("data-u"))
        for number in range(last + 2):
            slider.fill(str(number))
            assert plug.is_visible() == (1 <= number < last)


def test_keys_step_through_stages_and_details(opened) -> None:
    with opened(page_of("harbour-archive")) as page:
        slider = article(page).locator(".slider")
        first = int(slider.input_value())
        page.keyboard.press("ArrowLeft")
        page.keyboard.press("ArrowLeft")
        assert int(slider.input_value()) == first - 2
        page.keyboard.press("ArrowRight")
        assert int(slider.input_value()) == first - 1
        slider.focus()
        page.keyboard.press("ArrowLeft")  # the slider's own key, once and not twice
        assert int(slider.input_value()) == first - 2
        slider.blur()
        before = article(page).get_attribute("id")
        page.keyboard.press("Shift+ArrowRight")
        page.wait_for_function(f"document.querySelector('#{before}').hidden")
        assert page.locator("nav a[aria-current]").get_attribute("href") == "#d1"


def test_pointing_at_a_part_names_it_and_says_what_it_is_stuck_to(opened) -> None:
    with opened(page_of("harbour-archive")) as page:
        article(page).locator(".slider").fill("3")
        x, y = page.evaluate(POINT, "article:not([hidden]) .r-base-ply .f")
        page.mouse.move(x, y)
        told = article(page).locator(".reader").inner_text()
        assert told.startswith("Base ply")
        assert "torched to" in told
        assert "loose on cant strip" in told
        assert article(page).locator(".b.lit").count() == 1


def test_tapping_a_part_names_it(opened) -> None:
    with opened(page_of("harbour-archive"), 390, has_touch=True) as page:
        article(page).locator(".slider").fill("3")
        article(page).locator(".section").scroll_into_view_if_needed()
        x, y = page.evaluate(POINT, "article:not([hidden]) .r-base-ply .f")
        page.touchscreen.tap(x, y)
        assert article(page).locator(".reader").inner_text().startswith("Base ply")


def test_parts_can_be_chosen_without_a_mouse(opened) -> None:
    with opened(page_of("harbour-archive")) as page:
        button = article(page).locator(".parts button", has_text="Strip-in ply").first
        button.focus()
        page.keyboard.press("Enter")
        assert button.get_attribute("aria-pressed") == "true"
        assert "Strip-in ply" in article(page).locator(".reader").inner_text()
        lit = article(page).locator(".b.lit")
        assert lit.count() == 1
        page.keyboard.press("Enter")
        assert lit.count() == 0


def test_a_finding_lights_up_where_it_is(opened) -> None:
    with opened(page_of("low-walls-failing")) as page:
        mark = article(page).locator(".mark").first
        rule = mark.get_attribute("data-f")
        button = article(page).locator(f".findings button[data-f={rule}]")
        button.click()
        lit = article(page).locator(".mark.lit")
        assert lit.count() == 1
        assert lit.get_attribute("data-f") == rule
        assert button.get_attribute("aria-pressed") == "true"
        mark.locator("circle").click()
        assert article(page).locator(".mark.lit").count() == 0


def test_units_and_ink_switch(opened) -> None:
    with opened(page_of("harbour-archive")) as page:
        rules = article(page).locator(".findings")
        assert '8"' in rules.inner_text()
        page.get_by_label("millimetres").check()
        assert '8"' not in rules.inner_text()
        assert "203 mm" in rules.inner_text() or "203.2 mm" in rules.inner_text()
        colour = "getComputedStyle(document.querySelector('.r-base-ply .f')).fill"
        before = page.evaluate(colour)
        page.get_by_label("black and white").check()
        after = page.evaluate(colour)
        red, green, blue = re.findall(r"\d+", after)
        assert after != before
        assert red == green == blue


def test_it_prints_one_detail_or_all(opened, tmp_path: Path) -> None:
    with opened(page_of("harbour-archive")) as page:
        page.evaluate(COUNTED)
        page.locator("#print-one").click()
        one = _printed(page, tmp_path)
        page.locator("#print-all").click()
        every = _printed(page, tmp_path)
        assert page.evaluate("window.printed") == 2
    marks = ("W1", "W2", "W3", "W4", "E1", "E2", "E3")
    assert [m for m in marks if re.search(rf"^{m} ", one, re.MULTILINE)] == ["W1"]
    assert [m for m in marks if re.search(rf"^{m} ", every, re.MULTILINE)] == list(marks)
    assert "Print all" not in every


def _printed(page, folder: Path) -> str:
    file = folder / "printed.pdf"
    page.pdf(path=str(file), format="Letter")
    document = pdfium.PdfDocument(file)
    text = "\n".join(p.get_textpage().get_text_range() for p in document)
    document.close()
    return text.replace("\r\n", "\n")


@pytest.mark.parametrize("width", [320, 390, 820, 1300])
def test_nothing_runs_out_at_the_side(opened, width: int) -> None:
    with opened(page_of("low-walls-failing"), width) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert article(page).locator(".section").bounding_box()["width"] > 0.55 * min(
            width, 800
        )


def test_names_that_try_to_break_out_run_nothing(opened) -> None:
    with opened(hostile_page()) as page:
        assert page.evaluate("window.hit") is None
        for number in range(page.locator("article").count()):
            page.evaluate(f"location.hash = 'd{number}'")
            page.wait_for_function(f"!document.querySelector('#d{number}').hidden")
            article(page).locator(".parts button").first.click()
            article(page).locator(".findings button").first.click()
        assert page.evaluate("window.hit") is None


def test_twenty_details_open_at_once(opened, told) -> None:
    content = twenty_page()
    with opened(content) as page:
        took = float("inf")
        for _ in range(3):  # the machine may be busy with something else
            page.reload()
            told_by = "performance.getEntriesByType('navigation')[0].loadEventEnd"
            took = min(took, page.evaluate(told_by))
        assert page.locator("nav a").count() == 20
        assert took < OPEN_MOST
    told(f"page of 20 details: {len(content) / 1e6:.2f} MB, opens in {took:.0f} ms")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("sample", ["harbour-archive", "low-walls-failing"])
def test_axe_finds_nothing_serious(opened, scheme: str, sample: str) -> None:
    pytest.importorskip("axe_playwright_python", reason="axe-core is not here")
    axe = files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")
    with opened(page_of(sample), color_scheme=scheme, bypass_csp=True) as page:
        page.evaluate(axe)
        for stage in (None, "3"):
            if stage:
                article(page).locator(".slider").fill(stage)
            found = page.evaluate("axe.run()")
            assert len(found["passes"]) > 15
            bad = [
                (v["id"], [n["html"][:120] for n in v["nodes"]][:3])
                for v in found["violations"]
                if v["impact"] in {"serious", "critical"}
            ]
            assert bad == []
