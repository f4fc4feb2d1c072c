"""What may be tried on paper, and how it stands in an address."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qsl

import pytest

from floatbowl.bike.drawer import one_change_away
from floatbowl.jobs import Stand, reopen_demo, think
from floatbowl.web.trying import address, changes_between, choices, fields_tried, written


@pytest.fixture(scope="module")
def otter(demo_file: Path) -> Stand:
    """Think of Otter, which nothing is to be changed on."""
    with reopen_demo(demo_file) as garage:
        return think(garage.facts("otter"), garage.drawer())


def test_every_change_survives_its_address(demo_file: Path, otter: Stand) -> None:
    """Whatever one change makes of a setup, what its address says is read as the same setup."""
    fitted = otter.belief.setup
    with reopen_demo(demo_file) as garage:
        drawer = garage.drawer()
        for part, after in one_change_away(fitted, drawer, grooves=5):
            (step,) = changes_between(fitted, after)
            tries = [value for name, value in parse_qsl(address("1/4", [step])[1:]) if name == "try"]
            assert garage.changed("otter", **fields_tried(tries, bike=otter.bike)) == after, part


def test_all_that_the_drawer_allows_is_offered_once(demo_file: Path, otter: Stand) -> None:
    """Every change one step away is offered, once; nothing is on while nothing is tried."""
    fitted = otter.belief.setup
    with reopen_demo(demo_file) as garage:
        drawer = garage.drawer()
    offered = choices(fitted, fitted, bike=otter.bike, drawer=drawer, advice=otter.advice, at="1/4")
    grooves = (fitted.needle or otter.bike.carb.needle).grooves
    away = [
        changes_between(fitted, after)[0] for _, after in one_change_away(fitted, drawer, grooves=grooves)
    ]
    assert sorted(one.address for one in offered) == sorted(address("1/4", [step]) for step in away)
    assert not any(one.is_on for one in offered)


def test_what_advice_weighed_comes_first(demo_file: Path) -> None:
    """The change of the card is offered before all others, and then the runners-up in their order."""
    with reopen_demo(demo_file) as garage:
        stand, drawer = think(garage.facts("magpie"), garage.drawer()), garage.drawer()
    fitted, advice = stand.belief.setup, stand.advice
    offered = choices(fitted, fitted, bike=stand.bike, drawer=drawer, advice=advice, at="1/4")
    weighed = [*advice.steps, *(runner.steps[0] for runner in advice.runners_up)]
    assert [one.address for one in offered[: len(weighed)]] == [address("1/4", [step]) for step in weighed]


def test_what_is_on_from_afar_can_be_taken_off(demo_file: Path, otter: Stand) -> None:
    """A typed address may try what is no single step; it is offered pressed, so that it comes off again."""
    fitted = otter.belief.setup
    far = replace(fitted, screw_turns=3.25)
    with reopen_demo(demo_file) as garage:
        drawer = garage.drawer()
    offered = choices(fitted, far, bike=otter.bike, drawer=drawer, advice=otter.advice, at="full")
    (on,) = [one for one in offered if one.is_on]
    assert on.address == "?at=full"
    assert written(changes_between(fitted, far)[0]) == "screw:3.25"
