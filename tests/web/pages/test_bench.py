"""The bench says what the jobs and the words say, at every rung, and works by addresses alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl import jobs
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.jobs import Stand, reopen_demo
from floatbowl.words import on_page
from floatbowl.words.bench import ladder, worst_rung
from floatbowl.words.dry_fit import dry_fit_sentence, ladder_after
from floatbowl.words.garage import card_of
from floatbowl.words.ladder import ladder_table
from floatbowl.words.names import measure_name
from floatbowl.words.waiting import thinking_words
from tests.web.browser import Browser
from tests.web.pages.conftest import Read, looked_at

pytestmark = pytest.mark.door
BENCH = "/bikes/magpie"


@pytest.fixture(scope="module")
def magpie(demo_file: Path) -> Stand:
    """Think of Magpie."""
    with reopen_demo(demo_file) as garage:
        return jobs.think(garage.facts("magpie"), garage.drawer())


@pytest.fixture(scope="module")
def bench(thought: Browser) -> Read:
    """Read Magpie's bench as it opens."""
    return Read(looked_at(thought, BENCH))


def sentences(read: Read) -> dict[str, dict[str, str]]:
    """Give what stands on each rung's sentence, by its rung."""
    return {given["data-at"]: given for tag, given in read.tags if tag == "p" and "data-at" in given}


def test_every_rung_has_its_sentence(bench: Read, magpie: Stand) -> None:
    """All six sentences are there, word for word; only that of the rung where the slide stands is shown."""
    for row in ladder(magpie.belief, magpie.trials):
        assert bench.says(row.sentence), row.sentence
    here = [at for at, given in sentences(bench).items() if "hidden" not in given]
    assert here == [worst_rung(magpie.belief).value]


@pytest.mark.parametrize("at", RUNGS)
def test_the_slide_goes_where_a_link_sends_it(thought: Browser, bench: Read, at: Rung) -> None:
    """Each rung is a link; behind it the page stands at that rung, with no script."""
    assert f"?at={at.value}" in bench.links
    there = Read(looked_at(thought, f"{BENCH}?at={at.value}"))
    assert [rung for rung, given in sentences(there).items() if "hidden" not in given] == [at.value]
    lift = sentences(there)[at.value]["data-lift"]
    drawn = [given["data-lift"] for tag, given in there.tags if tag == "svg" and "data-lift" in given]
    assert drawn
    assert all(float(one) == pytest.approx(float(lift), abs=0.006) for one in drawn)


def test_the_ladder_is_a_table(bench: Read, magpie: Stand) -> None:
    """Who does not see the picture reads the same cells in a table with heads."""
    table = ladder_table(ladder(magpie.belief, magpie.trials))
    for told in (table.title, *table.heads, *(cell for row in table.rows for cell in row)):
        assert bench.says(told), told
    assert sum(tag == "th" and given.get("scope") == "row" for tag, given in bench.tags) == len(RUNGS)


def test_the_next_job_is_one_tap_away(bench: Read, magpie: Stand) -> None:
    """The box says what the card says, and leads to it."""
    told = card_of(magpie)
    for words in (told.head, told.line("why"), on_page.over_words(told)):
        assert bench.says(words), words
    assert bench.link("Job card") == f"{BENCH}/next"


def test_what_is_assumed_is_named_and_can_be_measured(bench: Read, magpie: Stand) -> None:
    """Every measure that was leaned on is named; those of the strip sheet lead to their card."""
    for path in magpie.belief.leaned_on:
        assert bench.says(measure_name(path)), path
    assert "carb.pilot_outlet_bore" in magpie.belief.leaned_on
    card = bench.link(measure_name("carb.pilot_outlet_bore"))
    assert card.startswith(f"{BENCH}/strip/")


def test_a_dry_fit_says_what_would_be(thought: Browser, magpie: Stand) -> None:
    """With a part on paper the page says what it would do, at every rung, and draws the part in its place."""
    page = looked_at(thought, f"{BENCH}?at=1/4&try=clip:4")
    with_clip = jobs.try_on_paper(magpie.belief, _with_clip(thought, 4))
    read = Read(page)
    assert read.says(dry_fit_sentence(magpie.belief, with_clip))
    for row in ladder_after(magpie.belief, with_clip):
        assert read.says(row.sentence), row.sentence
    assert "groove 4 of 5" in read.drawn
    assert read.says(on_page.NOTHING_CHANGED)


def _with_clip(browser: Browser, clip: int) -> Setup:
    with browser.shop.open_garage() as garage:
        return garage.changed("magpie", clip_from_top=clip)


def test_what_is_on_stays_pressed_and_comes_off(thought: Browser) -> None:
    """A choice that is on is marked, its link takes it off, and the other links keep it on."""
    read = Read(looked_at(thought, f"{BENCH}?at=1/4&try=clip:4"))
    pressed = [given for tag, given in read.tags if tag == "a" and "try-on" in given.get("class", "")]
    assert [given["href"] for given in pressed] == ["?at=1/4"]
    assert pressed[0]["aria-current"] == "true"
    assert read.link("main 98") == "?at=1/4&try=clip:4&try=main:98"
    assert read.link("clip in groove 3") == "?at=1/4&try=clip:3"


def test_trying_writes_nothing(at_work: Browser) -> None:
    """However much is tried on paper, the logbook stays as it was."""
    with at_work.shop.open_garage() as garage:
        before = garage.log()
    looked_at(at_work, f"{BENCH}?try=clip:4&try=main:98&try=screw:2")
    with at_work.shop.open_garage() as garage:
        assert garage.log() == before


@pytest.mark.parametrize(
    "asked", ["?try=clip:x", "?try=nonsense", "?at=5/4", "?try=needle:ZZZ", "?try=main:1&try=main:2"]
)
def test_what_means_nothing_is_said(thought: Browser, asked: str) -> None:
    """A typed address that means nothing is answered with a sentence, not with a failure."""
    answer = thought.get(f"{BENCH}{asked}")
    assert answer.status_code == 422
    assert "That did not work" in answer.text


def test_no_styles_and_no_handlers_within_the_page(thought: Browser) -> None:
    """The content policy would refuse them, so there are none."""
    page = Read(looked_at(thought, f"{BENCH}?try=clip:4"))
    names = {name for _, given in page.tags for name in given}
    assert not {name for name in names if name == "style" or name.startswith("on")}


def test_every_id_stands_once(thought: Browser) -> None:
    """Patterns, clips and labels find the thing they mean."""
    for address in (BENCH, "/", f"{BENCH}/next", "/bikes/thistle/next"):
        ids = [given["id"] for _, given in Read(looked_at(thought, address)).tags if "id" in given]
        assert len(ids) == len(set(ids)), address


def test_the_carburettor_is_there_before_the_thought(ask: Browser) -> None:
    """While a bike is first thought about its carburettor is drawn already, and the page comes again."""
    page = ask.get(BENCH).text
    read = Read(page)
    assert read.says(thinking_words("Magpie"))
    assert "data-again" in page
    assert "groove 2 of 5" in read.drawn
