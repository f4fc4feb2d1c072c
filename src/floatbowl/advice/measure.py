"""Tests that tell more before anything is changed: what each costs, and what it might bring.

What a test might bring is drawn from the signs' own laws on the likely bikes.
Each outcome is then held against every draw, and so weighs them anew.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.cost import RIDE
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs import behaviour, choke_test, fuel_level, idle_sweep, plug, roll_on, steady_lambda
from floatbowl.signs.trial import (
    ChokeReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    LevelReading,
    LookReading,
    PlugReading,
    Remark,
    RollOnReading,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.advice.rank import Option, Panel
    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import ChokeOutcome, How, Reading, Trial

    Array = NDArray[np.float64]

SAMPLED = 24
"""How many outcomes are drawn of a test with more outcomes than can be counted."""


@dataclass(frozen=True, slots=True)
class Test:
    """A test by its key, the rung it is made at if it is made at one, and its minutes (from memory)."""

    key: str
    minutes: float
    at: Rung | None = None


_LOW = (Rung.EIGHTH, Rung.QUARTER, Rung.HALF)
_ROLLED = (Rung.QUARTER, Rung.HALF, Rung.THREE_QUARTERS, Rung.FULL)
RIDE_AND_SAY = Test("ride and say", RIDE.value)
IDLE = Test("idle sweep", 8.0)
_TIMED = tuple(Test("roll-on pair", 12.0, at) for at in _ROLLED)
_CUT = tuple(Test("plug chop", 15.0, at) for at in (Rung.THREE_QUARTERS, Rung.FULL))
AT_FULL = (_TIMED[-1], _CUT[-1])
"""What measures full opening."""
TESTS = (
    RIDE_AND_SAY,
    *(Test("choke test", 5.0, at) for at in _LOW),
    *_TIMED,
    *_CUT,
    IDLE,
    Test("fuel level by a clear hose", 10.0),
)
_HOW: dict[Rung, How] = {
    Rung.SHUT: "steady",
    Rung.EIGHTH: "steady",
    Rung.QUARTER: "steady",
    Rung.HALF: "pull",
    Rung.THREE_QUARTERS: "pull",
    Rung.FULL: "pull",
}
_MOVED = 0.015
"""Error by which a change must move a rung for its ride to tell something new there (judgement)."""
_SWEPT = (-0.75, -0.375, 0.0, 0.375, 0.75)
"""Screw turns tried around the setting."""


def tests_left(trials: tuple[Trial, ...], panel: Panel) -> tuple[Test, ...]:
    """Give the tests that were not made yet with this setup at this height; a probe is ridden with again."""
    b = panel.belief
    here = [
        trial
        for trial in trials
        if replace(trial.setup, number=0) == replace(b.setup, number=0)
        and trial.day.height == b.day.height
        and not trial.mended
    ]
    made = {key for trial in here for key in _made(trial)}
    if _readings_at_full(here) in range(1, _MOST_PROBED):
        made.discard(("ride and say", None))
    return tuple(test for test in TESTS if (test.key, test.at) not in made)


_MOST_PROBED = 3
"""Rides of one setup with a probe after which another would tell little (judgement)."""


def _readings_at_full(trials: Iterable[Trial]) -> int:
    readings = [reading for trial in trials for reading in trial.readings]
    return sum(_probed_at_full(reading) for reading in readings)


def _probed_at_full(reading: Reading) -> bool:
    if isinstance(reading, LambdaLogReading):
        return Rung.FULL in reading.at
    return isinstance(reading, LambdaReading) and reading.at is Rung.FULL


def has_probe(trials: Iterable[Trial]) -> bool:
    """Say whether a lambda probe is at hand: it was used before."""
    probed = LambdaReading | LambdaLogReading
    return any(isinstance(reading, probed) for trial in trials for reading in trial.readings)


def _made(trial: Trial) -> set[tuple[str, Rung | None]]:
    made: set[tuple[str, Rung | None]] = {
        (_KEYS[type(reading)], getattr(reading, "at", None))
        for reading in trial.readings
        if type(reading) in _KEYS
    }
    made |= {(reading.look, None) for reading in trial.readings if isinstance(reading, LookReading)}
    said = {remark.at for remark in trial.remarks}
    return made | ({("ride and say", None)} if said >= set(RUNGS) else set())


_KEYS: dict[type, str] = {
    ChokeReading: "choke test",
    RollOnReading: "roll-on pair",
    PlugReading: "plug chop",
    IdleSweepReading: "idle sweep",
    LevelReading: "fuel level by a clear hose",
}


@dataclass(frozen=True, slots=True)
class Outcomes:
    """What a test may bring: how often each outcome comes, (outcome,), and how likely it is for each draw.

    ``likely`` is (outcome, draw), up to a factor for each outcome.
    """

    often: Array
    likely: Array
    is_sampled: bool = False


class Bench:
    """The weighed draws as they stand, on which tests are tried."""

    def __init__(self, panel: Panel, rng: Generator, *, probe: bool) -> None:
        """Look at the draws once."""
        b = panel.belief
        self._panel = panel
        draws = panel.draws[panel.weighed]
        self._belief = b
        self._z, self._fault = b.z[draws], b.fault[draws]
        self._seen: Seen = b.stage.glimpse(b.setup, b.day, self._z, self._fault)
        self._rng = rng
        self._probe = probe

    def outcomes(self, test: Test) -> Outcomes:
        """Give what a test may bring."""
        match test.key:
            case "choke test":
                return self._counted([self._choke(test.at or Rung.QUARTER, o) for o in choke_test.OUTCOMES])
            case "plug chop":
                at = test.at or Rung.FULL
                return self._counted(
                    [
                        plug.log_likelihood(PlugReading(entry="", at=at, colour=c), self._seen)
                        for c in plug.COLOURS
                    ]
                )
            case "roll-on pair":
                return self._rolled(test.at or Rung.FULL)
            case "idle sweep":
                return self._swept()
            case "ride and say":
                return self._ridden(self._seen)
            case _:
                return self._level()

    def _choke(self, at: Rung, outcome: ChokeOutcome) -> Array:
        reading = ChokeReading(entry="", at=at, outcome=outcome)
        return choke_test.log_likelihood(reading, self._seen, choke=self._belief.bike.carb.choke)

    def _counted(self, logs: list[Array]) -> Outcomes:
        likely = np.exp(np.stack(logs))
        return Outcomes(often=likely.mean(axis=1), likely=likely)

    def _sampled(self, logs: list[Array]) -> Outcomes:
        table = np.stack(logs)
        likely = np.exp(table - table.max(axis=1, keepdims=True))
        return Outcomes(often=np.full(len(logs), 1.0 / len(logs)), likely=likely, is_sampled=True)

    def _picked(self) -> NDArray[np.int64]:
        """Pick the draws that stand for the truth, evenly."""
        return (np.arange(SAMPLED) * len(self._z)) // SAMPLED

    def after(self, option: Option) -> Outcomes | None:
        """Give what the ride after a change may bring where the change moves it; None: it moves nothing."""
        b = self._belief
        moved = np.abs((option.error - self._panel.now)[self._panel.weighed]).mean(axis=0) > _MOVED
        rungs = tuple(rung for rung, moves in zip(RUNGS, moved, strict=True) if moves)
        if not rungs:
            return None
        return self._ridden(b.stage.glimpse(option.setup, b.day, self._z, self._fault), rungs)

    def _ridden(self, seen: Seen, rungs: tuple[Rung, ...] = RUNGS) -> Outcomes:
        tables = []
        for at in rungs:
            asked = Remark(entry="", did="clean", at=at, how=_HOW[at])
            words = [replace(asked, did=word) for word in behaviour.ON_A_RUNG]
            tables.append(np.stack([behaviour.log_likelihood(word, seen) for word in words]))
        logs = []
        for truth in self._picked():
            total = np.zeros(len(self._z))
            for table in tables:
                chance = np.exp(table[:, truth])
                total += table[self._rng.choice(len(chance), p=chance / chance.sum())]
            logs.append(total + self._probed(truth, seen, rungs))
        return self._sampled(logs)

    def _probed(self, truth: int, seen: Seen, rungs: tuple[Rung, ...]) -> Array:
        total = np.zeros(len(self._z))
        if not self._probe:
            return total
        for at in rungs:
            asked = LambdaReading(entry="", at=at, value=1.0)
            shown = np.clip(steady_lambda.draw(asked, seen, self._rng)[truth], 0.5, 2.0)
            total += steady_lambda.log_likelihood(replace(asked, value=float(shown)), seen)
        return total

    def _rolled(self, at: Rung) -> Outcomes:
        plain = RollOnReading(entry="", at=at, seconds=(1.0, 1.0, 1.0))
        runs = [(plain, self._seen), (replace(plain, choke="half"), self._seen)]
        choke = self._belief.bike.carb.choke
        timed_all = roll_on.draw(runs, self._rng, choke=choke)
        logs = []
        for truth in self._picked():
            times = np.exp(timed_all[truth])
            timed = [
                (replace(reading, seconds=(float(time),) * 3), seen)
                for (reading, seen), time in zip(runs, times, strict=True)
            ]
            logs.append(roll_on.log_likelihood(timed, choke=choke))
        return self._sampled(logs)

    def _swept(self) -> Outcomes:
        b = self._belief
        turns = tuple(max(0.25, b.setup.screw_turns + step) for step in _SWEPT)
        setups = [replace(b.setup, screw_turns=turn) for turn in turns]
        shut = RUNGS.index(Rung.SHUT)
        seen = [b.stage.glimpse(one, b.day, self._z, self._fault, rungs=(shut,)) for one in setups]
        error = np.stack([one.error[:, shut] for one in seen], axis=1)
        error = idle_sweep.felt_at_idle(error, self._seen)
        logs = []
        asked = IdleSweepReading(entry="", turns=turns, rpm=(1000.0,) * len(turns))
        for truth in self._picked():
            rpm = 1400.0 * idle_sweep.draw(error[[truth]], self._rng)[0]
            logs.append(idle_sweep.log_likelihood(replace(asked, rpm=tuple(rpm.tolist())), error))
        return self._sampled(logs)

    def _level(self) -> Outcomes:
        asked = LevelReading(entry="", above_mm=0.0)
        logs = []
        shown = fuel_level.draw(self._seen, self._rng)
        for truth in self._picked():
            above = float(shown[truth])
            logs.append(fuel_level.log_likelihood(replace(asked, above_mm=above), self._seen))
        return self._sampled(logs)
