"""Invented bikes as an owner would write them down: a few measures known, the rest assumed."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from numpy.random import Generator

from floatbowl.bike.assume import assume_bike, measured
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import ChokeKind, Needle, ScrewKind, Station
from floatbowl.bike.day import Day
from floatbowl.bike.engine import Strokes
from floatbowl.bike.measure import Measure
from floatbowl.bike.place import assume_day, standard_pressure
from floatbowl.units import CUBIC_CENTIMETRE, MILLIMETRE

_MM = MILLIMETRE
_BORES: dict[int, tuple[tuple[float, tuple[float, ...]], ...]] = {
    4: (
        (50.0, (14, 16, 18)),
        (72.0, (18, 19, 20)),
        (110.0, (20, 22)),
        (125.0, (24, 26, 28)),
        (150.0, (26, 28)),
        (200.0, (28, 30)),
        (230.0, (30, 32)),
        (250.0, (32, 34, 36)),
        (400.0, (36, 38)),
        (450.0, (38, 40)),
    ),
    2: (
        (50.0, (16, 18, 19)),
        (65.0, (22, 24)),
        (85.0, (26, 28)),
        (105.0, (28, 30)),
        (125.0, (30, 34, 36)),
        (175.0, (32, 34)),
        (200.0, (34, 36)),
        (250.0, (36, 38)),
        (300.0, (36, 38)),
    ),
}
"""Swept volumes in cc and bores in mm as they are found together (common practice)."""


def invent(number: int, rng: Generator) -> Bike:
    """Give a bike as its owner wrote it down. Which measures were taken differs from bike to bike."""
    strokes: Strokes = 4 if rng.random() < 0.5 else 2
    volume, bores = _BORES[strokes][int(rng.integers(len(_BORES[strokes])))]
    bore = float(bores[int(rng.integers(len(bores)))])
    engine: dict[str, Any] = {
        "strokes": strokes,
        "inlet": "valve" if strokes == 4 else ("reed" if rng.random() < 0.75 else "piston port"),
        "cooling": "liquid" if volume > 100.0 and rng.random() < 0.5 else "air",
        "swept_volume": volume * rng.normal(0.992, 0.004) * CUBIC_CENTIMETRE,
    }
    carb: dict[str, Any] = {
        "slide": "flat" if rng.random() < 0.25 else "round",
        "bore": bore * _MM,
        "screw": _screw(strokes, rng),
        "choke": _choke(strokes, rng),
        "vent": "airbox" if rng.random() < 0.1 else "open",
    }
    for scale in ("main_scale", "pilot_scale"):
        # Small bikes' pilots are counted by bore: one size of the other family would be a leap.
        carb[scale] = "flow" if bore >= 26.0 and rng.random() < 0.15 else "bore"
    name = f"Bike {number}"
    bare = assume_bike(name=name, what="invented", engine=engine, carb=carb, fuel={})
    _take_measures(bare, engine, carb, rng)
    return assume_bike(name=name, what="invented", engine=engine, carb=carb, fuel={}, story=_story(rng))


def _screw(strokes: int, rng: Generator) -> ScrewKind:
    return "fuel" if rng.random() < (0.5 if strokes == 4 else 0.15) else "air"


def _choke(strokes: int, rng: Generator) -> ChokeKind:
    dice = rng.random()
    flap = 0.25 if strokes == 4 else 0.05
    return "flap" if dice < flap else ("none" if dice > 0.95 else "plunger")


def _story(rng: Generator) -> frozenset[str]:
    chances = {"fresh replacement": 0.25, "stood for months": 0.2, "just worked on": 0.2}
    return frozenset(key for key, chance in chances.items() if rng.random() < chance)


def _take_measures(bare: Bike, engine: dict[str, Any], carb: dict[str, Any], rng: Generator) -> None:
    """Let the owner take some measures; each is drawn as far from the usual as bikes of its kind differ."""
    for name, chance in (("idle_rpm", 0.8), ("peak_rpm", 0.5), ("inlet_length", 0.25), ("port_volume", 0.1)):
        if rng.random() < chance:
            engine[name] = _drawn(getattr(bare.engine, name), rng)
    for name, chance in (("needle_seat", 0.15), ("lip_height", 0.1), ("pilot_air_bore", 0.25)):
        if rng.random() < chance:
            carb[name] = _drawn(getattr(bare.carb, name), rng)
    dice = rng.random()
    if dice < 0.5:
        carb["needle_jet_bore"] = _drawn(bare.carb.needle_jet_bore, rng, most=0.7)
    if dice < 0.35:
        first = bare.carb.needle.stations[0]
        ring = bare.carb.needle_jet_bore.value - first.diameter.value
        carb["needle"] = {
            "top": carb["needle_jet_bore"] - ring * (1.0 + 0.15 * rng.standard_normal()),
            "straight": _drawn(first.distance, rng),
        }


def _drawn(measure: Measure, rng: Generator, *, most: float = 1.0) -> float:
    return measure.value + most * measure.spread * float(rng.standard_normal())


def as_it_is(bike: Bike, rng: Generator) -> Bike:
    """Give the bike as it really measures: every measure off by as much as it may be.

    A needle that nobody measured goes with its jet, whatever the jet's bore turns out to be.
    """
    real: Bike = _shaken(bike, rng)
    jet, top = bike.carb.needle_jet_bore, bike.carb.needle.stations[0].diameter
    if jet.is_assumed and top.is_assumed:
        by = real.carb.needle_jet_bore.value - jet.value
        real = replace(real, carb=replace(real.carb, needle=thicker(real.carb.needle, by)))
    return real


def thicker(needle: Needle, by: float) -> Needle:
    """Give a needle thicker by so many metres all along."""
    stations = tuple(
        Station(one.distance, replace(one.diameter, value=one.diameter.value + by)) for one in needle.stations
    )
    return replace(needle, stations=stations)


def needle_as_it_is(needle: Needle, *, own: Needle, real_own: Needle, rng: Generator) -> Needle:
    """Give a needle of the drawer as it really measures: off the own one by what is written, nearly."""
    step = needle.stations[0].diameter.value - own.stations[0].diameter.value
    return replace(thicker(real_own, step + 0.003 * _MM * float(rng.standard_normal())), stamp=needle.stamp)


def _shaken(thing: Any, rng: Generator) -> Any:  # noqa: ANN401  (any part of a bike)
    if isinstance(thing, Measure):
        return measured(thing.value + thing.spread * kept(float(rng.standard_normal())), 0.0)
    if isinstance(thing, tuple):
        return tuple(_shaken(one, rng) for one in thing)
    if is_dataclass(thing) and not isinstance(thing, type):
        return replace(thing, **{f.name: _shaken(getattr(thing, f.name), rng) for f in fields(thing)})
    return thing


def kept(z: float) -> float:
    """Keep a throw of the dice within what is still a bike."""
    return min(2.5, max(-2.5, z))


def other_needles(bike: Bike, rng: Generator) -> tuple[Needle, ...]:
    """Give two needles of the drawer that fit: one a little thicker, one a little thinner."""
    own = bike.carb.needle
    ring = bike.carb.needle_jet_bore.value - own.stations[0].diameter.value
    by = ring * rng.uniform(0.08, 0.22, 2)
    return tuple(
        replace(thicker(_as_measured(own), float(step)), stamp=stamp)
        for stamp, step in (("N1", by[0]), ("N3", -by[1]))
    )


def _as_measured(needle: Needle) -> Needle:
    stations = tuple(
        Station(
            measured(one.distance.value, 0.2 * _MM),
            # What is known of it is how it differs from the own needle, not more than the own is known.
            replace(one.diameter, spread=max(one.diameter.spread, 0.004 * _MM)),
        )
        for one in needle.stations
    )
    return replace(needle, stations=stations)


def invent_day(rng: Generator) -> Day:
    """Give a day as it was read at the door: sometimes with a barometer, mostly with a thermometer."""
    height = float(rng.choice([50.0, 200.0, 450.0, 900.0, 1450.0])) + float(rng.uniform(-40.0, 40.0))
    read = rng.random() < 0.5
    return assume_day(
        "Tarn Hollow",
        height=height,
        temperature=float(rng.uniform(276.0, 303.0)),
        pressure=standard_pressure(height) + float(rng.normal(0.0, 800.0)) if read else None,
        humidity=float(rng.uniform(0.3, 0.9)) if read else None,
    )


def day_as_it_is(day: Day, rng: Generator) -> Day:
    """Give the day as it really was."""
    real: Day = _shaken(day, rng)
    return replace(real, humidity=measured(min(1.0, max(0.05, real.humidity.value)), 0.0))
