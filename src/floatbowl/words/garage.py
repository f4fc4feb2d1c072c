"""The garage in words: for each bike a sentence and one next step."""

from __future__ import annotations

from collections.abc import Iterable

from floatbowl.bike.day import Day
from floatbowl.jobs import Stand
from floatbowl.words.bench import bike_sentence
from floatbowl.words.card import OVER, card
from floatbowl.words.forms import Form, air_fields, form
from floatbowl.words.trouble import missing_words


def stand_words(stand: Stand) -> tuple[str, str, str]:
    """Give the bike's name, its sentence, and the next step."""
    if stand.belief is None or stand.advice is None:
        return stand.bike.name, missing_words(stand.bike.name, stand.missing), ""
    told = card(stand.advice, bike=stand.bike, trials=stand.trials)
    minutes = f", about {told.minutes} minutes" if told.minutes else ""
    step = f"{OVER[told.kind].capitalize()}{minutes}: {told.head}"
    return stand.bike.name, bike_sentence(stand.belief, stand.trials), step


def garage_form(stands: Iterable[Stand], *, day: Day) -> Form:
    """Give the garage."""
    return form("garage", air=air_fields(day), bikes=[_stand_fields(stand) for stand in stands])


def _stand_fields(stand: Stand) -> Form:
    name, sentence, step = stand_words(stand)
    return {
        "bike": name,
        "what": stand.bike.what,
        "words": sentence,
        "next": {"kind": stand.advice.kind if stand.advice else None, "words": step},
        "missing": list(stand.missing),
    }
