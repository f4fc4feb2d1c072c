"""How often roll-ons of two setups are told apart rightly: ``python -m benchmarks.roll_ons N SEED``.

A bike is pulled along a lane by the second law of motion: mass, a torque curve,
air, tyres, a slope and a wind that help one way, gusts that differ from run to
run, an engine that is never twice the same. Its engine speed is heard with noise,
and the runs go the whole way through what a rider's would: from trace to time, from
times to what is said.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.signs.roll_on_runs import Difference, Run, Timed, compare, seconds_between
from floatbowl.signs.trial import Way

Array = NDArray[np.float64]

RPM_PER_SPEED = 350.0
"""Turns a minute for each metre a second in the gear that is held."""
MASS, PULL, AREA, TYRES, AIR = 185.0, 560.0, 0.55, 0.02, 1.2
LOW, HIGH = 4200.0, 7200.0
WAYS: tuple[Way, ...] = ("there", "back")


@dataclass(frozen=True, slots=True)
class Evening:
    """What one evening holds for both setups: wind along the lane, m/s, its slope, and how gusty it is."""

    wind: float
    slope: float
    gusts: float
    engine: float = 0.004
    """How far the engine's pull differs from run to run, as a share."""


def an_evening(rng: Generator, *, gusts: float = 0.35) -> Evening:
    """Give an evening calm enough to time on: a breeze, a lane that is not quite flat."""
    return Evening(wind=float(rng.normal(0.0, 1.2)), slope=float(rng.normal(0.0, 0.004)), gusts=gusts)


def _gusts(evening: Evening, moments: int, step: float, rng: Generator) -> Array:
    """Give gusts that last about three seconds, m/s."""
    keep = np.exp(-step / 3.0)
    kick = evening.gusts * np.sqrt(1.0 - keep**2) * rng.standard_normal(moments)
    gust = np.empty(moments)
    gust[0] = evening.gusts * rng.standard_normal()
    for k in range(1, moments):
        gust[k] = keep * gust[k - 1] + kick[k]
    return gust


def a_run(evening: Evening, way: Way, pull: float, rng: Generator, *, noise: float = 0.007) -> Run:
    """Ride one run from below ``LOW`` to above ``HIGH``; ``pull`` multiplies the engine's."""
    step, moments = 0.005, 4000
    sign = 1.0 if way == "there" else -1.0
    own = pull * np.exp(evening.engine * rng.standard_normal())
    gust = _gusts(evening, moments, step, rng)
    speed = np.empty(moments)
    speed[0] = 0.9 * LOW / RPM_PER_SPEED
    for k in range(1, moments):
        v = speed[k - 1]
        rpm = v * RPM_PER_SPEED
        force = own * PULL * (1.0 - 0.35 * ((rpm - 6200.0) / 4000.0) ** 2)
        breeze = v + sign * evening.wind + gust[k]
        road = 0.5 * AIR * AREA * breeze * abs(breeze) + MASS * 9.81 * (TYRES + sign * evening.slope)
        speed[k] = v + step * (force - road) / MASS
    whole = speed * RPM_PER_SPEED
    last = int(np.argmax(whole > 1.1 * HIGH)) or moments
    every = slice(0, last, 10)
    heard = whole[every] * np.exp(noise * rng.standard_normal(len(whole[every])))
    time = np.asarray(np.arange(moments, dtype=np.float64)[every] * step)
    return Run(time, heard, np.full(len(time), noise), way)


def timed(evening: Evening, pull: float, rng: Generator, *, runs: int) -> Timed:
    """Give the times of some runs, there and back by turns."""
    ways = tuple(WAYS[k % 2] for k in range(runs))
    took = [seconds_between(a_run(evening, way, pull, rng), LOW, HIGH) for way in ways]
    return Timed(tuple(one[0] for one in took if one is not None), ways, by="trace")


def two_setups(difference: float, rng: Generator, *, runs: int = 4, gusts: float = 0.35) -> Difference:
    """Ride two setups on one evening, the later with so much more pull, and say what is said of them."""
    evening = an_evening(rng, gusts=gusts)
    told = compare([timed(evening, 1.0, rng, runs=runs)], [timed(evening, 1.0 + difference, rng, runs=runs)])
    assert told is not None
    return told


def shares(count: int, seed: int, *, difference: float, gusts: float = 0.35) -> dict[str, float]:
    """Give how often each thing is said of two setups that differ by so much, over many evenings."""
    rng = np.random.default_rng(seed)
    said = [two_setups(difference, rng, gusts=gusts) for _ in range(count)]
    return {
        "faster": float(np.mean([one.verdict == "faster" for one in said])),
        "slower": float(np.mean([one.verdict == "slower" for one in said])),
        "scatter of a gain": float(np.std([one.gain for one in said])),
        "spread told": float(np.mean([one.spread for one in said])),
        "pull told": float(np.mean([one.pull for one in said])),
    }


def main(count: int, seed: int) -> None:
    """Print how often a claim is made where there is no difference, and where there is one of 3 per cent."""
    for gusts in (0.35, 0.8):
        for difference in (0.0, 0.03, -0.03, 0.06):
            found = shares(count, seed, difference=difference, gusts=gusts)
            words = ", ".join(f"{name} {value:.4f}" for name, value in found.items())
            print(f"gusts {gusts} m/s, pull {difference:+.2f}, 4 runs each: {words}")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
