"""Is the belief as sure as it may be? Truth from before the signs, words from the signs, then its rank.

Source: Talts, Betancourt, Simpson, Vehtari, Gelman, Validating Bayesian inference algorithms with
simulation-based calibration [talts2018].
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache, partial
from unittest.mock import patch

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.advice.advise import advise
from floatbowl.advice.dry_fit import error_with
from floatbowl.belief.belief import OF, Belief
from floatbowl.belief.believe import believe, fault_odds
from floatbowl.belief.evidence import AllHeard
from floatbowl.belief.sample import slot_odds
from floatbowl.bike.drawer import one_change_away
from floatbowl.bike.faults import SECOND
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from floatbowl.signs.trial import Trial
from tests.belief.simulated import Ground, any_bike, demo_bike
from tests.belief.told import MEASURED, TOLD, Truth, ride

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

BIKES = ("magpie", "thistle", "otter")
BAND = (0.1, 0.9)
"""Shares of the likely bikes between which 16 in 20 of them lie."""
RUNG_NAMES = tuple(rung.value for rung in RUNGS)


@dataclass(frozen=True, kw_only=True)
class Plan:
    """How the bikes of one calibration are made and believed."""

    draws: int
    seed: int
    is_looked_up: bool = False
    """The truth is taken from the belief's own tables, to tell apart what looking up costs."""
    with_advice: bool = True
    told: tuple[str, ...] = tuple(TOLD)
    wider: float = 1.0
    """How many times wider the truth lies than the belief thinks: 1 but for a control."""
    counted: float = 1.0
    """How many times every sign is counted: 1 but for a control."""


@dataclass(frozen=True, kw_only=True)
class Card:
    """What one advised change was said to bring in 20 at its rung: short, right, too much; and which came."""

    told: tuple[int, int, int]
    came: int


@dataclass(frozen=True, kw_only=True)
class Case:
    """One made-up bike: what was believed of it, against what it is."""

    number: int
    told: str
    rank: dict[str, float]
    """By quantity, the share of the likely bikes below the truth, between 0 and 1; ties fall as dice do."""
    inside: Array
    """Whether the true lambda lies in the band of 16 in 20, (rung,)."""
    counts: Whole
    """Counts of the twenty, (rung, 3): short, right, too much."""
    came: Whole
    """Which of the three is true at each rung, (rung,)."""
    broken: tuple[float, bool]
    """Chance of any fault, and whether there is one."""
    suspects: Array
    """Chance of each fault and whether it is there, (fault, 2)."""
    first_is_right: bool | None
    """Whether the first suspect is there; None of a sound bike, and where nothing is suspected."""
    card: Card | None
    is_trusted: bool
    again: Whole | None
    """The counts when believed once more with other dice, (rung, 3); of one bike in ten."""


def case(number: int, plan: Plan) -> Case:
    """Make bike ``number``, let it tell, believe, and hold the belief against it."""
    rng = np.random.default_rng([plan.seed, number])
    ground, before = _before(BIKES[number % len(BIKES)], plan.draws)
    name = plan.told[number // len(BIKES) % len(plan.told)]
    hidden = any_bike(before.stage, _log_odds(before), rng)
    truth = Truth(
        stage=before.stage,
        z=plan.wider * np.reshape(hidden.z, (1, -1)),
        fault=np.reshape(np.asarray(hidden.fault), (1, -1)),
        is_looked_up=plan.is_looked_up,
    )
    trials, setup = tell(truth, ground, name, rng)
    thinking = partial(
        believe, ground.bike, setup=setup, day=ground.day, trials=trials, draws=plan.draws, since=before
    )
    with every_sign_counted(plan.counted):
        belief = thinking(rng=rng)
        again = thinking(rng=rng) if plan.with_advice and number % _TWICE == 0 else None
    made = _held_against(truth, belief, ground, rng, number=number, told=name)
    if not plan.with_advice:
        return made
    return replace(made, card=_card(truth, belief, ground, rng), again=_counts(again) if again else None)


_TWICE = 10
"""Of so many bikes one is believed twice."""


@contextmanager
def every_sign_counted(times: float) -> Iterator[None]:
    """Let the belief count every sign so many times."""
    honest = AllHeard.__call__

    def counted(self: AllHeard, z: Array, fault: Whole) -> Array:
        return times * honest(self, z, fault)

    with patch.object(AllHeard, "__call__", counted):
        yield


def tell(truth: Truth, ground: Ground, name: str, rng: Generator) -> tuple[tuple[Trial, ...], Setup]:
    """Ride a bike, in one bike of three in a second setup as well, and take the readings of that name."""
    first = ride(truth, ground.setup, ground.day, rng, name="first")
    trials, setup = [first], ground.setup
    if rng.random() < _RIDDEN_TWICE:
        setup = another_setup(ground, ground.setup, rng)
        trials.append(ride(truth, setup, ground.day, rng, name="second"))
    readings = {**TOLD, **MEASURED}[name](truth, setup, ground.day, rng)
    trials[-1] = replace(trials[-1], readings=readings)
    return tuple(trials), setup


_RIDDEN_TWICE = 1.0 / 3.0


def another_setup(ground: Ground, setup: Setup, rng: Generator) -> Setup:
    """Give a setup one change away, any part alike."""
    grooves = (setup.needle or ground.bike.carb.needle).grooves
    changes: dict[str, list[Setup]] = {}
    for part, after in one_change_away(setup, ground.drawer, grooves=grooves):
        changes.setdefault(part, []).append(after)
    part = sorted(changes)[int(rng.integers(len(changes)))]
    return replace(changes[part][int(rng.integers(len(changes[part])))], number=setup.number + 1)


@cache
def _before(name: str, draws: int) -> tuple[Ground, Belief]:
    """Give a bike of the demo, and what is believed of it before it says a word: that it ran."""
    ground = demo_bike(name)
    rng = np.random.default_rng(0)
    return ground, believe(ground.bike, setup=ground.setup, day=ground.day, trials=(), rng=rng, draws=draws)


def _log_odds(before: Belief) -> Array:
    return slot_odds(fault_odds(before.stage), second=SECOND.value)


def _held_against(
    truth: Truth, belief: Belief, ground: Ground, rng: Generator, *, number: int, told: str
) -> Case:
    seen = truth.seen(belief.setup, belief.day)
    lam, error = seen.lam[0], seen.error[0]
    low, high = np.quantile(belief.lam, BAND, axis=0)
    there = np.array([truth.has(key) for key in belief.fault_keys])
    chances = np.array([belief.has(key).mean() for key in belief.fault_keys])
    suspects = belief.suspects
    return Case(
        number=number,
        told=told,
        rank=_ranks(truth, belief, ground, rng),
        inside=(lam > low) & (lam < high),
        counts=_counts(belief),
        came=_which(error, belief.close_enough),
        broken=(1.0 - float(belief.is_sound.mean()), bool(there.any())),
        suspects=np.stack([chances, there], axis=1),
        first_is_right=truth.has(suspects[0].fault) if suspects and there.any() else None,
        card=None,
        is_trusted=belief.trust.is_good,
        again=None,
    )


def _counts(belief: Belief) -> Whole:
    return np.array([belief.counts_at(rung) for rung in RUNGS])


def _ranks(truth: Truth, belief: Belief, ground: Ground, rng: Generator) -> dict[str, float]:
    """Give the rank of the truth in every quantity that is told."""
    seen = truth.seen(belief.setup, belief.day)
    other = another_setup(ground, belief.setup, rng)
    tried = error_with(belief, other)
    by_rung = {
        "error": (belief.error, seen.error),
        "lambda": (belief.lam, seen.lam),
        "error after a change": (tried, truth.seen(other, belief.day).error),
        "lambda wanted": (belief.stage.wanted(belief.z), truth.stage.wanted(truth.z)),
    }
    ranks = {
        f"{name}, {rung}": rank(drawn[:, place], float(true[0, place]), rng)
        for name, (drawn, true) in by_rung.items()
        for place, rung in enumerate(RUNG_NAMES)
    }
    faults, true_faults = (belief.fault >= 0).sum(axis=1), float((truth.fault >= 0).sum())
    ranks["a fault present"] = rank(np.minimum(faults, 1.0), min(true_faults, 1.0), rng)
    ranks["how many faults"] = rank(faults, true_faults, rng)
    return ranks


def rank(drawn: Array, true: float, rng: Generator) -> float:
    """Give which share of the draws lies below the truth; among draws equal to it, it lies anywhere alike."""
    below, equal = int((drawn < true).sum()), int((drawn == true).sum())
    place = below + int(rng.integers(equal + 1))
    return (place + float(rng.random())) / (len(drawn) + 1.0)


def _which(error: Array, band: Array) -> Whole:
    """Give 0 where short, 1 where right, 2 where too much, (rung,)."""
    return np.where(error < -band, 0, np.where(error > band, 2, 1))


def _card(truth: Truth, belief: Belief, ground: Ground, rng: Generator) -> Card | None:
    """Ask for advice and see what its change would bring; None if no change is advised."""
    advice = advise(belief, drawer=ground.drawer, trials=belief.trials, rng=rng)
    if advice.kind != "change" or advice.expect is None:
        return None
    expect, place = advice.expect, RUNGS.index(advice.expect.at)
    error = truth.seen(advice.setup, belief.day).error[0]
    return Card(
        told=(expect.short, expect.right, expect.too_much),
        came=int(_which(error, belief.close_enough)[place]),
    )


# --- what many cases show ----------------------------------------------------------------------------------


def boast(made: list[Case], *, of: str = "error") -> float:
    """Give the mean square of twice the rank less one: a third if honest, more if too sure, less if shy."""
    return float(_squares(made, of).mean())


def boast_error(made: list[Case], *, of: str = "error") -> float:
    """Give the standard error of the boast: rungs of one bike hang together, so bikes are what is counted."""
    return float(_squares(made, of).mean(axis=1).std(ddof=1) / np.sqrt(len(made)))


def _squares(made: list[Case], of: str) -> Array:
    ranks = ranks_of(made, of)
    return np.asarray((2.0 * ranks - 1.0) ** 2)


def ranks_of(made: list[Case], of: str) -> Array:
    """Give the ranks of one quantity at every rung, (case, rung)."""
    return np.array([[one.rank[f"{of}, {rung}"] for rung in RUNG_NAMES] for one in made])


@dataclass(frozen=True, kw_only=True)
class Told:
    """Counts that were told: between which, how many such, what was told and what came true in 20."""

    low: int
    high: int
    many: int
    told: float
    came: float
    error: float
    """Standard error of what came true."""


def counts_table(told: Whole, came: NDArray[np.bool_], groups: list[tuple[int, int]]) -> list[Told]:
    """Give for each range of counts how many were told, what was told, and what came true."""
    rows = []
    for low, high in groups:
        here = (told >= low) & (told <= high)
        if here.sum() > 1:
            share = float(came[here].mean())
            # one that came true and one that did not are added, so that few cases do not look sure
            some = (came[here].sum() + 1.0) / (here.sum() + 2.0)
            error = float(np.sqrt(some * (1.0 - some) / here.sum()))
            rows.append(
                Told(
                    low=low,
                    high=high,
                    many=int(here.sum()),
                    told=float(told[here].mean()),
                    came=OF * share,
                    error=OF * error,
                )
            )
    return rows


def all_counts(made: list[Case]) -> tuple[Whole, NDArray[np.bool_]]:
    """Give every count of the twenty at every rung, and whether it came true, one after the other."""
    told = np.concatenate([one.counts.ravel() for one in made])
    came = np.concatenate([(one.came[:, None] == np.arange(3)).ravel() for one in made])
    return told, came


def all_cards(made: list[Case]) -> tuple[Whole, NDArray[np.bool_]]:
    """Give of every advised change in how many of 20 it was said to come right, and whether it did."""
    cards = [one.card for one in made if one.card is not None]
    return np.array([card.told[1] for card in cards]), np.array([card.came == 1 for card in cards])
