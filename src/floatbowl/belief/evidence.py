"""All that was said and measured of one bike, ready to be held against any draw."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs import behaviour, elsewhere, look, plug, roll_on, steady_lambda
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import (
    SHOWS,
    LambdaReading,
    LookReading,
    PlugReading,
    Remark,
    RollOnReading,
    Trial,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from floatbowl.belief.scene import Stage
    from floatbowl.signs.trial import Reading

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

_SMALL = (Rung.SHUT, Rung.EIGHTH, Rung.QUARTER)


@dataclass(frozen=True, slots=True)
class Heard:
    """Everything one trial tells, with the rungs that have to be worked out for it."""

    trial: Trial
    rungs: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class AllHeard:
    """The evidence of all trials: call it with draws to get the logarithm of how probable it all is."""

    stage: Stage
    heard: tuple[Heard, ...]

    @classmethod
    def of(cls, stage: Stage, trials: Iterable[Trial]) -> AllHeard:
        """Take in every trial in which something was said or measured."""
        told = [trial for trial in trials if trial.remarks or trial.readings]
        return cls(stage=stage, heard=tuple(Heard(trial, _rungs_of(trial)) for trial in told))

    @property
    def mended(self) -> frozenset[str]:
        """Give what was put right since the first trial, by key."""
        return frozenset(key for heard in self.heard for key in heard.trial.mended)

    @property
    def is_silent(self) -> bool:
        """Say whether nothing was said or measured at all."""
        return not self.heard

    def __call__(self, z: Array, fault: Whole) -> Array:
        """Give the logarithm of how probable all signs are, (draw,)."""
        total = np.zeros(z.shape[0])
        for heard in self.heard:
            total += self._of_trial(heard, z, fault)
        return total

    def _of_trial(self, heard: Heard, z: Array, fault: Whole) -> Array:
        trial = heard.trial
        then = self.fault_then(trial, fault)
        seen = self._seen(heard, z, then)
        total = np.zeros(z.shape[0])
        for remark, times in _said_once(trial.remarks):
            total += remark_log_likelihood(remark, seen, times=times)
        for reading in trial.readings:
            total += self._of_reading(reading, trial, seen, z, then)
        return total

    def _of_reading(
        self,
        reading: Reading,
        trial: Trial,
        seen: Seen,
        z: Array,
        fault: Whole,
    ) -> Array:
        if isinstance(reading, LookReading):
            return look.log_likelihood(reading, self.has_shown(reading, fault))
        if isinstance(reading, PlugReading):
            return plug.log_likelihood(reading, seen)
        if isinstance(reading, LambdaReading):
            if reading.rpm is not None:
                place = RUNGS.index(reading.at)
                seen = self.stage.seen(
                    trial.setup, trial.day, z, fault, rungs=(place,), rpm={place: reading.rpm}
                )
            return steady_lambda.log_likelihood(reading, seen)
        plain = _plain_run(reading, trial)
        return roll_on.log_likelihood(plain, reading, seen) if plain else np.zeros(z.shape[0])

    def _seen(self, heard: Heard, z: Array, fault: Whole) -> Seen:
        """Give the scene of one trial; an empty one where only looks were made."""
        if heard.rungs:
            return self.stage.seen(heard.trial.setup, heard.trial.day, z, fault, rungs=heard.rungs)
        nothing = np.full((z.shape[0], len(RUNGS)), np.nan)
        zero = np.zeros(z.shape[0])
        return Seen(error=nothing, lam=nothing, level_drop=zero, extra_air=zero)

    def fault_then(self, trial: Trial, fault: Whole) -> Whole:
        """Give the fault that each draw had on a trial: what was mended since, else what it has now."""
        keys = [known.key for known in self.stage.faults]
        mended = [keys.index(key) for key in trial.mended if key in keys]
        return np.full_like(fault, mended[0]) if mended else fault

    def has_shown(self, reading: LookReading, fault: Whole) -> NDArray[np.bool_]:
        """Say which draws have a fault that the look shows, (draw,)."""
        shows = SHOWS.get(reading.look, ())
        kinds = [k for k, known in enumerate(self.stage.faults) if known.key in shows]
        return np.asarray(np.isin(fault, kinds))

    def each(self, z: Array, fault: Whole) -> dict[str, Array]:
        """Give how probable every entry by itself is, its logarithm for each draw, by the entry's name."""
        found: dict[str, Array] = {}
        for heard in self.heard:
            trial = heard.trial
            then = self.fault_then(trial, fault)
            seen = self._seen(heard, z, then)
            found |= {remark.entry: remark_log_likelihood(remark, seen) for remark in trial.remarks}
            found |= {
                reading.entry: self._of_reading(reading, trial, seen, z, then) for reading in trial.readings
            }
        return found

    def unexplained(self, z: Array, fault: Whole) -> tuple[str, ...]:
        """Name the remarks that the whole crowd takes for plainly wrong."""
        names = []
        for heard in self.heard:
            seen = self._seen(heard, z, self.fault_then(heard.trial, fault))
            for remark in heard.trial.remarks:
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


def _said_once(remarks: tuple[Remark, ...]) -> list[tuple[Remark, int]]:
    """Give each different remark of a trial with how often it was made."""
    counts: dict[Remark, int] = {}
    for remark in remarks:
        bare = replace(remark, entry="")
        counts[bare] = counts.get(bare, 0) + 1
    return list(counts.items())


def _plain_run(choked: RollOnReading, trial: Trial) -> RollOnReading | None:
    """Find the run with the choke off that a choked one is held against."""
    if choked.choke == "off":
        return None
    for other in trial.readings:
        if isinstance(other, RollOnReading) and other.choke == "off" and other.at is choked.at:
            return other
    return None


def _rungs_of(trial: Trial) -> tuple[int, ...]:
    """Give the places in ``RUNGS`` that a trial's signs look at, in order."""
    places: set[int] = set()
    for remark in trial.remarks:
        if remark.did in elsewhere.ELSEWHERE:
            places |= {RUNGS.index(r) for r in _SMALL}
        elif remark.at is None:
            places |= set(range(len(RUNGS)))
        else:
            places.add(RUNGS.index(remark.at))
    measured = (reading for reading in trial.readings if not isinstance(reading, LookReading))
    places |= {RUNGS.index(reading.at) for reading in measured}
    return tuple(sorted(places))
