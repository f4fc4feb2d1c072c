"""The shed: what one can do to a bike there, what it shows, and how long it takes.

Every mechanic works in a shed of his own with the same bike and the same rider, and pays the same minutes.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import get_args

import numpy as np
from numpy.random import Generator

from benchmarks.rehearsal.rider import Rider
from benchmarks.rehearsal.setting import Case
from benchmarks.rehearsal.world import Broken, Truth, usually_wanted
from floatbowl.bike.faults import Change, Fault
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.figures import Figure
from floatbowl.flow.power import torque_factor
from floatbowl.signs.trial import (
    SHOWS,
    ChokeOutcome,
    ChokeReading,
    HandReading,
    IdleSweepReading,
    LambdaReading,
    LevelReading,
    LookReading,
    PlugColour,
    PlugReading,
    Remark,
    RollOnReading,
)
from floatbowl.units import MILLIMETRE

COLOURS: tuple[PlugColour, ...] = get_args(PlugColour)
RIDE_MINUTES = 10.0
"""All six openings, once."""
OPENING_MINUTES = 4.0
"""One opening, once."""
CHANGE_MINUTES = {
    "main": 15.0,
    "clip": 20.0,
    "washer": 20.0,
    "pilot": 20.0,
    "needle": 25.0,
    "cutaway": 30.0,
    "screw": 3.0,
    "float": 35.0,
}
_SAME_STRIP_DOWN = (({"main", "pilot", "float"}, 10.0), ({"clip", "washer", "needle", "cutaway"}, 12.0))
"""Parts behind one strip-down, and the minutes that are paid once for them."""
TEST_MINUTES = {
    "choke test": 5.0,
    "hand over the intake": 2.0,
    "idle sweep": 10.0,
    "roll-on pair": 12.0,
    "plug chop": 15.0,
    "fuel level by a clear hose": 10.0,
    "float height": 15.0,
}
LOOK_MINUTES = {
    "soap on the joints": 10.0,
    "crankcase under pressure": 45.0,
    "light through the pilot jet": 20.0,
    "spray through the pilot air jet": 15.0,
    "spray from the bypass holes": 25.0,
    "light through the main jet": 15.0,
    "light through the main air jet": 20.0,
    "fuel level by a clear hose": 10.0,
    "float held under": 30.0,
    "float valve under pressure": 15.0,
    "needle jet against the light": 30.0,
    "needle under the caliper": 20.0,
    "breathe through the vents": 5.0,
    "tank cap opened": 1.0,
    "flow from the tap": 5.0,
    "choke seat": 5.0,
    "filter off for a moment": 5.0,
    "filter in the hand": 5.0,
    "idle stop right out": 3.0,
    "new plug": 5.0,
    "wires and switch shaken": 10.0,
    "fresh petrol": 15.0,
    "exhaust joints": 5.0,
    "valve clearance": 45.0,
    "cleaned by spray": 40.0,
    "cleaned by hand": 60.0,
    "cleaned in a bath": 75.0,
    "strip and clean": 80.0,
}
"""Minutes for one familiar bike, tools out (from memory)."""
MEND_MINUTES = {"crank seal leaks": 180.0, "air leak": 30.0, "valve too tight": 20.0}
_MEND = 15.0
_HIT = {
    "cleaned by spray": 0.5,
    "cleaned by hand": 0.75,
    "new plug": 0.85,
    "wires and switch shaken": 0.7,
    "needle jet against the light": 0.75,
    "spray from the bypass holes": 0.85,
    "idle stop right out": 0.8,
    "soap on the joints": 0.85,
}
_HITS = 0.93
_FALSE = {"needle jet against the light": 0.08, "new plug": 0.05, "filter off for a moment": 0.05}
_FALSE_ALARM = 0.02
LEVEL_OFF_MM = 2.0
"""From here on anybody sets a fuel level right when he sees it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """How this shed's tools and hands err."""

    probe_bias: float
    plug_bias: float
    run_spread: float
    toll: float
    choke: float
    choke_feel: float

    @classmethod
    def drawn(cls, rng: Generator) -> Tools:
        """Draw one shed's tools."""
        return cls(
            probe_bias=float(0.015 * rng.standard_normal()),
            plug_bias=float(0.03 * rng.standard_normal()),
            run_spread=float(rng.uniform(0.02, 0.05)),
            toll=float(rng.uniform(4.0, 10.0)),
            choke=float(rng.uniform(0.35, 0.6)),
            choke_feel=float(rng.uniform(0.008, 0.02)),
        )


@dataclass(kw_only=True)
class Shed:
    """One bike on one mechanic's stand."""

    case: Case
    rider: Rider
    tools: Tools
    rng: Generator
    setup: Setup
    broken: tuple[Broken, ...]
    bent: tuple[Broken, ...] = ()
    """The float's tang, bent where its level read wrong: no fault, but it moves the level."""
    minutes: float = 0.0
    changes: int = 0
    mended: list[str] = field(default_factory=list)
    entries: int = 0

    def truth(self, *, choke: float = 0.0) -> Truth:
        """Give what it really does now."""
        broken = (*self.broken, *self.bent)
        return self.case.bike.see(self.setup, self.case.day, broken, choke=choke)

    @property
    def is_right(self) -> bool:
        """Say whether it is right and whole."""
        return self.truth().worst <= 0.05 and not self.broken

    def _entry(self, what: str) -> str:
        self.entries += 1
        return f"{what} {self.entries}"

    # --- riding -----------------------------------------------------------------------------------

    def ride(self, rungs: tuple[Rung, ...] = RUNGS) -> tuple[Remark, ...]:
        """Ride these openings and say what it did, one remark for each, and what belongs to none."""
        self.minutes += RIDE_MINUTES if len(rungs) > 2 else OPENING_MINUTES * len(rungs)
        truth = self.truth()
        said = [self.rider.says(at, truth, self.rng, entry=self._entry(at.value)) for at in rungs]
        if len(rungs) == len(RUNGS):
            said.extend(self.rider.elsewhere(truth, self.rng, entry=self._entry("told")))
        return tuple(said)

    def probe(self) -> tuple[LambdaReading, ...]:
        """Read the probe once at each opening."""
        truth = self.truth()
        readings = []
        for at, lam in zip(RUNGS, truth.lam, strict=True):
            shut = at is Rung.SHUT
            off = self.tools.probe_bias + (0.06 if shut else 0.025) * float(self.rng.standard_normal())
            value = float(lam * np.exp(off + (0.035 if shut else 0.0)))
            if self.rng.random() < 0.03:
                value = float(np.exp(self.rng.uniform(np.log(0.6), np.log(1.6))))
            if 0.5 < value < 2.0:
                readings.append(LambdaReading(entry=self._entry("probe"), at=at, value=round(value, 2)))
        return tuple(readings)

    def choke_test(self, at: Rung) -> ChokeReading:
        """Draw the choke a little at a held opening: better, worse, or no change."""
        self.minutes += TEST_MINUTES["choke test"]
        before, after = self._ease(at, 0.0), self._ease(at, self.tools.choke)
        felt = after - before + self.tools.choke_feel * float(self.rng.standard_normal())
        outcome: ChokeOutcome = "no change"
        if abs(felt) > 1.5 * self.tools.choke_feel:
            outcome = "better" if felt > 0.0 else "worse"
        if self.rng.random() < 0.06:
            outcome = ("better", "worse", "no change")[int(self.rng.integers(3))]
        return ChokeReading(entry=self._entry("choke"), at=at, outcome=outcome)

    def hand_test(self) -> HandReading:
        """Cover the intake slowly at idle: does the speed rise before it sinks."""
        self.minutes += TEST_MINUTES["hand over the intake"]
        truth = self.truth()
        lean = max(-float(truth.error[0]), 0.0) + 0.3 * max(truth.extra_air, 0.0)
        rises = self.rng.random() < 0.08 + 0.8 / (1.0 + np.exp(-(lean - 0.09) / 0.025))
        return HandReading(entry=self._entry("hand"), outcome="rises" if rises else "sinks")

    def _ease(self, at: Rung, choke: float) -> float:
        """Give how well it pulls at an opening, 1 and below: torque, less what stumbling costs."""
        truth = self.truth(choke=choke)
        place = RUNGS.index(at)
        usual = usually_wanted(self.case.bike.known.engine.strokes)
        lam = float(truth.lam[place] * usual[place] / self.case.bike.wanted[place])
        stumbles = max(abs(float(truth.error[place])) - 0.03, 0.0)
        return max(float(torque_factor(lam)), 0.2) * float(np.exp(-self.tools.toll * min(stumbles**2, 0.15)))

    def roll_on(self, at: Rung) -> tuple[RollOnReading, RollOnReading]:
        """Time three runs with the choke off and three with it half drawn."""
        self.minutes += TEST_MINUTES["roll-on pair"]
        plain = 4.0

        def runs(choke: float) -> tuple[float, ...]:
            middle = plain / self._ease(at, choke)
            spread = self.tools.run_spread * self.rng.standard_normal(3)
            return tuple(round(float(middle * np.exp(one)), 1) for one in spread)

        choked = 0.5 if self.rng.random() > 0.05 else 0.0
        return (
            RollOnReading(entry=self._entry("roll-on"), at=at, seconds=runs(0.0)),
            RollOnReading(entry=self._entry("roll-on"), at=at, seconds=runs(choked), choke="half"),
        )

    def plug_chop(self, at: Rung) -> PlugReading:
        """Cut it at an opening and read the plug."""
        self.minutes += TEST_MINUTES["plug chop"]
        lam = float(self.truth().lam[RUNGS.index(at)]) + self.tools.plug_bias
        seen = lam + 0.06 * float(self.rng.standard_normal())
        place = int(sum(seen < cut for cut in (1.02, 0.93, 0.85, 0.76, 0.66)))
        if self.rng.random() < 0.12:
            place = int(self.rng.integers(len(COLOURS)))
        return PlugReading(entry=self._entry("plug"), at=at, colour=COLOURS[place])

    def idle_sweep(self) -> IdleSweepReading:
        """Turn the screw by quarters about where it stands until it has dropped, the stop left alone."""
        self.minutes += TEST_MINUTES["idle sweep"]
        now = self.setup.screw_turns
        turns = tuple(now + 0.25 * k for k in range(-3, 4) if 0.25 <= now + 0.25 * k <= 4.0)
        rpm = []
        for turned in turns:
            there = replace(self.setup, screw_turns=turned)
            speed = self.case.bike.idle_speed(there, self.case.day, (*self.broken, *self.bent))
            rpm.append(round(speed * float(np.exp(0.012 * self.rng.standard_normal())), -1))
        return IdleSweepReading(entry=self._entry("sweep"), turns=turns, rpm=tuple(rpm))

    # --- looking and mending ----------------------------------------------------------------------

    def level(self) -> LevelReading:
        """Read the fuel level by a clear hose."""
        self.minutes += TEST_MINUTES["fuel level by a clear hose"]
        above = -1000.0 * self.truth().level_drop + 0.6 * float(self.rng.standard_normal())
        return LevelReading(entry=self._entry("level"), above_mm=round(above * 2.0) / 2.0)

    def look(self, key: str) -> tuple[LookReading, str | None]:
        """Make a look. What it finds is put right at once; gives the fault that was, or seemed, found."""
        self.minutes += LOOK_MINUTES[key]
        for one in self.broken:
            if one.fault.key in SHOWS[key] and self.rng.random() < _HIT.get(key, _HITS):
                self.mend(one.fault.key)
                return LookReading(entry=self._entry("look"), look=key, outcome="found"), one.fault.key
        if self.rng.random() < _FALSE.get(key, _FALSE_ALARM):
            seemed = SHOWS[key][0]
            self.minutes += MEND_MINUTES.get(seemed, _MEND)
            return LookReading(entry=self._entry("look"), look=key, outcome="found"), seemed
        return LookReading(entry=self._entry("look"), look=key, outcome="clear"), None

    def set_level(self, reading: LevelReading) -> str | None:
        """Put right what a level reads wrong: a fault that shows there, or else the tang is bent.

        Gives what it is written down as, None where the level is near enough.
        """
        if abs(reading.above_mm) < LEVEL_OFF_MM:
            return None
        for one in self.broken:
            if one.fault.key in SHOWS["fuel level by a clear hose"]:
                self.mend(one.fault.key)
                return one.fault.key
        self.minutes += TEST_MINUTES["float height"]
        drop = reading.above_mm * MILLIMETRE
        bent = Fault(
            key="tang bent",
            rate=Figure(0.0, 0.0, 0.0, "not drawn"),
            changes=(Change("level_drop", "plus", drop, drop),),
        )
        self.bent = (*self.bent, Broken(fault=bent, severity=0.0))
        return "fuel level high" if reading.above_mm > 0.0 else "fuel level low"

    def mend(self, key: str) -> None:
        """Put a fault right."""
        self.minutes += MEND_MINUTES.get(key, _MEND)
        self.mended.append(key)
        self.broken = tuple(one for one in self.broken if one.fault.key != key)

    def change(self, setup: Setup, *parts: str) -> None:
        """Change one part, or a few in one job."""
        self.minutes += sum(CHANGE_MINUTES[part] for part in parts)
        for behind, minutes in _SAME_STRIP_DOWN:
            self.minutes -= minutes * max(0, sum(part in behind for part in parts) - 1)
        self.changes += len(parts)
        self.setup = setup


def open_shed(case: Case, seed: int, who: int) -> Shed:
    """Give the shed of one mechanic: the same bike, rider and tools, dice of his own."""
    dice = np.random.default_rng([seed, case.number, 1])
    rider, tools = Rider.drawn(dice), Tools.drawn(dice)
    return Shed(
        case=case,
        rider=rider,
        tools=tools,
        rng=np.random.default_rng([seed, case.number, 2, who]),
        setup=case.start,
        broken=case.broken,
    )
