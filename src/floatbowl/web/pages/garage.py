"""The garage: the bikes on their stands, a sentence and the next step each."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.bike.bike import Bike
from floatbowl.jobs import BareStand
from floatbowl.web.asked import Asked
from floatbowl.web.page import page
from floatbowl.web.thinking import PATIENCE
from floatbowl.words.air import air_line
from floatbowl.words.garage import stand_words
from floatbowl.words.waiting import thinking_words


@dataclass(frozen=True, slots=True, kw_only=True)
class StandTold:
    """One stand as the page shows it."""

    bike: Bike
    sentence: str
    step: str


def show(asked: Asked) -> Response:
    """Show every bike with a sentence and its next step."""
    stands = [told(asked, name) for name in asked.garage.bikes()]
    return asked.page("garage.html", stands=stands, air=air_line(asked.garage.air()))


def told(asked: Asked, name: str) -> StandTold:
    """Tell of one stand; the page waits its while at the first one only."""
    there = asked.look_at(name, patience=PATIENCE / len(asked.garage.bikes()))
    if there is None:
        return StandTold(bike=asked.garage.bike(name), sentence=thinking_words(name), step="")
    stand = there if isinstance(there, BareStand) else there.stand
    sentence, step = stand_words(stand)
    return StandTold(bike=stand.bike, sentence=sentence, step=step)


routes: list[Route] = [page("/", show)]
