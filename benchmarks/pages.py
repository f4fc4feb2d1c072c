"""How the pages feel: in Chromium on this machine, against the bars and against a bare page of the same size.

``python -m benchmarks.pages`` serves the demo, measures, and prints a table; times are medians. The reference
is a page of as many bytes as the bench, by the same kind of server with nothing behind it, in the same run.
Other work on the machine lengthens all of it, so how busy it was is printed beside.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from tests.browser.conftest import chromium_here, chromium_words, served
from tests.browser.shed import Shed, demo_garage, free_port
from tests.browser.visit import Visit

TIMES = 9
PAGES = ("/", "/bikes/magpie", "/bikes/magpie/next", "/bikes/magpie/ride", "/bikes/magpie/setup")
HEAVIEST = "/bikes/magpie"
TRIES = (
    "clip:4",
    "clip:3",
    "main:98",
    "main:105",
    "cutaway:2.0",
    "washer:0.5",
    "clip:1",
    "main:100",
    "clip:5",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing that was measured: value, bar and reference, where there is one, in the same unit."""

    name: str
    value: float
    bar: float
    unit: str
    reference: float | None = None

    @property
    def is_met(self) -> bool:
        """Say whether it is within its bar."""
        return self.value < self.bar


# --- the pages ---------------------------------------------------------------------------------------------


def page_ms(visit: Visit, address: str, *, times: int = TIMES) -> float:
    """Give the milliseconds until a page is loaded whole; style and script are kept from before."""
    visit.go(address)
    return statistics.median(_loaded(visit.page, address) for _ in range(times))


def _loaded(page: Page, address: str) -> float:
    page.goto(address)
    return float(page.evaluate("performance.getEntriesByType('navigation')[0].loadEventEnd"))


def first_kb(browser: Browser, shed: Shed, address: str) -> float:
    """Give the kilobytes that a browser which was never here fetches for a page."""
    visit = Visit(browser, shed)
    wire = visit.context.new_cdp_session(visit.page)
    taken: list[float] = []
    wire.on("Network.loadingFinished", lambda told: taken.append(float(told["encodedDataLength"])))
    wire.send("Network.enable")
    visit.page.goto(address)
    visit.page.wait_for_load_state("networkidle")
    visit.close()
    return sum(taken) / 1000.0


_SINCE_THE_TAP = """(button) => new Promise((done) => {
  const began = performance.now(), page = document.querySelector('.page');
  new MutationObserver((_, watch) => { watch.disconnect(); done(performance.now() - began); })
    .observe(page, { childList: true });
  button.click();
})"""


def tap_ms(visit: Visit, *, times: int = TIMES) -> float:
    """Give the milliseconds from the tap on Add until the page shows the remark as written down."""
    page = visit.go("/bikes/magpie/ride")
    taken = []
    for _ in range(times):
        page.locator("input[name=at][value='1/4']").check()
        page.locator("input[name=did][value=bogs]").check()
        taken.append(_acted(page, "form.remark button"))
    return statistics.median(taken)


def dry_fit_ms(visit: Visit, *, tries: Sequence[str] = TRIES) -> float:
    """Give the milliseconds from tapping a part to try until its twenty lines are drawn."""
    page = visit.go(HEAVIEST)
    taken = []
    for one in tries:
        page.evaluate(
            "address => document.querySelector('a.try').setAttribute('href', address)", f"?try={one}"
        )
        taken.append(_acted(page, "a.try"))
    return statistics.median(taken)


def _acted(page: Page, control: str) -> float:
    return float(page.locator(control).first.evaluate(_SINCE_THE_TAP))


def frame_ms(visit: Visit) -> float:
    """Give the milliseconds of script in one frame of a drag from stop to stop and back."""
    page = visit.go(HEAVIEST)
    grip = page.locator(".bench-wide [role=slider]").bounding_box()
    assert grip is not None
    x, y = grip["x"] + grip["width"] / 2.0, grip["y"] + grip["height"] / 2.0
    page.evaluate("floatbowlFrames.length = 0")
    page.mouse.move(x, y)
    page.mouse.down()
    for step in (*range(0, 160, 2), *range(160, -160, -2)):
        page.mouse.move(x, y + step)
    page.mouse.up()
    frames: list[float] = page.evaluate("floatbowlFrames")
    return statistics.median(frames)


# --- the reference -----------------------------------------------------------------------------------------


@contextmanager
def bare(size: int) -> Iterator[Shed]:
    """Serve a page of nothing but words, as large as is asked for, and a form that keeps nothing."""
    line = "<p>A small dirt bike stands on the stand and runs badly.</p>\n"
    body = f"<!doctype html><title>Bare</title><div class='page'>{line * (size // len(line))}</div>"

    async def show(_: Request) -> Response:
        return HTMLResponse(body)

    async def take(_: Request) -> Response:
        return RedirectResponse("/", status_code=303)

    app = Starlette(routes=[Route("/", show), Route("/take", take, methods=["POST"])])
    port = free_port()
    server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        thread.join(0.02)
    try:
        yield Shed(Path("nowhere"), address=f"http://127.0.0.1:{port}")
    finally:
        server.should_exit = True
        thread.join(10.0)


def bare_tap_ms(visit: Visit, *, times: int = TIMES) -> float:
    """Give the milliseconds of sending a form to the bare server and reading the page it leads to."""
    visit.page.goto("/")
    send = """async () => { const began = performance.now();
        await (await fetch('/take', { method: 'POST' })).text(); return performance.now() - began; }"""
    return statistics.median(float(visit.page.evaluate(send)) for _ in range(times))


# --- the whole ---------------------------------------------------------------------------------------------


def measure(browser: Browser, shed: Shed) -> list[Row]:
    """Measure all of it."""
    phone, laptop = Visit(browser, shed), Visit(browser, shed, size="laptop")
    size = len(phone.page.request.get(f"{shed.address}{HEAVIEST}").body())
    with bare(size) as plain:
        there = Visit(browser, plain)
        bare_page, bare_tap = page_ms(there, "/"), bare_tap_ms(there)
        there.close()
    rows = [
        Row(name=f"page {address}", value=page_ms(phone, address), bar=200.0, unit="ms", reference=bare_page)
        for address in PAGES
    ]
    rows += [
        Row(name="first load", value=first_kb(browser, shed, HEAVIEST), bar=250.0, unit="kB"),
        Row(name="tap saved", value=tap_ms(phone), bar=100.0, unit="ms", reference=bare_tap),
        Row(name="dry fit", value=dry_fit_ms(phone), bar=150.0, unit="ms", reference=bare_page),
        Row(name="frame of a drag", value=frame_ms(laptop), bar=8.0, unit="ms"),
    ]
    phone.close()
    laptop.close()
    return rows


def told(rows: Sequence[Row]) -> str:
    """Set the rows as a table."""
    head = f"{'':<28}{'median':>9}{'bar':>9}     {'bare page':>9}{'times':>7}"
    return "\n".join([head, *(_line(row) for row in rows)])


def _line(row: Row) -> str:
    beside = f" {row.reference:>9.1f}{row.value / row.reference:>7.1f}" if row.reference else " " * 17
    missed = "" if row.is_met else "  MISSED"
    return f"{row.name:<28}{row.value:>9.1f}{row.bar:>9.0f} {row.unit:<3}{beside}{missed}".rstrip()


def with_a_browser(work: Callable[[Browser, Shed], list[Row]]) -> list[Row]:
    """Do some measuring in a browser on a demo that is served for it."""
    found = chromium_here()
    if found is None:
        sys.exit("No Chromium here. On Debian and its kin: sudo apt-get install chromium")
    rows: list[Row] = []
    with sync_playwright() as play, tempfile.TemporaryDirectory() as place:
        browser = play.chromium.launch(executable_path=found, args=chromium_words())
        for shed in served(demo_garage(Path(place))):
            rows = work(browser, shed)
        browser.close()
    return rows


def main() -> int:
    """Measure, and print the table; 1 where a bar is missed."""
    busy = f"{os.getloadavg()[0]:.1f} busy on {os.cpu_count()} cores"
    rows = with_a_browser(measure)
    print(told(rows), f"the machine beforehand: {busy}", sep="\n")
    return 0 if all(row.is_met for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
