"""The logbook page: all lines, newest first, the struck ones struck; strike, bring back, undo."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.jobs import reopen_demo
from floatbowl.web.pages.log import MOST_LINES
from tests.web.browser import OURS, Browser
from tests.web.pages.conftest import Read
from tests.web.pages.writing import log_of, refused, send

pytestmark = pytest.mark.door
LOG = "/bikes/magpie/log"


def test_newest_first_and_nothing_missing(ask: Browser, shed: Path) -> None:
    """Every entry of the bike stands on the page by its name, the newest first."""
    text = ask.get(LOG).text
    names = [line.entry for line in log_of(shed) if line.entry]
    places = [text.index(f">{name}<") for name in names]
    assert places == sorted(places, reverse=True)


def test_undo_strikes_the_last_and_it_stays_to_be_seen(ask: Browser, shed: Path) -> None:
    """Undo strikes out the last entry, once; it is shown struck, and can be brought back."""
    last = log_of(shed)[-1]
    for _ in range(2):
        send(ask, "/bikes/magpie/undo", {"once": "d" * 32})
    struck = [line for line in log_of(shed) if line.struck]
    assert [line.id for line in struck] == [last.id]
    page = Read(ask.get(LOG).text)
    assert page.says("Bring back")
    strike = log_of(shed)[-1]
    send(ask, "/bikes/magpie/strike", {"entry": str(strike.id)})
    assert not next(line for line in log_of(shed) if line.id == last.id).struck


@pytest.mark.parametrize("entry", ["", "x", "999999", "-1", "9" * 30, "9" * 5000])
def test_what_is_no_entry_is_told(ask: Browser, shed: Path, entry: str) -> None:
    """A number that is no entry strikes nothing, and the page says so."""
    refused(ask, shed, "/bikes/magpie/strike", {"entry": entry})


def test_nothing_of_another_bike_is_struck(ask: Browser, shed: Path) -> None:
    """What stands in another bike's book, or that this one came in, is struck from none of its own pages."""
    other = next(line.id for line in log_of(shed, "otter") if line.entry)
    for entry in (other, log_of(shed)[0].id):
        refused(ask, shed, "/bikes/magpie/strike", {"entry": str(entry)})
    ask.post("/bikes/nobody/strike", data={"entry": str(other)}, headers=OURS)
    assert not any(line.struck for line in log_of(shed, "otter"))


def test_a_number_too_long_to_be_one_is_no_page(ask: Browser) -> None:
    """An address with a number that no book reaches shows the book as it is."""
    assert ask.get(f"{LOG}?before={'9' * 5000}").status_code == 200


def test_a_bike_is_not_struck_out_with_one_tap_on_its_own_page(ask: Browser, shed: Path) -> None:
    """That the bike came in is no line with a button on its own page; in the garage's logbook it is."""
    came_in = str(log_of(shed)[0].id)
    assert came_in not in Read(ask.get(LOG).text).values("entry")
    assert came_in in Read(ask.get("/log").text).values("entry")


def test_the_garage_s_lines_and_each_bike_s(ask: Browser) -> None:
    """The whole book leads to each bike's lines, and shows those of no bike alone."""
    page = Read(ask.get("/log").text)
    assert {LOG, "/bikes/thistle/log", "/log?of=garage"} <= page.links.keys()
    alone = Read(ask.get("/log?of=garage").text)
    assert alone.says("Tarn Hollow lies at 1,450 m")
    assert not alone.says("ride-1")


def test_undo_with_nothing_left_says_so(ask: Browser, shed: Path) -> None:
    """When only what came with the bike is left, undo says so and writes nothing."""
    while True:
        with reopen_demo(shed) as garage:
            if garage.undo("otter") is None:
                break
    refused(ask, shed, "/bikes/otter/undo", {}, bike="otter")


def test_a_long_book_has_pages(ask: Browser, shed: Path) -> None:
    """More lines than fit are turned to with a link, and each stands on one page only."""
    with reopen_demo(shed) as garage:
        for _ in range(MOST_LINES):
            garage.record_remark("magpie", "clean")
    first = ask.get(LOG).text
    (older,) = [address for address in Read(first).links if "before=" in address]
    second = ask.get(older).text
    for line in log_of(shed):
        if line.entry:
            assert (f">{line.entry}<" in first) + (f">{line.entry}<" in second) == 1
