"""What can be broken, each as a change to the physical bike, with how common it is.

The changes name fields of ``flow.parameters.Parameters``; a fault's symptoms
follow from the flow, they are not listed. How far the change goes is drawn
between ``low`` and ``high``, evenly in the change itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floatbowl.bike.carb import ChokeKind
from floatbowl.figures import Figure


@dataclass(frozen=True, slots=True)
class Change:
    """A change to one flow parameter: ``times`` a factor, or ``plus`` an amount in SI units."""

    parameter: str
    how: Literal["times", "plus"]
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A hidden fault. ``rate`` is its share among bikes that come in running badly."""

    key: str
    changes: tuple[Change, ...]
    rate: Figure
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

FAULTS = (
    Fault(
        key="pilot jet blocked",
        changes=(Change("pilot_area", "times", 0.05, 0.6),),
        rate=_rate(0.08),
        more_often=(("stood for months", 3.0),),
    ),
    Fault(
        key="pilot air jet blocked",
        changes=(Change("pilot_air_area", "times", 0.2, 0.6),),
        rate=_rate(0.015),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="bypass holes blocked",
        changes=(Change("bypass_share", "times", 0.0, 0.4),),
        rate=_rate(0.03),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="main jet blocked",
        changes=(Change("main_area", "times", 0.4, 0.85),),
        rate=_rate(0.02),
        more_often=(("stood for months", 2.0),),
    ),
    Fault(
        key="main air jet blocked",
        changes=(Change("main_air_area", "times", 0.0, 0.4),),
        rate=_rate(0.01),
    ),
    Fault(
        key="air leak",
        changes=(Change("leak_area", "plus", 0.2 * _MM2, 4.0 * _MM2),),
        rate=_rate(0.06),
        more_often=(("just worked on", 2.0), ("fresh replacement", 1.5)),
    ),
    Fault(
        key="fuel level low",
        changes=(Change("level_drop", "plus", 2.0 * _MM, 6.0 * _MM),),
        rate=_rate(0.03),
    ),
    Fault(
        key="fuel level high",
        changes=(Change("level_drop", "plus", -9.0 * _MM, -2.5 * _MM),),
        rate=_rate(0.04),
        more_often=(("stood for months", 1.5),),
    ),
    Fault(
        key="needle jet worn",
        changes=(Change("needle_jet_bore", "plus", 0.02 * _MM, 0.08 * _MM),),
        rate=_rate(0.03),
    ),
    Fault(
        key="bowl vent blocked",
        changes=(Change("bowl_offset", "plus", -400.0, -80.0),),
        rate=_rate(0.02),
    ),
    Fault(
        key="choke not off",
        changes=(Change("enrichener_area", "plus", 0.02 * _MM2, 0.15 * _MM2),),
        rate=_rate(0.02),
        chokes=("plunger",),
    ),
    Fault(
        key="choke not off",
        changes=(Change("choke_shut", "plus", 0.55, 0.90),),
        rate=_rate(0.02),
        chokes=("flap",),
    ),
    Fault(
        key="air filter clogged",
        changes=(Change("filter_loss", "plus", 300.0, 2500.0),),
        rate=_rate(0.03),
    ),
    Fault(
        key="slide hangs open",
        changes=(Change("idle_lift", "plus", 0.3 * _MM, 1.0 * _MM),),
        rate=_rate(0.015),
        more_often=(("just worked on", 2.0),),
    ),
)


def faults_for(*, strokes: int, choke: ChokeKind) -> tuple[Fault, ...]:
    """Give the faults that a bike of this kind can have; no key stands twice."""
    return tuple(fault for fault in FAULTS if strokes in fault.strokes and choke in fault.chokes)
