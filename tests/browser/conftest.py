"""The browser in which the pages are tried: the distribution's Chromium, with no way to the world outside."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, sync_playwright

from tests.browser.shed import Shed, demo_garage

PHONE = {"width": 390, "height": 844}
LAPTOP = {"width": 1280, "height": 800}
SIZES = {"phone": PHONE, "laptop": LAPTOP}

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
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        told = "No Chromium here. On Debian and its kin: sudo apt-get install chromium"
        if os.environ.get("CI"):
            pytest.fail(told)
        pytest.skip(told)
    as_root = ("--no-sandbox",) if hasattr(os, "geteuid") and os.geteuid() == 0 else ()
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=found, args=[*_QUIET, *as_root])
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shed]:
    """Serve the demo's three bikes to the tests of one file."""
    yield from _served(demo_garage(tmp_path_factory.mktemp("shed")))


@pytest.fixture
def own_shed(tmp_path: Path) -> Iterator[Shed]:
    """Serve the demo's three bikes to one test alone, which may change what it likes."""
    yield from _served(demo_garage(tmp_path))


@pytest.fixture
def empty_shed(tmp_path: Path) -> Iterator[Shed]:
    """Serve a garage with nothing in it."""
    yield from _served(tmp_path / "empty.garage")


def _served(garage: Path) -> Iterator[Shed]:
    served = Shed(garage)
    served.open()
    yield served
    served.kill()


class Visit:
    """A browser's window on a shed, which notes every request it makes and every complaint of a script."""

    def __init__(self, browser: Browser, shed: Shed, *, size: str = "phone", has_script: bool = True) -> None:
        """Open a window of one of ``SIZES``."""
        self.shed = shed
        self.has_script = has_script
        self.context: BrowserContext = browser.new_context(
            base_url=shed.address,
            viewport=SIZES[size],  # type: ignore[arg-type]
            java_script_enabled=has_script,
            has_touch=size == "phone",
            reduced_motion="reduce",
        )
        self.page: Page = self.context.new_page()
        self.asked: list[str] = []
        self.wrong: list[str] = []
        self.context.on("request", self._note)
        self.page.on("pageerror", lambda error: self.wrong.append(str(error)))
        self.page.on(
            "console",
            lambda said: self.wrong.append(said.text) if said.type in {"error", "warning"} else None,
        )

    def _note(self, request: Request) -> None:
        self.asked.append(request.url)

    def go(self, address: str) -> Page:
        """Go to an address of the shed and wait until what we think of the bike stands there."""
        self.page.goto(address)
        self.settle()
        return self.page

    def settle(self) -> None:
        """Wait until the page is no longer waiting for a thought."""
        for _ in range(80):
            if self.page.locator("main[data-again]").count() == 0:
                return
            self.page.wait_for_timeout(400)
            if not self.has_script:
                self.page.reload()
        pytest.fail("the page never came to rest")

    def outside(self) -> list[str]:
        """Name the requests that went anywhere but to the shed."""
        return [url for url in self.asked if not url.startswith((self.shed.address, "data:"))]

    def close(self) -> None:
        """Close the window."""
        self.context.close()
