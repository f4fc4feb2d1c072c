"""What the crank does in a made-up recording: its speed over time, as rpm at every sample."""

from __future__ import annotations

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Array = NDArray[np.float64]


def steady(rpm: float, times: Array, rng: Generator, *, wander: float = 0.006) -> Array:
    """Hold a speed that wanders a little, as an engine under no governor does."""
    return np.asarray(rpm * np.exp(_wander(times, rng, size=wander, slow=0.7)))


def idle(rpm: float, times: Array, rng: Generator, *, wander: float = 0.012) -> Array:
    """Idle: as a held speed, less even."""
    return steady(rpm, times, rng, wander=wander)


def hunting(rpm: float, times: Array, rng: Generator, *, rate: float, depth: float) -> Array:
    """Idle up and down ``rate`` times a second, by ``depth`` of the speed."""
    beat = np.sin(2.0 * np.pi * rate * times + rng.uniform(0.0, 2.0 * np.pi))
    return np.asarray(idle(rpm, times, rng, wander=0.006) * np.exp(depth * beat))


def sweep(low: float, high: float, times: Array, rng: Generator) -> Array:
    """Pull from one speed to another in one gear: quicker in the middle than at the ends."""
    share = np.clip(times / times[-1], 0.0, 1.0)
    bend = share + 0.12 * np.sin(np.pi * share) * rng.uniform(-1.0, 1.0)
    return np.asarray((low + (high - low) * bend) * np.exp(_wander(times, rng, size=0.002, slow=0.3)))


def blip(  # noqa: PLR0913  (a blip has this many parts)
    rpm: float, top: float, times: Array, rng: Generator, *, at: float, fall: float, hang: float
) -> Array:
    """Idle, snap to ``top``, shut; fall with the time ``fall``, after hanging a third of the way down."""
    up, shut = at, at + 0.45
    settled = idle(rpm, times, rng, wander=0.008)
    rise = np.clip((times - up) / (shut - up), 0.0, 1.0) ** 1.3
    gone = np.exp(-np.maximum(times - shut, 0.0) / fall)
    shelf = 0.30 * np.clip(1.0 - np.maximum(times - shut - hang, 0.0) / (1.5 * fall), 0.0, 1.0)
    lifted = np.where(times < shut, rise, np.maximum(gone, shelf if hang > 0.0 else 0.0))
    return np.asarray(settled + (top - rpm) * np.where(times < up, 0.0, lifted))


def _wander(times: Array, rng: Generator, *, size: float, slow: float) -> Array:
    """Give a slow random bend of the speed's logarithm, of about ``size``, over about ``slow`` seconds."""
    knots = np.arange(times[0] - 4.0 * slow, times[-1] + 4.0 * slow, slow / 2.0)
    loose = np.convolve(rng.standard_normal(len(knots)), [0.5, 0.7, 0.5], mode="same")
    return np.asarray(size * np.interp(times, knots, loose))
