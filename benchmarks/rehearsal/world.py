"""What is really so: bikes that follow another physics than the one the belief reckons with.

The laws of ``floatbowl.flow`` are the ground, and everything on top is the world's own: sizes that differ
from what is written down, jets that differ one by one from their stamps, a fuel law that answers more or less
to a change than ours, pulsation and signal that stray along the throttle, an inlet with its own swing, air
that thins otherwise, and an engine that wants what it wants. Nothing of ``floatbowl.belief`` is used.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.rehearsal import kinds
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.day import Day
from floatbowl.bike.faults import Ailment, Fault
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from floatbowl.flow import bowl
from floatbowl.flow.breath import Breath, Grid, breathe, riding_line
from floatbowl.flow.choke import ENRICHENER_AREA
from floatbowl.flow.idle import settled_speed, spare_pressure
from floatbowl.flow.mixture import mixture
from floatbowl.flow.nominal import nominal
from floatbowl.flow.stamps import BORE_SPREAD, Make, flow_family_spread

if TYPE_CHECKING:
    from floatbowl.flow.parameters import Parameters

Array = NDArray[np.float64]

OPENINGS = np.array([rung.opening for rung in RUNGS])
USUAL_FOUR = np.array([0.87, 0.90, 0.92, 0.92, 0.89, 0.86])
USUAL_TWO = np.array([0.84, 0.87, 0.90, 0.90, 0.88, 0.84])
"""Lambda that ordinary engines want, shut to full (common practice)."""
_WANT_COMMON, _WANT_OWN = 0.013, 0.0125
"""Spread of what one engine wants about the usual: 0.018 at each rung in all."""

_TIMES = {
    "signal_gain": 0.20,
    "signal_reach": 0.12,
    "ring_discharge": 0.08,
    "main_discharge": 0.07,
    "pilot_discharge": 0.12,
    "slip": 0.5,
    "inlet_loss": 0.40,
    "filter_loss": 0.5,
    "slide_discharge": 0.03,
    "enrichener_share": 0.4,
    "fuel_viscosity": 0.08,
    "air_per_fuel": 0.012,
    "idle_lift": 0.05,
    "fuel_supply": 0.25,
    "screw_area_per_turn": 0.10,
}
_PLUS = {
    "cutaway_share": 0.17,
    "reverse_share": 0.2,
    "port_heating": 8.0,
    "mix_depth": 2e-3,
    "pilot_head": 2e-3,
    "surface_pull": 6.0,
    "level_drop": 1.0e-3,
}
"""Spread of the flow parameters that no measure tells, as factors (logarithm) and as amounts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """How one bike's physics strays from the laws of ``floatbowl.flow``."""

    times: Mapping[str, float]
    plus: Mapping[str, float]
    main_stray: Array
    """Along the ladder, in ln(fuel) of the main side: pulsation, signal, inlet swing."""
    pilot_stray: Array
    main_answer: float
    """How much more or less than reckoned the main side answers to a change."""
    pilot_answer: float
    thin_air: float
    """Power of the pressure by which fuel differs from ours in thin air."""
    snap: Array
    """How much shorter of fuel a snap feels, by rung."""
    hurry: float
    """Engine speeds ridden, over those of the riding line."""

    @classmethod
    def drawn(cls, rng: Generator) -> Law:
        """Draw one bike's law."""
        times = {name: float(np.exp(spread * rng.standard_normal())) for name, spread in _TIMES.items()}
        plus = {name: float(spread * rng.standard_normal()) for name, spread in _PLUS.items()}
        sharp = 0.045 * float(np.exp(0.4 * rng.standard_normal()))
        return cls(
            times=times,
            plus=plus,
            main_stray=_stray(0.05, rng) + _swing(rng),
            pilot_stray=_stray(0.04, rng),
            main_answer=float(0.08 * rng.standard_normal()),
            pilot_answer=float(0.10 * rng.standard_normal()),
            thin_air=float(0.15 * rng.standard_normal()),
            snap=sharp * np.array([0.3, 0.8, 1.0, 0.6, 0.2, 0.0]),
            hurry=float(np.exp(0.05 * rng.standard_normal())),
        )


def _stray(spread: float, rng: Generator) -> Array:
    """Draw a stray along the ladder that keeps turning, as a drunkard's walk on a leash does."""
    place = np.sqrt(OPENINGS)
    cover = spread**2 * np.exp(-np.abs(place[:, None] - place[None, :]) / 0.6)
    return np.asarray(np.linalg.cholesky(cover) @ rng.standard_normal(len(RUNGS)))


def _swing(rng: Generator) -> Array:
    """Draw the swing of the inlet: a hump or hollow somewhere in the upper half."""
    at, width = rng.uniform(0.4, 1.0), rng.uniform(0.12, 0.3)
    return np.asarray(0.03 * rng.standard_normal() * np.exp(-0.5 * ((OPENINGS - at) / width) ** 2))


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """A fault that the bike has, with how bad it is, 0 to 1 and a little beyond."""

    fault: Fault
    severity: float

    def break_it(self, p: Parameters) -> Parameters:
        """Give the parameters with the fault in them."""
        for change in self.fault.changes:
            amount = change.low + (change.high - change.low) * self.severity
            before = np.asarray(getattr(p, change.parameter))
            after = before * max(amount, 0.0) if change.how == "times" else before + amount
            p = replace(p, **{change.parameter: after})  # type: ignore[arg-type]
        return p

    def ailing(self) -> dict[Ailment, float]:
        """Give what ails the bike by it besides the mixture."""
        by = min(1.0, max(0.0, self.severity))
        return {felt.ailment: felt.low + (felt.high - felt.low) * by for felt in self.fault.felt}


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What a setup really does on a day; arrays are (rung,)."""

    error: Array
    lam: Array
    starved: Array
    snap: Array
    """How much shorter of fuel it feels when snapped open."""
    extra_air: float
    level_drop: float
    """Fuel below the book level, m."""
    ailing: Mapping[Ailment, float]

    @property
    def worst(self) -> float:
        """Give the largest error of all rungs, either way."""
        return float(np.abs(self.error).max())


@dataclass(frozen=True, kw_only=True)
class TrueBike:
    """One bike: as written down, as it is, and the law it follows. Faults are handed in: they get mended."""

    known: Bike
    real: Bike
    law: Law
    wanted: Array
    days: Mapping[Day, Day]
    """Each day as it was read, and as it was."""
    needles: Mapping[str, Needle]
    """The drawer's needles as they really measure, by stamp."""
    seed: int
    _parameters: dict[tuple[Setup, Day], Parameters] = field(default_factory=dict, repr=False)
    _breath: dict[tuple[object, ...], Breath] = field(default_factory=dict, repr=False)

    def parameters(self, setup: Setup, day: Day) -> Parameters:
        """Give the flow's numbers of the sound bike in a setup on a day."""
        key = (replace(setup, number=0), day)
        if key not in self._parameters:
            self._parameters[key] = self._worked_out(setup, day)
        return self._parameters[key]

    def _worked_out(self, setup: Setup, day: Day) -> Parameters:
        needle = None if setup.needle is None else self.needles[setup.needle.stamp]
        p = nominal(self.real, replace(setup, needle=needle), self.days[day])
        moved = {name: np.asarray(getattr(p, name)) * by for name, by in self.law.times.items()}
        added = {name: np.asarray(getattr(p, name)) + by for name, by in self.law.plus.items()}
        jets = {
            "main_area": np.asarray(p.main_area * self.jet("main", setup.main) ** 2),
            "pilot_area": np.asarray(p.pilot_area * self.jet("pilot", setup.pilot) ** 2),
        }
        p = replace(p, **moved, **added, **jets)  # type: ignore[arg-type]
        return replace(
            p,
            cutaway_share=np.clip(p.cutaway_share, 0.1, 1.2),
            reverse_share=np.clip(p.reverse_share, 0.0, 1.0),
            surface_pull=np.maximum(p.surface_pull, 0.0),
        )

    def jet(self, part: str, stamp: str) -> float:
        """Give the bore of a jet over its stamp: each jet differs, and those of one family together."""
        make: Make = "copy" if "fresh replacement" in self.known.story else "genuine"
        number = round(float(stamp) * 10)
        own = np.random.default_rng([self.seed, number, part == "main"]).standard_normal()
        scale = self.known.carb.main_scale if part == "main" else self.known.carb.pilot_scale
        family = np.random.default_rng([self.seed, 7]).standard_normal() if scale == "flow" else 0.0
        return float(np.exp(BORE_SPREAD[make].value * own + float(flow_family_spread()) * family))

    @property
    def grid(self) -> Grid:
        """Give the rungs at the speeds at which this rider rides them."""
        plain = riding_line(self.real, OPENINGS)
        rpm = plain.rpm.copy()
        rpm[1:] *= self.law.hurry
        return Grid(opening=plain.opening, rpm=rpm)

    def breath(self, p: Parameters) -> Breath:
        """Give the air side of one bike; jets and needles do not touch it."""
        key = tuple(
            float(np.asarray(getattr(p, name)).ravel()[0])
            for name in (
                "ambient_pressure",
                "ambient_temperature",
                "leak_area",
                "filter_loss",
                "idle_lift",
                "choke_shut",
                "inlet_loss",
            )
        )
        if key not in self._breath:
            self._breath[key] = breathe(p, self.grid)
        return self._breath[key]

    def log_fuel(self, p: Parameters, breath: Breath, grid: Grid) -> tuple[Array, Array]:
        """Give ln(fuel) of main side and pilot side, (draw, rung) each, by this bike's own law."""
        m = mixture(p, grid, breath=breath)
        asked = np.log(breath.air[:, :, 0] / 13.0)
        thin = self.law.thin_air * np.log(float(np.asarray(p.ambient_pressure)) / 101325.0)

        def own(fuel: Array, stray: Array, answer: float) -> Array:
            plain = np.log(np.maximum(fuel[:, :, 0], 1e-9))
            # Only what is metered answers otherwise: a side that hardly flows is left alone.
            bent = answer * np.clip(plain - asked, -1.0, 1.0)
            return np.asarray(plain + bent + stray[_places(grid)] + thin)

        return (
            own(m.main_fuel, self.law.main_stray, self.law.main_answer),
            own(m.pilot_fuel, self.law.pilot_stray, self.law.pilot_answer),
        )

    def see(self, setup: Setup, day: Day, broken: tuple[Broken, ...] = (), *, choke: float = 0.0) -> Truth:
        """Give what a setup really does on a day; ``choke`` is how far it is drawn, 0 to 1."""
        sound = self.parameters(setup, day)
        p = self._choked(sound, choke)
        for one in broken:
            p = one.break_it(p)
        breath = self.breath(p)
        main, pilot = self.log_fuel(p, breath, self.grid)
        fuel = np.logaddexp(main, pilot)[0]
        oxygen = breath.air[0, :, 0] * float(np.asarray(p.dry_share))
        lam = np.clip(oxygen / (np.exp(fuel) * float(np.asarray(p.air_per_fuel).ravel()[0])), 0.2, 6.0)
        ailing: dict[Ailment, float] = {}
        for one in broken:
            for ailment, much in one.ailing().items():
                ailing[ailment] = max(much, ailing.get(ailment, 0.0))
        shut = float(breath.air[0, 0, 0] / self.breath(sound).air[0, 0, 0])
        return Truth(
            error=np.log(self.wanted / lam),
            lam=lam,
            starved=np.asarray(bowl.starved(np.exp(fuel), float(np.asarray(p.fuel_supply)))),
            snap=self.law.snap,
            extra_air=shut - 1.0,
            level_drop=float(np.asarray(p.level_drop)),
            ailing=ailing,
        )

    def _choked(self, p: Parameters, choke: float) -> Parameters:
        if choke == 0.0 or self.known.carb.choke == "none":
            return p
        if self.known.carb.choke == "flap":
            return replace(p, choke_shut=np.asarray(0.85 * choke))
        return replace(p, enrichener_area=np.asarray(choke * ENRICHENER_AREA.value))

    def idle_speed(self, setup: Setup, day: Day, broken: tuple[Broken, ...]) -> float:
        """Give the speed at which the idle settles, rpm; 0 where it dies."""
        p = self.parameters(setup, day)
        for one in broken:
            p = one.break_it(p)
        rpm = self.real.engine.idle_rpm.value * np.linspace(0.35, 2.6, 19)
        grid = Grid(opening=np.zeros(1), rpm=rpm[None, :])
        breath = breathe(p, grid)
        m = mixture(p, grid, breath=breath)
        main, pilot = np.exp(self.law.main_stray[0]), np.exp(self.law.pilot_stray[0])
        fuel = main * m.main_fuel + pilot * m.pilot_fuel
        wanted_air = np.maximum(fuel, 1e-9) * float(np.asarray(p.air_per_fuel))
        lam = np.clip(breath.air * float(np.asarray(p.dry_share)) / wanted_air, 0.2, 6.0)
        usual = usually_wanted(self.real.engine.strokes)[0]
        spare = spare_pressure(p, breath, grid, lam * usual / self.wanted[0])[:, 0, :]
        speed = settled_speed(spare, rpm)[0]
        return 0.0 if np.isnan(speed) else float(speed)


def _places(grid: Grid) -> list[int]:
    return [int(np.argmin(np.abs(OPENINGS - opening))) for opening in grid.opening]


def usually_wanted(strokes: int) -> Array:
    """Give the lambda that ordinary engines of this kind want, (rung,)."""
    return USUAL_FOUR if strokes == 4 else USUAL_TWO


def make(
    number: int, known: Bike, days: tuple[Day, ...], needles: tuple[Needle, ...], rng: Generator
) -> TrueBike:
    """Make the truth behind a bike as it was written down."""
    usual = usually_wanted(known.engine.strokes)
    own = _WANT_COMMON * rng.standard_normal() + _WANT_OWN * rng.standard_normal(len(RUNGS))
    real = kinds.as_it_is(known, rng)
    own_needle, real_needle = known.carb.needle, real.carb.needle
    return TrueBike(
        known=known,
        real=real,
        law=Law.drawn(rng),
        wanted=usual * np.exp(own),
        days={day: kinds.day_as_it_is(day, rng) for day in days},
        needles={
            needle.stamp: kinds.needle_as_it_is(needle, own=own_needle, real_own=real_needle, rng=rng)
            for needle in needles
        },
        seed=int(rng.integers(2**31)) + number,
    )
