"""Logs of lambda made with a known truth: what the mixture was, how late and how slow the probe."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Array = NDArray[np.float64]

OPENINGS = np.array([0.0, 0.125, 0.25, 0.5, 0.75, 1.0])
FINE = 0.002
"""Seconds from one moment of the made engine to the next."""


@dataclass(frozen=True, slots=True)
class Probe:
    """A probe: dead time and lag in seconds, noise and bias of lambda, rows a second."""

    dead: float
    lag: float
    noise: float = 0.01
    bias: float = 0.0
    rate: float = 20.0


@dataclass(frozen=True, slots=True)
class Log:
    """Rows as the probe wrote them, (row,): seconds, share of travel, rpm, lambda."""

    time: Array
    throttle: Array
    rpm: Array
    lam: Array


def true_lambda(throttle: Array | float, rpm: Array | float) -> Array:
    """Give the mixture of the made engine: bent along the throttle, sloping along the speed."""
    bent = np.interp(throttle, OPENINGS, [0.89, 0.925, 0.905, 0.93, 0.895, 0.87])
    return np.asarray(bent + 0.02 * np.log(np.asarray(rpm) / 5000.0))


def follow(target: Array, seconds: float) -> Array:
    """Give what follows a target with a lag of first order."""
    keep = np.exp(-FINE / seconds)
    out = np.empty_like(target)
    now = float(target[0])
    for k, aim in enumerate(target.tolist()):
        now = keep * now + (1.0 - keep) * aim
        out[k] = now
    return out


def hand(rng: Generator, seconds: float) -> Array:
    """Give a hand that holds an opening for a while and goes to another, mostly to one of the six."""
    moments = round(seconds / FINE)
    target = np.empty(moments)
    k = 0
    while k < moments:
        hold = round(rng.uniform(1.5, 7.0) / FINE)
        target[k : k + hold] = rng.choice([*OPENINGS, float(rng.uniform())])
        k += hold
    return follow(target, 0.05)


def made(probe: Probe, rng: Generator, *, seconds: float = 300.0) -> Log:
    """Make a log."""
    throttle = hand(rng, seconds)
    time = np.arange(len(throttle), dtype=np.float64) * FINE
    pulled = 1500.0 + 7500.0 * np.interp(throttle, OPENINGS, [0.0, 0.25, 0.45, 0.7, 0.9, 1.0])
    rpm = follow(pulled * (1.0 + 0.1 * np.sin(time / 9.0)), 0.8)
    mixture = true_lambda(throttle, rpm)
    late = round(probe.dead / FINE)
    shown = follow(np.concatenate([np.full(late, mixture[0]), mixture[: len(mixture) - late]]), probe.lag)
    rows = slice(0, None, round(1.0 / probe.rate / FINE))
    count = len(time[rows])
    return Log(
        time=time[rows],
        throttle=np.clip(throttle[rows] + 0.004 * rng.standard_normal(count), 0.0, 1.0),
        rpm=rpm[rows] * (1.0 + 0.01 * rng.standard_normal(count)),
        lam=shown[rows] * (1.0 + probe.bias) + probe.noise * rng.standard_normal(count),
    )


def lines(log: Log, *, start: float = 0.0) -> str:
    """Write the rows as text: time, engine speed, throttle in per cent, lambda, warmth."""
    rows = zip(log.time + start, log.rpm, 100.0 * log.throttle, log.lam, strict=True)
    return "".join(f"{t:.2f},{n:.0f},{u:.1f},{lam:.3f},82.0\n" for t, n, u, lam in rows)


HEAD = "Time (s),Engine speed (rpm),Throttle (%),Lambda,Head temperature (C)\n"


def write(path: Path, log: Log, *, times: int = 1) -> int:
    """Write a log, over and over with time going on, and give how many rows stand in the file."""
    length = float(log.time[-1]) + 0.05
    with path.open("w", encoding="utf-8") as file:
        file.write(HEAD)
        for k in range(times):
            file.write(lines(log, start=k * length))
    return times * len(log.time)
