"""What comes between an engine and a recording: wind, other noise, and the phone itself."""

from __future__ import annotations

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Array = NDArray[np.float64]


def coloured(size: int, rate: float, rng: Generator, *, slope: float, above: float = 20.0) -> Array:
    """Give noise whose power falls with frequency to the power ``slope``; 0 is white. Its strength is 1."""
    spectrum = np.fft.rfft(rng.standard_normal(size))
    frequency = np.maximum(np.fft.rfftfreq(size, 1.0 / rate), above)
    sound = np.fft.irfft(spectrum * frequency ** (-0.5 * slope), size)
    return np.asarray(sound / np.std(sound))


def wind(size: int, rate: float, rng: Generator) -> Array:
    """Give wind over a microphone: low rumble that comes in gusts, with puffs that hit it. Strength 1."""
    rumble = coloured(size, rate, rng, slope=2.6, above=15.0)
    gusts = np.exp(0.7 * np.interp(np.arange(size) / rate, *_slow(size / rate, rng)))
    sound = rumble * gusts
    return np.asarray(sound / np.std(sound))


def _slow(seconds: float, rng: Generator) -> tuple[Array, Array]:
    knots = np.arange(0.0, seconds + 0.8, 0.4)
    return knots, rng.standard_normal(len(knots))


def phone(sound: Array, rate: float, *, high_pass: float, clip: float, gain_control: float) -> Array:
    """Take a sound as a phone does: without the lows, evened out by its gain control, clipped, 16 bit.

    ``clip`` is how many times louder than the ceiling it is; below 1 it does not
    clip. ``gain_control`` is from 0 for none to 1 for the full of it.
    """
    out = _evened(_without_lows(sound, rate, high_pass), rate, gain_control)
    ceiling = np.quantile(np.abs(out), 0.999) / clip
    return np.asarray(np.round(np.clip(out / ceiling, -1.0, 1.0) * 0.98 * 32767.0) / 32767.0)


def _without_lows(sound: Array, rate: float, high_pass: float) -> Array:
    spectrum = np.fft.rfft(sound)
    ratio = np.fft.rfftfreq(len(sound), 1.0 / rate) / max(high_pass, 1.0)
    return np.asarray(np.fft.irfft(spectrum * ratio**2 / np.sqrt(1.0 + ratio**4), len(sound)))


def _evened(sound: Array, rate: float, amount: float) -> Array:
    """Bring loud and soft nearer: strength over a tenth of a second, to the power ``-amount`` of itself."""
    block = int(0.05 * rate)
    count = len(sound) // block + 1
    padded = np.pad(sound, (0, count * block - len(sound)))
    strength = np.sqrt((padded.reshape(count, block) ** 2).mean(axis=1)) + 1e-6
    at = (np.arange(count) + 1.5) * block
    gain = np.interp(np.arange(len(sound)), at, strength ** (-0.7 * amount))
    return np.asarray(sound * gain)
