"""Picture every screen, at both sizes and in all themes, to be looked at.

``python -m tests.browser.screens [FOLDER [WORD ...]]`` fills a folder, ``screens`` unless one is named; with
words only by the screens whose names hold one of them.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from floatbowl.jobs import FirstAnswers, open_garage
from tests.browser.conftest import chromium_here, chromium_words, hands_for, served
from tests.browser.shed import Shed, demo_garage
from tests.browser.visit import Visit

USUAL_FOLDER = "screens"
SIZES = ("phone", "laptop")
THEMES = ("paper", "sun", "lamp")


@dataclass(frozen=True)
class Screen:
    """One screen: its name, its address, and what is done there before the picture is taken."""

    name: str
    address: str
    then: Callable[[Visit], None] | None = None


def _open_menu(visit: Visit) -> None:
    visit.page.locator(".menu summary").filter(visible=True).click()


def _say_nothing(visit: Visit) -> None:
    hands_for(visit, by_keys=False).press("Add")


SCREENS = (
    Screen("garage", "/"),
    Screen("bench", "/bikes/magpie?at=1/4"),
    Screen("bench-shut", "/bikes/thistle?at=shut"),
    Screen("bench-full", "/bikes/otter?at=full"),
    Screen("bench-dry-fit", "/bikes/magpie?at=1/4&try=clip:4&try=main:98"),
    Screen("bench-pencil", "/bikes/wren"),
    Screen("menu", "/bikes/magpie/ride", _open_menu),
    Screen("job-card", "/bikes/magpie/next"),
    Screen("stop-tag", "/bikes/thistle/next"),
    Screen("nothing-to-do", "/bikes/otter/next"),
    Screen("next-look", "/bikes/wren/next"),
    Screen("ride-note", "/bikes/magpie/ride?said=ride-8"),
    Screen("ride-note-first", "/bikes/wren/ride"),
    Screen("ride-note-slip", "/bikes/magpie/ride", _say_nothing),
    Screen("strip-sheet", "/bikes/magpie/strip"),
    Screen("strip-card", "/bikes/magpie/strip/needle"),
    Screen("strip-card-float", "/bikes/otter/strip/float"),
    Screen("reading", "/bikes/magpie/reading"),
    Screen("reading-roll-on", "/bikes/magpie/reading?kind=rollon&at=1/4"),
    Screen("reading-sweep", "/bikes/magpie/reading?kind=sweep"),
    Screen("setup", "/bikes/magpie/setup"),
    Screen("setup-earlier", "/bikes/thistle/setup"),
    Screen("logbook", "/bikes/thistle/log"),
    Screen("logbook-of-all", "/log"),
    Screen("side-by-side", "/bikes/thistle/sides?a=2&b=4"),
    Screen("proven-not-yet", "/bikes/magpie/proven"),
    Screen("proven", "/bikes/otter/proven"),
    Screen("drawer", "/drawer"),
    Screen("air", "/air"),
    Screen("settings", "/settings"),
    Screen("no-such-bike", "/bikes/nobody"),
    Screen("no-such-page", "/nowhere"),
)
EMPTY = (
    Screen("empty-garage", "/"),
    Screen("empty-drawer", "/drawer"),
    Screen("empty-logbook", "/log"),
    Screen("new-bike-0", "/bikes/new"),
    *(
        Screen(f"new-bike-{step}", f"/bikes/new?name=Robin&strokes=4&cc=125&step={step}")
        for step in range(1, 6)
    ),
)


def take(browser: Browser, shed: Shed, folder: Path, screens: tuple[Screen, ...]) -> Iterator[Path]:
    """Take every screen at every size and in every theme."""
    for size in SIZES:
        for theme in THEMES:
            visit = Visit(browser, shed, size=size, theme=theme)
            for screen in screens:
                visit.go(screen.address)
                if screen.then:
                    screen.then(visit)
                picture = folder / f"{screen.name}-{size}-{theme}.png"
                visit.page.evaluate("document.fonts.ready")
                visit.page.screenshot(path=picture, full_page=True)
                yield picture
            visit.close()


def main(words: list[str]) -> int:
    """Take all screens, or those asked for."""
    folder = Path(words[0] if words else USUAL_FOLDER)
    folder.mkdir(parents=True, exist_ok=True)
    found = chromium_here()
    if found is None:
        sys.exit("No Chromium here. On Debian and its kin: sudo apt-get install chromium")
    with sync_playwright() as play, tempfile.TemporaryDirectory() as place:
        browser = play.chromium.launch(executable_path=found, args=chromium_words())
        taken = 0
        for garage, screens in _garages(Path(place)):
            wanted = tuple(one for one in screens if not words[1:] or any(w in one.name for w in words[1:]))
            for shed in served(garage) if wanted else ():
                for _ in take(browser, shed, folder, wanted):
                    taken += 1
        browser.close()
    print(f"{taken} pictures in {folder}")  # noqa: T201  (it is asked for at the terminal)
    return 0


def _garages(place: Path) -> Iterator[tuple[Path, tuple[Screen, ...]]]:
    garage = demo_garage(place)
    with open_garage(garage) as there:
        there.new_bike(FirstAnswers(name="Wren", strokes=4, swept_cc=107.0, main="95"))
    yield garage, SCREENS
    yield place / "empty.garage", EMPTY


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
