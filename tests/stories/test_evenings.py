"""Whole evenings on made-up bikes: ride, ask, do as told, ride again; the hidden truth stands here."""

from dataclasses import dataclass, field, replace

import numpy as np
import pytest
from numpy.typing import NDArray

from floatbowl.advice.advice import Advice
from floatbowl.advice.advise import advise
from floatbowl.advice.cost import minutes_left
from floatbowl.belief.believe import believe
from floatbowl.belief.unknowns import CLOSE_ENOUGH
from floatbowl.bike.setup import Setup
from floatbowl.signs.trial import SHOWS, LookReading, Trial
from tests.belief.simulated import Ground, Hidden, demo_bike, right_bike

pytestmark = pytest.mark.slow

MOST_TURNS = 12
DRAWS = 500


@dataclass
class Evening:
    """One bike, its truth, what is fitted, and all that happened; the rider is careful and owns a probe."""

    ground: Ground
    truth: Hidden
    setup: Setup
    trials: list[Trial] = field(default_factory=list)
    changes: int = 0
    kinds: list[str] = field(default_factory=list)

    def ride(self) -> None:
        """Ride it and say what it did at every rung."""
        self.trials.append(self.truth.typical(self.setup, self.ground.day))

    def ask(self) -> Advice:
        """Ask what to do next."""
        belief = believe(
            self.ground.bike,
            setup=self.setup,
            day=self.ground.day,
            trials=tuple(self.trials),
            rng=np.random.default_rng(len(self.trials)),
            draws=DRAWS,
        )
        advice = advise(belief, drawer=self.ground.drawer, trials=tuple(self.trials))
        self.kinds.append("ride" if advice.look == "ride and say" else advice.kind)
        return advice

    def look(self, key: str) -> bool:
        """Make a look, write down what it brought, and say whether it found the truth."""
        keys = [fault.key for fault in self.truth.stage.faults]
        found = self.truth.fault >= 0 and keys[self.truth.fault] in SHOWS[key]
        reading = LookReading(entry=f"look {key}", look=key, outcome="found" if found else "clear")
        last = self.trials[-1]
        self.trials[-1] = replace(last, readings=(*last.readings, reading))
        return found

    def mend(self) -> None:
        """Put the fault right: every ride so far was with it."""
        key = self.truth.stage.faults[self.truth.fault].key
        self.trials = [replace(trial, mended=(key,)) for trial in self.trials]
        self.truth = replace(self.truth, fault=-1)

    def left(self) -> float:
        """Give the minutes that the bike as it really is would still cost."""
        error: NDArray[np.float64] = self.truth.error(self.setup, self.ground.day)[None, :]
        strokes = self.ground.bike.engine.strokes
        return float(minutes_left(error, np.array(CLOSE_ENOUGH), strokes=strokes)[0])

    def go_on(self) -> Advice:
        """Do as told until nothing is left to do but ride, or for too long."""
        self.ride()
        advice = self.ask()
        for _ in range(MOST_TURNS):
            # Asked twice in a row only to ride again, a person goes home.
            if advice.kind == "done" or self.kinds[-2:] == ["ride", "ride"]:
                break
            if advice.kind == "change":
                self.setup = advice.setup
                self.changes += 1
                self.ride()
            elif advice.look in SHOWS and advice.why.key != "found":
                if self.look(str(advice.look)):
                    self.mend()
                    self.ride()
            else:
                self.ride()
            advice = self.ask()
        return advice


def begin(name: str, *, fault: str | None = None, seed: int = 3, **wrong: str | float) -> Evening:
    """Give a bike that would be right in its ground's setup, with something wrong."""
    ground, truth = demo_bike(name), right_bike(name, seed)
    if fault is not None:
        z = truth.z.copy()
        z[truth.stage.places.severity] = 0.8
        kind = [known.key for known in truth.stage.faults].index(fault)
        truth = replace(truth, z=z, fault=kind)
    return Evening(ground=ground, truth=truth, setup=replace(ground.setup, **wrong))  # type: ignore[arg-type]


@pytest.mark.parametrize("seed", [3, 4])
def test_the_magpie_is_set_right(seed: int) -> None:
    """A needle a groove too low and a main too big: within five changes it is truly far better.

    Not every such bike: seed 5 goes on for twelve turns and ends at 0.63 of the minutes it began with
    (docs/validity.md, "The advice so far").
    """
    magpie = begin("magpie", seed=seed, clip_from_top=2, main="107")
    before = magpie.left()
    magpie.go_on()
    assert 1 <= magpie.changes <= 5
    assert magpie.left() < 0.7 * before


def test_the_otter_gets_its_main() -> None:
    """A main two sizes too big and all else right: one or two changes, and no other part is left changed."""
    otter = begin("otter", main="165")
    assert otter.go_on().kind == "done"
    assert 1 <= otter.changes <= 2
    assert replace(otter.setup, main="160") == otter.ground.setup


def test_a_right_bike_stays_as_it_is() -> None:
    """Nothing wrong: nothing is done."""
    otter = begin("otter")
    assert otter.go_on().kind == "done"
    assert otter.changes == 0


def test_the_thistle_leaks_and_is_mended() -> None:
    """A leak: no part is touched until it is found; mended and ridden, the tag is off and stays off.

    Story: with 13 in 20 broken and a look of ten minutes at hand, the screw was to be turned: a look had to
    be worth more than the whole change that it only puts off.
    """
    thistle = begin("thistle", fault="air leak")
    assert thistle.go_on().kind == "done"
    assert thistle.kinds[0] in {"stop", "look"}
    assert thistle.truth.fault == -1
    assert thistle.changes == 0
