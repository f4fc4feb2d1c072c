"""Carburettors to draw: bores of 14 to 38 mm, either slide, screw and needle jet, measured or not."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

import numpy as np

from floatbowl.bike.assume import assume_bike
from floatbowl.bike.bike import Bike
from floatbowl.bike.measure import Measure
from floatbowl.bike.setup import Setup

MM = 1e-3


@dataclass(frozen=True)
class Case:
    """A bike in a setup."""

    bike: Bike
    setup: Setup


def cases(rng: np.random.Generator, count: int) -> list[Case]:
    """Throw bikes: sizes as our rules have them, a little off, each measured or assumed by the dice."""
    return [case(rng) for _ in range(count)]


def case(rng: np.random.Generator) -> Case:
    """Throw one bike and its setup."""
    strokes = int(rng.choice([2, 4]))
    bore = float(rng.uniform(14.0, 38.0))
    bike = assume_bike(
        name="Magpie",
        what="",
        engine={
            "strokes": strokes,
            "swept_volume": float(rng.uniform(0.5, 1.5)) * (bore / 26.0) ** 2 * 125e-6,
        },
        carb={
            "bore": bore * MM,
            "slide": str(rng.choice(["round", "flat"])),
            "screw": str(rng.choice(["air", "fuel"])),
            "needle_jet_kind": str(rng.choice(["bleed", "primary"])),
            "choke": str(rng.choice(["plunger", "flap", "none"])),
        },
        fuel={},
    )
    return Case(stirred(bike, rng), setup(rng))


def setup(rng: np.random.Generator) -> Setup:
    """Throw a setup; some stamps are not known."""
    return Setup(
        number=1,
        main=str(rng.choice(["?", "98", "102.5", "160"])),
        pilot=str(rng.choice(["?", "35", "48"])),
        clip_from_top=int(rng.integers(1, 6)),
        cutaway=str(rng.choice(["?", "1.5", "2.5", "4.0"])),
        screw_turns=1.5,
        float_height_mm=float(rng.choice([17.0, 18.0, 19.5])) if rng.random() < 0.5 else None,
        needle_washer_mm=float(rng.choice([0.0, 0.0, 0.5])),
    )


def stirred(noun: Any, rng: np.random.Generator) -> Any:  # noqa: ANN401  (any of the nouns of a bike)
    """Let the dice say of every measure whether somebody took it, and let it be a hair off."""
    if isinstance(noun, Measure):
        origin = str(rng.choice(["measured", "assumed"]))
        return Measure(noun.value * float(rng.uniform(0.999, 1.001)), noun.spread, origin)  # type: ignore[arg-type]
    if isinstance(noun, tuple):
        return tuple(stirred(one, rng) for one in noun)
    if is_dataclass(noun) and not isinstance(noun, type):
        return replace(
            noun, **{field.name: stirred(getattr(noun, field.name), rng) for field in fields(noun)}
        )
    return noun


def wild(noun: Any, rng: np.random.Generator) -> Any:  # noqa: ANN401  (any of the nouns of a bike)
    """Let every measure be measured, and many of them wrong by a factor that no carburettor bears."""
    if isinstance(noun, Measure):
        factor = float(rng.choice([1.0, 1.0, 1.0, 0.05, 0.25, 0.5, 2.0, 4.0]))
        return Measure(noun.value * factor, noun.spread, "measured")
    if isinstance(noun, tuple):
        return tuple(wild(one, rng) for one in noun)
    if is_dataclass(noun) and not isinstance(noun, type):
        return replace(noun, **{field.name: wild(getattr(noun, field.name), rng) for field in fields(noun)})
    return noun
