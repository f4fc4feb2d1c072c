"""Whole evenings on made-up bikes: ride, ask, do as told, ride again; the hidden truth stands here."""

from dataclasses import dataclass, field, replace

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.advice.advice import Advice
from floatbowl.advice.advise import advise
from floatbowl.advice.measure import TESTS
from floatbowl.belief.belief import Belief
from floatbowl.belief.believe import believe
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup
from floatbowl.signs.trial import SHOWS, Reading, Trial
from tests.belief.simulated import Ground, Hidden, demo_bike, right_bike

pytestmark = pytest.mark.slow

MOST_ACTS = 25
DRAWS = 500
TESTED = {test.key for test in TESTS} - {"ride and say"}
Act = tuple[str, str, Rung, Setup]
"""What was asked for: its kind, the look or test, the rung in question, and what was fitted."""


@dataclass
class Evening:
    """One bike, its truth, what is fitted, and all that happened; the rider is careful and owns a probe.

    Looks and tests bring what the signs draw, misses and false alarms included; what a look finds by mistake
    cannot be mended, and the same look again clears it.
    """

    ground: Ground
    truth: Hidden
    setup: Setup
    rng: Generator
    trials: list[Trial] = field(default_factory=list)
    changes: int = 0
    acts: list[Act] = field(default_factory=list)
    belief: Belief | None = None

    @property
    def kinds(self) -> list[str]:
        """Name the kinds of all that was asked for."""
        return [kind for kind, *_ in self.acts]

    def ride(self) -> None:
        """Ride it and say what it did at every rung."""
        self.trials.append(self.truth.typical(self.setup, self.ground.day))

    def ask(self) -> Advice:
        """Ask what to do next; what was thought before is taken on."""
        trials = tuple(self.trials)
        self.belief = believe(
            self.ground.bike,
            setup=self.setup,
            day=self.ground.day,
            trials=trials,
            rng=self.rng,
            draws=DRAWS,
            since=self.belief,
        )
        advice = advise(self.belief, drawer=self.ground.drawer, trials=trials, rng=self.rng)
        fitted = replace(self.setup, number=0)
        self.acts.append((advice.kind, str(advice.look), advice.why.at, fitted))
        return advice

    def write(self, *readings: Reading) -> None:
        """Write readings down beside the last ride."""
        last = self.trials[-1]
        self.trials[-1] = replace(last, readings=(*last.readings, *readings))

    def look(self, key: str) -> None:
        """Make a look; what it really found is mended, and every ride so far was with it."""
        reading = self.truth.look(key, self.rng)
        there = set(SHOWS[key]) & set(self.truth.faults)
        if reading.outcome == "found" and not there:
            reading = replace(reading, outcome="clear")
        self.write(reading)
        if reading.outcome == "found":
            for fault in there:
                self.truth = self.truth.mended(fault)
                self.trials = [replace(trial, mended=(*trial.mended, fault)) for trial in self.trials]
            self.ride()

    def off(self) -> NDArray[np.float64]:
        """Give how far the bike as it really is stands from what it wants, at each rung."""
        return np.abs(self.truth.error(self.setup, self.ground.day))

    def act(self, advice: Advice) -> None:
        """Do as told."""
        if advice.kind == "change":
            self.setup = advice.setup
            self.changes += 1
            self.ride()
        elif advice.look in TESTED - set(SHOWS):
            made = self.truth.measure(
                str(advice.look), advice.why.at, setup=self.setup, day=self.ground.day, rng=self.rng
            )
            self.write(*made)
        elif advice.look in SHOWS:
            self.look(str(advice.look))
        else:
            self.ride()

    def go_on(self) -> Advice:
        """Do as told until nothing is left to do, or for too long."""
        self.ride()
        advice = self.ask()
        for _ in range(MOST_ACTS):
            if advice.kind == "done":
                break
            self.act(advice)
            advice = self.ask()
        return advice


def begin(name: str, *faults: str, seed: int = 3, **wrong: str | float) -> Evening:
    """Give a bike that would be right in its ground's setup, with something wrong."""
    ground, truth = demo_bike(name), right_bike(name).broken_by(*faults)
    setup = replace(ground.setup, **wrong)  # type: ignore[arg-type]
    return Evening(ground=ground, truth=truth, setup=setup, rng=np.random.default_rng(seed))


@pytest.mark.parametrize("seed", [3, pytest.param(4, marks=pytest.mark.long)])
def test_the_magpie_is_set_right(seed: int) -> None:
    """A needle two grooves too low and a main too big: done in at most four changes, and truly better.

    Measured: two changes each; one seed ends within 0.03 at every rung, the other within 0.06.
    """
    magpie = begin("magpie", seed=seed, clip_from_top=1, main="109.5")
    before = magpie.off()
    assert magpie.go_on().kind == "done"
    assert 1 <= magpie.changes <= 4
    assert magpie.off().mean() < 0.8 * before.mean()
    assert magpie.off().max() < 0.075


def test_the_otter_gets_its_main() -> None:
    """A main four sizes too big and all else right: done in one or two changes, and truly nearly right."""
    otter = begin("otter", main="170")
    assert otter.go_on().kind == "done"
    assert 1 <= otter.changes <= 2
    assert otter.off().max() < 0.075


def test_a_right_bike_stays_right() -> None:
    """Nothing wrong: done within ten acts, most of them tests; only the screw is touched, and little."""
    otter = begin("otter")
    assert otter.go_on().kind == "done"
    assert len(otter.acts) <= 10
    assert otter.changes <= 1
    assert replace(otter.setup, screw_turns=1.5) == otter.ground.setup
    assert otter.off().max() < 0.05


@pytest.mark.parametrize("seed", [3, 4])
def test_the_thistle_leaks_and_is_mended(seed: int) -> None:
    """A leak: looked for first, found and mended, though a look may miss it; only the screw is touched.

    Story: with 13 in 20 broken and a look of ten minutes at hand, the screw was to be turned: a look had to
    be worth more than the whole change that it only puts off.
    """
    thistle = begin("thistle", "air leak", seed=seed)
    assert thistle.go_on().kind == "done"
    assert thistle.kinds[0] in {"stop", "look"}
    assert thistle.truth.faults == ()
    assert replace(thistle.setup, screw_turns=1.5) == thistle.ground.setup
    assert thistle.off().max() < 0.1


@pytest.mark.parametrize("wrong", [(), ("fuel level low",)])
def test_nothing_is_asked_for_twice(wrong: tuple[str, ...]) -> None:
    """A test once made is not asked for again in the same setup, nor any look at all, until it is done."""
    otter = begin("otter", *wrong, main="165")
    assert otter.go_on().kind == "done"
    tests = [(look, at, fitted) for _, look, at, fitted in otter.acts if look in TESTED - set(SHOWS)]
    looks = [look for kind, look, *_ in otter.acts if look in SHOWS]
    assert len(tests) == len(set(tests))
    assert len(looks) == len(set(looks))
