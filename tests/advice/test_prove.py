"""What still has to be seen before a setup may be called proven."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from floatbowl.advice.prove import missing_proof
from floatbowl.belief.belief import Belief
from floatbowl.belief.believe import believe
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import (
    GasReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    Trial,
)
from tests.belief.simulated import demo_bike

OTTER = demo_bike("otter")
SWEEP = IdleSweepReading(entry="sweep", turns=(1.0, 1.5, 2.0), rpm=(1400.0, 1450.0, 1400.0))
PLUG = PlugReading(entry="plug", at=Rung.FULL, colour="tan")
WHOLE = Trial(
    setup=OTTER.setup,
    day=OTTER.day,
    remarks=tuple(Remark(entry=at.value, did="clean", at=at) for at in RUNGS),
    readings=(SWEEP, PLUG),
)


@pytest.fixture(scope="module")
def sound() -> Belief:
    """Give a belief in which no bike has a fault, every one is right, and that is to be trusted."""
    belief = believe(
        OTTER.bike,
        setup=OTTER.setup,
        day=OTTER.day,
        trials=(),
        rng=np.random.default_rng(1),
        draws=100,
    )
    return replace(belief, fault=np.full_like(belief.fault, -1), error=np.zeros_like(belief.error))


def test_all_seen_is_proven(sound: Belief) -> None:
    """Ridden at every rung, idle swept, full opening read and nothing suspected: nothing is missing."""
    assert missing_proof(sound, (WHOLE,)) == ()


def test_nothing_seen_lacks_all_that_is_seen(sound: Belief) -> None:
    """With nothing written down, all that one has to see is missing, and only that."""
    assert missing_proof(sound, ()) == ("ride all rungs", "idle", "full opening")


CHANGED: dict[str, Callable[[Trial], Trial]] = {
    "another setup": lambda trial: replace(trial, setup=replace(OTTER.setup, main="165")),
    "mended since": lambda trial: replace(trial, mended=("air leak",)),
}


@pytest.mark.parametrize("how", CHANGED)
def test_only_what_is_fitted_now_counts(sound: Belief, how: str) -> None:
    """What was seen with another setup or before a mend proves nothing; another number does not matter."""
    assert missing_proof(sound, (CHANGED[how](WHOLE),)) == missing_proof(sound, ())
    again = replace(WHOLE, setup=replace(OTTER.setup, number=99))
    assert missing_proof(sound, (again,)) == ()


@pytest.mark.parametrize("at", RUNGS)
def test_every_rung_must_be_spoken_of(sound: Belief, at: Rung) -> None:
    """With a word missing at any rung the ride is missing."""
    left_out = replace(WHOLE, remarks=tuple(one for one in WHOLE.remarks if one.at is not at))
    assert missing_proof(sound, (left_out,)) == ("ride all rungs",)


LOG = LambdaLogReading(entry="1", at=(Rung.SHUT, Rung.FULL), value=(0.9, 0.86), spread=(0.01, 0.01))
GAS = GasReading(entry="1", at=Rung.SHUT, co_pct=4.0, co2_pct=11.0, hc_ppm=300.0, o2_pct=1.0)


@pytest.mark.parametrize(
    ("readings", "missing"),
    [
        ((PLUG,), ("idle",)),
        ((SWEEP,), ("full opening",)),
        ((SWEEP, replace(PLUG, at=Rung.HALF)), ("full opening",)),
        ((LambdaReading(entry="1", at=Rung.SHUT, value=0.9), PLUG), ()),
        ((SWEEP, LambdaReading(entry="1", at=Rung.FULL, value=0.86)), ()),
        ((LOG,), ()),
        ((replace(LOG, at=(Rung.QUARTER, Rung.FULL)),), ("idle",)),
        ((replace(LOG, at=(Rung.SHUT, Rung.QUARTER)),), ("full opening",)),
        ((GAS, PLUG), ()),
        ((SWEEP, replace(GAS, at=Rung.FULL)), ()),
        ((SWEEP, RollOnReading(entry="1", at=Rung.FULL, seconds=(4.0,))), ()),
    ],
)
def test_idle_and_full_want_more_than_words(
    sound: Belief, readings: tuple[Reading, ...], missing: tuple[str, ...]
) -> None:
    """Idle wants a sweep or a probe, full opening a probe, a plug or a roll-on, each at its own rung."""
    assert missing_proof(sound, (replace(WHOLE, readings=readings),)) == missing


def test_a_fault_in_three_of_twenty_is_a_suspect(sound: Belief) -> None:
    """Up to two of the twenty may have a fault; with a third it is not proven, in either slot."""
    for slot in (0, 1):
        for many, missing in ((2, ()), (3, ("no suspect",))):
            fault = sound.fault.copy()
            fault[sound.twenty[:many], slot] = 0
            assert missing_proof(replace(sound, fault=fault), (WHOLE,)) == missing


@pytest.mark.parametrize("at", RUNGS)
def test_a_rung_that_is_off_is_not_proven(sound: Belief, at: Rung) -> None:
    """Where most of the twenty are off at any one rung it is not right everywhere, however it was ridden."""
    error = sound.error.copy()
    error[sound.twenty, RUNGS.index(at)] = 0.2
    assert missing_proof(replace(sound, error=error), (WHOLE,)) == ("right everywhere",)


def test_a_belief_that_does_not_hold_together_proves_nothing(sound: Belief) -> None:
    """A belief not to be trusted is missing its trust, however much was seen."""
    doubted = replace(sound, trust=replace(sound.trust, is_good=False, why="unexplained"))
    assert missing_proof(doubted, (WHOLE,)) == ("trust",)
