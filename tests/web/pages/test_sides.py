"""Side by side: what differs, and what it would do, as the job and the words have it."""

from __future__ import annotations

import pytest

from floatbowl.words import on_page
from floatbowl.words.sides import differs_words, side_rows, sides_words
from tests.web.browser import Browser
from tests.web.pages.conftest import Read, looked_at

pytestmark = pytest.mark.door
SIDES = "/bikes/thistle/sides"


@pytest.mark.parametrize(("one", "other"), [(2, 4), (4, 3)])
def test_two_setups_say_what_the_job_says(thought: Browser, one: int, other: int) -> None:
    """What differs, where it helps most, and all six rungs stand there in the words of the job."""
    read = Read(looked_at(thought, f"{SIDES}?a={one}&b={other}"))
    with thought.shop.open_garage() as garage:
        sides = garage.sides("thistle", one, other)
    assert read.says(differs_words(sides))
    assert read.says(sides_words(sides))
    for first, _ in side_rows(sides):
        assert read.says(first.sentence), first.sentence


def test_without_a_question_now_stands_beside_before(thought: Browser) -> None:
    """The setup fitted now is B, the one before it is A, and the lists have every setup, each chosen once."""
    read = Read(looked_at(thought, SIDES))
    chosen = [given["value"] for tag, given in read.tags if tag == "option" and "selected" in given]
    assert chosen == ["3", "4"]
    assert [given["value"] for tag, given in read.tags if tag == "option"] == ["2", "3", "4"] * 2
    with thought.shop.open_garage() as garage:
        assert read.says(on_page.setup_choice(garage.fitted("thistle"), is_fitted=True))


def test_one_setup_alone_says_so(thought: Browser) -> None:
    """A bike with one setup has nothing to lay beside it, and the page says when it will."""
    assert Read(looked_at(thought, "/bikes/magpie/sides")).says(on_page.ONE_SETUP)


def test_a_setup_that_is_not_there_is_named(thought: Browser) -> None:
    """A number that is no setup is answered with those that are."""
    answer = thought.get(f"{SIDES}?a=99")
    assert answer.status_code == 422
    assert "2, 3, 4" in answer.text
