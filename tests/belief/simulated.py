"""Made-up bikes whose hidden truth we know: ridden in the model, and said what the signs draw."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from importlib import resources
from typing import get_args

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.sample import sample, slot_odds, take_on
from floatbowl.belief.scene import Stage
from floatbowl.belief.unknowns import MOST_FAULTS, wanted
from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.record.bike_file import read_bike_file
from floatbowl.signs import behaviour, choke_test, elsewhere, fuel_level, idle_sweep, look, plug, roll_on
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import (
    SHOWS,
    ChokeReading,
    How,
    IdleSweepReading,
    LambdaReading,
    LevelReading,
    LookReading,
    PlugColour,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    Trial,
)

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

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
SNAPS = tuple(RUNGS.index(rung) for rung, how in HOW.items() if how == "snap")
SOUND = np.full(MOST_FAULTS, -1)
"""No fault in either slot."""


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
    """One bike as it really is: a row of the unknowns, and two slots for faults, -1 where there is none."""

    stage: Stage
    z: Array
    fault: Whole = field(default_factory=SOUND.copy)

    @property
    def faults(self) -> tuple[str, ...]:
        """Name what is wrong with it."""
        return tuple(self.stage.faults[kind].key for kind in self.fault if kind >= 0)

    def broken_by(self, *keys: str, severity: float = 0.8) -> Hidden:
        """Give the same bike with these faults and no others; ``severity`` 0 is middling."""
        known = [fault.key for fault in self.stage.faults]
        z, fault = self.z.copy(), SOUND.copy()
        fault[: len(keys)] = [known.index(key) for key in keys]
        z[self.stage.places.severity] = severity
        return replace(self, z=z, fault=fault)

    def mended(self, key: str) -> Hidden:
        """Give the same bike with one fault put right."""
        known = [fault.key for fault in self.stage.faults]
        return replace(self, fault=np.where(self.fault == known.index(key), -1, self.fault))

    def seen(self, setup: Setup, day: Day) -> Seen:
        """Give what it really does in a setup on a day: by the whole flow, not looked up."""
        return self.stage.seen(setup, day, self.z[None, :], self.fault[None, :], snaps=SNAPS)

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

    def look(self, key: str, rng: Generator) -> LookReading:
        """Make a look, as reliable as looks are."""
        asked = LookReading(entry=f"look {key}", look=key, outcome="found")
        found = look.draw(asked, np.array([bool(set(SHOWS[key]) & set(self.faults))]), rng)[0]
        return replace(asked, outcome="found" if found else "clear")

    def measure(self, key: str, at: Rung, *, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
        """Make a test by its key of ``advice.measure``, as reliable as tests are."""
        seen, choke, name = self.seen(setup, day), self.stage.bike.carb.choke, f"{key} {at.value}"
        match key:
            case "choke test":
                asked = ChokeReading(entry=name, at=at, outcome="better")
                told = choke_test.draw(asked, seen, rng, choke=choke)[0]
                return (replace(asked, outcome=choke_test.OUTCOMES[int(told)]),)
            case "roll-on pair":
                off = RollOnReading(entry=name, at=at, seconds=(1.0,))
                pair = (off, replace(off, entry=f"{name} half", choke="half"))
                times = np.exp(roll_on.draw([(one, seen) for one in pair], rng, choke=choke)[0])
                return tuple(replace(one, seconds=(float(t),)) for one, t in zip(pair, times, strict=True))
            case "plug chop":
                return (self._plug(PlugReading(entry=name, at=at, colour="tan"), seen, rng),)
            case "idle sweep":
                return (self._swept(name, setup, day, rng),)
            case _:
                return (LevelReading(entry=name, above_mm=float(fuel_level.draw(seen, rng)[0])),)

    def _plug(self, asked: PlugReading, seen: Seen, rng: Generator) -> PlugReading:
        colour: PlugColour = get_args(PlugColour)[int(plug.draw(asked, seen, rng)[0])]
        return replace(asked, colour=colour)

    def _swept(self, name: str, setup: Setup, day: Day, rng: Generator) -> IdleSweepReading:
        turns = tuple(max(0.25, setup.screw_turns + 0.375 * step) for step in range(-2, 3))
        shut = [self.error(replace(setup, screw_turns=turn), day)[:1] for turn in turns]
        felt = idle_sweep.felt_at_idle(np.stack(shut, axis=1), self.seen(setup, day))
        rpm = idle_sweep.draw(felt, rng)[0]
        return IdleSweepReading(entry=name, turns=turns, rpm=tuple(rpm.tolist()))

    def with_plug(self, trial: Trial, rng: Generator, *, name: str = "plug") -> Trial:
        """Add a plug cut at full."""
        asked = PlugReading(entry=name, at=Rung.FULL, colour="tan")
        read = self._plug(asked, self.seen(trial.setup, trial.day), rng)
        return replace(trial, readings=(*trial.readings, read))


def _likeliest(asked: Remark, seen: Seen) -> Remark:
    words = [replace(asked, did=word) for word in behaviour.ON_A_RUNG]
    return max(words, key=lambda remark: float(behaviour.log_likelihood(remark, seen)[0]))


def _said_at(rung: Rung, seen: Seen, rng: Generator, *, name: str) -> Remark:
    asked = Remark(entry=f"{name} {rung.value}", did="clean", at=rung, how=HOW[rung])
    word = behaviour.ON_A_RUNG[int(behaviour.draw(asked, seen, rng)[0])]
    return replace(asked, did=word)


def any_bike(stage: Stage, log_odds: Array, rng: Generator) -> Hidden:
    """Give a bike from before the signs: any row, any pair of slots as often as ``slot_odds`` says."""
    empty = len(log_odds) - 1
    pair = np.array(np.divmod(rng.choice(log_odds.size, p=np.exp(log_odds).ravel()), len(log_odds)))
    z = rng.standard_normal(stage.places.size)
    return Hidden(stage=stage, z=z, fault=np.where(pair == empty, -1, pair))


def well_set(stage: Stage, setup: Setup, day: Day, rng: Generator, *, draws: int = 100) -> tuple[Hidden, ...]:
    """Give sound bikes that stand within about 2 in the hundred of what they want at every rung.

    They are looked up first and then set right by the whole flow; their riders and probes are as most are.
    """

    def near(seen: Seen) -> Array:
        return np.asarray(-0.5 * np.sum((seen.error / SET_WITHIN) ** 2, axis=1))

    def looked_up(z: Array, fault: Whole) -> Array:
        return near(stage.glimpse(setup, day, z, fault))

    def worked_out(z: Array, fault: Whole) -> Array:
        return near(stage.seen(setup, day, z, fault))

    sound = slot_odds(np.ones(1), second=0.0)
    first = sample(looked_up, unknowns=stage.places.size, log_odds=sound, rng=rng, draws=draws)
    crowd = take_on(first, looked_up, worked_out, log_odds=sound, rng=rng)
    z = crowd.z.copy()
    z[:, stage.places.habits] = 0.0
    return tuple(Hidden(stage=stage, z=row) for row in z)


@cache
def right_bike(name: str, seed: int = 3) -> Hidden:
    """Give a sound bike that is right at every rung in its ground's setup and wants what most want."""
    ground = demo_bike(name)
    stage = Stage.of(ground.bike, ground.setup, ran_on=ground.day)
    pool = well_set(stage, ground.setup, ground.day, np.random.default_rng(seed))
    usual = wanted(ground.bike.engine.strokes)

    def strange(one: Hidden) -> float:
        seen = one.seen(ground.setup, ground.day)
        return float(np.abs(seen.error[0]).max() + np.abs(np.log(seen.lam[0] / usual)).max())

    return min(pool, key=strange)
