"""The garage: the bikes on their stands, a sentence and the next step each, and how thick the air is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.bike.bike import Bike
from floatbowl.bike.place import NOT_KNOWN, assume_day
from floatbowl.draw.airline import Pin, airline, pin_of
from floatbowl.draw.rungs import small_ladder
from floatbowl.draw.svg import Svg
from floatbowl.draw.tag import stop_tag
from floatbowl.jobs import BareStand, Stand
from floatbowl.web.addresses import bike_address
from floatbowl.web.asked import Asked
from floatbowl.web.page import page
from floatbowl.web.thinking import PATIENCE
from floatbowl.words import on_page
from floatbowl.words.air import air_line
from floatbowl.words.bench import bike_sentence, ladder
from floatbowl.words.card import Card
from floatbowl.words.garage import card_of
from floatbowl.words.tag import tag_count, tag_words
from floatbowl.words.waiting import thinking_words

if TYPE_CHECKING:
    from floatbowl.bike.day import Day


@dataclass(frozen=True, slots=True, kw_only=True)
class StandTold:
    """One stand as the page shows it; what is not known yet is empty."""

    bike: Bike
    sentence: str
    ladder: Svg | None = None
    tag: Svg | None = None
    over: str = ""
    head: str = ""
    kind: str = ""
    is_bare: bool = False


def show(asked: Asked) -> Response:
    """Show every bike with a sentence and its next step; where only one stands, go to its bench."""
    names = asked.garage.bikes()
    if len(names) == 1 and not asked.query("all"):
        return asked.go(bike_address(names[0]))
    stands = [told(asked, name) for name in names]
    day = asked.garage.air()
    return asked.page(
        "garage.html",
        stands=stands,
        words=on_page,
        round_words=_round_words(stands),
        place="" if day.place == NOT_KNOWN else f"{day.place}, {day.height:,.0f} m",
        air=air_line(day),
        airline=airline(_pins(asked, day, names)),
    )


def told(asked: Asked, name: str) -> StandTold:
    """Tell of one stand; the page waits its while over all of them, not at each."""
    there = asked.look_at(name, patience=PATIENCE / len(asked.garage.bikes()))
    if there is None:
        return StandTold(bike=asked.garage.bike(name), sentence=thinking_words(name))
    if isinstance(there, BareStand):
        told = on_page.too_little_words(there.bike.name, there.missing)
        return StandTold(bike=there.bike, sentence=told, is_bare=True)
    return _thought_of(there.stand)


def _thought_of(stand: Stand) -> StandTold:
    rows, card = ladder(stand.belief, stand.trials), card_of(stand)
    return StandTold(
        bike=stand.bike,
        sentence=bike_sentence(stand.belief, stand.trials),
        ladder=small_ladder(rows, title=f"The ladder of {stand.bike.name}"),
        tag=stop_tag(tag_words(stand.advice), count=tag_count(stand.advice)) if stand.tag else None,
        over=on_page.over_words(card),
        head=_step(card),
        kind=card.kind,
    )


def _step(card: Card) -> str:
    """Give the step's head: on a stop tag the tag itself says that jetting stops, so here what to do."""
    return card.line("do") if card.kind == "stop" and card.line("do") else card.head


def _round_words(stands: list[StandTold]) -> str:
    """Say in one breath how the garage stands."""
    names = [stand.bike.name for stand in stands]
    ready = [stand.bike.name for stand in stands if stand.kind == "change"]
    tagged = [stand.bike.name for stand in stands if stand.tag]
    return on_page.stands_words(names, ready=ready, tagged=tagged) if names else ""


_APART = 0.005
"""A ride in air that differs by less, kg/m3, stands under today's pin: it is the same air."""


def _pins(asked: Asked, day: Day, names: tuple[str, ...]) -> list[Pin]:
    """Pin today's air, the air in which each bike was ridden last, and that of the other places we know."""
    ridden = [(name, trials[-1].day) for name in names if (trials := asked.garage.trials(name))]
    places = [place for place in asked.garage.places() if place.name != day.place]
    today = pin_of(day, on_page.NOW_HERE, is_today=True)
    then = [pin_of(day_then, on_page.ridden_words(name)) for name, day_then in ridden]
    return [
        today,
        *(pin for pin in then if abs(pin.density - today.density) >= _APART),
        *(pin_of(assume_day(one.name, height=one.height), on_page.mild_words(one.name)) for one in places),
    ]


routes: list[Route] = [page("/", show)]
