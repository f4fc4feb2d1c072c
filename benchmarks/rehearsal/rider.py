"""The rider: what he feels, which word he finds for it, and how often he is plainly wrong.

Another law than the one the belief reckons with. He feels the error blurred, calls it clean within a
tolerance of his own that is wider on the rich side, mixes lean and rich up, and then picks from the words
that people use for what it did, by side, by how bad it was and by how it was ridden, with words of his own
that he likes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

import numpy as np
from numpy.random import Generator

from floatbowl.bike.faults import Ailment
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import Behaviour, How, Remark

if TYPE_CHECKING:
    from benchmarks.rehearsal.world import Truth

WORDS: tuple[Behaviour, ...] = (
    "clean", "bogs", "stumbles", "surges", "thick", "flat", "pings", "hangs", "dies", "spits", "pops",
)  # fmt: skip
USUALLY: dict[Rung, How] = {
    Rung.SHUT: "steady",
    Rung.EIGHTH: "steady",
    Rung.QUARTER: "snap",
    Rung.HALF: "pull",
    Rung.THREE_QUARTERS: "pull",
    Rung.FULL: "pull",
}
_Words = Mapping[str, float]
_LEAN: dict[str, tuple[_Words, _Words]] = {
    "shut": (
        {"hangs": 3, "surges": 2.5, "pops": 2, "stumbles": 1.5, "dies": 1, "spits": 0.5},
        {"dies": 4, "hangs": 2.5, "pops": 1.5, "surges": 1.5, "spits": 1},
    ),
    "steady": (
        {"surges": 5, "stumbles": 2, "flat": 1.5, "bogs": 1},
        {"surges": 4, "dies": 2, "bogs": 2, "flat": 1, "stumbles": 1, "spits": 0.5},
    ),
    "snap": (
        {"bogs": 4, "stumbles": 3, "flat": 1, "surges": 1, "spits": 0.7},
        {"bogs": 5, "spits": 2, "dies": 1.5, "stumbles": 1.5},
    ),
    "pull": (
        {"flat": 5, "pings": 1.5, "surges": 1.5, "bogs": 1, "stumbles": 0.8},
        {"flat": 3.5, "pings": 2.5, "bogs": 2, "dies": 1.5, "surges": 0.7, "spits": 0.3},
    ),
}
_RICH: dict[str, tuple[_Words, _Words]] = {
    "shut": (
        {"thick": 4, "stumbles": 3, "dies": 1, "bogs": 1},
        {"thick": 4, "dies": 4, "stumbles": 1.5, "bogs": 0.7},
    ),
    "steady": ({"thick": 6, "stumbles": 3, "flat": 0.7}, {"thick": 6, "stumbles": 2.5, "dies": 1, "bogs": 1}),
    "snap": ({"thick": 4, "stumbles": 3, "bogs": 2.5, "flat": 0.5}, {"thick": 5, "bogs": 3, "dies": 1.5}),
    "pull": ({"thick": 6, "flat": 2.2, "stumbles": 1.3}, {"thick": 7, "flat": 1, "bogs": 1.2, "stumbles": 1}),
}
"""Words by side and by how it was ridden: when it is mild, and when it is bad (common practice)."""
_BAD = 0.13
"""Error from which on it is bad."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rider:
    """One rider. Shares are 0 to 1, errors in ln(fuel)."""

    tolerance: float
    rich_tolerance: float
    blur: float
    bias: float
    confused: float
    """Share of mild troubles felt on the wrong side."""
    wrong: float
    """Share of remarks that could have been any word."""
    misplaced: float
    """Share of remarks told of a rung beside."""
    other_how: float
    """Share of remarks in which snap, steady and pull are mixed up."""
    likes: Mapping[str, float]
    once: float
    """Share of remarks told as having happened once."""

    @classmethod
    def drawn(cls, rng: Generator) -> Rider:
        """Draw a rider; one in four is a bad witness."""
        bad = rng.random() < 0.25
        tolerance = 0.055 * float(np.exp(0.25 * rng.standard_normal()))
        return cls(
            tolerance=tolerance,
            rich_tolerance=tolerance * float(rng.uniform(1.0, 1.5)),
            blur=float(rng.uniform(0.012, 0.03)),
            bias=float(0.010 * rng.standard_normal()),
            confused=0.2 if bad else 0.10,
            wrong=0.20 if bad else 0.08,
            misplaced=0.08 if bad else 0.04,
            other_how=0.25 if bad else 0.10,
            likes={word: float(np.exp(0.5 * rng.standard_normal())) for word in WORDS},
            once=0.10,
        )

    def says(self, at: Rung, truth: Truth, rng: Generator, *, entry: str) -> Remark:
        """Give what he says of one rung after riding it."""
        how = USUALLY[at]
        did = self._word(at, how, truth, rng)
        if rng.random() < self.wrong:
            did = str(rng.choice(WORDS))
        told_at, told_how = at, how
        if rng.random() < self.misplaced:
            place = RUNGS.index(at) + int(rng.choice([-1, 1]))
            told_at = RUNGS[min(len(RUNGS) - 1, max(0, place))]
        if rng.random() < self.other_how:
            told_how = cast("How", rng.choice(["snap", "steady", "pull"]))
        return Remark(
            entry=entry,
            did=cast("Behaviour", did),
            at=told_at,
            how=told_how,
            often="once" if did != "clean" and rng.random() < self.once else "every time",
        )

    def _word(self, at: Rung, how: How, truth: Truth, rng: Generator) -> str:
        from_elsewhere = _ailing_word(at, truth, rng)
        if from_elsewhere is not None:
            return from_elsewhere
        if at is Rung.SHUT and rng.random() < 0.7 / (1.0 + np.exp(-(truth.extra_air - 0.18) / 0.05)):
            return "hangs"
        place = RUNGS.index(at)
        felt = float(truth.error[place]) + self.bias + self.blur * float(rng.standard_normal())
        if how == "snap":
            felt -= float(truth.snap[place])
            # What every engine of the kind does on a snap he takes for granted.
            felt += 0.03
        if how == "pull":
            felt += 0.7 * float(truth.starved[place])
        tolerance = self.tolerance if felt < 0.0 else self.rich_tolerance
        if rng.random() > 1.0 / (1.0 + np.exp(-(abs(felt) - tolerance) / 0.012)):
            return "clean"
        bad = abs(felt) > _BAD
        is_lean = felt < 0.0
        if rng.random() < self.confused * (0.4 if bad else 1.0):
            is_lean = not is_lean
        words = (_LEAN if is_lean else _RICH)["shut" if at is Rung.SHUT else how][int(bad)]
        return self._picked(words, rng)

    def _picked(self, words: _Words, rng: Generator) -> str:
        names = list(words)
        weight = np.array([words[name] * self.likes[name] for name in names])
        return str(rng.choice(names, p=weight / weight.sum()))

    def elsewhere(self, truth: Truth, rng: Generator, *, entry: str) -> tuple[Remark, ...]:
        """Give what he tells that belongs to no opening."""
        told = []
        for did, chance in _chances(truth).items():
            if rng.random() < 0.025 + (0.95 - self.wrong) * chance:
                told.append(Remark(entry=f"{entry} {did}", did=did))
        return tuple(told)


_AILING: dict[Ailment, tuple[float, float, float, _Words]] = {
    "weak spark": (0.2, 0.2, 0.55, {"stumbles": 4, "flat": 2.5, "dies": 1.5, "bogs": 1, "pops": 1}),
    "cuts out": (0.25, 0.25, 0.25, {"dies": 3, "stumbles": 1}),
    "stale fuel": (0.35, 0.35, 0.35, {"stumbles": 1, "dies": 1, "surges": 1, "pings": 1, "flat": 1}),
    "leaking exhaust": (0.75, 0.0, 0.0, {"pops": 1}),
    "sticking slide": (0.75, 0.0, 0.0, {"hangs": 1}),
    "tight valve": (0.5, 0.0, 0.0, {"dies": 3, "spits": 1, "surges": 1}),
}
"""How often an ailment at its worst speaks with the idle shut, between, and from 3/4 up, and its words."""


def _ailing_word(at: Rung, truth: Truth, rng: Generator) -> str | None:
    """Give the word for what is not the mixture, if that is what he felt here."""
    place = 0 if at is Rung.SHUT else (2 if at in {Rung.THREE_QUARTERS, Rung.FULL} else 1)
    for ailment, (*speaks, words) in _AILING.items():
        much = truth.ailing.get(ailment, 0.0)
        if much and rng.random() < speaks[place] * much:
            weight = np.array(list(words.values()), dtype=np.float64)
            return str(rng.choice(list(words), p=weight / weight.sum()))
    return None


def _chances(truth: Truth) -> dict[Behaviour, float]:
    """Give how likely each thing away from any opening is to be noticed."""
    ails, error = truth.ailing, truth.error
    starving = _rises((-truth.starved[4:].min() - 0.10) / 0.04)
    bad_start = 0.6 * _rises((-error[0] - 0.20) / 0.05) + 0.35 * _rises((error[0] - 0.30) / 0.06)
    return {
        "hard start": min(
            1.0,
            bad_start
            + 0.6 * ails.get("stale fuel", 0.0)
            + 0.6 * ails.get("tight valve", 0.0)
            + 0.4 * ails.get("weak spark", 0.0),
        ),
        "drips": max(0.8 * ails.get("dripping", 0.0), 0.5 * _rises((-truth.level_drop - 0.006) / 0.001)),
        "fouls": min(
            1.0, 0.6 * _rises((float(error[:3].mean()) - 0.17) / 0.04) + 0.35 * ails.get("weak spark", 0.0)
        ),
        "cuts out": min(1.0, 0.8 * ails.get("cuts out", 0.0) + 0.1 * ails.get("weak spark", 0.0)),
        "fades": 0.8 * starving,
        "rest helps": min(1.0, 0.6 * starving + 0.2 * ails.get("cuts out", 0.0)),
    }


def _rises(x: float) -> float:
    return float(1.0 / (1.0 + np.exp(-np.clip(x, -60.0, 60.0))))
