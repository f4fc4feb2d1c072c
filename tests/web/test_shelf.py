"""The shelf: every file is named by what is in it, and kept for good."""

from __future__ import annotations

import gzip
import re

import pytest

from floatbowl.web.shelf import Shelf, fill_shelf
from tests.web.browser import Browser

FILES = sorted(fill_shelf()._files)


def shelf_of(browser: Browser) -> Shelf:
    """Give the shelf that a garage hands out from."""
    return browser.shop.shelf


def test_what_pages_need_is_there() -> None:
    """Style, inks, script and both fonts are on the shelf."""
    assert {"style.css", "ink.css", "garage.js", "fonts/text-400.woff2", "fonts/label-600.woff2"} <= set(
        FILES
    )


@pytest.mark.parametrize("name", FILES)
def test_a_file_is_kept_for_good(ask: Browser, name: str) -> None:
    """Under its address a file may be kept for a year and never asked for again."""
    shelf = shelf_of(ask)
    answer = ask.get(shelf.address(name))
    assert answer.status_code == 200
    assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert answer.content == shelf._files[name].plain


@pytest.mark.parametrize("name", FILES)
def test_packed_and_plain_are_the_same(ask: Browser, name: str) -> None:
    """What is packed unpacks to the file; fonts are packed already and go as they are."""
    shelf = shelf_of(ask)
    kept = shelf._files[name]
    assert (kept.packed is None) == name.endswith(".woff2")
    assert kept.packed is None or gzip.decompress(kept.packed) == kept.plain
    plain = ask.get(shelf.address(name), headers={"Accept-Encoding": "identity"})
    assert "content-encoding" not in plain.headers
    assert plain.content == kept.plain


def test_another_byte_is_another_address() -> None:
    """A file that changed by one byte is never taken from what a browser kept; nor is one that moved."""
    marks = {
        Shelf(files).mark for files in ({"a.css": b"1"}, {"a.css": b"2"}, {"b.css": b"1"}, {"a.css": b"1 "})
    }
    assert len(marks) == 4
    assert Shelf({"a.css": b"1"}).mark == Shelf({"a.css": b"1"}).mark


def test_an_old_address_gets_todays_file_and_keeps_it_not(ask: Browser) -> None:
    """A page from before a change finds its style, but does not keep it under the old name."""
    answer = ask.get("/static/0123456789ab/style.css")
    assert answer.status_code == 200
    assert answer.headers["cache-control"] == "no-cache"


@pytest.mark.parametrize(
    "path", ["nothing.css", "../app.py", "..%2fapp.py", "%2e%2e/app.py", "fonts", "fonts/", "", "/etc/passwd"]
)
def test_nothing_else_is_handed_out(ask: Browser, path: str) -> None:
    """What is not on the shelf is not there, however it is written."""
    assert ask.get(f"/static/{shelf_of(ask).mark}/{path}").status_code == 404


@pytest.mark.parametrize("name", [name for name in FILES if name.endswith((".css", ".js"))])
def test_files_name_only_neighbours(name: str) -> None:
    """Style and script fetch nothing but what is on the shelf: no address leads out of the house."""
    text = fill_shelf()._files[name].plain.decode()
    assert not re.search(r"(?:https?:)?//[\w.]+\.\w+/", re.sub(r"http://www\.w3\.org/\S+", "", text))
    named = re.findall(r"url\(([^)]*)\)|from \"\./([^\"]+)\"", text)
    wanted = {one or other for one, other in named if not (one or other).startswith("#")}
    assert wanted <= set(FILES)
