"""Sounds that are no engine: noises, speech, music. What the ear must say "cannot tell" to."""

from __future__ import annotations

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.ear.surroundings import coloured, wind

Array = NDArray[np.float64]

VOWELS = ((730, 1090, 2440), (270, 2290, 3010), (300, 870, 2240), (530, 1840, 2480), (570, 840, 2410))
"""First three notes of the mouth in Hz for a, i, u, e, o, rounded (from memory)."""


def noise(seconds: float, rate: float, rng: Generator) -> Array:
    """Give white or pink noise, wind, or rain with drops."""
    size = int(seconds * rate)
    kind = rng.integers(4)
    if kind == 0:
        return coloured(size, rate, rng, slope=0.0)
    if kind == 1:
        return coloured(size, rate, rng, slope=1.0)
    if kind == 2:
        return wind(size, rate, rng) + 0.1 * coloured(size, rate, rng, slope=0.5)
    drops = (rng.random(size) < 60.0 / rate) * rng.standard_normal(size) * 30.0
    heard = np.convolve(drops, np.exp(-np.arange(200) / 30.0))[:size]
    return np.asarray(coloured(size, rate, rng, slope=0.5) + heard)


def speech(seconds: float, rate: float, rng: Generator) -> Array:
    """Give speech-like sound: phrases of vowels with a falling melody, hissed consonants, pauses."""
    out = np.zeros(int(seconds * rate))
    voice = rng.uniform(85.0, 240.0)
    at = 0.0
    while at < seconds:
        phrase = rng.uniform(0.8, 2.8)
        piece = _phrase(phrase, rate, voice, rng)
        first = int(at * rate)
        out[first : first + len(piece)] += piece[: len(out) - first]
        at += phrase + rng.uniform(0.15, 0.7)
    return out + 0.01 * coloured(len(out), rate, rng, slope=1.0) * np.std(out)


def _phrase(seconds: float, rate: float, voice: float, rng: Generator) -> Array:
    size = int(seconds * rate)
    times = np.arange(size) / rate
    melody = voice * np.exp(
        0.15 - 0.3 * times / seconds + 0.12 * np.sin(2.0 * np.pi * rng.uniform(0.8, 2.0) * times)
    )
    phase = (
        np.cumsum(melody * (1.0 + 0.01 * np.repeat(rng.standard_normal(size // 200 + 1), 200)[:size])) / rate
    )
    glottis = np.diff(np.floor(phase), prepend=0.0)
    out, at = np.zeros(size), 0
    while at < size:
        long = int(rng.uniform(0.07, 0.22) * rate)
        piece = slice(at, min(at + long, size))
        bare = glottis[piece] if rng.random() < 0.72 else 0.25 * rng.standard_normal(piece.stop - at)
        shape = np.hanning(piece.stop - at + 2)[1:-1] ** 0.5
        out[piece] += shape * _mouth(bare, rate, VOWELS[rng.integers(len(VOWELS))])
        at += long
    return out


def _mouth(bare: Array, rate: float, notes: tuple[int, ...]) -> Array:
    times = np.arange(int(0.03 * rate)) / rate
    ring = np.asarray(
        sum(
            np.exp(-times * 2.0 * np.pi * 60.0) * np.sin(2.0 * np.pi * note * times) / (1 + place)
            for place, note in enumerate(notes)
        )
    )
    return np.asarray(np.convolve(bare, ring)[: len(bare)])


def music(seconds: float, rate: float, rng: Generator) -> Array:
    """Give music-like sound: chords and a bass in a rhythm, some with drums."""
    out = np.zeros(int(seconds * rate))
    beat = 60.0 / rng.uniform(70.0, 150.0)
    root = rng.uniform(40.0, 80.0)
    steps = rng.choice([0, 5, 7, 9, 2, 4], size=64)
    drums = rng.random() < 0.6
    for number in range(int(seconds / beat) + 1):
        at = number * beat
        base = root * 2.0 ** (steps[number // rng.integers(1, 3) % 64] / 12.0)
        _add(out, at, rate, _note(base, beat, rate, rng, bright=0.5))
        if number % 2 == 0:
            for third in (0, 4 if rng.random() < 0.5 else 3, 7):
                _add(
                    out,
                    at,
                    rate,
                    0.5 * _note(2.0 * base * 2.0 ** (third / 12.0), 2.0 * beat, rate, rng, bright=0.7),
                )
        if rng.random() < 0.7:
            tune = 4.0 * root * 2.0 ** (rng.choice([0, 2, 4, 5, 7, 9, 12]) / 12.0)
            _add(
                out,
                at + rng.choice([0.0, beat / 2.0]),
                rate,
                0.5 * _note(tune, beat * 0.8, rate, rng, bright=0.6),
            )
        if drums:
            size = int(0.12 * rate)
            hit = rng.standard_normal(size) * np.exp(-np.arange(size) / (0.025 * rate))
            _add(out, at + (beat / 2.0 if number % 2 else 0.0), rate, 0.6 * hit)
    return out


def _add(out: Array, at: float, rate: float, piece: Array) -> None:
    first = int(at * rate)
    if first < len(out):
        out[first : first + len(piece)] += piece[: len(out) - first]


def _note(pitch: float, seconds: float, rate: float, rng: Generator, *, bright: float) -> Array:
    times = np.arange(int(seconds * rate)) / rate
    swell = (
        np.minimum(times / 0.02, 1.0)
        * np.exp(-times / (1.2 * seconds))
        * np.minimum((seconds - times) / 0.03, 1.0)
    )
    tones = sum(
        bright**k * np.sin(2.0 * np.pi * pitch * (k + 1) * times + rng.uniform(0.0, 6.0)) for k in range(10)
    )
    return np.asarray(swell * tones)
