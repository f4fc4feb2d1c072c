"""Every page there is, held against what any page must keep: seen, read, touched, nothing from outside."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.base import AXE_FILE_PATH
from playwright.sync_api import Browser, Page, expect

from floatbowl.guide.pages import PAGES as GUIDE
from floatbowl.guide.strip import PARTS
from floatbowl.jobs import FirstAnswers, open_garage
from floatbowl.web.app import every_page
from floatbowl.words.measuring import WRITTEN
from tests.browser.conftest import Visits, served
from tests.browser.shed import Shed, demo_garage
from tests.browser.visit import LAPTOP, NARROW, PHONE, Visit

pytestmark = [pytest.mark.door, pytest.mark.slow]

CHECKS = Path(__file__).with_name("checks.js").read_text(encoding="utf-8")
AXE = Path(AXE_FILE_PATH).read_text(encoding="utf-8")
GRAVE = {"serious", "critical"}
THEMES = ("paper", "sun", "lamp")
BIKES = ("magpie", "thistle", "otter", "wren")
"""One with a job card, one with a stop tag, one with nothing to do, one of which hardly anything is known."""

OF_BIKE = ("", "/next", "/ride", "/strip", "/setup", "/log", "/proven", "/sides", "/reading")
SINGLE = (
    "/",
    "/drawer",
    "/air",
    "/settings",
    "/log",
    "/log?of=garage",
    "/bikes/new",
    *(f"/bikes/new?name=Robin&strokes=4&cc=125&step={step}" for step in range(1, 6)),
    "/bikes/magpie?at=full&try=clip:4&try=main:98",
    "/bikes/magpie/ride?said=ride-1",
    "/bikes/magpie/takealong",
    "/guide",
    *(f"/guide/{one.key}" for one in GUIDE),
    "/bikes/thistle/sides?a=2&b=4",
    *(f"/bikes/otter/{rest}" for rest in ("carry", "day", "card", "chart", "from-file")),
    *(f"/bikes/otter/from-file/{kind}" for kind in ("sound", "log")),
    *(f"/bikes/magpie/reading?kind={kind}" for kind in WRITTEN),
    *(f"/bikes/magpie/strip/{part.key}" for part in PARTS if part.key not in {"fuel screw", "crank seals"}),
)
NOT_THERE = ("/nowhere", "/bikes/nobody", "/bikes/magpie?at=9/9")
ADDRESSES = (*(f"/bikes/{bike}{rest}" for bike in BIKES for rest in OF_BIKE), *SINGLE, *NOT_THERE)
NO_HTML = (
    "/bikes/{bike}/file",
    "/bikes/{bike}/card.pdf",
    "/bikes/{bike}/takealong.html",
    *(f"/bikes/{{bike}}/chart-{a}.pdf" for a in ("a3", "a4")),
)
"""Addresses that hand out a file."""
AT_THE_DOOR = "/door"
"""Stands there only with --lan; looked at by itself."""

Findings = dict[str, list[str]]
"""What is wrong, page by page."""


@pytest.fixture(scope="module")
def found(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Findings]:
    """Visit every page once, and note what each check finds there."""
    garage = demo_garage(tmp_path_factory.mktemp("pages"))
    with open_garage(garage) as there:
        there.new_bike(FirstAnswers(name="Wren", strokes=4, swept_cc=107.0, main="95"))
    found: dict[str, Findings] = {}
    for shed in served(garage):
        visit = Visit(chromium, shed)
        for address in ADDRESSES:
            for check, wrong in looked_at(visit, address).items():
                found.setdefault(check, {})[address] = wrong
        visit.close()
    return found


def looked_at(visit: Visit, address: str) -> Findings:
    """Look at one page in every way, and give what is wrong by the name of the check."""
    page = visit.go(address)
    page.evaluate(CHECKS)
    page.evaluate(AXE)
    told = {
        "headings": wrong(page, "badHeadings"),
        "focus": wrong(page, "badFocus"),
        "targets": wrong(page, "badTargets"),
        "fit": wrong(page, "badFit"),
        "axe": axe(page),
    }
    for theme in ("sun", "lamp"):
        page.evaluate("name => { document.documentElement.dataset.theme = name }", theme)
        told["axe"] += [f"{theme}: {one}" for one in axe(page, "cat.color")]
    page.evaluate("() => { delete document.documentElement.dataset.theme }")
    page.set_viewport_size(LAPTOP)
    told["targets"] += [f"on a laptop: {one}" for one in wrong(page, "badTargets")]
    told["fit"] += [f"on a laptop: {one}" for one in wrong(page, "badFit")]
    page.set_viewport_size(NARROW)
    told["targets"] += [f"at 320 px: {one}" for one in wrong(page, "badTargets")]
    told["fit"] += [f"at 320 px: {one}" for one in wrong(page, "badFit")]
    page.set_viewport_size(PHONE)
    page.evaluate("() => { document.documentElement.dataset.text = '200' }")
    told["fit"] += [f"at twice the text: {one}" for one in wrong(page, "badFit")]
    told["outside"], told["complaints"] = visit.outside(), complaints(visit, address)
    visit.asked.clear()
    visit.wrong.clear()
    return told


def wrong(page: Page, check: str) -> list[str]:
    """Ask one of the checks of ``checks.js``."""
    told: list[str] = page.evaluate(f"checks.{check}()")
    return told


def axe(page: Page, *tags: str) -> list[str]:
    """Give the grave findings of axe-core; with ``tags`` only of rules that have them."""
    options: dict[str, Any] = {"resultTypes": ["violations"]}
    if tags:
        options["runOnly"] = list(tags)
    told = page.evaluate("options => axe.run(options)", options)["violations"]
    return [
        f"{one['id']}: {node['html'][:90]}" for one in told if one["impact"] in GRAVE for node in one["nodes"]
    ]


def complaints(visit: Visit, address: str) -> list[str]:
    """Give what a page complained of; that a page is not there may be said by a page that is not."""
    told = list(visit.wrong)
    if address in NOT_THERE:
        told = [one for one in told if not re.search(r"status of 4\d\d", one)]
    return told


def only_wrong(findings: Findings) -> Findings:
    """Leave out the pages with which nothing is wrong."""
    return {address: wrong for address, wrong in findings.items() if wrong}


def test_every_page_is_visited() -> None:
    """No page of the app is left out here."""
    paths = {address.partition("?")[0] for address in ADDRESSES}
    shown = [route for route in every_page() if "GET" in (route.methods or ())]
    left = [
        route.path
        for route in shown
        if route.path not in {*NO_HTML, AT_THE_DOOR}
        and not any(route.path_regex.fullmatch(path) for path in paths)
    ]
    assert left == []


def test_axe_finds_nothing_grave(found: dict[str, Findings]) -> None:
    """In paper, sun and lamp axe-core has nothing serious or critical against any page."""
    assert only_wrong(found["axe"]) == {}


def test_no_request_leaves_the_machine(found: dict[str, Findings]) -> None:
    """Not one request of any page goes anywhere but to the garage."""
    assert only_wrong(found["outside"]) == {}


def test_no_page_complains(found: dict[str, Findings]) -> None:
    """No script fails and the content policy refuses nothing."""
    assert only_wrong(found["complaints"]) == {}


def test_headings_are_in_order(found: dict[str, Findings]) -> None:
    """Every page begins with its one first heading, and no level is left out below."""
    assert only_wrong(found["headings"]) == {}


def test_targets_are_large_and_apart(found: dict[str, Findings]) -> None:
    """Whatever is touched is 48 px or more both ways and 8 px from the next, on every size of glass."""
    assert only_wrong(found["targets"]) == {}


def test_nothing_is_cut_off(found: dict[str, Findings]) -> None:
    """At 320 px, at twice the text, on a phone and on a laptop: no scrolling sideways, no word cut off."""
    assert only_wrong(found["fit"]) == {}


def test_the_focus_is_seen(found: dict[str, Findings]) -> None:
    """Whatever takes the focus shows it with a line of 3 px."""
    assert only_wrong(found["focus"]) == {}


# --- the same in a garage with nothing in it, and after a slip --------------------------------------------


def test_an_empty_garage_keeps_it_all(empty_shed: Shed, visits: Visits) -> None:
    """With nothing in it the garage keeps all that its pages keep when it is full."""
    visit = visits(empty_shed)
    for address in ("/", "/bikes/new", "/drawer", "/air", "/settings", "/log"):
        told = looked_at(visit, address)
        assert only_wrong(told) == {}, address


def test_a_slip_is_shown_where_it_was_made(shed: Shed, visits: Visits) -> None:
    """A note without its opening comes back with a sentence and what was chosen, and keeps all the rest."""
    visit = visits(shed, may_complain=True)
    page = visit.go("/bikes/magpie/ride")
    box = page.get_by_role("group", name="What did it do?").get_by_role("radio", name="Bogs", exact=True)
    box.tap()
    visit.act(page.get_by_role("button", name="Add", exact=True).tap)
    expect(page.get_by_role("alert")).to_contain_text("Say where on the throttle")
    expect(box).to_be_checked()
    page.evaluate(CHECKS)
    page.evaluate(AXE)
    assert [*axe(page), *wrong(page, "badTargets"), *wrong(page, "badFit"), *wrong(page, "badHeadings")] == []


# --- the checks can fail -----------------------------------------------------------------------------------

BAD = """
<html lang="en"><head><title>Bad</title><style>
  button{width:30px;height:30px;margin:0;padding:0} a:focus{outline:none} p{width:900px}
  .cut{width:40px;overflow:hidden;white-space:nowrap} .pale{color:#ccc;background:#fff}
</style></head><body><main id="main"><h1>Bad</h1><h3>Skipped</h3><p>Too wide for any phone.</p>
<div class="cut">A word that is cut off</div><a href="/">No ring</a><button>a</button><button>b</button>
<span class="pale">Hardly seen</span></main></body></html>
"""


def test_the_checks_find_what_is_bad(shed: Shed, visits: Visits) -> None:
    """A page that is bad in every way is found to be so by every check."""
    visit = visits(shed, may_complain=True)
    visit.page.set_content(BAD)
    visit.page.evaluate(CHECKS)
    visit.page.evaluate(AXE)
    assert any("h3" in one for one in wrong(visit.page, "badHeadings"))
    targets = wrong(visit.page, "badTargets")
    assert any("30 x 30" in one for one in targets)
    assert any("too near" in one for one in targets)
    fit = wrong(visit.page, "badFit")
    assert any("scrolls sideways" in one for one in fit)
    assert any("cut off" in one for one in fit)
    assert any("No ring" in one for one in wrong(visit.page, "badFocus"))
    assert any("color-contrast" in one for one in axe(visit.page))


def test_a_request_outside_and_a_refused_script_are_noticed(chromium: Browser, shed: Shed) -> None:
    """The window notes a picture fetched from elsewhere, and a script that the content policy refuses."""
    visit = Visit(chromium, shed)
    visit.go("/settings")
    visit.page.evaluate(
        "document.body.append(Object.assign(document.createElement('script'), {textContent: '1'}))"
    )
    assert any("Content Security Policy" in one for one in visit.wrong)
    assert visit.outside() == []
    visit.page.goto("about:blank")
    elsewhere = "http://127.0.0.2:9/x.png"
    visit.page.set_content(f"<img src='{elsewhere}'>")
    assert elsewhere in visit.outside()
    visit.close()
