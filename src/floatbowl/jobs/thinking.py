"""Thinking: from facts to belief and advice, and the dice that are thrown for it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.hour import Hour
from floatbowl.bike.setup import Setup
from floatbowl.jobs.airs import air
from floatbowl.jobs.nouns import Facts, NotThereError, Proof, Sides, Stand, TooLittleKnownError
from floatbowl.record.store import Record
from floatbowl.record.trouble import (
    NotInDrawer,
)

if TYPE_CHECKING:
    from numpy.random import Generator

    from floatbowl.advice.advice import Advice
    from floatbowl.advice.carry import Carried
    from floatbowl.advice.day_sheet import DaySheet
    from floatbowl.advice.dry_fit import DryFit
    from floatbowl.advice.narrow import NextMeasure
    from floatbowl.belief.belief import Belief


def look_at_bench(record: Record, name: str, *, day: Day | None = None) -> Belief:
    """Say what this bike probably is, rung by rung."""
    return _believe(facts_of(record, name, day))


def advise_next(record: Record, name: str, *, day: Day | None = None) -> Advice:
    """Tell the rider what to fit, look at or test next on this bike."""
    return _advise(facts_of(record, name, day), record.drawer())


def next_measure(record: Record, name: str) -> NextMeasure | None:
    """Name the measure nobody took with which most of what is open goes; None where none stands out."""
    return narrows_most(look_at_bench(record, name))


def narrows_most(belief: Belief) -> NextMeasure | None:
    """Name the measure nobody took with which most of what a belief leaves open goes."""
    from floatbowl.advice.narrow import next_measure as narrows

    return narrows(belief)


def dry_fit(record: Record, name: str, changes: Mapping[str, Any]) -> tuple[Belief, DryFit]:
    """Try parts on paper: the belief as it is, and what would become of it. Nothing is written down."""
    belief = look_at_bench(record, name)
    return belief, try_on_paper(belief, changed_setup(record, belief.bike.name, changes))


def sides(record: Record, name: str, first: int, second: int) -> Sides:
    """Lay two setups side by side, by their numbers, on the belief of now."""
    one, other = setup_numbered(record, name, first), setup_numbered(record, name, second)
    _refuse_unreadable(record.bike(name).name, [one, other])
    return lay_side_by_side(look_at_bench(record, name), one, other)


def lay_side_by_side(belief: Belief, first: Setup, second: Setup) -> Sides:
    """Lay two setups side by side on one belief."""
    from floatbowl.advice.all_setups import parts_between
    from floatbowl.advice.rank import step_between

    return Sides(
        belief=belief,
        first=try_on_paper(belief, first),
        second=try_on_paper(belief, second),
        steps=tuple(step_between(part, first, second) for part in parts_between(first, second)),
    )


def setup_numbered(record: Record, name: str, number: int) -> Setup:
    """Give a setup of a bike by its number. Raises ``NotThereError`` with the numbers there are."""
    setups = {setup.number: setup for setup in record.setups(name)}
    if number not in setups:
        known = tuple(str(one) for one in sorted(setups))
        raise NotThereError(record.bike(name).name, "setup", asked=str(number), known=known)
    return setups[number]


def proof(record: Record, name: str) -> Proof:
    """Give every check of what is fitted: done, with the entries that passed it, or missing."""
    return proof_of(think(facts_of(record, name, None), record.drawer()))


def proof_of(stand: Stand) -> Proof:
    """Give every check of what is fitted at a stand."""
    from floatbowl.advice.prove import checks

    return Proof(checks=checks(stand.belief, stand.trials), is_all_done=stand.advice.kind == "done")


def prove(record: Record, name: str) -> tuple[str, ...]:
    """Name the checks that what is fitted has still to pass before it is proven; none when it is."""
    from floatbowl.advice.prove import missing_proof

    return missing_proof(look_at_bench(record, name), record.trials(name))


def think(facts: Facts, drawer: Drawer) -> Stand:
    """Think about a bike, with no record at hand: from one thread at a time, since thoughts are kept."""
    belief, advice = _believe(facts), _advise(facts, drawer)
    return Stand(bike=facts.bike, trials=facts.trials, belief=belief, advice=advice)


def try_on_paper(belief: Belief, setup: Setup) -> DryFit:
    """Say what would become of a bike with another setup."""
    from floatbowl.advice.dry_fit import dry_fit as try_it

    return try_it(belief, setup)


def warm_up() -> None:
    """Compile the sums, so that the first thought is as quick as the next."""
    from floatbowl.belief.warm import main

    main()


def facts_of(record: Record, name: str, day: Day | None) -> Facts:
    """Give all that a thought about a bike rests on; without a ``day``, in the air of now."""
    bike, setup, trials = record.bike(name), record.setup(name), record.trials(name)
    _refuse_unreadable(bike.name, [setup, *(trial.setup for trial in trials)])
    return Facts(bike=bike, setup=setup, day=day or air(record), trials=trials, aside=record.asides(name))


def _believe(facts: Facts) -> Belief:
    """Think of the facts, whatever was set aside."""
    return _believe_once(replace(facts, aside=()))


@lru_cache(maxsize=16)
def _believe_once(facts: Facts) -> Belief:
    """Think once about the same facts: the dice are thrown from the bike, so the answer would be the same.

    What was thought of the bike before is taken on from there.
    """
    from floatbowl.belief.believe import believe

    since = _thought.pop(facts.bike.name, None)
    belief = believe(
        facts.bike,
        setup=facts.setup,
        day=facts.day,
        trials=facts.trials,
        rng=dice_of(facts.bike),
        since=since,
    )
    _thought[facts.bike.name] = belief
    while len(_thought) > _MOST_THOUGHT:
        del _thought[next(iter(_thought))]
    return belief


_thought: dict[str, Belief] = {}
"""The last belief about each bike, the latest last."""
_MOST_THOUGHT = 16


@lru_cache(maxsize=16)
def _advise(facts: Facts, drawer: Drawer) -> Advice:
    from floatbowl.advice.advise import advise

    return advise(
        _believe(facts), drawer=drawer, trials=facts.trials, rng=dice_of(facts.bike), aside=facts.aside
    )


@lru_cache(maxsize=16)
def carry_thought(facts: Facts, drawer: Drawer, day: Day) -> Carried:
    """Carry a thought to another day, with no record at hand: from one thread at a time, as it is kept."""
    from floatbowl.advice.carry import carry as carry_it

    return carry_it(_believe(facts), drawer=drawer, day=day)


@lru_cache(maxsize=16)
def lay_out_day(facts: Facts, drawer: Drawer, hours: tuple[Hour, ...]) -> DaySheet:
    """Lay a day out, with no record at hand: from one thread at a time, as it is kept."""
    from floatbowl.advice.day_sheet import day_sheet as lay_out

    return lay_out(_believe(facts), drawer=drawer, hours=hours)


def dice_of(bike: Bike) -> Generator:
    """Give a bike's own dice, thrown from its measures: the same bike, the same dice, on any machine."""
    from numpy.random import default_rng

    facts = repr((bike.name, bike.engine, bike.carb, bike.fuel))
    return default_rng(int.from_bytes(hashlib.sha256(facts.encode()).digest()[:8], "big"))


def _refuse_unreadable(name: str, setups: Sequence[Setup]) -> None:
    """See that every stamp can be read or is known not to be: an older record took stamps we cannot use."""
    from floatbowl.flow.stamps import unreadable

    missing = tuple(dict.fromkeys(part for setup in setups for part in unreadable(setup)))
    if missing:
        raise TooLittleKnownError(name, missing)


def changed_setup(record: Record, name: str, changes: Mapping[str, Any]) -> Setup:
    """Give what is fitted with some fields changed; a needle is named by its stamp."""
    setup = record.setup(name)
    if "needle" not in changes:
        return replace(setup, **changes)
    return replace(setup, **{**changes, "needle": needle_of(record, name, changes["needle"])})


def needle_of(record: Record, name: str, stamp: str) -> Needle | None:
    """Give a needle of the drawer by its stamp; None for the carburettor's own."""
    needles = {one.stamp: one for one in record.drawer().needles}
    if stamp == record.bike(name).carb.needle.stamp:
        return None
    if stamp not in needles:
        text = f"There is no needle {stamp} in the drawer, so we do not know its shape."
        raise NotInDrawer(text)
    return needles[stamp]
