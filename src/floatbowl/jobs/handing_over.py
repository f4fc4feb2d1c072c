"""What is handed over: setup card, wall chart, film."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from functools import lru_cache
from pathlib import Path

from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.setup import Setup
from floatbowl.jobs.nouns import Facts, HandOver, NotOnAStandError, WallChart
from floatbowl.jobs.thinking import facts_of, proof_of, think
from floatbowl.record.card_text import CardText, read_card, write_card
from floatbowl.record.store import Record
from floatbowl.record.trouble import (
    NotInDrawer,
)


def hand_over(record: Record, name: str) -> HandOver:
    """Give all that the setup card of a bike tells."""
    return hand_over_of(facts_of(record, name, None), record.drawer())


@lru_cache(maxsize=16)
def hand_over_of(facts: Facts, drawer: Drawer) -> HandOver:
    """Give all that a setup card tells, with no record at hand: from one thread at a time, as it is kept."""
    from floatbowl.advice.carry import main_bands

    stand = think(facts, drawer)
    made, belief = proof_of(stand), stand.belief
    fitted = replace(belief.setup, number=0)
    rides = [trial.day for trial in stand.trials if replace(trial.setup, number=0) == fitted]
    day = rides[-1] if rides else belief.day
    text = write_card(stand.bike.name, belief.setup, day=day, is_proven=made.is_proven)
    return HandOver(stand=stand, proof=made, set_on=day, mains=main_bands(belief, drawer), text=text)


def wall_chart(record: Record, name: str) -> WallChart:
    """Give all that the wall chart of a bike tells."""
    return wall_chart_of(facts_of(record, name, None), record.drawer())


@lru_cache(maxsize=16)
def wall_chart_of(facts: Facts, drawer: Drawer) -> WallChart:
    """Give all that a wall chart tells, with no record at hand: from one thread at a time, as it is kept."""
    from floatbowl.advice.plates import plates

    card = hand_over_of(facts, drawer)
    return WallChart(card=card, plates=plates(card.stand.belief))


def take_card(record: Record, text: str, *, now: datetime, uid: str | None = None) -> tuple[Bike, Setup]:
    """Fit what a setup card tells to the bike that it is of."""
    card = read_card(text)
    names = tuple(name for name in record.bikes() if card.is_of(name))
    if len(names) != 1:
        raise NotOnAStandError(card.name, names)
    bike, before = record.bike(names[0]), record.setup(names[0])
    setup = replace(before, **card.setup, needle=_needle_on(record, bike, card))
    return bike, record.fit(bike.name, setup, now=now, uid=uid)


def _needle_on(record: Record, bike: Bike, card: CardText) -> Needle | None:
    """Give the needle of a card: the carburettor's own, one fitted before, or one from the drawer."""
    if card.needle is None:
        return None
    fitted = [setup.needle for setup in reversed(record.setups(bike.name)) if setup.needle is not None]
    found = [one for one in (*fitted, *record.drawer().needles) if card.is_with(one.stamp)]
    if not found:
        text = f"There is no needle {card.needle} in the drawer, so we do not know its shape."
        raise NotInDrawer(text)
    return found[0]


def keep_film(path: Path, frames: Iterable[bytes], *, rate: int) -> int:
    """Keep frames, each a PNG, as a film with so many a second; give how many they were."""
    from floatbowl.record.film_file import write_film

    return write_film(path, frames, rate=rate)
