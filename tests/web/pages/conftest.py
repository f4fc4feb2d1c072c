"""Pages that think: a browser on a shed of its own, and how a page is read without its pictures' strokes."""

from __future__ import annotations

import time
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest

from floatbowl.web.thinking import Thinking
from tests.web.browser import Browser, browser_on


@pytest.fixture
def at_work(shed: Path) -> Iterator[Browser]:
    """Give a browser on a shed to write in, which thinks; what was thought before is not thought again."""
    with browser_on(shed, thinking=Thinking()) as browser:
        yield browser


PATIENCE = 60.0
"""Seconds for a page to be thought out, on a machine that has other things to do."""


def looked_at(client: Browser, address: str) -> str:
    """Give a page once it takes in everything that was written down."""
    until = time.monotonic() + PATIENCE
    while True:
        answer = client.get(address)
        assert answer.status_code == 200, answer.text
        if "data-again" not in answer.text:
            return str(answer.text)
        assert time.monotonic() < until, "the page is still being thought about"


class _Reader(HTMLParser):
    """Collects what is read of a page; headings, links and fields by the way."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.headings: list[int] = []
        self.links: dict[str, str] = {}
        self.fields: list[dict[str, str]] = []
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.drawn: list[str] = []
        self._link: str | None = None
        self._pictures = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.tags.append((tag, given))
        if tag in {"h1", "h2", "h3", "h4"}:
            self.headings.append(int(tag[1]))
        self._pictures += tag == "svg"
        if tag == "a":
            self._link = given.get("href", "")
            self.links.setdefault(self._link, "")
        if tag in {"input", "button", "select"}:
            self.fields.append({"tag": tag, **given})

    def handle_endtag(self, tag: str) -> None:
        self._pictures -= tag == "svg"
        if tag == "a":
            self._link = None

    def handle_data(self, data: str) -> None:
        if self._pictures:
            self.drawn.append(data)
            return
        self.words.append(data)
        if self._link is not None:
            self.links[self._link] += data


class Read:
    """A page as it is read."""

    def __init__(self, page: str) -> None:
        """Read it."""
        reader = _Reader()
        reader.feed(page)
        self.text = " ".join(" ".join(reader.words).split())
        self.drawn = " ".join(" ".join(reader.drawn).split())
        self.headings = reader.headings
        self.links = {address: " ".join(words.split()) for address, words in reader.links.items()}
        self.fields = reader.fields
        self.tags = reader.tags

    def says(self, sentence: str) -> bool:
        """Say whether a sentence stands there, whatever is bold in it or breaks its lines."""
        return "".join(sentence.split()) in "".join(self.text.split())

    def value(self, name: str) -> str:
        """Give what a field holds."""
        return next(field.get("value", "") for field in self.fields if field.get("name") == name)

    def values(self, name: str) -> list[str]:
        """Give what every field of a name holds."""
        return [field.get("value", "") for field in self.fields if field.get("name") == name]

    def link(self, words: str) -> str:
        """Give where the link with these words leads."""
        return next(address for address, told in self.links.items() if words in told)
