"""How an evening begins, and how it ended."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from benchmarks.rehearsal.setting import RIGHT, WELL
from benchmarks.rehearsal.shed import Shed
from floatbowl.bike.rung import RUNGS
from floatbowl.signs.trial import TouchedReading, Trial

if TYPE_CHECKING:
    from floatbowl.signs.trial import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How one evening ended."""

    who: str
    error: tuple[float, ...]
    """At each rung, in ln(fuel)."""
    faults_left: tuple[str, ...]
    changes: int
    minutes: float
    acts: int
    ended: str
    danger: int = 0
    """Steps that left a two-stroke dangerously lean high up."""
    danger_known: int = 0
    """Those of them of which the belief knew."""
    log: tuple[str, ...] = ()

    @property
    def worst(self) -> float:
        """Give the largest error of all rungs, either way."""
        return max(abs(one) for one in self.error)

    def is_right(self, within: float = RIGHT) -> bool:
        """Say whether it is right at every rung and whole."""
        return self.worst <= within and not self.faults_left

    @property
    def is_well(self) -> bool:
        """Say whether it is right within the narrower band."""
        return self.is_right(WELL)


def complaint(shed: Shed) -> list[Trial]:
    """Give what is told when it comes in: how it was at home, the worst openings, what was touched."""
    case, rng = shed.case, shed.rng
    trials = []
    if case.home is not None and rng.random() < 0.6:
        sound = Shed(
            case=replace(case, day=case.home), rider=shed.rider, tools=shed.tools, rng=rng,
            setup=case.right, broken=(),
        )  # fmt: skip
        trials.append(Trial(setup=case.right, day=case.home, remarks=sound.ride()))
    truth = shed.truth()
    felt = np.abs(truth.error) + 0.05 * rng.standard_normal(len(RUNGS)) + np.abs(truth.starved)
    count = int(rng.integers(2, 5))
    worst = [RUNGS[int(k)] for k in sorted(np.argsort(-felt)[:count])]
    said = [shed.rider.says(at, truth, rng, entry=f"told {at.value}") for at in worst]
    said.extend(shed.rider.elsewhere(truth, rng, entry="told"))
    readings: tuple[Reading, ...] = ()
    if case.touched is not None:
        readings = (TouchedReading(entry="touched", part=case.touched),)  # type: ignore[arg-type]
    trials.append(Trial(setup=case.start, day=case.day, remarks=tuple(said), readings=readings))
    return trials
