"""The noise of a single-cylinder engine, from the crank outwards.

Each firing sends a pulse of pressure into a pipe that rings at a few notes of its
own. Beside it stand the intake, the valve gear, and gears that whine.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """How one engine sounds. Shares are of 1; loudness is beside that of the exhaust."""

    strokes: int
    timing: float = 0.012
    """How unevenly it fires: standard deviation of the moment, in turns."""
    uneven: float = 0.25
    """How unevenly loud: standard deviation of a pulse's logarithm."""
    missed: float = 0.0
    """Share of firings that do not come."""
    four_stroking: float = 0.0
    """Share of the time in which a two-stroke fires every second turn only."""
    intake: float = 0.15
    clatter: float = 0.05
    whine: float = 0.0
    hiss: float = 0.25


def engine_sound(rpm: Array, rate: float, engine: Engine, rng: Generator) -> Array:
    """Give the sound of an engine whose crank turns at ``rpm`` at every sample."""
    turns = np.cumsum(rpm) / (60.0 * rate) + rng.uniform(0.0, 2.0)
    per_firing = engine.strokes // 2
    numbers = np.arange(np.ceil(turns[0] / per_firing), np.floor(turns[-1] / per_firing))
    fires = numbers * per_firing
    loud = _loudness(fires, engine, rng)
    pipe = _notes(rng, low=(110.0, 220.0), count=4, rate=rate)
    box = _notes(rng, low=(90.0, 160.0), count=3, rate=rate)
    late = fires + engine.timing * rng.standard_normal(len(fires))
    blown = _pulses(late, loud, turns, rpm, rate)
    blown += engine.hiss * blown * rng.standard_normal(len(blown))
    drawn = _pulses(fires + 0.55, np.full(len(fires), engine.intake), turns, rpm, rate)
    sound = _through(blown, pipe) + _through(drawn, box)
    sound = sound / np.std(sound)
    return np.asarray(sound + _clatter(fires, turns, engine, rng, rate) + _whine(turns, engine, rng))


def _loudness(fires: Array, engine: Engine, rng: Generator) -> Array:
    """Give how loud each firing is: uneven, some missing, in spells only every second one."""
    loud = np.exp(engine.uneven * rng.standard_normal(len(fires)))
    loud[rng.random(len(fires)) < engine.missed] = 0.03
    if engine.four_stroking > 0.0:
        spell = np.repeat(rng.random(len(fires) // 24 + 1) < engine.four_stroking, 24)[: len(fires)]
        skipped = spell & (np.arange(len(fires)) % 2 == 1)
        loud[skipped] *= rng.uniform(0.05, 0.30)
    return np.asarray(loud)


def _pulses(at: Array, loud: Array, turns: Array, rpm: Array, rate: float) -> Array:
    """Put a pulse at each of some places of the crank: up quickly, down over some 40 degrees."""
    out = np.zeros(len(turns) + int(0.1 * rate))
    where = np.interp(at, turns, np.arange(len(turns), dtype=float))
    for place, height in zip(where, loud, strict=True):
        first = int(place)
        speed = rpm[min(first, len(rpm) - 1)]
        long = np.clip(12.0 / (6.0 * speed), 0.00015, 0.004) * rate
        steps = np.arange(int(8.0 * long) + 2) + 1.0 - (place - first)
        out[first : first + len(steps)] += height * steps / long * np.exp(1.0 - steps / long)
    return out[: len(turns)]


def _notes(rng: Generator, *, low: tuple[float, float], count: int, rate: float) -> Array:
    """Give the ringing of a pipe after a blow: a few notes that die away, and the blow itself."""
    times = np.arange(int(0.08 * rate)) / rate
    rings = np.zeros(len(times))
    note = rng.uniform(*low)
    for _ in range(count):
        decay = rng.uniform(2.0, 6.0) / (2.0 * note) + 0.002
        rings += rng.uniform(0.4, 1.0) * np.exp(-times / decay) * np.sin(2.0 * np.pi * note * times)
        note *= rng.uniform(1.9, 2.9)
    rings[0] += 0.5
    return rings


def _through(sound: Array, ring: Array) -> Array:
    size = 1 << int(np.ceil(np.log2(len(sound) + len(ring))))
    spectrum = np.fft.rfft(sound, size) * np.fft.rfft(ring, size)
    return np.asarray(np.fft.irfft(spectrum, size)[: len(sound)])


def _clatter(fires: Array, turns: Array, engine: Engine, rng: Generator, rate: float) -> Array:
    """Give valve gear and piston: ticks at places of the cycle, short and bright."""
    out = np.zeros(len(turns))
    tick = rng.standard_normal(int(0.004 * rate)) * np.exp(-np.arange(int(0.004 * rate)) / (0.001 * rate))
    for offset in (0.2, 0.5, 0.85, 1.3)[: 2 + engine.strokes // 2]:
        at = np.interp(fires + offset, turns, np.arange(len(turns), dtype=float)).astype(int)
        for place in at[at < len(out) - len(tick)]:
            out[place : place + len(tick)] += tick * rng.uniform(0.5, 1.0)
    spread = np.std(out)
    return out if spread == 0.0 else np.asarray(engine.clatter * out / spread)


def _whine(turns: Array, engine: Engine, rng: Generator) -> Array:
    """Give the whine of a pair of gears: so many teeth a turn of the crank, and twice that."""
    teeth = rng.integers(17, 24) * rng.uniform(0.4, 1.0)
    phase = 2.0 * np.pi * teeth * turns
    return np.asarray(engine.whine * (np.sin(phase) + 0.3 * np.sin(2.0 * phase)))
