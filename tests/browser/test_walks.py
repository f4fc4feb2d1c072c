"""The walks by which it is judged: a person with a phone or an old laptop goes through the pages for real."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import urllib.request
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import numpy as np
import pytest
from numpy.random import Generator
from playwright.sync_api import Browser, Locator, expect

from floatbowl.jobs import open_garage
from floatbowl.signs.trial import Behaviour
from floatbowl.words.names import DID
from tests.browser.conftest import Visits, hands_for
from tests.browser.hands import Hands
from tests.browser.rider import Rider
from tests.browser.shed import Shed, free_port
from tests.browser.visit import Visit

pytestmark = [pytest.mark.door, pytest.mark.slow]

MOST_CHANGES = 4
MOST_CARDS = 12


# --- walk 1: cold start ------------------------------------------------------------------------------------


def test_the_demo_stands_on_a_phone(chromium: Browser) -> None:
    """Started by its one command, the demo is a readable garage on a phone, and fetches nothing outside."""
    words = ["demo", "--no-browser", "--port", str(free_port())]
    quiet = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        [sys.executable, "-m", "floatbowl", *words], stdout=subprocess.PIPE, text=True, env=quiet
    ) as demo:
        try:
            address = next(
                found[0] for line in demo.stdout or () if (found := re.search(r"http://\S+\d", line))
            )
            shed = Shed(Path("nowhere"), address=address)
            visit = Visit(chromium, shed)
            page = visit.go("/")
            for bike in ("Magpie", "Thistle", "Otter"):
                expect(page.get_by_role("heading", name=bike, exact=True)).to_be_visible()
            expect(page.get_by_role("link", name="Read the stop tag of Thistle")).to_be_visible()
            assert (visit.outside(), visit.wrong) == ([], [])
            visit.close()
        finally:
            demo.terminate()
            demo.wait(20)


# --- walks 4 and 9: Magpie to proven -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("size", "has_script", "by_keys"),
    [
        pytest.param("phone", True, False, id="by touch", marks=pytest.mark.long),
        pytest.param("laptop", True, True, id="by keys alone"),
        pytest.param("phone", False, False, id="without script", marks=pytest.mark.long),
    ],
)
def test_magpie_is_proven_by_its_cards(
    own_shed: Shed, visits: Visits, *, size: str, has_script: bool, by_keys: bool
) -> None:
    """Who follows the cards and answers from the truth has a proven Magpie after four changes at most.

    Every piece of evidence on the way is an entry of the logbook, and every part lies in the drawer.
    """
    visit = visits(own_shed, size=size, has_script=has_script)
    hands = hands_for(visit, by_keys=by_keys)
    rider = Rider("Magpie", hands)
    visit.go("/")
    hands.follow("Open the bench of Magpie")
    hands.follow("Job card")
    for _ in range(MOST_CARDS):
        rider.do_as_told()
        hands.follow("Proven")
        if f"setup {rider.fitted().number}. Proven:" in visit.page.locator(".sentence").first.inner_text():
            break
        hands.follow("Next job")
    else:
        pytest.fail("it was never proven")
    assert 1 <= rider.changes <= MOST_CHANGES
    with open_garage(own_shed.garage) as garage:
        entries = {line.entry for line in garage.log("Magpie")}
        fitted = {("main", setup.main) for setup in garage.setups("Magpie")}
        fitted |= {("pilot", setup.pilot) for setup in garage.setups("Magpie")}
        fitted |= {("cutaway", setup.cutaway) for setup in garage.setups("Magpie")}
    drawer = rider.at_hand()
    lie_there = {("main", one) for one in drawer.mains} | {("pilot", one) for one in drawer.pilots}
    lie_there |= {("cutaway", one) for one in drawer.cutaways}
    assert rider.named
    assert rider.named <= entries
    assert rider.parts <= lie_there | fitted


# --- walk 2: own bike --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("size", "has_script"), [("phone", True), ("laptop", False)])
def test_an_empty_garage_becomes_a_bench(
    empty_shed: Shed, visits: Visits, *, size: str, has_script: bool
) -> None:
    """Five answers, two of them "do not know", make a bench; pencilled is what was not answered."""
    hands = hands_for(visit := visits(empty_shed, size=size, has_script=has_script), by_keys=False)
    visit.go("/")
    hands.follow("Add a bike")
    hands.write("Its name", "Wren")
    hands.press("Next")
    hands.choose("Strokes", "Four-stroke")
    hands.write("Swept volume, cc", "107")
    hands.press("Next")
    hands.press("Do not know")
    hands.write("Main jet, as stamped", "95")
    hands.press("Next")
    hands.press("Do not know")
    hands.choose("What it does", DID["bogs"].capitalize())
    hands.choose("Where on the throttle?", "1/4")
    hands.press("Put it on the stand")
    page = visit.page
    expect(page.get_by_role("heading", name="Wren", level=1)).to_be_visible()
    drawing = page.locator("svg.cut").filter(visible=True).first
    pencilled = _pencilled(drawing)
    assert {"needle", "needle jet", "pilot ports", "fuel level", "pilot jet"} <= pencilled
    assert "main jet" not in pencilled
    assert drawing.locator(".assumed").count() > 0
    with open_garage(empty_shed.garage) as garage:
        bike, setup = garage.bike("Wren"), garage.fitted("Wren")
    assert (bike.engine.strokes, setup.main, setup.pilot) == (4, "95", "?")
    assert bike.carb.bore.is_assumed
    assert bike.carb.needle_jet_bore.is_assumed
    assert "bogs" in page.locator("main").inner_text()


def _pencilled(drawing: Locator) -> set[str]:
    """Name the parts of which the drawing tells that nobody has measured them."""
    told = drawing.locator("desc").text_content() or ""
    named = re.search(r"nobody has measured it[^:]*: ([^.]*)", told)
    return set(re.split(", | and ", named[1])) if named else set()


# --- walk 3: glove -----------------------------------------------------------------------------------------

JITTER = 12.0
"""Pixels by which a gloved finger misses the middle of what it means."""
SAID: tuple[tuple[str, Behaviour, str], ...] = (
    ("1/4", "bogs", "Snapped open"),
    ("1/2", "surges", "Steady hand"),
    ("3/4", "flat", "Long pull"),
)


@pytest.mark.parametrize("has_script", [True, False])
def test_a_glove_writes_no_wrong_note(
    shed: Shed, visits: Visits, rng: Generator, *, has_script: bool
) -> None:
    """Three notes by a finger that misses by 12 px stand as they were meant; one tap strikes each again."""
    visit = visits(shed, has_script=has_script)
    visit.go("/bikes/magpie/ride")
    before = _standing(shed)
    for at, did, how in SAID:
        page = visit.page
        _touch(visit, _box(visit, "Where on the throttle?", at), rng)
        _touch(visit, _box(visit, "What did it do?", DID[did].capitalize()), rng)
        _touch(visit, _box(visit, "How?", how), rng)
        add = page.get_by_role("button", name="Add", exact=True)
        visit.act(lambda add=add: _touch(visit, add, rng))  # type: ignore[misc]
        assert [line[1:] for line in _standing(shed)[len(before) :]] == [(at, did)]
        undo = page.get_by_role("button", name="Undo", exact=True)
        visit.act(lambda undo=undo: _touch(visit, undo, rng))  # type: ignore[misc]
        assert _standing(shed) == before


def _box(visit: Visit, legend: str, label: str) -> Locator:
    group = visit.page.get_by_role("group", name=legend, exact=True)
    return group.get_by_role("radio", name=label, exact=True)


def _touch(visit: Visit, thing: Locator, rng: Generator) -> None:
    """Touch as a glove does: somewhere within the jitter around the middle."""
    thing.scroll_into_view_if_needed()
    box = thing.bounding_box()
    assert box is not None
    way, far = rng.uniform(0.0, 2.0 * np.pi), JITTER * np.sqrt(rng.uniform())
    x, y = box["x"] + box["width"] / 2.0, box["y"] + box["height"] / 2.0
    visit.page.touchscreen.tap(x + far * np.cos(way), y + far * np.sin(way))


def _standing(shed: Shed) -> list[tuple[str, str, str]]:
    """Give the remarks on Magpie that are not struck out: entry, opening, what it did."""
    with open_garage(shed.garage) as garage:
        lines = [line for line in garage.log("Magpie") if line.kind == "remark" and not line.struck]
    return [(line.entry, str(line.facts["at"]), str(line.facts["did"])) for line in lines]


# --- walk 5: leak ------------------------------------------------------------------------------------------


def test_thistles_tag_hangs_until_the_leak_is_mended(shed: Shed, visits: Visits) -> None:
    """While the tag hangs no page leads to a jet card; mended and ridden clean it is off, and says so."""
    hands = hands_for(visit := visits(shed), by_keys=False)
    visit.go("/")
    assert "/bikes/thistle/did" not in _acts_within_reach(shed, "/bikes/thistle")
    hands.follow("Read the stop tag of Thistle")
    page = visit.page
    expect(page.get_by_role("button", name="I did it")).to_have_count(0)
    hands.press("Bubbles")
    expect(page.get_by_role("heading", name="Stop jetting. Mend the air leak first.")).to_be_visible()
    assert "/bikes/thistle/did" not in _acts_within_reach(shed, "/bikes/thistle")
    hands.press("It is mended")
    hands.follow("Setup")
    hands.write("Pilot jet", "42")
    hands.press("Write it down as fitted")
    hands.follow("Ride note")
    for at in ("Shut", "1/8", "1/4", "1/2"):
        hands.choose("Where on the throttle?", at)
        hands.choose("What did it do?", DID["clean"].capitalize())
        hands.choose("How?", "Steady hand")
        hands.press("Add")
    hands.follow("Next job")
    expect(page.locator("main")).to_contain_text("The stop tag is off: air leak mended, and ridden since.")
    expect(page.locator(".hung-tag")).to_have_count(0)
    visit.go("/")
    expect(page.get_by_role("link", name="Open the bench of Thistle")).to_be_visible()


class _Ways(HTMLParser):
    """Reads the links of a page, and where its forms send to."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.acts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        if tag == "a" and said.get("href"):
            self.links.append(said["href"] or "")
        if tag == "form" and said.get("method") == "post":
            self.acts.append(said.get("action") or "")


def _acts_within_reach(shed: Shed, bike: str) -> set[str]:
    """Follow every link within a bike's pages, and name every address that a form there sends to.

    Of pages that differ only in what stands behind the question mark, one is looked at.
    """
    found: set[str] = set()
    seen: set[str] = set()
    waiting = [bike]
    while waiting:
        address = waiting.pop()
        key = re.sub(r"=[^&]*", "", address)
        if key in seen:
            continue
        seen.add(key)
        with urllib.request.urlopen(shed.address + address) as answer:  # noqa: S310  (our own server)
            if "html" not in answer.headers["content-type"]:
                continue
            ways = _Ways()
            ways.feed(answer.read().decode())
        found |= {urljoin(address, one) for one in ways.acts}
        links = [urljoin(address, link) for link in ways.links]
        waiting += [link for link in links if urlsplit(link).path.startswith(bike)]
    assert f"{bike}/next" in seen
    return found


# --- walk 6: wrong turn ------------------------------------------------------------------------------------


def test_a_wrong_turn_is_struck_out(shed: Shed, visits: Visits) -> None:
    """The wrong main written down, ridden and struck out: setup, counts and card are those of before."""
    hands = hands_for(visit := visits(shed, size="laptop"), by_keys=False)
    before = _how_otter_stands(visit)
    hands.follow("Setup")
    right = visit.page.get_by_role("textbox", name="Main jet", exact=True).input_value()
    hands.write("Main jet", "122")
    hands.press("Write it down as fitted")
    hands.follow("Ride note")
    hands.choose("Where on the throttle?", "Full")
    hands.choose("What did it do?", DID["flat"].capitalize())
    hands.press("Add")
    assert _how_otter_stands(visit) != before
    hands.follow("Logbook")
    for line in ("flat", "122"):
        told = visit.page.locator(".ledger li:not(.is-struck)").filter(has_text=line).first
        visit.act(told.get_by_role("button").click)
    struck = visit.page.locator(".ledger li.is-struck").filter(has_text="122")
    expect(struck).to_have_count(1)
    expect(struck.locator(".struck")).to_be_visible()
    assert _how_otter_stands(visit) == before
    visit.go("/bikes/otter/setup")
    assert visit.page.get_by_role("textbox", name="Main jet", exact=True).input_value() == right


def _how_otter_stands(visit: Visit) -> tuple[str, list[str], str]:
    """Give number and parts of the setup, the counts on the bench, and the whole card."""
    page = visit.go("/bikes/otter/setup")
    setup = page.locator(".head .over").inner_text()
    page = visit.go("/bikes/otter")
    counts = page.locator(".sentence").all_text_contents()
    page = visit.go("/bikes/otter/next")
    return setup, counts, page.locator("article").inner_text()


# --- walk 10: pull the plug --------------------------------------------------------------------------------


def test_the_plug_is_pulled_in_the_middle_of_a_note(own_shed: Shed, visits: Visits) -> None:
    """Killed between two taps, the garage has what was saved; the page keeps the rest and sends it once."""
    visit = visits(own_shed, may_complain=True)
    hands = hands_for(visit, by_keys=False)
    page = visit.go("/bikes/magpie/ride")
    before, lines = _standing(own_shed), page.locator(".told li")
    _note(hands, "1/4", "bogs")
    shown = lines.count()
    hands.choose("Where on the throttle?", "1/2")
    own_shed.kill()
    hands.choose("What did it do?", DID["flat"].capitalize())
    page.get_by_role("button", name="Add", exact=True).tap()
    away = page.locator("#away")
    expect(away).to_contain_text("1")
    assert [line[1:] for line in _standing(own_shed)[len(before) :]] == [("1/4", "bogs")]
    hands.choose("Where on the throttle?", "3/4")
    hands.choose("What did it do?", DID["clean"].capitalize())
    page.get_by_role("button", name="Add", exact=True).tap()
    own_shed.open()
    expect(lines).to_have_count(shown + 2, timeout=20_000)
    told = [line[1:] for line in _standing(own_shed)[len(before) :]]
    assert told == [("1/4", "bogs"), ("1/2", "flat"), ("3/4", "clean")]
    page.wait_for_timeout(4_000)
    visit.go("/bikes/magpie/ride")
    assert [line[1:] for line in _standing(own_shed)[len(before) :]] == told


def _note(hands: Hands, at: str, did: Behaviour) -> None:
    hands.choose("Where on the throttle?", at)
    hands.choose("What did it do?", DID[did].capitalize())
    hands.press("Add")
