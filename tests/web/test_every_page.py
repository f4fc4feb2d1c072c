"""Every page as it is shown, of a bike whose name, and all else that was typed, tries to be markup."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import quote

import pytest

from floatbowl.guide.pages import PAGES as GUIDE
from floatbowl.guide.strip import PARTS
from floatbowl.jobs import open_demo, reopen_demo
from floatbowl.web.addresses import bike_address
from floatbowl.web.app import every_page
from floatbowl.web.thinking import Thinking
from tests.web.browser import Browser, browser_on

pytestmark = [pytest.mark.door, pytest.mark.slow]

NAME = """<img src=x onerror=alert(1)>"'&</title>"""
SPELT = "&lt;img src=x onerror=alert(1)&gt;"
"""How the name begins where it is printed as a name."""
BIKE = f"""
form = "floatbowl.bike/1"
name = '''{NAME}'''
what = '''<script>alert(2)</script></svg>'''
[engine]
strokes = 4
swept_cc = 124.1
[carb]
bore_mm = 26.0
[setup]
number = 1
main = "110"
pilot = "40"
clip_from_top = 3
cutaway = "2.5"
screw_turns = 1.5
"""
PATIENCE = 120.0
KINDS = {
    "/file": "text/plain; charset=utf-8",
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".html": "text/html; charset=utf-8",
}
"""What an address ends with when a file is handed out, and what the browser is to take it for."""


@dataclass
class Seen(HTMLParser):
    """What stands on a page."""

    tags: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    forms: list[tuple[dict[str, str], list[str]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Begin as a parser."""
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element, and to which form a field belongs."""
        told = {name: value or "" for name, value in attrs}
        self.tags.append((tag, told))
        if tag == "form":
            self.forms.append((told, []))
        elif tag == "input" and self.forms:
            self.forms[-1][1].append(told.get("name", ""))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element that is shut at once."""
        self.handle_starttag(tag, attrs)

    def all(self, tag: str) -> list[dict[str, str]]:
        """Give the attributes of every element of a kind."""
        return [told for name, told in self.tags if name == tag]


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Give a browser on a garage where everything that can be typed was typed as markup."""
    folder = tmp_path_factory.mktemp("markup")
    shed, file = folder / "markup.garage", folder / "markup.toml"
    file.write_text(BIKE, encoding="utf-8")
    with open_demo(shed) as garage:
        garage.add_bike(file)
        garage.note_air(place="</p><script>alert(3)</script>", height=300.0)
        garage.record_remark(NAME, "bogs", how="snap")
    with browser_on(shed, thinking=Thinking()) as one:
        with closing(reopen_demo(shed)) as garage:
            one.shop.thinking.about(garage.facts(NAME), garage.drawer(), patience=PATIENCE)
        yield one


LOOKED_AT = [route.path for route in every_page() if "GET" in (route.methods or ())]
FILES = {path: kind for path in LOOKED_AT for end, kind in KINDS.items() if path.endswith(end)}
"""What is handed out and is no page of ours, by its address."""
SHOWN = [path for path in LOOKED_AT if path != "/door" and path not in FILES]


def read(browser: Browser, path: str) -> str:
    """Give a page of the bike when it has been thought about."""
    address = path.replace("/bikes/{bike}", bike_address(NAME)).replace("{card}", quote(PARTS[0].key))
    address = address.replace("{page}", GUIDE[0].key)
    until = time.monotonic() + PATIENCE
    while True:
        answer = browser.get(address, follow_redirects=True)
        assert answer.status_code == 200, answer.text
        if "data-again" not in answer.text:
            return str(answer.text)
        assert time.monotonic() < until
        time.sleep(0.2)


@pytest.mark.parametrize("path", SHOWN)
def test_what_was_typed_stays_text(browser: Browser, path: str) -> None:
    """No element and no attribute of a page comes from what somebody typed: it is printed as written."""
    shown = read(browser, path)
    seen = Seen()
    seen.feed(shown)
    assert seen.all("img") == []
    assert "alert(1)" not in "".join(
        value for _, told in seen.tags for name, value in told.items() if name == "src"
    )
    assert [told for _, told in seen.tags if any(name.startswith("on") for name in told)] == []
    assert [told for told in seen.all("script") if not told.get("src", "").startswith("/static/")] == []
    if "/bikes/{bike}" in path:
        assert SPELT in shown


@pytest.mark.parametrize("path", SHOWN)
def test_a_page_keeps_its_own_policy(browser: Browser, path: str) -> None:
    """No page has a style or script of its own, or names anything outside of this house."""
    seen = Seen()
    seen.feed(read(browser, path))
    assert [told for _, told in seen.tags if "style" in told] == []
    assert seen.all("style") == []
    named = [
        told[name]
        for _, told in seen.tags
        for name in ("href", "src", "action", "formaction")
        if name in told
    ]
    assert [address for address in named if not re.match(r"$|/(?!/)|\?|#|data:,$", address)] == []


@pytest.mark.parametrize("path", SHOWN)
def test_a_page_has_its_bones(browser: Browser, path: str) -> None:
    """Each page has one heading of its own, one main part, a language, a title and a live region."""
    seen = Seen()
    seen.feed(read(browser, path))
    assert [len(seen.all(tag)) for tag in ("h1", "main", "title")][:2] == [1, 1]
    assert seen.all("html")[0]["lang"] == "en-GB"
    assert [told for told in seen.all("p") if told.get("aria-live") == "polite"]


@pytest.mark.parametrize("path", SHOWN)
def test_every_entry_has_a_name_of_its_own(browser: Browser, path: str) -> None:
    """Each form that sends carries the name under which its entry stands once; settings are the screen's."""
    seen = Seen()
    seen.feed(read(browser, path))
    sending = [(told, names) for told, names in seen.forms if told.get("method") == "post"]
    assert [told for told, names in sending if "once" not in names and path != "/settings"] == []


@pytest.mark.parametrize("path", FILES)
def test_a_file_is_never_taken_for_a_page(browser: Browser, path: str) -> None:
    """What is handed out as a file says what it is, and the browser may not guess: markup in it is text."""
    answer = browser.get(path.replace("/bikes/{bike}", bike_address(NAME)))
    assert answer.status_code == 200
    assert answer.headers["content-type"] == FILES[path]
    assert answer.headers["x-content-type-options"] == "nosniff"
