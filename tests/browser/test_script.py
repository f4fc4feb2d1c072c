"""What script adds, in a real browser: the slide under finger and keys, swapped pages, taps that wait."""

from __future__ import annotations

import statistics
from functools import partial

import pytest
from playwright.sync_api import Page, Route, expect

from floatbowl.jobs import open_garage
from floatbowl.words.away import AWAY
from tests.browser.conftest import Visits
from tests.browser.shed import Shed
from tests.browser.visit import Visit

pytestmark = [pytest.mark.door, pytest.mark.slow]

FRAME_MS = 8.0
"""Script in one frame of a drag, in the middle of many: half of a frame at 60 in a second."""
FIGURE = {"phone": ".bench-narrow", "laptop": ".bench-wide"}


def lift(visit: Visit) -> float:
    """Read where the slide stands, in mm."""
    grip = visit.page.locator(f"{FIGURE[visit.size]} [role=slider]")
    return float(grip.get_attribute("aria-valuenow") or "nan")


def bench(visits: Visits, shed: Shed, *, size: str) -> Visit:
    """Open Magpie's bench at a quarter."""
    visit = visits(shed, size=size)
    visit.go("/bikes/magpie?at=1/4")
    return visit


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_the_slide_follows_the_keys(shed: Shed, visits: Visits, size: str) -> None:
    """Arrows move it a quarter of a millimetre, page keys a rung, home and end to its stops."""
    visit = bench(visits, shed, size=size)
    grip = visit.page.locator(f"{FIGURE[size]} [role=slider]")
    begun, (low, high) = (
        lift(visit),
        (float(grip.get_attribute(f"aria-value{end}") or "") for end in ("min", "max")),
    )
    grip.focus()
    seen = []
    for key in (
        "ArrowUp",
        "ArrowDown",
        "ArrowDown",
        "PageUp",
        "PageDown",
        "End",
        "ArrowUp",
        "Home",
        "PageDown",
    ):
        grip.press(key)
        visit.page.wait_for_timeout(60)
        seen.append(lift(visit))
    up, back, down, rung, again, end, still, home, stop = seen
    assert (up, back, down) == pytest.approx((begun + 0.25, begun, begun - 0.25), abs=0.011)
    assert rung == pytest.approx(begun, abs=0.011)
    assert again < begun
    assert (end, still, home, stop) == pytest.approx((high, high, low, low), abs=0.011)


def test_the_sentence_is_spoken_when_the_slide_rests(shed: Shed, visits: Visits) -> None:
    """While it moves nothing is spoken; at rest the nearest rung's sentence is, and it alone stands."""
    visit = bench(visits, shed, size="laptop")
    live, grip = visit.page.locator("#live"), visit.page.locator(".bench-wide [role=slider]")
    grip.focus()
    for _ in range(3):
        grip.press("PageUp")
        assert "3/4" not in live.inner_text()
    expect(live).to_contain_text("At full")
    sentences = visit.page.locator(".bench-says .sentence:visible")
    assert sentences.count() == 1
    assert live.inner_text() in " ".join(sentences.inner_text().split())
    assert "full" in (grip.get_attribute("aria-valuetext") or "")
    assert visit.page.url.endswith("at=full")


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_the_picture_moves_to_what_the_server_draws(shed: Shed, visits: Visits, size: str) -> None:
    """Moved by script to a rung, every moving part stands where the server draws it at that rung."""
    visit = bench(visits, shed, size=size)
    grip = visit.page.locator(f"{FIGURE[size]} [role=slider]")
    grip.press("PageUp")
    visit.page.wait_for_timeout(200)
    moved = parts(visit.page, FIGURE[size])
    visit.go("/bikes/magpie?at=1/2")
    drawn = parts(visit.page, FIGURE[size])
    assert len(moved) == len(drawn) > 20
    for one, other in zip(moved, drawn, strict=True):
        assert one == pytest.approx(other, abs=0.06)


PARTS = r"""figure => [...document.querySelector(figure)
  .querySelectorAll('[data-full], [data-rise], [data-table]')]
  .map(one => ['d', 'transform', 'r', 'opacity'].map(name => one.getAttribute(name) ?? '').join(' ')
    .match(/-?\d+(\.\d+)?/g) ?? []).map(found => found.map(Number))"""


def parts(page: Page, figure: str) -> list[list[float]]:
    """Give the numbers of every part that moves."""
    told: list[list[float]] = page.evaluate(PARTS, figure)
    return told


def test_a_finger_on_the_slide_moves_it_and_not_the_page(shed: Shed, visits: Visits) -> None:
    """Dragged by its own metal the slide rises as far as the finger goes; the page does not scroll."""
    visit = bench(visits, shed, size="phone")
    page, begun = visit.page, lift(visit)
    slide = page.locator(".bench-narrow svg [data-rise]").first
    before = slide.bounding_box()
    assert before is not None
    x, y = before["x"] + before["width"] / 2, before["y"] + before["height"] * 0.8
    finger = visit.context.new_cdp_session(page)
    touch = partial(finger.send, "Input.dispatchTouchEvent")
    touch({"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for step in range(1, 11):
        touch({"type": "touchMove", "touchPoints": [{"x": x, "y": y - 3 * step}]})
    touch({"type": "touchEnd", "touchPoints": []})
    page.wait_for_timeout(100)
    after = slide.bounding_box()
    assert after is not None
    assert before["y"] - after["y"] == pytest.approx(30.0, abs=1.5)
    assert lift(visit) > begun + 1.0
    assert page.evaluate("scrollY") == 0


def test_a_frame_of_a_drag_is_short(shed: Shed, visits: Visits) -> None:
    """Of a long drag of the wide bench, the middle frame takes less than half its time in script."""
    visit = bench(visits, shed, size="laptop")
    page = visit.page
    knob = page.locator(".bench-wide .lad-knob").bounding_box()
    assert knob is not None
    x, y = knob["x"] + knob["width"] / 2, knob["y"] + knob["height"] / 2
    page.evaluate("floatbowlFrames.length = 0")
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(120):
        page.mouse.move(x, y - 60 + step)
    page.mouse.up()
    frames: list[float] = page.evaluate("floatbowlFrames")
    assert len(frames) > 20
    assert statistics.median(frames) < FRAME_MS


def test_a_rung_is_a_tap_and_asks_the_server_nothing(shed: Shed, visits: Visits) -> None:
    """A rung's row moves the slide there at once, without a page being fetched."""
    visit = bench(visits, shed, size="phone")
    asked = len(visit.asked)
    visit.page.locator(".rung[data-stop='3/4']").click()
    expect(visit.page.locator(".rung[aria-current]")).to_have_attribute("data-stop", "3/4")
    assert len(visit.asked) == asked


# --- swapped pages -----------------------------------------------------------------------------------------


def test_a_swap_keeps_the_window_and_the_way_back(shed: Shed, visits: Visits) -> None:
    """A link is followed without the page being loaded anew; the browser's way back leads back."""
    visit = visits(shed, size="laptop")
    page = visit.go("/bikes/magpie/log")
    page.evaluate("window.stillHere = true")
    visit.act(page.get_by_role("navigation").get_by_role("link", name="Ride note").click)
    assert page.url.endswith("/bikes/magpie/ride")
    assert "Ride note" in page.title()
    expect(page.locator("#live")).to_contain_text("Ride note")
    visit.act(page.go_back)
    assert page.url.endswith("/bikes/magpie/log")
    assert page.evaluate("window.stillHere") is True


def test_the_place_is_kept_on_the_same_page(own_shed: Shed, visits: Visits) -> None:
    """After an entry on a page the focus stays in the page, and it is said what was written down."""
    visit = visits(own_shed)
    page = visit.go("/bikes/magpie/ride")
    page.get_by_label("Say it in words").fill("1/4 bogs snap")
    visit.act(page.get_by_role("button", name="Add these words").click)
    expect(page.locator("#live")).to_contain_text("Bogs")
    assert page.evaluate("document.activeElement !== document.body")


# --- taps that wait ----------------------------------------------------------------------------------------


def say(page: Page, words: str) -> None:
    """Write a remark and send it."""
    page.get_by_label("Say it in words").fill(words)
    page.get_by_role("button", name="Add these words").click()


def said(shed: Shed) -> list[str]:
    """Give what stands in the logbook of Magpie about rides, oldest first."""
    with open_garage(shed.garage) as garage:
        return [str(line.facts.get("did")) for line in garage.log("magpie") if line.kind == "remark"]


def test_taps_made_while_it_is_away_come_in_order_and_once(own_shed: Shed, visits: Visits) -> None:
    """Three entries made without a server are shown as kept, and arrive once, in order, when it is back."""
    before = said(own_shed)
    visit = visits(own_shed, may_complain=True)
    page = visit.go("/bikes/magpie/ride")
    own_shed.kill()
    for count, words in enumerate(("1/4 flat", "1/2 surges", "full thick"), 1):
        say(page, words)
        expect(page.locator("#away")).to_contain_text(f"{count} {AWAY['waiting']}")
    expect(page.locator("#away")).to_contain_text(AWAY["kept"])
    own_shed.open()
    expect(page.locator("#away")).to_contain_text(AWAY["sent"], timeout=15_000)
    assert said(own_shed) == [*before, "flat", "surges", "thick"]
    page.reload()
    visit.settle()
    page.wait_for_timeout(500)
    assert said(own_shed) == [*before, "flat", "surges", "thick"]


def test_an_answer_that_was_lost_is_no_second_entry(own_shed: Shed, visits: Visits) -> None:
    """The server writes it down and dies before it answers: sent again, it still stands once."""
    before = said(own_shed)
    visit = visits(own_shed, may_complain=True)
    page = visit.go("/bikes/magpie/ride")
    lost: list[int] = []

    def lose(route: Route) -> None:
        if route.request.method == "POST" and not lost:
            lost.append(route.fetch(max_redirects=0).status)
            route.abort()
        else:
            route.continue_()

    page.route("**/ride*", lose)
    say(page, "1/4 flat")
    expect(page.locator("#away")).to_contain_text(AWAY["sent"], timeout=15_000)
    assert lost == [303]
    assert said(own_shed) == [*before, "flat"]


def test_what_the_garage_refuses_later_is_told(own_shed: Shed, visits: Visits) -> None:
    """A kept entry that is none is not sent for ever: it is shown with the reason, and the next one goes."""
    before = said(own_shed)
    visit = visits(own_shed, may_complain=True)
    page = visit.go("/bikes/magpie/ride")
    own_shed.kill()
    say(page, "1/4 dances")
    expect(page.locator("#away")).to_contain_text("dances")
    say(page, "1/4 flat")
    expect(page.locator("#away")).to_contain_text("2 ")
    own_shed.open()
    expect(page.locator("#away")).to_contain_text(AWAY["refused"], timeout=15_000)
    expect(page.locator("#away")).to_contain_text("dances")
    assert said(own_shed) == [*before, "flat"]


def test_another_garage_does_not_get_them(own_shed: Shed, visits: Visits) -> None:
    """What is kept for one garage is not sent to another one that answers at the same address."""
    visit = visits(own_shed, may_complain=True)
    page = visit.go("/bikes/magpie/ride")
    own_shed.kill()
    say(page, "1/4 flat")
    expect(page.locator("#away")).to_contain_text(AWAY["kept"])
    other = own_shed.garage.with_name("other.garage")
    other.write_bytes(own_shed.garage.read_bytes())
    own_shed.garage = other
    before = said(own_shed)
    own_shed.open()
    page.goto("/bikes/magpie/ride")
    page.wait_for_timeout(3500)
    assert said(own_shed) == before
