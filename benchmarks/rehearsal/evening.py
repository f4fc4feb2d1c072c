"""Our mechanic: asks belief and advice, does as told in the true world, writes down what comes of it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from benchmarks.rehearsal.outcome import Outcome, complaint
from benchmarks.rehearsal.shed import LEVEL_OFF_MM, Shed
from floatbowl.advice.advise import advise
from floatbowl.belief.believe import believe
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import LevelReading, LookOutcome, LookReading, Reading, Trial

if TYPE_CHECKING:
    from typing import Any

    from numpy.random import Generator

    from floatbowl.advice.advice import Advice, Step
    from floatbowl.belief.belief import Belief
    from floatbowl.bike.setup import Setup

MOST_CHANGES = 10
MOST_ACTS = 40
DANGER = -0.10
"""Error at 3/4 or full, in ln(fuel), in which a two-stroke may seize."""
KNEW = 10
"""Of the twenty far short: from so many on the belief knew."""
_HIGH = (RUNGS.index(Rung.THREE_QUARTERS), RUNGS.index(Rung.FULL))


@dataclass(kw_only=True)
class Evening:
    """One evening with the tool."""

    shed: Shed
    has_probe: bool
    draws: int
    trials: list[Trial] = field(default_factory=list)
    log: list[str] = field(default_factory=list)
    belief: Belief | None = None
    danger: int = 0
    danger_known: int = 0

    def go(self) -> Outcome:
        """Go on until nothing is left to do, or for too long."""
        self.trials = complaint(self.shed)
        try:
            ended = self._through()
        except Exception as wrong:  # noqa: BLE001  (a tool that breaks down ends the evening, not the rehearsal)
            ended = f"broke down: {wrong!r}"
        truth = self.shed.truth()
        return Outcome(
            who="ours",
            error=tuple(float(one) for one in truth.error),
            faults_left=tuple(one.fault.key for one in self.shed.broken),
            changes=self.shed.changes,
            minutes=self.shed.minutes,
            acts=len(self.log),
            ended=ended,
            danger=self.danger,
            danger_known=self.danger_known,
            log=tuple(self.log),
        )

    def _through(self) -> str:
        """Do as told until there is an end, and say which."""
        for _ in range(MOST_ACTS):
            advice = self._ask()
            if advice.kind == "done":
                return "done"
            if advice.kind == "change" and self.shed.changes >= MOST_CHANGES:
                return "ten changes"
            self._do(advice)
        return "too many acts"

    def _ask(self) -> Advice:
        trials = tuple(self.trials)
        self.belief = believe(
            self.shed.case.bike.known,
            setup=self.shed.setup,
            day=self.shed.case.day,
            trials=trials,
            rng=self._dice(),
            draws=self.draws,
            since=self.belief,
        )
        return advise(self.belief, drawer=self.shed.case.drawer, trials=trials, rng=self._dice())

    def _dice(self) -> Generator:
        return np.random.default_rng([self.shed.case.number, len(self.log)])

    def _do(self, advice: Advice) -> None:
        if advice.kind == "change":
            self._change(advice)
        elif advice.look == "ride and say":
            self._note("ride", advice)
            self._ride()
        else:
            self._look(str(advice.look), advice.why.at, advice)

    def _note(self, what: str, advice: Advice) -> None:
        assert self.belief is not None
        error = " ".join(f"{one:+.2f}" for one in self.shed.truth().error)
        middle = " ".join(f"{one:+.2f}" for one in np.median(self.belief.error, axis=0))
        spread = " ".join(f"{one:.2f}" for one in self.belief.error.std(axis=0))
        suspects = ", ".join(f"{s.fault} {s.count}" for s in self.belief.suspects[:3])
        self.log.append(
            f"{what:<42} why {advice.why.key}; true {error} | held {middle} +- {spread} | {suspects}"
        )

    # --- doing as told ----------------------------------------------------------------------------

    def _change(self, advice: Advice) -> None:
        before = self.shed.truth().error
        job = (*advice.steps, *advice.also)
        steps = ", ".join(f"{s.part} {s.before} to {s.after}" for s in job)
        self._note(f"change {steps}", advice)
        setup = advice.setup
        for step in advice.also:
            setup = self._with(step, setup)
        self.shed.change(setup, *(step.part for step in job))
        after = self.shed.truth().error
        if self.shed.case.bike.known.engine.strokes == 2:
            lean = any(after[k] < DANGER and after[k] < before[k] - 0.01 for k in _HIGH)
            self.danger += lean
            self.danger_known += lean and advice.bad_tail_count >= KNEW
        self._ride()

    def _with(self, step: Step, setup: Setup) -> Setup:
        """Give the setup after one more step of a job."""
        if step.part == "needle":
            needle = next((n for n in self.shed.case.drawer.needles if n.stamp == step.after), None)
            return replace(setup, needle=needle)
        name = _FIELDS.get(step.part, step.part)
        return replace(setup, **{name: step.after})  # type: ignore[arg-type]

    def _ride(self) -> None:
        said = self.shed.ride()
        readings: tuple[Reading, ...] = self.shed.probe() if self.has_probe else ()
        self.trials.append(
            Trial(setup=self.shed.setup, day=self.shed.case.day, remarks=said, readings=readings)
        )

    def _look(self, key: str, at: Rung, advice: Advice) -> None:
        self._note(f"{advice.kind} {key}" + (f" at {at.value}" if key in _AT else ""), advice)
        if key == "choke test":
            self._write(self.shed.choke_test(at))
        elif key == "hand over the intake":
            self._write(self.shed.hand_test())
        elif key == "roll-on pair":
            self._write(*self.shed.roll_on(at))
        elif key == "plug chop":
            self._write(self.shed.plug_chop(at))
        elif key == "idle sweep":
            self._write(self.shed.idle_sweep())
        elif key == "fuel level by a clear hose":
            self._level()
        else:
            reading, found = self.shed.look(key)
            self._write(reading)
            if found is not None:
                self._mended(found)

    def _level(self) -> None:
        reading = self.shed.level()
        is_again = any(isinstance(r, LevelReading) for r in self.trials[-1].readings)
        self._write(reading)
        if is_again:
            outcome: LookOutcome = "found" if abs(reading.above_mm) >= LEVEL_OFF_MM else "clear"
            self._write(
                LookReading(entry=f"{reading.entry} look", look="fuel level by a clear hose", outcome=outcome)
            )
        found = self.shed.set_level(reading)
        if found is not None:
            self._mended(found)

    def _write(self, *readings: Reading) -> None:
        """Write readings down beside the last ride of this setup, after any mending."""
        last = self.trials[-1]
        self.log[-1] += " -> " + ", ".join(_brief(reading) for reading in readings)
        if last.mended or last.setup != self.shed.setup:
            self.trials.append(Trial(setup=self.shed.setup, day=self.shed.case.day, readings=readings))
            return
        self.trials[-1] = replace(last, readings=(*last.readings, *readings))

    def _mended(self, key: str) -> None:
        """So far it was ridden with this fault."""
        self.trials = [replace(trial, mended=(*trial.mended, key)) for trial in self.trials]


_FIELDS = {
    "clip": "clip_from_top",
    "screw": "screw_turns",
    "washer": "needle_washer_mm",
    "float": "float_height_mm",
}
_AT = ("choke test", "roll-on pair", "plug chop")


def _brief(reading: Any) -> str:  # noqa: ANN401  (every kind of reading)
    for name in ("outcome", "above_mm", "colour", "seconds", "rpm", "value"):
        if getattr(reading, name, None) is not None:
            return str(getattr(reading, name))
    return ""


def our_evening(shed: Shed, *, has_probe: bool, draws: int) -> Outcome:
    """Give how the evening with the tool ends."""
    return Evening(shed=shed, has_probe=has_probe, draws=draws).go()
