"""The proven list: every check with the entries that passed it, and the missing ones with the way to them."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.jobs import proof_of, reopen_demo, think
from floatbowl.words.proving import check_lines, checked_words
from tests.web.browser import Browser
from tests.web.pages.conftest import Read, looked_at

pytestmark = [pytest.mark.door, pytest.mark.slow]


@pytest.mark.parametrize("bike", ["magpie", "otter"])
def test_every_check_is_told_as_it_stands(thought: Browser, demo_file: Path, bike: str) -> None:
    """The page names every check and its entries, and how to make each that is missing, with a way there."""
    page = Read(looked_at(thought, f"/bikes/{bike}/proven"))
    with reopen_demo(demo_file) as garage:
        proof = proof_of(think(garage.facts(bike), garage.drawer()))
    for check in proof.checks:
        assert page.says(checked_words(check))
        assert page.says(", ".join(check.entries))
        if not check.is_done:
            do, _ = check_lines(check.key, bike=bike, is_all_done=proof.is_all_done)
            assert page.says(do)
    assert page.says("not proven yet") is not proof.is_proven
