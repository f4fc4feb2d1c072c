"""The guide: every page can be followed, names only what there is, and says on what its measures stand."""

import json

import pytest
from click.testing import CliRunner

from floatbowl.cli import main
from floatbowl.draw.looks import DRAWINGS
from floatbowl.guide.pages import PAGES, Page
from floatbowl.guide.strip import PARTS
from floatbowl.words.care import CARE, MOST_CARE
from floatbowl.words.guide import limit_words, page_named

JOBS = ("strip", "clean", "inspect", "float", "plug", "roll-on", "idle", "leak")


def test_there_is_a_page_for_every_job_of_the_hand() -> None:
    """From the strip-down to the leak test each job has a page, in the order of a strip-down."""
    assert tuple(page.key for page in PAGES) == JOBS


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.key)
def test_a_page_names_what_there_is(page: Page) -> None:
    """Its drawings are drawn, its cautions have words and are few, its findings have a card."""
    assert {act.drawn for act in page.acts if act.drawn} <= set(DRAWINGS)
    assert {key for act in page.acts for key in act.care} <= set(CARE)
    assert all(len(act.care) <= MOST_CARE for act in page.acts)
    assert set(page.cards) <= {part.key for part in PARTS}
    assert 3 <= len(page.acts) <= 8


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.key)
def test_a_measure_says_what_it_rests_on(page: Page) -> None:
    """Every limit ends with its ground."""
    assert all(limit_words(limit).endswith(f"({limit.ground}).") for limit in page.limits)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.key)
def test_a_line_is_short_enough_to_be_read_with_a_spanner_in_the_hand(page: Page) -> None:
    """No step is longer than two breaths."""
    assert max(len(act.text) for act in page.acts) < 200


def test_what_can_hurt_is_said_before_the_hand_moves() -> None:
    """Petrol, spray, a slide that was out and a running engine have their cautions where they come up."""
    told = {page.key: {key for act in page.acts for key in act.care} for page in PAGES}
    assert told["strip"] >= {"petrol", "slide out"}
    assert "spray" in told["clean"]
    assert told["roll-on"] >= {"test ride", "two-stroke short"}
    assert "running indoors" in told["idle"]


@pytest.mark.door
def test_a_limit_is_the_same_on_the_strip_sheet() -> None:
    """What the guide calls usual of a pilot jet is what the strip sheet does."""
    sheet = {part.key: part.limit for part in PARTS}
    (pilot,) = [limit.usual for limit in page_named("clean").limits if limit.name.startswith("Pilot")]
    assert pilot.split(":")[0] == sheet["pilot jet"].removesuffix(" across.")


@pytest.mark.door
def test_the_command_shows_the_page_with_its_cautions() -> None:
    """A page is printed step by step, each caution before its step; an unknown page is told."""
    shown = CliRunner().invoke(main, ["guide", "float"])
    assert shown.exit_code == 0
    assert shown.output.index("Engine cold, fuel tap off") < shown.output.index(
        "Bowl off, carburettor tilted"
    )
    told = json.loads(CliRunner().invoke(main, ["guide", "leak", "--json"]).stdout)
    assert told["cards"] == ["joints", "crank seals"]
    wrong = CliRunner().invoke(main, ["guide", "magneto"])
    assert wrong.exit_code == 2
