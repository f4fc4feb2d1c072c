"""What still has to be seen before a setup may be called proven."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from floatbowl.belief.belief import OF
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import (
    GasReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    PlugReading,
    RollOnReading,
)

if TYPE_CHECKING:
    from floatbowl.belief.belief import Belief
    from floatbowl.signs.trial import Reading, Trial

ENOUGH = 14
"""Of the twenty that must be about right at every rung (judgement)."""
MOST_FAULTY = 2
"""Of the twenty that may still have a fault (judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check of a setup: done or missing, at which rung if at one, and the entries that passed it."""

    key: str
    is_done: bool
    at: Rung | None = None
    entries: tuple[str, ...] = ()
    count: int | None = None
    """Of the twenty: how many are about right at the worst rung, or how many have no fault."""


def checks(belief: Belief, trials: tuple[Trial, ...]) -> tuple[Check, ...]:
    """Give every check that a setup has to pass before it is proven, in the order they are best made.

    Only what was seen with the setup that is fitted now counts, since the last mend.

    Keys: ``ride all rungs`` (one for each rung), ``idle`` (swept, or read), ``full opening`` (more than words
    tell of it), ``right everywhere`` (enough of the twenty at every rung), ``no suspect`` (no fault is still
    likely), ``trust`` (the belief holds together).
    """
    fitted = replace(belief.setup, number=0)
    here = [trial for trial in trials if replace(trial.setup, number=0) == fitted and not trial.mended]
    remarks = [remark for trial in here for remark in trial.remarks]
    readings = [reading for trial in here for reading in trial.readings]
    ridden = {at: tuple(one.entry for one in remarks if one.at is at) for at in RUNGS}
    shut = tuple(reading.entry for reading in readings if _is_idle(reading))
    full = tuple(reading.entry for reading in readings if _is_full(reading))
    worst = min(RUNGS, key=lambda rung: belief.counts_at(rung)[1])
    right = belief.counts_at(worst)[1]
    sound = belief.sound_count
    return (
        *(Check(key="ride all rungs", is_done=bool(ridden[at]), at=at, entries=ridden[at]) for at in RUNGS),
        Check(key="idle", is_done=bool(shut), at=Rung.SHUT, entries=shut),
        Check(key="full opening", is_done=bool(full), at=Rung.FULL, entries=full),
        Check(key="right everywhere", is_done=right >= ENOUGH, at=worst, count=right),
        Check(key="no suspect", is_done=OF - sound <= MOST_FAULTY, count=sound),
        Check(key="trust", is_done=belief.trust.is_good),
    )


def _is_full(reading: Reading) -> bool:
    if isinstance(reading, LambdaLogReading):
        return Rung.FULL in reading.at
    measured = LambdaReading | GasReading | PlugReading | RollOnReading
    return isinstance(reading, measured) and reading.at is Rung.FULL


def _is_idle(reading: Reading) -> bool:
    is_read = isinstance(reading, LambdaReading | GasReading) and reading.at is Rung.SHUT
    is_read |= isinstance(reading, LambdaLogReading) and Rung.SHUT in reading.at
    return is_read or isinstance(reading, IdleSweepReading)


_TOLD_IN = ("trust", "right everywhere", "no suspect", "ride all rungs", "idle", "full opening")


def missing_proof(belief: Belief, trials: tuple[Trial, ...]) -> tuple[str, ...]:
    """Name the checks that are missing, each key once; none if the setup is proven."""
    missing = {check.key for check in checks(belief, trials) if not check.is_done}
    return tuple(key for key in _TOLD_IN if key in missing)
