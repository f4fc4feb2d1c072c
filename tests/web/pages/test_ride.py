"""The ride note: every remark can be tapped, stands once, and is taken back with one tap."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import pytest

from floatbowl.bike.rung import RUNGS
from floatbowl.jobs import FirstAnswers, reopen_demo
from floatbowl.signs.trial import Behaviour, Touched
from floatbowl.words import asked_back
from floatbowl.words.names import DID, NOT_ON_A_RUNG
from tests.web.browser import Browser
from tests.web.pages.conftest import Read
from tests.web.pages.writing import MARKUP, MARKUP_ON_A_PAGE, Typed, log_of, refused, send, written

pytestmark = pytest.mark.door
RIDE = "/bikes/magpie/ride"
TAPPED: Typed = {"at": "1/4", "did": "bogs", "how": "snap", "engine": "cold", "often": "once"}


def test_a_tapped_remark_stands_once(ask: Browser, shed: Path) -> None:
    """Four taps and Add make one entry with just what was tapped, however often it arrives."""
    (line,) = written(ask, shed, RIDE, TAPPED)
    assert line.kind == "remark"
    assert dict(line.facts) == TAPPED


def test_every_behaviour_and_opening_has_its_box(ask: Browser) -> None:
    """All that a bike can do, and every opening with one for "not known", can be tapped."""
    page = Read(ask.get(RIDE).text)
    assert sorted(page.values("did")) == sorted(get_args(Behaviour))
    assert sorted(page.values("at")) == sorted([*(at.value for at in RUNGS), "not known"])
    assert all(page.says(words.capitalize()) for words in DID.values())


@pytest.mark.parametrize("did", NOT_ON_A_RUNG)
def test_what_needs_no_opening_is_taken_without_one(ask: Browser, shed: Path, did: str) -> None:
    """What a bike does whatever the throttle is written down with no opening told."""
    (line,) = written(ask, shed, RIDE, {"did": did})
    assert "at" not in line.facts


def test_an_opening_that_nobody_knows(ask: Browser, shed: Path) -> None:
    """That nobody knows is an answer; no answer at all is asked for again, with what was tapped kept."""
    (line,) = written(ask, shed, RIDE, {"did": "bogs", "at": "not known"})
    assert "at" not in line.facts
    page = Read(refused(ask, shed, RIDE, {"did": "surges", "engine": "cold"}))
    tapped = {(box["name"], box["value"]) for box in page.fields if "checked" in box}
    assert {("did", "surges"), ("engine", "cold")} <= tapped


def test_no_behaviour_is_asked_for_again(ask: Browser, shed: Path) -> None:
    """Add without saying what it did writes nothing and keeps the opening."""
    page = Read(refused(ask, shed, RIDE, {"at": "1/2"}))
    assert any(box.get("value") == "1/2" and "checked" in box for box in page.fields)


def test_the_same_words_as_the_command(ask: Browser, shed: Path) -> None:
    """A remark said in words is the remark that the command makes of them."""
    (line,) = written(ask, shed, RIDE, {"words": "1/4 bogs --snap cold once"})
    assert dict(line.facts) == TAPPED


def test_words_that_mean_nothing_are_kept_in_their_field(ask: Browser, shed: Path) -> None:
    """What was typed stays as text, the cursor goes to it, and the reason is tied to it."""
    page = refused(ask, shed, RIDE, {"words": MARKUP})
    assert "<b>x" not in page
    assert MARKUP_ON_A_PAGE in page
    field = next(one for one in Read(page).fields if one.get("name") == "words")
    assert field["value"] == MARKUP
    assert {"autofocus", "aria-invalid"} <= field.keys()
    assert "trouble" in field["aria-describedby"].split()


def test_one_tap_takes_it_back(ask: Browser, shed: Path) -> None:
    """The page that follows an entry says it and strikes it out with one tap; another brings it back."""
    answer = send(ask, RIDE, {**TAPPED, "once": "b" * 32})
    page = ask.get(answer.headers["location"]).text
    assert Read(page).says("Written down: Bogs at 1/4 open when you snap it, cold, once.")
    undo = re.search(r'action="(/bikes/magpie/strike)".*?name="entry" value="(\d+)"', page, re.DOTALL)
    assert undo is not None
    assert send(ask, undo[1], {"entry": undo[2], "back": "ride"}).headers["location"] == RIDE
    *_, remark, strike = log_of(shed)
    assert remark.struck
    assert strike.kind == "strike"
    send(ask, undo[1], {"entry": str(strike.id), "back": "ride"})
    assert not next(line for line in log_of(shed) if line.id == remark.id).struck


def test_dying_asks_back(ask: Browser, shed: Path) -> None:
    """After "dies" the page asks how, and each answer is one tap and one entry."""
    answer = send(ask, RIDE, {"at": "1/2", "did": "dies"})
    page = Read(ask.get(answer.headers["location"]).text)
    assert page.says(asked_back.DIED_HOW)
    assert sorted(page.values("died")) == sorted(asked_back.DIED_SO)
    (said,) = written(ask, shed, RIDE, {"died": "fades", "engine": "hot"})
    assert said.facts["did"] == "fades"


def test_the_tank_cap_is_a_look(ask: Browser, shed: Path) -> None:
    """That it ran again with the tank cap open is written down as that look, and found."""
    (line,) = written(ask, shed, RIDE, {"look": asked_back.DIED_CAP[0]})
    assert (line.facts["kind"], line.facts["look"], line.facts["outcome"]) == (
        "look",
        "tank cap opened",
        "found",
    )


@pytest.fixture
def fresh(shed: Path) -> str:
    """Put a bike on a stand of which nobody said anything yet, with a name that looks like markup."""
    with reopen_demo(shed) as garage:
        garage.new_bike(FirstAnswers(name="<b>x</b>", main="110"))
    return "/bikes/%3Cb%3Ex%3C~1b%3E/ride"


def test_the_first_question(ask: Browser, shed: Path, fresh: str) -> None:
    """Before the first remark stands the question what was touched last; once answered it is gone."""
    page = Read(ask.get(fresh).text)
    assert page.says(asked_back.TOUCHED_QUESTION)
    assert sorted(page.values("touched")) == sorted(get_args(Touched))
    (line,) = written(ask, shed, fresh, {"touched": "filter"}, bike="<b>x</b>")
    assert line.facts["part"] == "filter"
    assert not Read(ask.get(fresh).text).says(asked_back.TOUCHED_QUESTION)


@pytest.mark.parametrize("how", asked_back.CLEANED)
def test_cleaning_says_how(ask: Browser, shed: Path, fresh: str, how: str) -> None:
    """How it was cleaned is kept as the looks that this amounts to, each of which found nothing."""
    touched, *looks = written(ask, shed, fresh, {"touched": "cleaning", "cleaned": how}, bike="<b>x</b>")
    assert touched.facts["part"] == "cleaning"
    assert tuple(look.facts["look"] for look in looks) == asked_back.CLEANED[how][1]
    assert {look.facts["outcome"] for look in looks} == {"clear"}


def test_a_name_that_looks_like_markup_stays_a_name(ask: Browser, fresh: str) -> None:
    """A bike named with markup is named on its pages, and marks nothing up."""
    for page in ("/ride", "/reading", "/strip", "/setup", "/log"):
        text = ask.get(f"{fresh.removesuffix('/ride')}{page}").text
        assert "<b>x" not in text
        assert "&lt;b&gt;x&lt;/b&gt;" in text


def test_an_empty_note_says_what_to_do(ask: Browser, fresh: str) -> None:
    """Where nothing was said yet the page says what to do, not that there is nothing."""
    assert Read(ask.get(fresh).text).says("Nothing happened yet. Ride, then tap what it did.")
