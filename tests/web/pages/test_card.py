"""What comes next, as a page: it says what the card says, and what it writes down stands once."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from floatbowl import jobs
from floatbowl.jobs import Facts, Stand, reopen_demo
from floatbowl.web.thinking import Thinking, Thought
from floatbowl.words import on_page
from floatbowl.words.card import Card
from floatbowl.words.care import CARE
from floatbowl.words.garage import card_of
from floatbowl.words.looks import LOOKS
from floatbowl.words.suspects import SUSPECTS
from floatbowl.words.tag import suspect_tallies
from floatbowl.words.tally import tally_words
from tests.web.browser import OURS, Browser, browser_on
from tests.web.pages.conftest import Read, looked_at

pytestmark = pytest.mark.door
MAGPIE, THISTLE = "/bikes/magpie", "/bikes/thistle"


@pytest.fixture(scope="module")
def stands(demo_file: Path) -> dict[str, Stand]:
    """Think of the demo's bikes."""
    with reopen_demo(demo_file) as garage:
        return {name: jobs.think(garage.facts(name), garage.drawer()) for name in garage.bikes()}


class LastThought(Thinking):
    """Has one thought of every bike, and no time for another: what a slow machine shows after an entry."""

    def __init__(self, stands: dict[str, Stand]) -> None:
        """Take the thoughts."""
        super().__init__()
        self.stands = stands
        self.facts: dict[str, Facts] = {}

    def about(self, facts: Facts, *_: object, **__: object) -> Thought:
        """Give the old thought; it is fresh as long as nothing was written down."""
        was = self.facts.setdefault(facts.bike.name, facts)
        return Thought(stand=self.stands[facts.bike.name], is_fresh=facts == was, age=3.0)


@pytest.fixture
def quick(shed: Path, stands: dict[str, Stand]) -> Browser:
    """Give a browser on a shed in which the first thought is the last one, so that nobody waits."""
    browser = browser_on(shed, thinking=LastThought(stands))
    for bike in ("magpie", "thistle"):
        assert browser.get(f"/bikes/{bike}/next").status_code == 200
    return browser


def lines(card: Card, *labels: str) -> list[str]:
    """Give the lines of a card under some labels."""
    return [text for name, text in card.lines if name in labels]


# --- what it says ------------------------------------------------------------------------------------------


def test_the_job_card_says_all_of_the_card(quick: Browser, stands: dict[str, Stand]) -> None:
    """Act, steps, why, every entry for and against, what to expect, feel, way back, care: all stand there."""
    told = card_of(stands["Magpie"])
    read = Read(quick.get(f"{MAGPIE}/next").text)
    for text in (
        told.head,
        on_page.over_words(told),
        told.close,
        *lines(told, "why", "feel", "back", "care"),
    ):
        assert read.says(text), text
    for text in lines(told, "for", "against"):
        assert read.says(" ".join(on_page.evidence_parts(text))), text
    for row in told.odds:
        assert read.says(f"{row.words} {tally_words(row.count)}"), row
    for text in lines(told, "not"):
        assert read.says(" ".join(on_page.runner_parts(text))), text


def test_crosses_are_always_shown_after_the_ticks(quick: Browser, stands: dict[str, Stand]) -> None:
    """What speaks against it stands in the same list, told by its shape and in words."""
    told = card_of(stands["Magpie"])
    read = Read(quick.get(f"{MAGPIE}/next").text)
    sides = [
        given["class"] for tag, given in read.tags if tag == "li" and given.get("class") in {"for", "against"}
    ]
    assert sides == ["for"] * len(lines(told, "for")) + ["against"] * len(lines(told, "against"))
    assert sides.count("against") >= 1
    assert read.text.count("Speaks against it:") == sides.count("against")


def test_the_tick_guards_the_button_from_another_place(quick: Browser) -> None:
    """Where the slide was out, the tick is asked for; it stands outside of the button's form and is of it."""
    read = Read(quick.get(f"{MAGPIE}/next").text)
    tick = next(field for field in read.fields if field.get("name") == "snapped")
    assert read.says(CARE["slide out"])
    assert (tick["type"], tick["form"]) == ("checkbox", "did")
    assert "required" in tick
    form = [given.get("id") for tag, given in read.tags if tag == "form"]
    assert "did" in form


def test_trying_it_on_paper_leads_to_the_bench(quick: Browser, stands: dict[str, Stand]) -> None:
    """The link tries the steps of the card, where the card expects them to be felt."""
    advice = stands["Magpie"].advice
    assert advice.expect is not None
    (step,) = advice.steps
    told = Read(quick.get(f"{MAGPIE}/next").text).link("Try it on paper")
    assert told == f"{MAGPIE}?at={advice.expect.at.value}&try={step.part}:{step.after}"


def test_the_stop_tag_says_who_is_suspected_and_how_to_look(quick: Browser, stands: dict[str, Stand]) -> None:
    """Suspects as counts of all twenty, the next look in two lines, and its two outcomes as buttons."""
    stand = stands["Thistle"]
    told, look = card_of(stand), LOOKS["soap on the joints"]
    read = Read(quick.get(f"{THISTLE}/next").text)
    for text in (told.head, *lines(told, "why", "do", "care"), *look.how, on_page.TAG_MAY_HANG, told.close):
        assert read.says(text), text
    tallies = suspect_tallies(stand.belief)
    for row in tallies:
        assert read.says(f"{row.words} {tally_words(row.count)}"), row
    assert sum(row.count for row in tallies) >= 20
    buttons = [
        field["value"] for field in read.fields if field["tag"] == "button" and field.get("name") == "outcome"
    ]
    assert buttons == ["found", "clear"]
    assert read.says(on_page.outcome_button(look.found)[0])


def test_no_command_stands_on_a_page(thought: Browser) -> None:
    """Where a button stands, nobody is told to type: no page names a command."""
    for address in (
        "/",
        MAGPIE,
        f"{MAGPIE}/next",
        f"{THISTLE}/next",
        "/bikes/otter/next",
        f"{THISTLE}/sides",
    ):
        read = Read(looked_at(thought, address))
        assert "floatbowl " not in read.text.replace("- floatbowl", ""), address


# --- what it writes down -----------------------------------------------------------------------------------


def did(
    browser: Browser, *steps: str, seen: int = 8, once: str = "a" * 32, snapped: bool = True
) -> tuple[int, str]:
    """Send that the steps were done, and give the answer's status and page."""
    data = {"fit": list(steps), "seen": str(seen), "once": once, **({"snapped": "yes"} if snapped else {})}
    answer = browser.post(f"{MAGPIE}/did", headers=OURS, data=data)
    return answer.status_code, answer.text


def setups(shed: Path) -> list[tuple[int, str, int]]:
    """Give number, main and clip of every setup of Magpie."""
    with reopen_demo(shed) as garage:
        return [(one.number, one.main, one.clip_from_top) for one in garage.setups("magpie")]


def test_what_was_done_is_fitted_once(quick: Browser, shed: Path) -> None:
    """The button fits what the card showed; a tap that arrives twice, or a second one, fits it once."""
    read = Read(quick.get(f"{MAGPIE}/next").text)
    steps, seen = read.values("fit"), int(read.value("seen"))
    for once in ("a" * 32, "a" * 32, "b" * 32):
        assert did(quick, *steps, seen=seen, once=once)[0] == 303
    assert setups(shed) == [(8, "102", 2), (9, "102", 4)]


def test_steps_of_one_strip_down_make_one_setup(quick: Browser, shed: Path) -> None:
    """What is done while it is apart is fitted with it, as one setup."""
    assert did(quick, "clip:4", "main:98")[0] == 303
    assert setups(shed) == [(8, "102", 2), (9, "98", 4)]


def test_without_the_tick_nothing_is_fitted(quick: Browser, shed: Path) -> None:
    """A slide that nobody saw snap shut is not written down; a change that leaves it in needs no tick."""
    status, page = did(quick, "clip:4", snapped=False)
    assert status == 422
    assert Read(page).says(on_page.TICK_FIRST)
    assert setups(shed) == [(8, "102", 2)]
    assert did(quick, "main:98", snapped=False)[0] == 303


def test_a_setup_changed_under_you_is_shown_first(quick: Browser, shed: Path) -> None:
    """When something else was fitted meanwhile, nothing is written down, and the page says what is."""
    with reopen_demo(shed) as garage:
        fitted = garage.fit("magpie", main="105")
    status, page = did(quick, "clip:4")
    assert status == 422
    assert Read(page).says(on_page.changed_under_you("8", fitted))
    assert setups(shed) == [(8, "102", 2), (9, "105", 2)]


def test_after_the_button_the_page_says_to_ride(quick: Browser) -> None:
    """While the new setup is thought about, the old card is gone: the page says what is fitted."""
    did(quick, "clip:4")
    read = Read(quick.get(f"{MAGPIE}/next").text)
    assert read.says(on_page.FITTED)
    assert read.says("groove 4 of 5")
    assert read.link("Ride note").startswith(f"{MAGPIE}/ride")
    assert not [field for field in read.fields if field.get("name") == "fit"]


def test_a_card_from_before_has_no_buttons(quick: Browser, shed: Path, stands: dict[str, Stand]) -> None:
    """After an entry the last card stays, marked with its age, and nothing of it can be written down."""
    with reopen_demo(shed) as garage:
        garage.record_remark("magpie", "clean")
    page = quick.get(f"{MAGPIE}/next").text
    read = Read(page)
    assert read.says(card_of(stands["Magpie"]).head)
    assert "data-again" in page
    assert read.says("worked out 3 seconds ago")
    assert not [given for tag, given in read.tags if tag == "form"]


def kinds(shed: Path, bike: str) -> list[str]:
    """Give the kinds of a bike's entries."""
    with reopen_demo(shed) as garage:
        return [line.kind for line in garage.log(bike)]


def test_not_this_one_is_set_aside_once(quick: Browser, shed: Path) -> None:
    """The button sets aside what the card showed, once; when the card has changed, nothing is set aside."""
    aside = Read(quick.get(f"{MAGPIE}/next").text).value("aside")
    assert aside == "clip:4"
    for once in ("a" * 32, "b" * 32):
        data = {"aside": aside, "once": once}
        assert quick.post(f"{MAGPIE}/aside", headers=OURS, data=data).status_code == 303
    answer = quick.post(f"{MAGPIE}/aside", headers=OURS, data={"aside": "main:98", "once": "c" * 32})
    assert answer.status_code == 422
    assert Read(answer.text).says(on_page.CARD_GONE)
    assert kinds(shed, "magpie").count("aside") == 1


def test_what_a_look_brought_is_written_down_once(quick: Browser, shed: Path) -> None:
    """One button is one reading of the look, however often it arrives; a word of one's own is refused."""
    read = Read(quick.get(f"{THISTLE}/next").text)
    data = {"look": read.value("look"), "outcome": "found", "once": read.value("once")}
    before = kinds(shed, "thistle").count("reading")
    for _ in range(2):
        assert quick.post(f"{THISTLE}/looked", headers=OURS, data=data).status_code == 303
    assert kinds(shed, "thistle").count("reading") == before + 1
    assert (
        quick.post(f"{THISTLE}/looked", headers=OURS, data={**data, "outcome": "perhaps"}).status_code == 422
    )
    with reopen_demo(shed) as garage:
        facts = garage.log("thistle")[-1].facts
    assert (facts["look"], facts["outcome"]) == ("soap on the joints", "found")


def test_a_name_of_a_tap_is_not_kept_for_the_next_form(quick: Browser) -> None:
    """Every form of a page has its own name for its tap, so that two buttons are two entries."""
    names = Read(quick.get(f"{MAGPIE}/next").text).values("once")
    assert len(names) == len(set(names)) >= 2


@pytest.mark.slow
def test_from_the_leak_to_the_next_ride(at_work: Browser, shed: Path) -> None:
    """Found, the tag says how it is mended; mended, it is written down once, and a ride comes next."""
    looked_at(at_work, f"{THISTLE}/next")
    data = {"look": "soap on the joints", "outcome": "found", "once": "a" * 32}
    at_work.post(f"{THISTLE}/looked", headers=OURS, data=data)
    read = Read(looked_at(at_work, f"{THISTLE}/next"))
    for text in SUSPECTS["air leak"].mend:
        assert read.says(on_page.without_command(text)), text
    fault = read.value("fault")
    assert fault == "air leak"
    for _ in range(2):
        answer = at_work.post(f"{THISTLE}/mended", headers=OURS, data={"fault": fault, "once": "b" * 32})
        assert answer.status_code == 303
    assert kinds(shed, "thistle").count("mend") == 1
    began = time.monotonic()
    after = Read(looked_at(at_work, f"{THISTLE}/next"))
    assert after.link("Write the ride note").startswith(f"{THISTLE}/ride"), time.monotonic() - began
    assert not after.says("Stop jetting")
