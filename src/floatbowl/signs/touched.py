"""What was worked on last before the trouble began: often the cause, never surely.

A share of the faults that work can bring was brought by the last thing touched;
the rest came by themselves, mostly after nothing was touched. A bike that is only
set wrong was mostly set so by somebody.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, get_args

import numpy as np

from floatbowl.figures import Figure
from floatbowl.signs.trial import Touched

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.trial import TouchedReading

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

QUESTION = "What was worked on last, before it began?"

PARTS: tuple[Touched, ...] = get_args(Touched)
BROUGHT = Figure(0.5, 0.25, 0.75, "judgement: look first where somebody worked last")
"""Share of the faults that work can bring which the last work did bring."""
SOUND: dict[Touched, float] = {
    "jets": 0.24,
    "nothing": 0.12,
    "cleaning": 0.12,
    "carburettor off": 0.10,
    "filter": 0.09,
    "exhaust": 0.09,
    "plug": 0.06,
    "needle": 0.05,
    "fuel": 0.04,
    "float": 0.03,
    "hoses": 0.03,
    "cable": 0.02,
    "valves": 0.01,
}
"""What was worked on last on a bike that is only set wrong, adding to 1 (judgement)."""
BY_ITSELF: dict[Touched, float] = {
    "nothing": 0.45,
    "cleaning": 0.10,
    "jets": 0.08,
    "carburettor off": 0.07,
    "filter": 0.06,
    "plug": 0.06,
    "fuel": 0.05,
    "exhaust": 0.04,
    "needle": 0.02,
    "float": 0.02,
    "hoses": 0.02,
    "cable": 0.02,
    "valves": 0.01,
}
"""What people worked on last where a fault came by itself, adding to 1 (judgement)."""
RELATED: dict[Touched, tuple[str, ...]] = {
    "jets": (
        "pilot jet blocked",
        "main jet blocked",
        "main air jet blocked",
        "air leak",
        "float valve leaks",
    ),
    "needle": ("wrong needle", "slide hangs open"),
    "cleaning": (
        "pilot jet blocked",
        "pilot air jet blocked",
        "bypass holes blocked",
        "main jet blocked",
        "main air jet blocked",
        "air leak",
        "float valve leaks",
        "fuel level low",
        "fuel level high",
    ),
    "carburettor off": ("air leak", "slide hangs open", "choke not off", "bowl vent blocked"),
    "float": ("fuel level low", "fuel level high", "float sinks", "float valve leaks"),
    "filter": ("air filter torn or gone", "air filter clogged"),
    "exhaust": ("exhaust leaks",),
    "hoses": ("tank vent blocked", "bowl vent blocked", "fuel tap clogged", "air leak"),
    "plug": ("weak spark", "ignition cuts out"),
    "fuel": ("water or stale fuel", "fuel tap clogged", "tank vent blocked"),
    "cable": ("slide hangs open", "choke not off"),
    "valves": ("valve too tight",),
    "nothing": (),
}
"""The faults, by key, that work on each part can bring (common practice)."""


@lru_cache(maxsize=16)
def part_shares(keys: tuple[str, ...]) -> Array:
    """Give how often each part of ``PARTS`` was touched last: (fault, part), each row adding to 1.

    ``keys`` are the faults in the order of a crowd; one more row, the last, is
    for no fault, so that -1 points to it.
    """
    by_itself = np.array([BY_ITSELF[part] for part in PARTS])
    rows = [by_itself] * len(keys) + [np.array([SOUND[part] for part in PARTS])]
    for place, key in enumerate(keys):
        brings = np.array([key in RELATED[part] for part in PARTS], dtype=np.float64)
        if brings.any():
            rows[place] = (1.0 - BROUGHT.value) * by_itself + BROUGHT.value * brings / brings.sum()
    return np.stack(rows)


def _weights(fault: Whole) -> Array:
    """Give how much each slot counts, (draw, slot): those with a fault alike, all where none has."""
    filled = np.where((fault >= 0).any(axis=1, keepdims=True), fault >= 0, 1.0)
    return np.asarray(filled / filled.sum(axis=1, keepdims=True))


def log_likelihood(reading: TouchedReading, fault: Whole, keys: Sequence[str]) -> Array:
    """Give the logarithm of how probable the answer is for each draw, (draw,).

    ``fault`` (draw, slot) holds places in ``keys``, -1 for nothing in that slot.
    With two faults it is the mean of both.
    """
    of_fault = part_shares(tuple(keys))[:, PARTS.index(reading.part)]
    return np.asarray(np.log((of_fault[fault] * _weights(fault)).sum(axis=1)))


def draw(fault: Whole, keys: Sequence[str], rng: Generator) -> Whole:
    """Draw what each draw's owner touched last, as a place in ``PARTS``, (draw,)."""
    shares = (part_shares(tuple(keys))[fault] * _weights(fault)[..., None]).sum(axis=1)
    picked = (np.cumsum(shares, axis=1) < rng.random((len(fault), 1))).sum(axis=1)
    return np.asarray(np.minimum(picked, len(PARTS) - 1))
