"""A visit: entries stand once, refused ones are shown again, and every trouble is a page of ours."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from floatbowl.bike.drawer import Drawer
from floatbowl.jobs import Facts, reopen_demo
from floatbowl.web.thinking import Thought
from floatbowl.words.waiting import stale_words
from tests.web.browser import OURS, Browser, browser_on

BOGS = {"did": "bogs", "at": "1/4", "engine": "hot", "often": "once"}


def heard_of(shed: Path, bike: str = "magpie") -> int:
    """Count the lines in the logbook of a bike."""
    with reopen_demo(shed) as garage:
        return len(garage.log(bike))


def test_an_entry_sent_twice_stands_once(ask: Browser, shed: Path) -> None:
    """The same tap that arrives twice, as after a lost answer, is one entry; another tap is another."""
    before = heard_of(shed)
    for once in ("a" * 32, "a" * 32, "b" * 32):
        answer = ask.post("/bikes/magpie/ride", headers=OURS, data={**BOGS, "once": once})
        assert answer.status_code == 303, answer.text
    assert heard_of(shed) == before + 2


def test_an_entry_leads_on_so_that_going_back_sends_nothing(ask: Browser) -> None:
    """What was written down is answered with the way to a page, never with a page."""
    answer = ask.post("/bikes/magpie/ride", headers=OURS, data=BOGS)
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/bikes/magpie/")


def test_a_refused_entry_is_shown_again_with_the_reason(ask: Browser, shed: Path) -> None:
    """What cannot be understood is written nowhere; the page comes back with why, and with what was typed."""
    before = heard_of(shed)
    answer = ask.post("/bikes/magpie/ride", headers=OURS, data={"words": "1/4 <b>dances</b>"})
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert "&lt;b&gt;dances&lt;/b&gt;" in answer.text
    assert "<b>dances" not in answer.text
    assert heard_of(shed) == before


@pytest.mark.parametrize("path", ["/bikes/wren", "/bikes/wren/ride", "/bikes/%3Cscript%3E"])
def test_a_bike_that_is_not_there(ask: Browser, path: str) -> None:
    """A bike that does not stand here gets a page that names those that do."""
    answer = ask.get(path)
    assert answer.status_code == 404
    assert "Magpie" in answer.text
    assert "<script>" not in answer.text


def test_capitals_make_no_difference(ask: Browser) -> None:
    """An address typed by hand finds the bike whatever its capitals."""
    assert ask.get("/bikes/MAGPIE/ride").status_code == 200


def damaged(shed: Path) -> Path:
    """Spoil a shed by an entry that leans on one that is not there, as a torn copy might have it."""
    torn = "insert into entry (uid, at, kind, day, body) values ('torn', '2026-11-12', 'place', 999999, '{}')"
    with closing(sqlite3.connect(shed)) as connection:
        connection.execute("pragma foreign_keys = off")
        connection.execute(torn)
        connection.commit()
    return shed


def test_a_damaged_record_is_shown_and_not_written(shed: Path) -> None:
    """Pages of a damaged record open to be read and say so; an entry is refused with the same sentence."""
    browser = browser_on(damaged(shed))
    shown = browser.get("/bikes/magpie/log")
    assert shown.status_code == 200
    assert "is damaged" in shown.text
    refused = browser.post("/bikes/magpie/ride", headers=OURS, data=BOGS)
    assert refused.status_code == 422
    assert "is damaged" in refused.text


def test_a_record_that_cannot_be_opened_at_all(tmp_path: Path) -> None:
    """A file that is no record of ours is left alone, and every page says what it is."""
    other = tmp_path / "shopping.garage"
    other.write_text("milk, bread, plugs", encoding="utf-8")
    answer = browser_on(other).get("/drawer")
    assert answer.status_code == 503
    assert "is not a record of floatbowl" in answer.text
    assert other.read_text(encoding="utf-8") == "milk, bread, plugs"


def test_each_page_says_which_garage_it_is_of(shed: Path, tmp_path: Path) -> None:
    """Taps kept for one garage are not sent to another at the same address: pages carry the garage's mark."""
    other = Path(shutil.copy(shed, tmp_path / "other.garage"))
    marks = []
    for file in (shed, shed, other):
        shown = browser_on(file).get("/bikes/magpie/ride").text
        marks.append(shown.split('data-garage="')[1].split('"')[0])
    assert marks[0] == marks[1] != marks[2]


def test_thinking_is_not_asked_by_who_only_writes(shed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A tap is saved without a thought: not even a garage that cannot think loses one."""
    browser = browser_on(shed)

    def fail(*_: object, **__: object) -> None:
        raise AssertionError

    monkeypatch.setattr(browser.shop.thinking, "about", fail)
    answer = browser.post("/bikes/magpie/ride", headers=OURS, data=BOGS)
    assert answer.status_code == 303


def test_an_entry_made_on_a_page_of_another_garage_is_not_taken(ask: Browser, shed: Path) -> None:
    """A page left open while another garage was opened at its address writes nothing into that one."""
    before = heard_of(shed)
    shown = ask.get("/bikes/magpie/ride").text
    once = shown.split('name="once" value="')[1].split('"')[0]
    foreign = f"000000000000.{once.partition('.')[2]}"
    refused = ask.post("/bikes/magpie/ride", headers=OURS, data={**BOGS, "once": foreign})
    assert refused.status_code == 409
    assert "another garage" in refused.text
    assert heard_of(shed) == before
    assert ask.post("/bikes/magpie/ride", headers=OURS, data={**BOGS, "once": once}).status_code == 303


@pytest.mark.slow
def test_a_thought_from_before_is_shown_with_its_age(
    thought: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While it thinks, the bench stands there as it was, says how old that is, and looks again by itself."""
    about = thought.shop.thinking.about

    def late(facts: Facts, drawer: Drawer, *, patience: float = 0.0) -> Thought | None:
        known = about(facts, drawer, patience=60.0 + patience)
        return known and replace(known, is_fresh=False, age=75.0)

    monkeypatch.setattr(thought.shop.thinking, "about", late)
    shown = thought.get("/bikes/magpie").text
    assert stale_words(75.0) in shown
    assert "worked out 1 minute ago" in shown
    assert "data-bench" in shown
    assert "data-again" in shown
    assert '<noscript><meta http-equiv="refresh"' in shown


@pytest.mark.slow
def test_a_fresh_thought_says_nothing_of_its_age(thought: Browser) -> None:
    """When the thought takes in the last entry, nothing is said of waiting and nothing is fetched again."""
    with thought.shop.open_garage() as garage:
        thought.shop.thinking.about(garage.facts("magpie"), garage.drawer(), patience=60.0)
    shown = thought.get("/bikes/magpie").text
    assert "worked out" not in shown
    assert "data-again" not in shown
