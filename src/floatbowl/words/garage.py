"""The garage in words: for each bike a sentence and one next step."""

from __future__ import annotations

from collections.abc import Iterable

from floatbowl.bike.day import Day
from floatbowl.jobs import BareStand, Stand
from floatbowl.words.answers import advice_form
from floatbowl.words.bench import bike_sentence
from floatbowl.words.card import OVER, Card, card
from floatbowl.words.forms import Form, air_fields, form
from floatbowl.words.trouble import missing_words


def stand_words(stand: Stand | BareStand) -> tuple[str, str]:
    """Give the bike's sentence and the next step."""
    if isinstance(stand, BareStand):
        return missing_words(stand.bike.name, stand.missing), ""
    return bike_sentence(stand.belief, stand.trials), step_words(card_of(stand))


def card_of(stand: Stand) -> Card:
    """Give the card that hangs at a stand."""
    return card(stand.advice, bike=stand.bike, trials=stand.trials)


def step_words(told: Card) -> str:
    """Give the next step in one line: ``Job, about 20 minutes: Raise the needle one groove``."""
    minutes = f", about {told.minutes} minutes" if told.minutes else ""
    return f"{OVER[told.kind].capitalize()}{minutes}: {told.head}"


def garage_form(stands: Iterable[Stand | BareStand], *, day: Day) -> Form:
    """Give the garage."""
    return form("garage", air=air_fields(day), bikes=[_stand_fields(stand) for stand in stands])


def _stand_fields(stand: Stand | BareStand) -> Form:
    sentence, step = stand_words(stand)
    known = {"bike": stand.bike.name, "what": stand.bike.what, "words": sentence}
    if isinstance(stand, BareStand):
        return {**known, "next": None, "missing": list(stand.missing)}
    return {**known, "next": {"kind": stand.advice.kind, "words": step}, "missing": []}


def demo_form(stands: Iterable[Stand], *, day: Day, kept: str | None) -> Form:
    """Give the demo: its bikes with a sentence and the whole advice each."""
    bikes = [
        {
            "bike": stand.bike.name,
            "what": stand.bike.what,
            "words": bike_sentence(stand.belief, stand.trials),
            "advice": advice_form(stand.advice, bike=stand.bike, trials=stand.trials),
        }
        for stand in stands
    ]
    return form("demo", kept=kept, air=air_fields(day), bikes=bikes)
