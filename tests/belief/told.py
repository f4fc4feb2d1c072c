"""What a made-up bike tells: words of a ride and readings, drawn as the signs say they come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar, get_args

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.scene import ALL_RUNGS, Stage
from floatbowl.bike.day import Day
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.flow.fuel import Elements, blend_elements
from floatbowl.signs import (
    behaviour,
    choke_test,
    elsewhere,
    exhaust_gas,
    fuel_level,
    hand_test,
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
    How,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    LevelReading,
    LookReading,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    TouchedReading,
    Trial,
)

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
One = TypeVar("One")

_HELD = RUNGS[1:]
_TURNS = (-0.75, -0.25, 0.0, 0.25, 0.75)
_NO_PLACE = 0.1
"""Share of remarks that do not say where on the throttle."""


@dataclass(frozen=True)
class Truth:
    """One bike as it really is: a row (1, unknown) and faults (1, 2) on the stage of its belief.

    With ``is_looked_up`` it does what the belief's own tables say, else what the whole flow says.
    """

    stage: Stage
    z: Array
    fault: Whole
    is_looked_up: bool = False

    def seen(
        self, setup: Setup, day: Day, *, rpm: dict[int, float] | None = None, snaps: tuple[int, ...] = ()
    ) -> Seen:
        """Give what it really does in a setup on a day."""
        see = self.stage.glimpse if self.is_looked_up else self.stage.seen
        return see(setup, day, self.z, self.fault, rungs=ALL_RUNGS, rpm=rpm, snaps=snaps)

    def has(self, key: str) -> bool:
        """Say whether it has a fault."""
        return any(self.stage.faults[place].key == key for place in self.fault[0] if place >= 0)


def ride(truth: Truth, setup: Setup, day: Day, rng: Generator, *, name: str) -> Trial:
    """Ride it: one remark at each rung, and those away from any rung as often as the signs say."""
    asked = [_asked_at(rung, rng, name=name) for rung in RUNGS]
    snaps = tuple(RUNGS.index(one.at) for one in asked if one.at is not None and one.how == "snap")
    seen = truth.seen(setup, day, snaps=snaps)
    said = [replace(one, did=behaviour.ON_A_RUNG[int(behaviour.draw(one, seen, rng)[0])]) for one in asked]
    for did in elsewhere.ELSEWHERE:
        remark = Remark(entry=f"{name} {did}", did=did)
        if elsewhere.draw(remark, seen, rng)[0]:
            said.append(remark)
    return Trial(setup=setup, day=day, remarks=tuple(said))


def _asked_at(rung: Rung, rng: Generator, *, name: str) -> Remark:
    entry = f"{name} {rung.value}"
    if rng.random() < _NO_PLACE:
        return Remark(entry=entry, did="clean")
    how: How = "steady" if rung is Rung.SHUT else get_args(How)[rng.integers(len(get_args(How)))]
    return Remark(entry=entry, did="clean", at=rung, how=how)


Tell = Callable[[Truth, Setup, Day, Generator], tuple[Reading, ...]]
"""Takes some readings of a bike in a setup on a day."""


def choke(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Try a little choke at one held opening."""
    asked = ChokeReading(entry="choke", at=_any_of(_HELD, rng), outcome="better")
    of = truth.stage.bike.carb.choke
    outcome = choke_test.OUTCOMES[int(choke_test.draw(asked, truth.seen(setup, day), rng, choke=of)[0])]
    return (replace(asked, outcome=outcome),)


def sweep(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Count the idle at five places of the screw."""
    turns = tuple(setup.screw_turns + step for step in _TURNS)
    shut = RUNGS.index(Rung.SHUT)
    seen = [truth.seen(replace(setup, screw_turns=one), day) for one in turns]
    error = idle_sweep.felt_at_idle(np.stack([one.error[:, shut] for one in seen], axis=1), seen[0])
    rpm = idle_sweep.draw(error, rng)[0]
    return (IdleSweepReading(entry="sweep", turns=turns, rpm=tuple(float(one) for one in rpm)),)


def plug_cut(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Read the plug after a cut at full."""
    asked = PlugReading(entry="plug", at=Rung.FULL, colour="tan")
    colour = plug.COLOURS[int(plug.draw(asked, truth.seen(setup, day), rng)[0])]
    return (replace(asked, colour=colour),)


def roll_ons(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Time it from one opening, choke off and half."""
    at = _any_of(_HELD, rng)
    off = RollOnReading(entry="roll-on off", at=at, seconds=(5.0,) * 3)
    half = replace(off, entry="roll-on half", choke="half")
    seen = truth.seen(setup, day)
    of = truth.stage.bike.carb.choke
    log_times = roll_on.draw(((off, seen), (half, seen)), rng, choke=of)[0]
    return tuple(
        replace(one, seconds=(float(np.exp(mean)),) * len(one.seconds))
        for one, mean in zip((off, half), log_times, strict=True)
    )


def probe(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Read a probe at two openings, at one of them at another speed than the usual one."""
    first, second = (RUNGS[place] for place in rng.choice(len(RUNGS), size=2, replace=False))
    usual = float(truth.stage.grid.rpm[RUNGS.index(first), 0])
    slower = usual if first is Rung.SHUT else 0.75 * usual
    asked = (
        LambdaReading(entry="probe 1", at=first, value=1.0, rpm=slower),
        LambdaReading(entry="probe 2", at=second, value=1.0),
    )
    seen = truth.seen(setup, day, rpm={RUNGS.index(first): slower})
    return tuple(replace(one, value=float(steady_lambda.draw(one, seen, rng)[0])) for one in asked)


def one_look(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Make one look, whichever."""
    del setup, day
    asked = LookReading(entry="look", look=_any_of(tuple(SHOWS), rng), outcome="clear")
    has = np.array([any(truth.has(key) for key in SHOWS[asked.look])])
    return (replace(asked, outcome="found"),) if look.draw(asked, has, rng)[0] else (asked,)


def by_hand(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Cover the intake, measure the fuel level, and ask what was touched last."""
    seen = truth.seen(setup, day)
    keys = [fault.key for fault in truth.stage.faults]
    part = touched.PARTS[int(touched.draw(truth.fault, keys, rng)[0])]
    return (
        HandReading(entry="hand", outcome="rises" if hand_test.draw(seen, rng)[0] else "sinks"),
        LevelReading(entry="level", above_mm=float(fuel_level.draw(seen, rng)[0])),
        TouchedReading(entry="touched", part=part),
    )


def nothing_more(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Ride and say, no more."""
    del truth, setup, day, rng
    return ()


def choke_and_sweep(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Try the choke and count the idle."""
    return (*choke(truth, setup, day, rng), *sweep(truth, setup, day, rng))


TOLD: dict[str, Tell] = {
    "words": nothing_more,
    "choke and idle sweep": choke_and_sweep,
    "plug": plug_cut,
    "roll-ons": roll_ons,
    "lambda at two rungs": probe,
    "a look": one_look,
    "hand, level, touched": by_hand,
}
"""What is told besides the words of the ride."""


def logged(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Log lambda over four rungs, at two of them at two speeds: what a ride with a wideband comes to."""
    at = (Rung.QUARTER, Rung.HALF, Rung.HALF, Rung.THREE_QUARTERS, Rung.FULL, Rung.FULL)
    usual = [float(truth.stage.grid.rpm[RUNGS.index(one), 0]) for one in at]
    rpm = tuple(speed * (0.75 if k in {2, 5} else 1.0) for k, speed in enumerate(usual))
    asked = LambdaLogReading(entry="log", at=at, value=(0.9,) * 6, spread=(0.004,) * 6, rpm=rpm)
    groups = logged_lambda.groups(asked)
    scenes = [truth.seen(setup, day, rpm=logged_lambda.speeds(asked, group)) for group in groups]
    shown = logged_lambda.draw(asked, scenes, rng)[0].tolist()
    return (replace(asked, value=tuple(shown), spread=tuple(0.004 * lam / 0.9 for lam in shown)),)


def gas(truth: Truth, setup: Setup, day: Day, rng: Generator) -> tuple[Reading, ...]:
    """Read the exhaust gas at idle and at one held opening: gases that come to the lambda that is drawn."""
    fuel = blend_elements(truth.stage.bike.fuel.ethanol_share.value)
    found = []
    for at in (Rung.SHUT, _any_of(_HELD, rng)):
        asked = replace(_PLAIN_GAS, entry=f"gas {at.value}", at=at)
        lam = float(exhaust_gas.draw(asked, truth.seen(setup, day), rng, fuel=fuel)[0])
        found.append(_gas_of(asked, lam, fuel))
    return tuple(found)


_PLAIN_GAS = GasReading(entry="gas", at=Rung.SHUT, co_pct=3.0, co2_pct=12.0, hc_ppm=200.0, o2_pct=0.5)


def _gas_of(asked: GasReading, lam: float, fuel: Elements) -> GasReading:
    """Give gas that comes to a lambda: more oxygen where it is lean, more CO where it is rich."""
    low, high = -20.0, 40.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        made = _moved(asked, middle)
        low, high = (middle, high) if exhaust_gas.lambda_and_spread(made, fuel)[0] < lam else (low, middle)
    return _moved(asked, 0.5 * (low + high))


def _moved(asked: GasReading, by: float) -> GasReading:
    if by >= 0.0:
        return replace(asked, o2_pct=asked.o2_pct + by)
    return replace(asked, co_pct=asked.co_pct - by)


MEASURED: dict[str, Tell] = {"a log of lambda": logged, "exhaust gas": gas}
"""What only those tell who have the instrument; see ``benchmarks/instruments.py``."""


def _any_of(items: tuple[One, ...], rng: Generator) -> One:
    return items[int(rng.integers(len(items)))]
