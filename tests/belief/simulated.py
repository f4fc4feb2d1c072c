"""Made-up bikes whose hidden truth we know: ridden in the model, and said what the signs draw."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import get_args

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.sample import sample
from floatbowl.belief.scene import Stage
from floatbowl.belief.unknowns import wanted
from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.record.bike_file import read_bike_file
from floatbowl.signs import behaviour, elsewhere, plug
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import How, LambdaReading, PlugColour, PlugReading, Remark, Trial

Array = NDArray[np.float64]

SET_WITHIN = 0.02
"""How near to what the engine wants a well set bike stands at every rung, in ln(fuel)."""
HOW: dict[Rung, How] = {
    Rung.SHUT: "steady",
    Rung.EIGHTH: "steady",
    Rung.QUARTER: "snap",
    Rung.HALF: "pull",
    Rung.THREE_QUARTERS: "pull",
    Rung.FULL: "pull",
}
"""How each rung is ridden."""


@dataclass(frozen=True)
class Ground:
    """A bike as written down, ordinarily fitted, on one day, with a drawer that holds the sizes around it."""

    bike: Bike
    setup: Setup
    day: Day
    drawer: Drawer


def demo_bike(name: str) -> Ground:
    """Give a bike of the demo with a drawer of its own sizes: three mains, two pilots each way, slides."""
    text = resources.files("floatbowl.demo").joinpath(f"{name}.toml").read_text(encoding="utf-8")
    read = read_bike_file(text, source_name=name)
    setup = replace(read.setup, clip_from_top=3, screw_turns=1.5, cutaway="2.5")
    main, pilot = float(setup.main), float(setup.pilot)
    drawer = Drawer(
        mains=tuple(f"{main + 2.5 * k:g}" for k in (-3, -2, -1, 1, 2, 3)),
        pilots=tuple(f"{pilot + 2.5 * k:g}" for k in (-2, -1, 1, 2)),
        cutaways=("2.0", "2.5", "3.0"),
    )
    return Ground(bike=read.bike, setup=setup, day=read.trials[-1].day, drawer=drawer)


@dataclass(frozen=True)
class Hidden:
    """One bike as it really is: a row of the unknowns and a fault, or -1."""

    stage: Stage
    z: Array
    fault: int = -1

    def seen(self, setup: Setup, day: Day) -> Seen:
        """Give what it really does in a setup on a day."""
        return self.stage.seen(setup, day, self.z[None, :], np.array([self.fault]))

    def error(self, setup: Setup, day: Day) -> Array:
        """Give its true error at each rung."""
        return np.asarray(self.seen(setup, day).error[0])

    def ride(self, setup: Setup, day: Day, rng: Generator, *, name: str = "ride") -> Trial:
        """Ride it: one remark at each rung and those away from any rung, as often as the signs say."""
        seen = self.seen(setup, day)
        said = [_said_at(rung, seen, rng, name=name) for rung in RUNGS]
        for did in elsewhere.ELSEWHERE:
            remark = Remark(entry=f"{name} {did}", did=did)
            if elsewhere.draw(remark, seen, rng)[0]:
                said.append(remark)
        return Trial(setup=setup, day=day, remarks=tuple(said))

    def typical(self, setup: Setup, day: Day) -> Trial:
        """Ride it as the rider who never slips: at each rung the likeliest word and the exact lambda."""
        seen = self.seen(setup, day)
        asked = [Remark(entry=f"ride {at.value}", did="clean", at=at, how=HOW[at]) for at in RUNGS]
        readings = [
            LambdaReading(entry=f"probe {at.value}", at=at, value=float(seen.lam_at(at)[0])) for at in RUNGS
        ]
        return Trial(
            setup=setup,
            day=day,
            remarks=tuple(_likeliest(remark, seen) for remark in asked),
            readings=tuple(one for one in readings if 0.5 < one.value < 2.0),  # what a probe can show
        )

    def with_plug(self, trial: Trial, rng: Generator, *, name: str = "plug") -> Trial:
        """Add a plug cut at full."""
        seen = self.seen(trial.setup, trial.day)
        reading = PlugReading(entry=name, at=Rung.FULL, colour="tan")
        colour: PlugColour = get_args(PlugColour)[int(plug.draw(reading, seen, rng)[0])]
        return replace(trial, readings=(*trial.readings, replace(reading, colour=colour)))


def _likeliest(asked: Remark, seen: Seen) -> Remark:
    words = [replace(asked, did=word) for word in behaviour.ON_A_RUNG]
    return max(words, key=lambda remark: float(behaviour.log_likelihood(remark, seen)[0]))


def _said_at(rung: Rung, seen: Seen, rng: Generator, *, name: str) -> Remark:
    asked = Remark(entry=f"{name} {rung.value}", did="clean", at=rung, how=HOW[rung])
    word = behaviour.ON_A_RUNG[int(behaviour.draw(asked, seen, rng)[0])]
    return replace(asked, did=word)


def any_bike(stage: Stage, odds: Array, rng: Generator) -> Hidden:
    """Give a bike from before the signs: any row, any fault as often as ``odds`` (last: none)."""
    fault = int(rng.choice(len(odds), p=odds))
    z = rng.standard_normal(stage.places.size)
    return Hidden(stage=stage, z=z, fault=-1 if fault == len(odds) - 1 else fault)


def well_set(stage: Stage, setup: Setup, day: Day, rng: Generator, *, draws: int = 300) -> tuple[Hidden, ...]:
    """Give sound bikes that stand within about 2 in the hundred of what they want at every rung."""

    def evidence(z: Array, fault: NDArray[np.int64]) -> Array:
        error = stage.seen(setup, day, z, fault).error
        return np.asarray(-0.5 * np.sum((error / SET_WITHIN) ** 2, axis=1))

    crowd = sample(evidence, unknowns=stage.places.size, fault_odds=np.ones(1), rng=rng, draws=draws)
    return tuple(Hidden(stage=stage, z=row) for row in crowd.z)


@cache
def right_bike(name: str, seed: int = 3) -> Hidden:
    """Give a sound bike that is right at every rung in its ground's setup and wants what most want."""
    ground = demo_bike(name)
    stage = Stage.of(ground.bike, ground.setup)
    pool = well_set(stage, ground.setup, ground.day, np.random.default_rng(seed), draws=200)
    usual = wanted(ground.bike.engine.strokes)

    def strange(one: Hidden) -> float:
        seen = one.seen(ground.setup, ground.day)
        return float(np.abs(seen.error[0]).max() + np.abs(np.log(seen.lam[0] / usual)).max())

    return min(pool, key=strange)
