"""What still has to be seen before a setup may be called proven."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from floatbowl.belief.belief import OF
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import IdleSweepReading, LambdaReading, PlugReading, RollOnReading

if TYPE_CHECKING:
    from floatbowl.belief.belief import Belief
    from floatbowl.signs.trial import Trial

_ENOUGH = 14
"""Of the twenty that must be about right at every rung (judgement)."""
_MOST_FAULTY = 2
"""Of the twenty that may still have a fault (judgement)."""


def missing_proof(belief: Belief, trials: tuple[Trial, ...]) -> tuple[str, ...]:
    """Name the checks that are missing, by key; none if it is proven.

    Only what was seen with the setup that is fitted now counts, since the last mend.

    Keys: ``trust`` (the belief does not hold together), ``right everywhere`` (it is not, at some rung),
    ``no suspect`` (a fault is still likely),
    ``ride all rungs``, ``idle`` (not swept nor read), ``full opening`` (nothing but words tell of it).
    """
    fitted = replace(belief.setup, number=0)
    here = [trial for trial in trials if replace(trial.setup, number=0) == fitted and not trial.mended]
    readings = [reading for trial in here for reading in trial.readings]
    said = {remark.at for trial in here for remark in trial.remarks}
    full = any(
        isinstance(r, LambdaReading | PlugReading | RollOnReading) and r.at is Rung.FULL for r in readings
    )
    shut = any(
        isinstance(r, IdleSweepReading) or (isinstance(r, LambdaReading) and r.at is Rung.SHUT)
        for r in readings
    )
    checks = {
        "trust": belief.trust.is_good,
        "right everywhere": all(belief.counts_at(rung)[1] >= _ENOUGH for rung in RUNGS),
        "no suspect": OF - belief.sound_count <= _MOST_FAULTY,
        "ride all rungs": said >= set(RUNGS),
        "idle": shut,
        "full opening": full,
    }
    return tuple(key for key, is_there in checks.items() if not is_there)
