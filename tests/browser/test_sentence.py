"""One sentence for a rung: on the page, at the command line, and where the slide comes to rest."""

import json
import subprocess
import sys

import pytest

from floatbowl.bike.rung import RUNGS
from tests.browser.conftest import Visits
from tests.browser.shed import Shed
from tests.browser.visit import Visit

pytestmark = [pytest.mark.door, pytest.mark.slow]


def shown(visit: Visit) -> str:
    """Give the sentence that stands on the bench."""
    sentence = visit.page.locator(".bench-says .sentence").filter(visible=True)
    return " ".join(sentence.inner_text().split())


def test_the_page_says_what_the_command_line_says(shed: Shed, visits: Visits) -> None:
    """At every rung that the slide is moved to, the bench shows the sentence that the command line prints."""
    visit = visits(shed, size="laptop")
    page = visit.go("/bikes/magpie?at=shut")
    grip = page.locator(".bench-wide [role=slider]")
    words = [sys.executable, "-m", "floatbowl", "bench", "magpie", "--json", "--garage", str(shed.garage)]
    printed = subprocess.run(words, check=True, capture_output=True, text=True).stdout
    told = {rung["at"]: rung["words"] for rung in json.loads(printed)["rungs"]}
    for rung in RUNGS:
        assert shown(visit) == told[rung.value]
        grip.press("PageUp")
        page.wait_for_timeout(60)


def test_the_slide_jumps_where_motion_is_not_wished_for(shed: Shed, visits: Visits) -> None:
    """A tap on a rung glides there in many frames; with reduced motion it is there in one."""
    frames = {}
    for is_still in (True, False):
        visit = visits(shed, size="laptop", is_still=is_still)
        page = visit.go("/bikes/magpie?at=shut")
        page.evaluate("floatbowlFrames.length = 0")
        page.locator(".stops [data-stop=full]").click()
        page.wait_for_timeout(600)
        frames[is_still] = page.evaluate("floatbowlFrames.length")
    assert frames[True] == 1
    assert frames[False] > 2
