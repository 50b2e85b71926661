"""The page as a file: one file, small, the same every time, and nothing gets in."""

import re
from base64 import b64encode
from hashlib import sha256

from lxml import html as reader

from tests.browse.making import HOSTILE, hostile_page, page_of, twenty_page

MOST = 3_000_000
HANDLERS = re.compile(r"^on", re.IGNORECASE)


def tree(page: bytes):
    return reader.document_fromstring(page.decode())


def test_it_asks_for_nothing_from_outside() -> None:
    page = page_of("harbour-archive").decode()
    assert "http" not in page.replace("http-equiv", "")
    for element in tree(page.encode()).iter():
        if not isinstance(element.tag, str):
            continue
        assert "src" not in element.attrib
        assert element.tag not in {"link", "iframe", "object", "embed", "img", "form"}
        assert element.get("href", "#").startswith("#")
    urls = re.findall(r"url\(([^)]*)\)", page)
    assert urls
    assert all(u.startswith("#h-") for u in urls)


def test_every_hatch_that_is_used_is_there() -> None:
    page = page_of("harbour-archive").decode()
    used = set(re.findall(r"url\(#([^)]*)\)", page))
    made = set(re.findall(r'<pattern id="([^"]*)"', page))
    assert used == made


def test_style_and_script_are_those_that_the_page_allows() -> None:
    page = page_of("harbour-archive").decode()
    policy = re.search(r'Security-Policy" content="([^"]*)"', page)
    assert policy is not None
    assert policy[1].startswith("default-src 'none'")
    assert "unsafe" not in policy[1]
    for name in ("style", "script"):
        (content,) = re.findall(f"<{name}>(.*?)</{name}>", page, re.DOTALL)
        digest = b64encode(sha256(content.encode()).digest()).decode()
        assert f"{name}-src 'sha256-{digest}'" in policy[1]


def test_names_stay_text() -> None:
    page = hostile_page()
    root = tree(page)
    assert len(root.findall(".//script")) == 1
    assert len(root.findall(".//style")) == 1
    assert [e for e in root.iter() if e.tag in {"img", "iframe"}] == []
    for element in root.iter():
        assert [n for n in element.attrib if HANDLERS.match(n)] == []
        assert "autofocus" not in element.attrib
        assert not element.get("href", "").startswith("javascript")
    heads = [h.text_content() for h in root.findall(".//h2")]
    assert [h.partition(" ")[2] for h in heads] == list(HOSTILE)
    assert root.find(".//title").text_content() == HOSTILE[0]


def test_twenty_details_are_small_and_the_same_every_time() -> None:
    page = twenty_page()
    assert len(page) < MOST
    assert len(tree(page).findall(".//article")) == 20
    assert page == twenty_page()


def test_each_detail_says_its_state_and_has_its_stages_parts_and_rules() -> None:
    root = tree(page_of("low-walls-failing"))
    listed = root.findall(".//nav//li")
    assert len(listed) == 3
    assert "fails" in {li.get("class") for li in listed}
    for article in root.findall(".//article"):
        stages = [s.get("data-s") for s in article.findall(".//section")]
        assert stages == [str(n) for n in range(int(article.get("data-last")) + 1)]
        drawn = {g.get("data-b") for g in article.findall(".//svg//g") if g.get("data-b")}
        named = {b.get("data-b") for b in article.xpath(".//ul[@class='parts']//button")}
        assert drawn == named
        marked = {g.get("data-f") for g in article.findall(".//svg/g") if g.get("data-f")}
        told = {b.get("data-f") for b in article.xpath(".//ul[@class='findings']//button")}
        assert marked <= told
    assert root.xpath(".//g[contains(@class, 'mark fail')]")
