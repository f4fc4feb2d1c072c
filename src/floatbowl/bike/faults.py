"""What can be broken, each as a change to the physical bike, with how common it is.

The changes name fields of ``flow.parameters.Parameters``; a fault's symptoms
follow from the flow, they are not listed. Faults that are not in the mixture,
such as a weak spark, change an ailment instead; the signs know how one is felt.
How far a change goes is drawn between ``low`` and ``high``, evenly in the
change itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floatbowl.bike.carb import ChokeKind
from floatbowl.figures import Figure

Ailment = Literal[
    "weak spark",
    "cuts out",
    "stale fuel",
    "tight valve",
    "leaking exhaust",
    "sticking slide",
    "dripping",
]
"""What ails a bike besides its mixture, each from 0 to 1."""


@dataclass(frozen=True, slots=True)
class Change:
    """A change to one flow parameter: ``times`` a factor, or ``plus`` an amount in SI units."""

    parameter: str
    how: Literal["times", "plus"]
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Felt:
    """An ailment, and between what bounds it lies when the fault is slight and when it is bad."""

    ailment: Ailment
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A hidden fault. ``rate`` is its share among bikes that come in running badly."""

    key: str
    rate: Figure
    changes: tuple[Change, ...] = ()
    felt: tuple[Felt, ...] = ()
    strokes: tuple[int, ...] = (2, 4)
    chokes: tuple[ChokeKind, ...] = ("plunger", "flap", "none")
    more_often: tuple[tuple[str, float], ...] = ()
    """Story keys and how many times more common the fault is with that story."""


def _rate(value: float) -> Figure:
    return Figure(
        value,
        value / 3.0,
        min(1.0, value * 3.0),
        "judgement: order of the suspects in common workshop practice, see decisions/0012",
    )


_MM = 1e-3
_MM2 = 1e-6

SECOND = Figure(
    0.08, 0.03, 0.20, "judgement: a bike with one thing wrong seldom has a second, and yet it happens"
)
"""Share of broken bikes that have two faults."""

FAULTS = (
    Fault(
        key="pilot jet blocked",
        changes=(Change("pilot_area", "times", 0.05, 0.6),),
        rate=_rate(0.055),
        more_often=(("stood for months", 3.0),),
    ),
    Fault(
        key="pilot air jet blocked",
        changes=(Change("pilot_air_area", "times", 0.2, 0.6),),
        rate=_rate(0.01),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="bypass holes blocked",
        changes=(Change("bypass_share", "times", 0.0, 0.4),),
        rate=_rate(0.02),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="main jet blocked",
        changes=(Change("main_area", "times", 0.4, 0.8),),
        rate=_rate(0.015),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="main air jet blocked",
        changes=(Change("main_air_area", "times", 0.0, 0.4),),
        rate=_rate(0.008),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="air leak",
        changes=(Change("leak_area", "plus", 0.2 * _MM2, 4.0 * _MM2),),
        rate=_rate(0.045),
        more_often=(("just worked on", 2.0), ("fresh replacement", 1.5)),
    ),
    Fault(
        key="crank seal leaks",
        changes=(Change("leak_area", "plus", 0.3 * _MM2, 4.0 * _MM2),),
        rate=_rate(0.02),
        strokes=(2,),
        more_often=(("stood for months", 1.5),),
    ),
    Fault(
        key="fuel level low",
        changes=(Change("level_drop", "plus", 2.5 * _MM, 7.0 * _MM),),
        rate=_rate(0.02),
        more_often=(("fresh replacement", 1.5), ("just worked on", 1.5)),
    ),
    Fault(
        key="fuel level high",
        changes=(Change("level_drop", "plus", -7.0 * _MM, -2.5 * _MM),),
        rate=_rate(0.02),
        more_often=(("fresh replacement", 1.5), ("just worked on", 1.5)),
    ),
    Fault(
        key="float sinks",
        changes=(Change("level_drop", "plus", -5.0 * _MM, -12.0 * _MM),),
        felt=(Felt("dripping", 0.4, 1.0),),
        rate=_rate(0.01),
        more_often=(("stood for months", 1.5),),
    ),
    Fault(
        key="float valve leaks",
        changes=(Change("level_drop", "plus", -2.0 * _MM, -9.0 * _MM),),
        felt=(Felt("dripping", 0.5, 1.0),),
        rate=_rate(0.02),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="needle jet worn",
        changes=(Change("needle_jet_bore", "plus", 0.02 * _MM, 0.08 * _MM),),
        rate=_rate(0.02),
        more_often=(("fresh replacement", 0.2),),
    ),
    Fault(
        key="needle worn",
        changes=(Change("needle_wear", "plus", 0.02 * _MM, 0.06 * _MM),),
        rate=_rate(0.01),
        more_often=(("fresh replacement", 0.2),),
    ),
    Fault(
        key="wrong needle",
        changes=(
            Change("needle_wear", "plus", -0.07 * _MM, 0.07 * _MM),
            Change("needle_position", "plus", 1.5 * _MM, -1.5 * _MM),
        ),
        rate=_rate(0.012),
        more_often=(("fresh replacement", 2.0), ("just worked on", 2.0)),
    ),
    Fault(
        key="bowl vent blocked",
        changes=(
            Change("bowl_offset", "plus", -250.0, -40.0),
            Change("fuel_supply", "times", 0.08, 0.35),
        ),
        rate=_rate(0.012),
        more_often=(("stood for months", 2.0), ("just worked on", 1.5)),
    ),
    Fault(
        key="tank vent blocked",
        changes=(Change("fuel_supply", "times", 0.06, 0.20),),
        rate=_rate(0.015),
    ),
    Fault(
        key="fuel tap clogged",
        changes=(Change("fuel_supply", "times", 0.06, 0.22),),
        rate=_rate(0.018),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="choke not off",
        changes=(Change("enrichener_area", "plus", 0.02 * _MM2, 0.15 * _MM2),),
        rate=_rate(0.015),
        chokes=("plunger",),
    ),
    Fault(
        key="choke not off",
        changes=(Change("choke_shut", "plus", 0.55, 0.90),),
        rate=_rate(0.015),
        chokes=("flap",),
    ),
    Fault(
        key="air filter clogged",
        changes=(Change("filter_loss", "plus", 300.0, 2500.0),),
        rate=_rate(0.025),
    ),
    Fault(
        key="air filter torn or gone",
        changes=(
            Change("filter_loss", "times", 0.0, 0.2),
            Change("signal_gain", "times", 0.86, 0.97),
        ),
        rate=_rate(0.012),
        more_often=(("just worked on", 2.0),),
    ),
    Fault(
        key="slide hangs open",
        changes=(Change("idle_lift", "plus", 0.3 * _MM, 1.0 * _MM),),
        felt=(Felt("sticking slide", 0.3, 1.0),),
        rate=_rate(0.012),
        more_often=(("just worked on", 2.0), ("fresh replacement", 1.5)),
    ),
    Fault(
        key="valve too tight",
        changes=(Change("inlet_loss", "times", 1.0, 1.5),),
        felt=(Felt("tight valve", 0.4, 1.0),),
        rate=_rate(0.015),
        strokes=(4,),
    ),
    Fault(
        key="weak spark",
        felt=(Felt("weak spark", 0.3, 1.0),),
        rate=_rate(0.025),
        more_often=(("stood for months", 1.5),),
    ),
    Fault(
        key="ignition cuts out",
        felt=(Felt("cuts out", 0.4, 1.0),),
        rate=_rate(0.015),
    ),
    Fault(
        key="water or stale fuel",
        changes=(Change("air_per_fuel", "times", 1.0, 0.92),),
        felt=(Felt("stale fuel", 0.4, 1.0),),
        rate=_rate(0.015),
        more_often=(("stood for months", 4.0),),
    ),
    Fault(
        key="exhaust leaks",
        felt=(Felt("leaking exhaust", 0.4, 1.0),),
        rate=_rate(0.015),
        more_often=(("just worked on", 1.5),),
    ),
)
"""Water carried in petrol is burnt by nobody: less fuel for the same volume. A bare mouth breathes rougher
than a box, so the needle jet feels less. Source: judgement, sizes of the changes by common practice."""


def faults_for(*, strokes: int, choke: ChokeKind) -> tuple[Fault, ...]:
    """Give the faults that a bike of this kind can have; no key stands twice."""
    return tuple(fault for fault in FAULTS if strokes in fault.strokes and choke in fault.chokes)


FAULT_KEYS = tuple(dict.fromkeys(fault.key for fault in FAULTS))
"""Every fault's key, once."""
