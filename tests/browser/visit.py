"""A browser's window on a shed, which notes every request it makes and every complaint of a script."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, Request, ViewportSize

from tests.browser.shed import Shed

PHONE: ViewportSize = {"width": 390, "height": 844}
LAPTOP: ViewportSize = {"width": 1280, "height": 800}
NARROW: ViewportSize = {"width": 320, "height": 640}
SIZES = {"phone": PHONE, "laptop": LAPTOP, "narrow": NARROW}

_OLD = "document.getElementById('main').dataset.old = 'yes'"
_LONGEST_THOUGHT = 120
"""Looks, half a second apart, after which a page that still thinks has got stuck."""


class Visit:
    """A window on a shed."""

    def __init__(
        self,
        browser: Browser,
        shed: Shed,
        *,
        size: str = "phone",
        has_script: bool = True,
        theme: str = "",
        text: str = "",
        is_still: bool = True,
        may_complain: bool = False,
    ) -> None:
        """Open a window of one of ``SIZES``; ``is_still`` is the system's wish for reduced motion.

        It ``may_complain`` where the server is to go away under it.
        """
        self.may_complain = may_complain
        self.shed = shed
        self.size = size
        self.has_script = has_script
        self.context = browser.new_context(
            base_url=shed.address,
            viewport=SIZES[size],
            java_script_enabled=has_script,
            has_touch=size != "laptop",
            reduced_motion="reduce" if is_still else "no-preference",
        )
        self.choose(theme=theme, text=text)
        self.page: Page = self.context.new_page()
        self.page.set_default_timeout(15_000)
        self.asked: list[str] = []
        self.wrong: list[str] = []
        self.context.on("request", self._note)
        self.page.on("pageerror", lambda error: self.wrong.append(str(error)))
        self.page.on(
            "console",
            lambda said: self.wrong.append(said.text) if said.type in {"error", "warning"} else None,
        )

    def choose(self, **choices: str) -> None:
        """Choose theme or text size for this window, as its settings would; empty is no choice."""
        for name, value in choices.items():
            if value:
                self.context.add_cookies([{"name": name, "value": value, "url": self.shed.address}])

    def _note(self, request: Request) -> None:
        self.asked.append(request.url)

    def go(self, address: str) -> Page:
        """Go to an address of the shed and wait until what we think of the bike stands there."""
        self.page.goto(address)
        self.settle()
        return self.page

    def act(self, by_hand: Callable[[], object]) -> None:
        """Do something that brings another page, swapped or loaded, and wait until that one stands there."""
        self.page.evaluate(_OLD)
        by_hand()
        self.page.locator("#main:not([data-old])").wait_for(state="attached")
        self.settle()

    def settle(self) -> None:
        """Wait until the page is no longer waiting for a thought."""
        for _ in range(_LONGEST_THOUGHT):
            if self.page.locator("main[data-again]").count() == 0:
                return
            self.page.wait_for_timeout(500)
            if not self.has_script:
                self.page.reload()
        pytest.fail("the page never came to rest")

    def outside(self) -> list[str]:
        """Name the requests that went anywhere but to the shed."""
        return [url for url in self.asked if not url.startswith((f"{self.shed.address}/", "data:"))]

    def close(self) -> None:
        """Close the window."""
        self.context.close()
