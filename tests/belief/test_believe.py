"""From what was said to what is probably true."""

from dataclasses import replace

import numpy as np
import pytest

from floatbowl.belief.belief import OF, Belief
from floatbowl.belief.believe import believe, fault_odds
from floatbowl.belief.check import trust
from floatbowl.belief.sample import Crowd
from floatbowl.belief.scene import Stage
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import Behaviour, LambdaReading, Remark, Trial
from tests.belief.simulated import HOW, Ground, demo_bike

OTTER = demo_bike("otter")


def told(ground: Ground, *words: tuple[Rung, Behaviour], times: int = 1) -> Trial:
    """Give one ride with these words."""
    remarks = [
        Remark(entry=f"ride-{k}-{n}", did=did, at=at, how=HOW[at])
        for n in range(times)
        for k, (at, did) in enumerate(words)
    ]
    return Trial(setup=ground.setup, day=ground.day, remarks=tuple(remarks))


def thought(ground: Ground, *trials: Trial, seed: int = 1, draws: int = 500) -> Belief:
    """Believe with a few draws."""
    return believe(
        ground.bike,
        setup=ground.setup,
        day=ground.day,
        trials=trials,
        rng=np.random.default_rng(seed),
        draws=draws,
    )


@pytest.fixture(scope="module")
def silent() -> Belief:
    """Give what is believed before anything was said."""
    return thought(OTTER)


@pytest.fixture(scope="module")
def clean() -> Belief:
    """Give what is believed after clean at every rung."""
    return thought(OTTER, told(OTTER, *((at, "clean") for at in RUNGS)))


def test_a_belief_is_of_one_piece(clean: Belief) -> None:
    """Counts add to twenty, weights and say to one, and every array has its shape."""
    draws = len(clean.fault)
    assert clean.error.shape == clean.lam.shape == (draws, len(RUNGS))
    assert clean.weight.sum() == pytest.approx(1.0)
    assert clean.say.sum(axis=1) == pytest.approx(np.ones(len(RUNGS)))
    assert clean.fuel_share.sum(axis=1) == pytest.approx(np.ones(len(RUNGS)))
    assert all(sum(clean.counts_at(at)) == OF for at in RUNGS)
    assert np.isfinite(clean.error).all()
    assert clean.trust.is_good


def test_suspects_are_those_of_the_draws(clean: Belief) -> None:
    """Each suspect's chance is its share of the draws, its count that of the twenty, the likeliest first."""
    chances = [suspect.chance for suspect in clean.suspects]
    assert chances == sorted(chances, reverse=True)
    for suspect in clean.suspects:
        kind = clean.fault_keys.index(suspect.fault)
        assert suspect.chance == pytest.approx(np.mean(clean.fault == kind))
        assert suspect.count == (clean.fault[clean.twenty] == kind).sum()


def test_before_any_word_faults_are_as_common_as_they_are(silent: Belief) -> None:
    """With nothing said each fault has its own rate, within four standard errors."""
    odds = fault_odds(Stage.of(OTTER.bike, OTTER.setup))
    share = np.array([(silent.fault == kind).mean() for kind in range(len(odds) - 1)])
    assert (np.abs(share - odds[:-1]) < 4.0 * np.sqrt(odds[:-1] / len(silent.fault))).all()


def test_a_bad_story_leaves_room_for_a_sound_bike() -> None:
    """However much a bike went through, a quarter of the odds stays with no fault."""
    worst = replace(OTTER.bike, story=frozenset({"stood for months", "just worked on", "fresh replacement"}))
    odds = fault_odds(Stage.of(worst, OTTER.setup))
    assert odds.sum() == pytest.approx(1.0)
    assert odds[-1] >= 0.25 - 1e-9


def test_clean_everywhere_narrows_every_rung(silent: Belief, clean: Belief) -> None:
    """Clean at every rung draws the likely bikes together at every rung, and towards right."""
    assert (clean.error.std(axis=0) < 0.7 * silent.error.std(axis=0)).all()
    for at in RUNGS:
        assert clean.counts_at(at)[1] > silent.counts_at(at)[1]


def test_bogging_at_a_quarter_is_read_as_short_there(silent: Belief) -> None:
    """A bog on the snap at 1/4, thrice, raises the odds of short there, and hardly tells of full."""
    belief = thought(OTTER, told(OTTER, (Rung.QUARTER, "bogs"), times=3))
    odds_then, odds_now = (
        b.counts_at(Rung.QUARTER)[0] / b.counts_at(Rung.QUARTER)[2] for b in (silent, belief)
    )
    assert odds_now > 1.4 * odds_then
    assert abs(belief.counts_at(Rung.FULL)[0] - silent.counts_at(Rung.FULL)[0]) <= 3


def test_a_probe_narrows_more_than_a_word() -> None:
    """A steady lambda at full tells more than a clean at full."""
    reading = LambdaReading(entry="reading-1", at=Rung.FULL, value=0.85)
    probe = replace(told(OTTER), readings=(reading,))
    place = RUNGS.index(Rung.FULL)
    by_probe, by_word = (
        thought(OTTER, trial).error[:, place] for trial in (probe, told(OTTER, (Rung.FULL, "clean")))
    )
    assert np.subtract(*np.quantile(by_probe, [0.84, 0.16])) < np.subtract(
        *np.quantile(by_word, [0.84, 0.16])
    )


@pytest.mark.calibration
def test_other_dice_give_nearly_the_same_answer(clean: Belief) -> None:
    """With other dice no count moves by more than 5, and no middle by over 0.35 of the spread.

    500 draws are worth at least 100: a share near a half then has an error of 1 in 20 on each side.
    """
    trial = told(OTTER, *((at, "clean") for at in RUNGS))
    other = thought(OTTER, trial, seed=2)
    for at in RUNGS:
        assert np.abs(np.subtract(other.counts_at(at), clean.counts_at(at))).max() <= 5
    off = np.abs(np.median(other.error, axis=0) - np.median(clean.error, axis=0))
    assert (off < 0.35 * clean.error.std(axis=0)).all()


def test_the_same_dice_give_the_same_belief(clean: Belief) -> None:
    """Same facts, same dice: the same belief, to the last bit."""
    again = thought(OTTER, told(OTTER, *((at, "clean") for at in RUNGS)))
    assert (again.error == clean.error).all()
    assert (again.twenty == clean.twenty).all()


def test_riders_who_contradict_themselves_are_not_explained() -> None:
    """Of two words that no mixture gives together, one is told to be unexplained, not smoothed over."""
    words: tuple[tuple[Rung, Behaviour], ...] = ((Rung.FULL, "thick"), (Rung.FULL, "pings"))
    belief = thought(OTTER, told(OTTER, *words))
    assert len(belief.trust.unexplained) == 1


def crowd(*, effective: float = 500.0, moved: float = 0.3, arrived: bool = True) -> Crowd:
    """Give a crowd of which only its fitness matters."""
    nothing = np.zeros((1, 1))
    return Crowd(
        z=nothing,
        fault=np.array([-1]),
        effective=effective,
        moved=moved,
        degrees=3,
        arrived=arrived,
    )


@pytest.mark.parametrize("bad", [crowd(effective=60.0), crowd(moved=0.01), crowd(arrived=False)])
def test_a_crowd_that_failed_is_not_spoken_from(bad: Crowd) -> None:
    """Too few different draws, a stuck crowd, or signs not wholly let in: the belief says so."""
    found = trust(bad, remarks=3, unexplained=())
    assert (found.is_good, found.why) == (False, "too few draws")


def test_mostly_unexplained_is_not_spoken_from() -> None:
    """A belief that leaves over half of the remarks unexplained says that they do not fit together."""
    assert trust(crowd(), remarks=4, unexplained=("a", "b")).is_good
    assert trust(crowd(), remarks=4, unexplained=("a", "b", "c")).why == "unexplained"
