"""From what was said to what is probably true."""

from dataclasses import replace

import numpy as np
import pytest

from floatbowl.belief.belief import OF, Belief
from floatbowl.belief.believe import MENDED_AGAIN, believe, fault_odds, kinds_of
from floatbowl.belief.check import trust
from floatbowl.belief.evidence import AllHeard
from floatbowl.belief.sample import Crowd, slot_odds
from floatbowl.belief.scene import Stage
from floatbowl.bike.faults import SECOND
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import Behaviour, LambdaReading, LookReading, Remark, Trial
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
        assert suspect.chance == pytest.approx(np.mean((clean.fault == kind).any(axis=1)))
        assert suspect.count == (clean.fault[clean.twenty] == kind).any(axis=1).sum()
        assert suspect.chance == pytest.approx(clean.has(suspect.fault).mean())


def test_before_any_word_faults_are_as_common_as_they_are(silent: Belief) -> None:
    """With nothing said each fault, alone or as one of two, has its own rate, within four standard errors."""
    law = np.exp(slot_odds(fault_odds(silent.stage), second=SECOND.value))
    rate = law[:-1].sum(axis=1) + law[:, :-1].sum(axis=0)  # in the first slot or in the second
    share = np.array([silent.has(key).mean() for key in silent.fault_keys])
    assert (np.abs(share - rate) < 4.0 * np.sqrt(rate / len(silent.fault))).all()
    sound = float(law[-1, -1])
    assert silent.is_sound.mean() == pytest.approx(sound, abs=4.0 * np.sqrt(0.25 / len(silent.fault)))


def test_a_bad_story_leaves_room_for_a_sound_bike() -> None:
    """However much a bike went through, a quarter of the odds stays with no fault."""
    worst = replace(OTTER.bike, story=frozenset({"stood for months", "just worked on", "fresh replacement"}))
    odds = fault_odds(Stage.of(worst, OTTER.setup))
    assert odds.sum() == pytest.approx(1.0)
    assert odds[-1] >= 0.25 - 1e-9


def test_what_was_mended_is_less_likely_again() -> None:
    """A mended fault keeps a part of its rate, and what it loses goes to no fault at all."""
    stage = Stage.of(OTTER.bike, OTTER.setup)
    leak = [fault.key for fault in stage.faults].index("air leak")
    before, after = fault_odds(stage), fault_odds(stage, mended=frozenset({"air leak"}))
    assert after[leak] == pytest.approx(MENDED_AGAIN.value * before[leak])
    assert after[-1] - before[-1] == pytest.approx(before[leak] - after[leak])


def test_each_pair_is_a_kind_of_its_own() -> None:
    """One number stands for no fault, one fault or a pair, whichever slot each fault stands in."""
    slots = [(a, b) for a in range(-1, 30) for b in range(-1, 30) if a < 0 or a != b]
    kinds = kinds_of(np.array(slots))
    named = {frozenset(pair) - {-1}: int(kind) for pair, kind in zip(slots, kinds, strict=True)}
    assert len(set(named.values())) == len(named)
    assert all(named[frozenset(p) - {-1}] == k for p, k in zip(slots, kinds, strict=True))


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
    """With other dice no count moves by more than 5, and no middle by over half of the spread.

    500 draws are worth at least 100: a share near a half then has an error of 1 in 20 on each side, a middle
    one of an eighth of the spread; six middles on two sides stay within nearly three of those.
    """
    trial = told(OTTER, *((at, "clean") for at in RUNGS))
    other = thought(OTTER, trial, seed=2)
    for at in RUNGS:
        assert np.abs(np.subtract(other.counts_at(at), clean.counts_at(at))).max() <= 5
    off = np.abs(np.median(other.error, axis=0) - np.median(clean.error, axis=0))
    assert (off < 0.5 * clean.error.std(axis=0)).all()


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
        fault=np.array([[-1, -1]]),
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


def on_from(since: Belief, *trials: Trial, seed: int = 3, draws: int = 500) -> Belief:
    """Believe more, taken on from what was believed before."""
    return believe(
        since.bike,
        setup=since.setup,
        day=since.day,
        trials=trials,
        rng=np.random.default_rng(seed),
        draws=draws,
        since=since,
    )


@pytest.mark.calibration
def test_taken_on_is_as_good_as_thought_anew(clean: Belief) -> None:
    """More signs taken on from an older belief give what they give anew: counts within 5, middles near.

    As with other dice: 500 draws are worth at least 100.
    """
    first = told(OTTER, *((at, "clean") for at in RUNGS))
    bogs = told(OTTER, (Rung.QUARTER, "bogs"), times=2)
    anew, taken_on = thought(OTTER, first, bogs, seed=2), on_from(clean, first, bogs)
    assert taken_on.stage is clean.stage
    for at in RUNGS:
        assert np.abs(np.subtract(taken_on.counts_at(at), anew.counts_at(at))).max() <= 5
    off = np.abs(np.median(taken_on.error, axis=0) - np.median(anew.error, axis=0))
    assert (off < 0.5 * anew.error.std(axis=0)).all()
    assert taken_on.trust.is_good


def test_nothing_new_is_nothing_new(clean: Belief) -> None:
    """Taken on with the same signs, the same bikes stand as they stood."""
    again = on_from(clean, told(OTTER, *((at, "clean") for at in RUNGS)))
    assert (again.z == clean.z).all()
    assert (again.fault == clean.fault).all()
    assert (again.error == clean.error).all()


def test_a_mend_is_thought_anew() -> None:
    """After a mend the odds of faults are others: nothing is taken on, and the mended fault is rarer."""
    leak = told(OTTER, (Rung.SHUT, "hangs"))
    before = thought(OTTER, leak)
    after = on_from(before, replace(leak, mended=("air leak",)))
    anew = thought(OTTER, replace(leak, mended=("air leak",)), seed=3)
    assert (after.z == anew.z).all()
    assert after.has("air leak").mean() < before.has("air leak").mean()


def test_another_bike_is_thought_anew(clean: Belief) -> None:
    """What was believed of another bike, or with another first setup, is not taken on."""
    magpie = demo_bike("magpie")
    ride = told(magpie, (Rung.HALF, "clean"))
    one, other = (
        believe(
            magpie.bike,
            setup=magpie.setup,
            day=magpie.day,
            trials=(ride,),
            rng=np.random.default_rng(1),
            draws=300,
            since=since,
        )
        for since in (None, clean)
    )
    assert (one.error == other.error).all()
    assert other.stage is not clean.stage


@pytest.mark.calibration
def test_faults_are_as_likely_as_plain_weighing_makes_them() -> None:
    """Chances of faults and middles of errors are those of 40 000 bikes from before the signs, each weighed.

    Plain weighing is worth some hundreds of draws here, 500 draws of a crowd at least a hundred.
    """
    words: tuple[tuple[Rung, Behaviour], ...] = ((Rung.SHUT, "hangs"), (Rung.EIGHTH, "bogs"))
    trial = told(OTTER, *words)
    belief = thought(OTTER, trial)
    stage, dice = belief.stage, np.random.default_rng(8)
    log_odds = slot_odds(fault_odds(stage), second=SECOND.value)
    pairs = dice.choice(log_odds.size, size=40_000, p=np.exp(log_odds).ravel())
    slots = np.stack(np.divmod(pairs, len(log_odds)), axis=1)
    fault = np.where(slots == len(log_odds) - 1, -1, slots)
    z = dice.standard_normal((len(fault), stage.places.size))
    weight = np.exp(AllHeard.of(stage, (trial,))(z, fault))
    weight /= weight.sum()
    assert 1.0 / np.sum(weight**2) > 400.0
    for kind, key in enumerate(belief.fault_keys):
        exact = float(weight[(fault == kind).any(axis=1)].sum())
        assert belief.has(key).mean() == pytest.approx(
            exact, abs=4.0 * np.sqrt(exact * (1.0 - exact) / 100.0)
        ), key
    error = stage.glimpse(OTTER.setup, OTTER.day, z, fault).error
    middle = weight @ error
    spread = np.sqrt(weight @ (error - middle) ** 2)
    assert (np.abs(belief.error.mean(axis=0) - middle) < 0.35 * spread).all()


def test_two_things_wrong_can_both_be_found(silent: Belief) -> None:
    """A leak that soap shows and a tank vent that the cap shows: both are suspected, many bikes have both.

    Plain weighing of 600 000 bikes makes it 24 in the hundred; 1000 draws give 21, here and there 9 or 30.
    """
    looks = tuple(
        LookReading(entry=f"look-{k}", look=key, outcome="found")
        for k, key in enumerate(("soap on the joints", "tank cap opened"))
    )
    words: tuple[tuple[Rung, Behaviour], ...] = ((Rung.SHUT, "hangs"), (Rung.FULL, "flat"))
    trial = told(OTTER, *words, times=2)
    fades = Remark(entry="ride-9", did="fades")
    belief = thought(OTTER, replace(trial, readings=looks, remarks=(*trial.remarks, fades)), draws=1000)
    both, before = ((b.has("air leak") & b.has("tank vent blocked")).mean() for b in (belief, silent))
    assert before < 0.01
    assert both > 0.05
    assert {suspect.fault for suspect in belief.suspects[:2]} == {"air leak", "tank vent blocked"}
