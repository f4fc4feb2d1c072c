"""The browser in which the pages are tried: the distribution's Chromium, with no way to the world outside."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.browser.hands import Fingers, Hands, Keys
from tests.browser.shed import Shed, demo_garage
from tests.browser.visit import Visit

_QUIET = (
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Start Chromium once; where it is missing say so, and on the build machine fail."""
    found = chromium_here()
    if found is None:
        told = "No Chromium here. On Debian and its kin: sudo apt-get install chromium"
        if os.environ.get("CI"):
            pytest.fail(told)
        pytest.skip(told)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=found, args=chromium_words())
        yield browser
        browser.close()


def chromium_here() -> str | None:
    """Give where the distribution's Chromium is, or None."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def chromium_words() -> list[str]:
    """Give the words with which Chromium is started: quiet, and knowing no name but this machine's."""
    as_root = ("--no-sandbox",) if hasattr(os, "geteuid") and os.geteuid() == 0 else ()
    return [*_QUIET, *as_root]


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shed]:
    """Serve the demo's three bikes to the tests of one file."""
    yield from served(demo_garage(tmp_path_factory.mktemp("shed")))


@pytest.fixture
def own_shed(tmp_path: Path) -> Iterator[Shed]:
    """Serve the demo's three bikes to one test alone, which may change what it likes."""
    yield from served(demo_garage(tmp_path))


@pytest.fixture
def empty_shed(tmp_path: Path) -> Iterator[Shed]:
    """Serve a garage with nothing in it."""
    yield from served(tmp_path / "empty.garage")


def served(garage: Path) -> Iterator[Shed]:
    """Serve a garage for as long as it is wanted."""
    there = Shed(garage)
    there.open()
    yield there
    there.kill()


Visits = Callable[..., Visit]


@pytest.fixture
def visits(chromium: Browser) -> Iterator[Visits]:
    """Open windows on a shed; at the end each must have kept to the shed and complained of nothing."""
    opened: list[Visit] = []

    def visit(shed: Shed, **how: object) -> Visit:
        opened.append(Visit(chromium, shed, **how))  # type: ignore[arg-type]
        return opened[-1]

    yield visit
    for one in opened:
        one.close()
    assert [url for one in opened for url in one.outside()] == []
    assert [complaint for one in opened if not one.may_complain for complaint in one.wrong] == []


def hands_for(visit: Visit, *, by_keys: bool) -> Hands:
    """Give a person at a window: one who taps or one who has only keys."""
    return Keys(visit) if by_keys else Fingers(visit)
