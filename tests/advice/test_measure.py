"""Tests before anything is changed: which are left, and what each might bring."""

from dataclasses import replace

import numpy as np
import pytest

from floatbowl.advice import measure
from floatbowl.advice.measure import RIDE_AND_SAY, SAMPLED, TESTS, Bench, has_probe
from floatbowl.advice.rank import Panel
from floatbowl.belief.believe import believe
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import (
    ChokeReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    LevelReading,
    LookReading,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    Trial,
)
from tests.belief.simulated import demo_bike

OTTER = demo_bike("otter")
MADE: tuple[tuple[measure.Test, Reading], ...] = (
    (
        measure.Test("choke test", 5.0, Rung.QUARTER),
        ChokeReading(entry="1", at=Rung.QUARTER, outcome="better"),
    ),
    (measure.Test("roll-on pair", 12.0, Rung.FULL), RollOnReading(entry="1", at=Rung.FULL, seconds=(4.0,))),
    (measure.Test("plug chop", 15.0, Rung.FULL), PlugReading(entry="1", at=Rung.FULL, colour="tan")),
    (measure.Test("idle sweep", 8.0), IdleSweepReading(entry="1", turns=(1.0, 2.0), rpm=(1400.0, 1450.0))),
    (measure.Test("fuel level by a clear hose", 10.0), LevelReading(entry="1", above_mm=0.0)),
)


@pytest.fixture(scope="module")
def panel() -> Panel:
    """Give the panel of a bike of which nothing was said."""
    belief = believe(
        OTTER.bike,
        setup=OTTER.setup,
        day=OTTER.day,
        trials=(),
        rng=np.random.default_rng(1),
        draws=320,
    )
    return Panel.of(belief)


def trial(*readings: Reading) -> Trial:
    """Give a trial of the setup that is fitted."""
    return Trial(setup=OTTER.setup, day=OTTER.day, readings=readings)


@pytest.mark.parametrize(("test", "reading"), MADE)
def test_what_was_made_is_not_left(panel: Panel, test: measure.Test, reading: Reading) -> None:
    """A test once made is gone with this setup at this height, at its own rung alone, and no other is."""
    left = measure.tests_left((trial(reading),), panel)
    assert set(TESTS) - set(left) == {test}


@pytest.mark.parametrize(("test", "reading"), MADE)
def test_what_was_made_otherwise_is_left(panel: Panel, test: measure.Test, reading: Reading) -> None:
    """Made with another setup, at another height, or before a mend, it may be made again."""
    made = trial(reading)
    others = (
        replace(made, setup=replace(OTTER.setup, main="165")),
        replace(made, day=replace(OTTER.day, height=OTTER.day.height + 900.0)),
        replace(made, mended=("air leak",)),
    )
    for other in others:
        assert test in measure.tests_left((other,), panel)
    again = replace(made, setup=replace(OTTER.setup, number=9), day=replace(OTTER.day, date="later"))
    assert test not in measure.tests_left((again,), panel)


def test_a_test_that_was_only_looked_at_is_made(panel: Panel) -> None:
    """Story: the clear hose, answered as a look, was asked for for ever; such a look is the test made."""
    looked = LookReading(entry="1", look="fuel level by a clear hose", outcome="clear")
    left = measure.tests_left((trial(looked),), panel)
    assert {test.key for test in set(TESTS) - set(left)} == {looked.look}


def test_a_whole_ride_is_not_asked_for_again(panel: Panel) -> None:
    """With a word of every rung the ride is made; with one rung missing it is left."""
    said = tuple(Remark(entry=at.value, did="clean", at=at) for at in RUNGS)
    whole, part = (replace(trial(), remarks=remarks) for remarks in (said, said[:-1]))
    assert RIDE_AND_SAY not in measure.tests_left((whole,), panel)
    assert RIDE_AND_SAY in measure.tests_left((part,), panel)


def test_a_probe_is_at_hand_once_it_was_used() -> None:
    """A steady lambda anywhere in the log says that there is a probe; other readings do not."""
    assert has_probe((trial(LambdaReading(entry="1", at=Rung.HALF, value=0.9)),))
    log = LambdaLogReading(entry="1", at=(Rung.HALF,), value=(0.9,), spread=(0.01,))
    assert has_probe((trial(log),))
    assert not has_probe((trial(*(reading for _, reading in MADE)),))


@pytest.mark.parametrize("test", TESTS)
@pytest.mark.parametrize("probe", [False, True])
def test_what_a_test_might_bring_is_a_law(panel: Panel, test: measure.Test, *, probe: bool) -> None:
    """How often the outcomes come adds to one, and each is possible for some draw and finite for all."""
    told = Bench(panel, np.random.default_rng(2), probe=probe).outcomes(test)
    assert told.often.sum() == pytest.approx(1.0)
    assert told.likely.shape == (len(told.often), panel.weighed.sum())
    assert np.isfinite(told.likely).all()
    assert (told.likely >= 0.0).all()
    assert (told.likely.max(axis=1) > 0.0).all()


@pytest.mark.parametrize("test", [test for test in TESTS if test.key in {"choke test", "plug chop"}])
def test_counted_outcomes_leave_nothing_out(panel: Panel, test: measure.Test) -> None:
    """Where every outcome is counted, each draw brings one of them."""
    told = Bench(panel, np.random.default_rng(2), probe=False).outcomes(test)
    assert told.likely.sum(axis=0) == pytest.approx(np.ones(panel.weighed.sum()))


@pytest.mark.parametrize("test", [test for test in TESTS if test.key not in {"choke test", "plug chop"}])
def test_drawn_outcomes_bear_out_their_truth(panel: Panel, test: measure.Test) -> None:
    """Outcomes drawn from some draws are likelier, on the whole, for those than for the others."""
    own, others = 0.0, 0.0
    for seed in range(6):
        bench = Bench(panel, np.random.default_rng(seed), probe=False)
        told, truths = bench.outcomes(test), bench._picked()
        assert len(told.often) == SAMPLED
        weight = told.likely / told.likely.mean(axis=1, keepdims=True)
        own += float(np.log(weight[np.arange(SAMPLED), truths]).mean())
        others += float(np.log(weight + 1e-300).mean())
    assert own > others


def test_a_ride_with_a_probe_tells_more(panel: Panel) -> None:
    """After a ride with a probe fewer draws are left to tell apart than after one without."""

    def left(*, probe: bool) -> float:
        told = Bench(panel, np.random.default_rng(2), probe=probe).outcomes(RIDE_AND_SAY).likely
        weight = told / told.sum(axis=1, keepdims=True)
        return float((1.0 / (weight**2).sum(axis=1)).mean())

    assert left(probe=True) < 0.7 * left(probe=False)


def test_the_same_dice_bring_the_same(panel: Panel) -> None:
    """With the same dice every test brings the same, to the last bit; with others, a drawn one does not."""
    one, same, other = (Bench(panel, np.random.default_rng(seed), probe=True) for seed in (3, 3, 4))
    for test in TESTS:
        assert (one.outcomes(test).likely == same.outcomes(test).likely).all()
    assert not (one.outcomes(RIDE_AND_SAY).likely == other.outcomes(RIDE_AND_SAY).likely).all()
