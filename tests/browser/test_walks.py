"""The walks by which it is judged: a person with a phone or an old laptop goes through the pages for real."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from floatbowl.jobs import open_garage
from tests.browser.conftest import Visits, hands_for
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
    [("phone", True, False), ("laptop", True, True), ("phone", False, False)],
    ids=["by touch", "by keys alone", "without script"],
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
