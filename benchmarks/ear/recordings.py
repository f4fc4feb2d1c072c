"""Made-up recordings whose speed is known, with all that makes a real one hard."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.ear import ride
from benchmarks.ear.engine_sound import Engine, engine_sound
from benchmarks.ear.surroundings import coloured, phone, wind

Array = NDArray[np.float64]

RATE = 44_100.0
HARD = ("clean", "noise", "wind", "clipped", "second engine", "gear whine", "missed firings", "phone")


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """A sound with the truth about it: the speed at every sample, in rpm."""

    samples: Array
    rate: float
    strokes: int
    rpm: Array
    kind: str
    hard: str


def invent(rng: Generator, *, kind: str, hard: str, strokes: int, seconds: float = 10.0) -> Recording:
    """Make up a recording of one kind of ride, hard to hear in one way."""
    times = np.arange(int(seconds * RATE)) / RATE
    rpm = _ride(kind, times, rng)
    made = engine_sound(rpm, RATE, _engine(hard, strokes, rng), rng)
    heard = made + _beside(hard, len(times), rng)
    samples = phone(heard, RATE, **_phone(hard, rng))
    return Recording(samples=samples, rate=RATE, strokes=strokes, rpm=rpm, kind=kind, hard=hard)


def _ride(kind: str, times: Array, rng: Generator) -> Array:
    if kind == "idle":
        return ride.idle(rng.uniform(800.0, 2400.0), times, rng)
    if kind == "hunting":
        return ride.hunting(
            rng.uniform(1100.0, 1900.0), times, rng, rate=rng.uniform(0.3, 1.5), depth=rng.uniform(0.06, 0.15)
        )
    if kind == "held":
        return ride.steady(rng.uniform(2500.0, 11000.0), times, rng)
    if kind == "blip":
        at = rng.uniform(2.0, 3.0)
        return ride.blip(
            rng.uniform(1100.0, 1900.0),
            rng.uniform(4000.0, 8000.0),
            times,
            rng,
            at=at,
            fall=rng.uniform(0.3, 0.8),
            hang=rng.choice([0.0, rng.uniform(0.8, 2.5)]),
        )
    low = rng.uniform(2000.0, 4500.0)
    return ride.sweep(low, low + rng.uniform(2500.0, 11000.0 - low), times, rng)


def _engine(hard: str, strokes: int, rng: Generator) -> Engine:
    return Engine(
        strokes=strokes,
        timing=rng.uniform(0.005, 0.02),
        uneven=rng.uniform(0.1, 0.35),
        missed=rng.uniform(0.05, 0.15) if hard == "missed firings" else 0.0,
        intake=rng.uniform(0.05, 0.30),
        clatter=rng.uniform(0.02, 0.15),
        whine=rng.uniform(0.3, 0.8) if hard == "gear whine" else 0.0,
    )


def _beside(hard: str, size: int, rng: Generator) -> Array:
    """Give what else is heard; the engine's exhaust has a strength of 1."""
    room = 0.05 * coloured(size, RATE, rng, slope=1.0)
    if hard == "noise":
        return room + rng.uniform(0.4, 1.0) * coloured(size, RATE, rng, slope=rng.uniform(0.0, 1.5))
    if hard == "wind":
        return room + rng.uniform(1.0, 4.0) * wind(size, RATE, rng)
    if hard == "second engine":
        times = np.arange(size) / RATE
        other = Engine(strokes=int(rng.choice([2, 4])))
        rpm = ride.steady(rng.uniform(1200.0, 6000.0), times, rng)
        return room + rng.uniform(0.15, 0.4) * engine_sound(rpm, RATE, other, rng)
    return room


def _phone(hard: str, rng: Generator) -> dict[str, float]:
    return {
        "high_pass": rng.uniform(150.0, 300.0) if hard == "phone" else rng.uniform(30.0, 120.0),
        "clip": rng.uniform(3.0, 8.0) if hard == "clipped" else rng.uniform(0.5, 1.0),
        "gain_control": 1.0 if hard == "phone" else 0.3,
    }
