"""Our sampler against a stock one of a well-kept library, on the same belief of the same bike.

Run with ``python3 go.py test benchmarks/test_sampler.py --benchmark-enable``. The stock sampler
(Foreman-Mackey, Hogg, Lang, Goodman, emcee: the MCMC hammer; from memory) knows no discrete unknowns, so the
bike is taken for sound: what is compared is the continuous part. Both call the same function of many rows.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

import emcee
import numpy as np
import pytest
from numpy.typing import NDArray
from pytest_benchmark.fixture import BenchmarkFixture

from floatbowl.belief.evidence import AllHeard
from floatbowl.belief.sample import sample, slot_odds
from floatbowl.belief.scene import Stage
from floatbowl.bike.rung import RUNGS
from tests.belief.simulated import Ground, demo_bike
from tests.belief.told import Truth, choke, ride

Array = NDArray[np.float64]
Done = TypeVar("Done")

DRAWS, RUNS, SEED = 1000, 16, 7
STEPS, BURNT = 25_000, 5_000
"""Steps of the stock sampler's walkers, and those at the start that do not count. A walker forgets where it
was in about 400: after 8,000 steps it was still on its way, and thought its error half of what it was."""
SOUND = slot_odds(np.ones(1), second=0.0)


@dataclass(frozen=True)
class Held:
    """A bike, ridden and tried with the choke, with what the signs say of any row of unknowns."""

    ground: Ground
    stage: Stage
    heard: AllHeard

    @classmethod
    def of(cls, name: str, seed: int) -> Held:
        """Let a bike tell."""
        rng = np.random.default_rng(seed)
        ground = demo_bike(name)
        stage = Stage.of(ground.bike, ground.setup, ran_on=ground.day)
        row = rng.standard_normal((1, stage.places.size))
        truth = Truth(stage=stage, z=row, fault=_sound(row))
        told = ride(truth, ground.setup, ground.day, rng, name="ride")
        told = replace(told, readings=choke(truth, ground.setup, ground.day, rng))
        return cls(ground=ground, stage=stage, heard=AllHeard.of(stage, (told,)))

    @property
    def size(self) -> int:
        """Count the unknowns."""
        return self.stage.places.size

    def log_density(self, z: Array) -> Array:
        """Give the logarithm of the belief at rows of unknowns, up to a constant."""
        return np.asarray(self.heard(z, _sound(z)) - 0.5 * np.sum(z**2, axis=1))

    def error(self, z: Array) -> Array:
        """Give the error at each rung, (draw, rung): what is told of the belief."""
        return np.asarray(self.stage.glimpse(self.ground.setup, self.ground.day, z, _sound(z)).error)


def _sound(z: Array) -> NDArray[np.int64]:
    return np.full((len(z), 2), -1)


@dataclass(frozen=True, kw_only=True)
class Found:
    """What a sampler found: mean and spread of the error at each rung, worth how many draws, in what time."""

    mean: Array
    spread: Array
    effective: Array
    seconds: float

    @property
    def speed(self) -> Array:
        """Give effective draws a second at each rung."""
        return self.effective / self.seconds


def by_ours(held: Held, seed: int, *, counted: float = 1.0) -> Found:
    """Run our sampler several times over; how its means differ tells what one run's draws are worth."""

    def evidence(z: Array, fault: NDArray[np.int64]) -> Array:
        return counted * held.heard(z, fault)

    dice = [np.random.default_rng([seed, k]) for k in range(RUNS)]
    rows, seconds = _timed(
        lambda: [sample(evidence, unknowns=held.size, log_odds=SOUND, rng=rng, draws=DRAWS).z for rng in dice]
    )
    errors = np.stack([held.error(z) for z in rows])
    spread = errors.std(axis=(0, 1))
    effective = RUNS * (spread / errors.mean(axis=1).std(axis=0, ddof=1)) ** 2
    return Found(mean=errors.mean(axis=(0, 1)), spread=spread, effective=effective, seconds=seconds)


def by_the_stock_one(held: Held, seed: int) -> Found:
    """Run the stock sampler once, for long, with few walkers; it tells its draws' worth itself."""
    walkers = 2 * held.size + 2
    sampler = emcee.EnsembleSampler(walkers, held.size, held.log_density, vectorize=True)
    start = emcee.State(np.random.default_rng(seed).standard_normal((walkers, held.size)))
    start.random_state = np.random.RandomState(seed).get_state()  # its own kind of dice
    _, seconds = _timed(lambda: sampler.run_mcmc(start, STEPS))
    rows = sampler.get_chain(discard=BURNT)
    errors = held.error(rows.reshape(-1, held.size)).reshape(*rows.shape[:2], len(RUNGS))
    forgets = emcee.autocorr.integrated_time(errors, tol=0)
    return Found(
        mean=errors.mean(axis=(0, 1)),
        spread=errors.std(axis=(0, 1)),
        effective=np.asarray(rows.shape[0] * walkers / forgets),
        seconds=seconds * (STEPS - BURNT) / STEPS,
    )


def _timed(work: Callable[[], Done]) -> tuple[Done, float]:
    start = time.process_time()
    done = work()
    return done, time.process_time() - start


def apart(one: Found, other: Found) -> tuple[float, float]:
    """Give how far apart two findings lie at the worst rung, in standard errors: means, then spreads."""
    error = np.hypot(one.spread / np.sqrt(one.effective), other.spread / np.sqrt(other.effective))
    of_mean = np.abs(one.mean - other.mean) / error
    # a spread's relative error is that of a normal law, doubled for tails longer than its
    relative = 2.0 * np.sqrt(0.5 / one.effective + 0.5 / other.effective)
    return float(of_mean.max()), float((np.abs(np.log(one.spread / other.spread)) / relative).max())


def test_the_same_belief_sooner(benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]) -> None:
    """Both find the same means and spreads, ours with over ten times as many effective draws a second.

    Control: with the evidence counted twice ours finds something else.
    """
    held = Held.of("magpie", 3)
    held.log_density(np.zeros((2, held.size)))  # the tables are made beforehand, for both
    ours, stock = by_ours(held, SEED), by_the_stock_one(held, SEED)
    benchmark(
        lambda: sample(
            held.heard, unknowns=held.size, log_odds=SOUND, rng=np.random.default_rng(SEED), draws=DRAWS
        )
    )
    of_mean, of_spread = apart(ours, stock)
    boasting = apart(by_ours(held, SEED, counted=2.0), stock)
    ratio, worth = ours.speed / stock.speed, ours.effective.mean() / RUNS
    with capsys.disabled():
        print(f"\n{held.size} unknowns: {DRAWS} draws of ours are worth {worth:.0f}; a second gives")
        print(f"  {ours.speed.mean():.0f} of ours, {stock.speed.mean():.0f} of the stock sampler's:")
        print(f"  {ratio.min():.0f} to {ratio.max():.0f} times as many, rung by rung")
        print(f"  apart in standard errors: means {of_mean:.1f}, spreads {of_spread:.1f}")
        print(f"  with every sign counted twice: {boasting[0]:.1f}, {boasting[1]:.1f}")
    assert max(of_mean, of_spread) < 4.0
    assert max(boasting) > 4.0
    assert np.median(ratio) > 10.0
