"""All that was said and measured of one bike, ready to be held against any draw."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.flow.fuel import Elements, blend_elements
from floatbowl.signs import (
    behaviour,
    choke_test,
    elsewhere,
    exhaust_gas,
    fuel_level,
    hand_test,
    idle_note,
    idle_sweep,
    logged_lambda,
    look,
    plug,
    roll_on,
    steady_lambda,
    touched,
)
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import (
    SHOWS,
    ChokeReading,
    GasReading,
    HandReading,
    IdleNoteReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    LevelReading,
    LookReading,
    PlugReading,
    Remark,
    RollOnReading,
    TouchedReading,
    Trial,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from floatbowl.belief.scene import Stage
    from floatbowl.signs.trial import Behaviour, Reading

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]
    Runs = tuple[tuple["Scene", RollOnReading], ...]


@dataclass(frozen=True, slots=True)
class Scene:
    """One trial, or several of one setup on one day, with the rungs to be worked out for it."""

    trial: Trial
    rungs: tuple[int, ...]
    snaps: tuple[int, ...]
    unsaid: tuple[Behaviour, ...]
    """What might have been told of the ride away from any opening, and was not."""


@dataclass(frozen=True, slots=True)
class AllHeard:
    """The evidence of all trials: call it with draws to get the logarithm of how probable it all is."""

    stage: Stage
    scenes: tuple[Scene, ...]
    runs: tuple[Runs, ...]
    """Roll-ons that are held against each other."""

    @classmethod
    def of(cls, stage: Stage, trials: Iterable[Trial]) -> AllHeard:
        """Take in every trial in which something was said or measured."""
        told = _together([trial for trial in trials if trial.remarks or trial.readings])
        scenes = tuple(_scene_of(trial) for trial in told)
        return cls(stage=stage, scenes=scenes, runs=_groups(scenes))

    @property
    def mended(self) -> frozenset[str]:
        """Give what was put right since the first trial, by key."""
        return frozenset(key for scene in self.scenes for key in scene.trial.mended)

    @property
    def is_silent(self) -> bool:
        """Say whether nothing was said or measured at all."""
        return not self.scenes

    def __call__(self, z: Array, fault: Whole) -> Array:
        """Give the logarithm of how probable all signs are, (draw,)."""
        total = np.zeros(z.shape[0])
        seen: dict[int, Seen] = {}
        for number, scene in enumerate(self.scenes):
            then = self.fault_then(scene.trial, fault)
            seen[number] = self._seen(scene, z, then)
            for remark, times in _said_once(scene.trial.remarks):
                total += remark_log_likelihood(remark, seen[number], times=times)
            for did in scene.unsaid:
                total += elsewhere.silence_log_likelihood(did, seen[number])
            for reading in scene.trial.readings:
                if not isinstance(reading, RollOnReading):
                    total += self._of_reading(reading, scene, seen[number], z, then)
        for runs in self.runs:
            total += self._of_runs(runs, seen, z, fault)
        return total

    def _of_reading(  # noqa: C901, PLR0911  (one for each kind)
        self, reading: Reading, scene: Scene, seen: Seen, z: Array, then: Whole
    ) -> Array:
        match reading:
            case LookReading():
                return look.log_likelihood(reading, self.has_any(SHOWS.get(reading.look, ()), then))
            case TouchedReading():
                return touched.log_likelihood(reading, then, [known.key for known in self.stage.faults])
            case PlugReading():
                return plug.log_likelihood(reading, seen)
            case LambdaReading() | LambdaLogReading() | GasReading():
                return self._of_lambda(reading, scene, seen, z, then)
            case ChokeReading():
                return choke_test.log_likelihood(reading, seen, choke=self.stage.bike.carb.choke)
            case HandReading():
                return hand_test.log_likelihood(reading, seen)
            case LevelReading():
                return fuel_level.log_likelihood(reading, seen)
            case IdleNoteReading():
                return idle_note.log_likelihood(reading, seen)
            case IdleSweepReading():
                return idle_sweep.log_likelihood(reading, self.idle_errors(reading, scene.trial, z, then))
            case RollOnReading():
                return np.zeros(z.shape[0])

    def _of_runs(self, runs: Runs, seen: dict[int, Seen], z: Array, fault: Whole) -> Array:
        told = []
        for scene, reading in runs:
            number = next(k for k, one in enumerate(self.scenes) if one is scene)
            then = self.fault_then(scene.trial, fault)
            told.append((reading, self._at_speed(reading, scene, seen[number], z, then)))
        return roll_on.log_likelihood(told, choke=self.stage.bike.carb.choke)

    def _of_lambda(
        self,
        reading: LambdaReading | LambdaLogReading | GasReading,
        scene: Scene,
        seen: Seen,
        z: Array,
        then: Whole,
    ) -> Array:
        if isinstance(reading, LambdaLogReading):
            return logged_lambda.log_likelihood(reading, self._at_speeds(reading, scene, seen, z, then))
        at_speed = self._at_speed(reading, scene, seen, z, then)
        if isinstance(reading, GasReading):
            return exhaust_gas.log_likelihood(reading, at_speed, fuel=self.burnt)
        return steady_lambda.log_likelihood(reading, at_speed)

    @property
    def burnt(self) -> Elements:
        """Give what the fuel is made of, as far as a gas analyser counts atoms."""
        return blend_elements(self.stage.bike.fuel.ethanol_share.value)

    def _at_speeds(
        self, reading: LambdaLogReading, scene: Scene, seen: Seen, z: Array, then: Whole
    ) -> list[Seen]:
        """Give the scenes of a log, one for each of its groups of rungs at their speeds."""
        trial, scenes = scene.trial, []
        for group in logged_lambda.groups(reading):
            rungs = tuple(sorted(RUNGS.index(reading.at[k]) for k in group))
            rpm = logged_lambda.speeds(reading, group)
            at_speed = (
                self.stage.glimpse(trial.setup, trial.day, z, then, rungs=rungs, rpm=rpm) if rpm else seen
            )
            scenes.append(at_speed)
        return scenes

    def _at_speed(
        self,
        reading: LambdaReading | RollOnReading | GasReading,
        scene: Scene,
        seen: Seen,
        z: Array,
        then: Whole,
    ) -> Seen:
        """Give the scene at the speed of a reading, where it is another than the usual one."""
        if reading.rpm is None:
            return seen
        place = RUNGS.index(reading.at)
        trial = scene.trial
        return self.stage.glimpse(trial.setup, trial.day, z, then, rungs=(place,), rpm={place: reading.rpm})

    def idle_errors(self, reading: IdleSweepReading, trial: Trial, z: Array, then: Whole) -> Array:
        """Give the error at idle at each number of screw turns, (draw, turn)."""
        shut = RUNGS.index(Rung.SHUT)
        setups = [replace(trial.setup, screw_turns=turns) for turns in reading.turns]
        seen = [self.stage.glimpse(one, trial.day, z, then, rungs=(shut,)) for one in setups]
        error = np.stack([one.error[:, shut] for one in seen], axis=1)
        return idle_sweep.felt_at_idle(error, seen[0])

    def _seen(self, scene: Scene, z: Array, then: Whole) -> Seen:
        """Give the scene of one trial; an empty one where only looks were made."""
        if scene.rungs:
            trial = scene.trial
            return self.stage.glimpse(trial.setup, trial.day, z, then, rungs=scene.rungs, snaps=scene.snaps)
        nothing = np.full((z.shape[0], len(RUNGS)), np.nan)
        zero = np.zeros(z.shape[0])
        return Seen(error=nothing, lam=nothing, level_drop=zero, extra_air=zero)

    def fault_then(self, trial: Trial, fault: Whole) -> Whole:
        """Give the faults of each draw on a trial, (draw, 2): what was mended since beside what it has now.

        A fault that it still has keeps its slot, and so is as bad then as now.
        """
        keys = [known.key for known in self.stage.faults]
        mended = [keys.index(key) for key in trial.mended if key in keys][:2]
        if not mended:
            return fault
        if len(mended) > 1:
            return np.tile(mended, (len(fault), 1))
        then = fault.copy()
        others = np.flatnonzero((fault != mended[0]).all(axis=1))
        then[others, np.where(fault[others, 0] < 0, 0, 1)] = mended[0]
        return then

    def has_any(self, keys: Iterable[str], fault: Whole) -> NDArray[np.bool_]:
        """Say which draws have any of some faults, (draw,)."""
        wanted = set(keys)
        kinds = [k for k, known in enumerate(self.stage.faults) if known.key in wanted]
        return np.asarray(np.isin(fault, kinds).any(axis=1))

    def each(self, z: Array, fault: Whole) -> dict[str, Array]:
        """Give how probable every entry by itself is, its logarithm for each draw, by the entry's name.

        A roll-on says nothing by itself: each of a group is given what the group says.
        """
        found: dict[str, Array] = {}
        seen: dict[int, Seen] = {}
        for number, scene in enumerate(self.scenes):
            then = self.fault_then(scene.trial, fault)
            seen[number] = self._seen(scene, z, then)
            for remark in scene.trial.remarks:
                found[remark.entry] = remark_log_likelihood(remark, seen[number])
            for reading in scene.trial.readings:
                found[reading.entry] = self._of_reading(reading, scene, seen[number], z, then)
        for runs in self.runs:
            told = self._of_runs(runs, seen, z, fault)
            found |= {reading.entry: told for _, reading in runs}
        return found

    def unexplained(self, z: Array, fault: Whole) -> tuple[str, ...]:
        """Name the remarks that the whole crowd takes for plainly wrong."""
        names = []
        for scene in self.scenes:
            seen = self._seen(scene, z, self.fault_then(scene.trial, fault))
            for remark in scene.trial.remarks:
                on_rung = remark.did in behaviour.ON_A_RUNG
                if on_rung and float(behaviour.chance_wrong(remark, seen).mean()) > _PLAINLY:
                    names.append(remark.entry)
        return tuple(names)


_PLAINLY = 0.6
"""Mean chance of being plainly wrong above which a remark counts as not explained (judgement)."""


def remark_log_likelihood(remark: Remark, seen: Seen, *, times: int = 1) -> Array:
    """Give the logarithm of how probable one remark is, (draw,), made ``times`` times in one trial."""
    if remark.did in elsewhere.ELSEWHERE:
        return elsewhere.log_likelihood(remark, seen)
    return behaviour.log_likelihood(remark, seen, times=times)


def _together(trials: Sequence[Trial]) -> tuple[Trial, ...]:
    """Put trials of one setup on one day into one: the scene is the same, so it is worked out once."""
    found: dict[object, Trial] = {}
    for trial in trials:
        key = (replace(trial.setup, number=0), trial.day, trial.mended)
        one = found.get(key)
        found[key] = trial if one is None else _joined(one, trial)
    return tuple(found.values())


def _joined(one: Trial, other: Trial) -> Trial:
    return replace(one, remarks=(*one.remarks, *other.remarks), readings=(*one.readings, *other.readings))


def _said_once(remarks: tuple[Remark, ...]) -> list[tuple[Remark, int]]:
    """Give each different remark of a trial with how often it was made."""
    counts: dict[Remark, int] = {}
    for remark in remarks:
        bare = replace(remark, entry="")
        counts[bare] = counts.get(bare, 0) + 1
    return list(counts.items())


def _groups(scenes: tuple[Scene, ...]) -> tuple[Runs, ...]:
    """Give the roll-ons that can be held against each other, each with its scene."""
    found = roll_on.groups([scene.trial for scene in scenes])
    return tuple(tuple((scenes[place], reading) for place, reading in group) for group in found)


def _scene_of(trial: Trial) -> Scene:
    snaps = tuple(
        sorted({RUNGS.index(one.at) for one in trial.remarks if one.how == "snap" and one.at is not None})
    )
    told = {remark.did for remark in trial.remarks}
    ridden = any(remark.did in behaviour.ON_A_RUNG for remark in trial.remarks)
    unsaid = tuple(did for did in elsewhere.ELSEWHERE if ridden and did not in told)
    return Scene(trial=trial, rungs=_rungs_of(trial), snaps=snaps, unsaid=unsaid)


def _rungs_of(trial: Trial) -> tuple[int, ...]:
    """Give the places in ``RUNGS`` that a trial's signs look at, in order; a ride has been at all of them."""
    if trial.remarks:
        return tuple(range(len(RUNGS)))
    rungs: set[Rung] = set()
    for reading in trial.readings:
        if isinstance(reading, LambdaReading | GasReading | PlugReading | RollOnReading | ChokeReading):
            rungs.add(reading.at)
        elif isinstance(reading, LambdaLogReading):
            rungs.update(reading.at)
        elif isinstance(reading, HandReading | IdleNoteReading | LevelReading):
            rungs.add(Rung.SHUT)
    return tuple(sorted(RUNGS.index(rung) for rung in rungs))
