"""The oracle: sees the truth, finds the fault at once, and changes as few parts as can be."""

from __future__ import annotations

import numpy as np

from benchmarks.rehearsal.outcome import Outcome
from benchmarks.rehearsal.setting import RIGHT, Case
from benchmarks.rehearsal.shed import CHANGE_MINUTES, LOOK_MINUTES, MEND_MINUTES, RIDE_MINUTES
from floatbowl.bike.setup import Setup
from floatbowl.signs.trial import SHOWS

_PARTS = {
    "main": "main",
    "pilot": "pilot",
    "clip": "clip_from_top",
    "cutaway": "cutaway",
    "needle": "needle",
    "screw": "screw_turns",
}


def by_the_oracle(case: Case) -> Outcome:
    """Give the best evening there is: the quickest look for each fault, then the fewest changes."""
    minutes = sum(_mending(one.fault.key) for one in case.broken)
    worst = case.table.worst
    best = case.start
    if case.bike.see(case.start, case.day).worst > RIGHT:
        setups = [case.table.setup(int(i), int(j)) for i, j in np.argwhere(worst <= RIGHT)]
        best = min(setups, key=lambda one: (len(_changed(case.start, one)), _minutes(case.start, one)))
    changed = _changed(case.start, best)
    error = case.bike.see(best, case.day).error
    return Outcome(
        who="oracle",
        error=tuple(float(one) for one in error),
        faults_left=(),
        changes=len(changed),
        minutes=minutes + _minutes(case.start, best),
        acts=len(changed) + len(case.broken),
        ended="right",
    )


def _changed(start: Setup, other: Setup) -> tuple[str, ...]:
    return tuple(part for part, name in _PARTS.items() if getattr(start, name) != getattr(other, name))


def _minutes(start: Setup, other: Setup) -> float:
    changed = _changed(start, other)
    return sum(CHANGE_MINUTES[part] for part in changed) + RIDE_MINUTES * len(changed)


def _mending(key: str) -> float:
    look = min(LOOK_MINUTES[look] for look, shows in SHOWS.items() if key in shows)
    return look + MEND_MINUTES.get(key, 15.0) + RIDE_MINUTES
