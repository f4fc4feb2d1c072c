"""The eleven words: they are drawn as they are believed, and point the way that riders know."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.bike.faults import Ailment
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs import behaviour
from floatbowl.signs.behaviour import ON_A_RUNG
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import Behaviour, How, Often, Remark, Warmth
from tests.signs.scenes import ailing, along, scene, starving, too_far

DRAWS = 20_000
SIDES = np.array([-0.30, -0.15, -0.05, 0.0, 0.05, 0.15, 0.30])


def said(did: Behaviour, at: Rung | None = Rung.HALF) -> Remark:
    """Give a remark, hot and every time."""
    return Remark(entry="ride-1", did=did, at=at)


def chances(remark: Remark, error: float, extra_air: float = 0.0) -> np.ndarray:
    """Give how probable each of the eleven words is said to be."""
    return chances_of(remark, scene(error, extra_air=extra_air))


def chances_of(remark: Remark, seen: Seen) -> np.ndarray:
    """Give how probable each of the eleven words is said to be of the first bike of a scene."""
    words = [replace(remark, did=word) for word in ON_A_RUNG]
    return np.array([np.exp(behaviour.log_likelihood(word, seen)[0]) for word in words])


@pytest.mark.calibration
@pytest.mark.parametrize("error", [-0.4, -0.12, 0.0, 0.09, 0.3])
@pytest.mark.parametrize("at", [Rung.SHUT, Rung.QUARTER, Rung.FULL, None])
@pytest.mark.parametrize(
    ("engine", "how", "often"), [("hot", "snap", "once"), ("cold", "pull", "every time")]
)
def test_words_are_drawn_as_often_as_they_are_believed(
    error: float, at: Rung | None, engine: Warmth, how: How, often: Often, rng: Generator
) -> None:
    """At every error, rung, warmth and way of riding the drawn words have the believed frequencies."""
    remark = Remark(entry="ride-1", did="clean", at=at, how=how, engine=engine, often=often)
    for extra_air in (0.0, 0.6):
        drawn = behaviour.draw(remark, scene(error, draws=DRAWS, extra_air=extra_air), rng)
        counts = np.bincount(drawn, minlength=len(ON_A_RUNG))
        assert not too_far(counts, chances(remark, error, extra_air)).any()


@pytest.mark.calibration
@pytest.mark.parametrize("ailment", behaviour.AILING)
@pytest.mark.parametrize("at", [Rung.SHUT, Rung.FULL, None])
@pytest.mark.parametrize("how", ["snap", None])
def test_words_of_an_ailing_bike_are_drawn_as_believed(
    ailment: Ailment, at: Rung | None, how: How | None, rng: Generator
) -> None:
    """With two ailments, a starved bowl and a snap worked out, words are drawn as often as believed."""
    remark = replace(said("clean", at), how=how)
    seen = ailing(starving(scene(0.1, draws=DRAWS), -0.3), {ailment: 0.8, "cuts out": 0.3})
    seen = replace(seen, snap=seen.error - 0.2)
    counts = np.bincount(behaviour.draw(remark, seen, rng), minlength=len(ON_A_RUNG))
    assert not too_far(counts, chances_of(remark, seen)).any()


@pytest.mark.calibration
def test_a_likelihood_counted_twice_is_caught(rng: Generator) -> None:
    """Control: frequencies held against squared chances, shared out anew, do not agree."""
    drawn = behaviour.draw(said("clean"), scene(-0.12, draws=DRAWS), rng)
    doubled = chances(said("clean"), -0.12) ** 2
    counts = np.bincount(drawn, minlength=len(ON_A_RUNG))
    assert too_far(counts, doubled / doubled.sum()).any()


@pytest.mark.parametrize("at", [*RUNGS, None])
@pytest.mark.parametrize("often", ["once", "every time"])
def test_the_chances_of_all_words_add_to_one(at: Rung | None, often: Often) -> None:
    """One of the eleven words is always picked."""
    for error in SIDES:
        total = chances(replace(said("clean", at), often=often), float(error)).sum()
        assert total == pytest.approx(1.0, abs=1e-12)


LEAN_WORDS: tuple[tuple[Behaviour, Rung], ...] = (
    ("bogs", Rung.QUARTER),
    ("surges", Rung.EIGHTH),
    ("flat", Rung.FULL),
    ("pings", Rung.FULL),
    ("hangs", Rung.SHUT),
    ("spits", Rung.QUARTER),
    ("pops", Rung.SHUT),
)


@pytest.mark.parametrize(("did", "at"), LEAN_WORDS)
def test_words_of_too_little_fuel(did: Behaviour, at: Rung) -> None:
    """Bogs, surges, falls flat, pings, hangs, spits and pops speak for too little fuel (common practice)."""
    short, much = behaviour.log_likelihood(said(did, at), along(np.array([-0.15, 0.15])))
    assert short > much


def test_thick_speaks_for_too_much() -> None:
    """Thick and rough speaks for too much fuel, the more the further (common practice)."""
    known = behaviour.log_likelihood(said("thick"), along(np.array([-0.2, 0.0, 0.1, 0.2])))
    assert (np.diff(known[1:]) > 0.0).all()
    assert known[0] < known[3]


def test_stumbles_and_dies_speak_for_neither_side() -> None:
    """Stumbling and dying stand in both columns of makers' lists: the odds of the sides stay under 2 to 1."""
    for did, off in (("stumbles", 0.15), ("dies", 0.30)):
        short, much = behaviour.log_likelihood(said(did), along(np.array([-off, off])))  # type: ignore[arg-type]
        assert abs(short - much) < np.log(2.0)


def test_a_bog_leaves_the_rich_side_open() -> None:
    """Riders mix up a rich and a lean bog: it never speaks more than 8 to 1 for short at equal distance."""
    short, much = behaviour.log_likelihood(said("bogs", Rung.QUARTER), along(np.array([-0.15, 0.15])))
    assert 0.0 < short - much < np.log(8.0)


def test_clean_speaks_for_right() -> None:
    """Clean is said most where the fuel is right, ever less to both sides, and is then the likeliest word."""
    known = behaviour.log_likelihood(said("clean"), along(SIDES))
    assert (np.diff(known[:4]) > 0.0).all()
    assert (np.diff(known[3:]) < 0.0).all()
    assert np.argmax(chances(said("clean"), 0.0)) == ON_A_RUNG.index("clean")


@pytest.mark.parametrize("at", RUNGS)
def test_a_well_set_bike_is_called_clean(at: Rung) -> None:
    """Clean is said of three well set bikes in four, under half at 0.05 short, over half at 0.05 too much.

    At 0.12 short it is said of under a tenth, and a little too rich goes unnoticed longer.

    Story: a bike right to 0.00 was called clean one time in two, so that a clean ride hardly spoke for it.
    """
    known = np.exp(
        behaviour.log_likelihood(said("clean", at), along(np.array([0.0, 0.05, -0.05, 0.12, -0.12])))
    )
    assert known[0] == pytest.approx(0.77, abs=0.02)
    assert known[1] == pytest.approx(0.53, abs=0.02)
    assert known[2] == pytest.approx(0.43, abs=0.02)
    assert known[3] < 0.16
    assert known[4] < 0.10


def test_held_openings_feel_a_starved_bowl() -> None:
    """A bowl that runs down makes a held opening bog as a shortage of 0.6 of it does; a snap feels none."""
    remark = said("bogs", Rung.FULL)
    for how in ("steady", "pull", None):
        held = replace(remark, how=how)
        starved = behaviour.log_likelihood(held, starving(scene(0.0), -0.25))
        assert starved == pytest.approx(behaviour.log_likelihood(held, scene(-0.15)))
    snapped = replace(remark, how="snap")
    plain = behaviour.log_likelihood(snapped, scene(0.0))
    assert behaviour.log_likelihood(snapped, starving(scene(0.0), -0.25)) == plain


def test_a_snap_that_was_worked_out_is_what_is_felt() -> None:
    """Where the snap was worked out, the remark is held against that, a little shorter."""
    remark = replace(said("bogs", Rung.QUARTER), how="snap")
    seen = replace(scene(0.2), snap=scene(-0.15).error)
    assert behaviour.log_likelihood(remark, seen) == behaviour.log_likelihood(
        replace(remark, how="steady"), scene(-0.15 - behaviour.SNAP_UNKNOWN.value)
    )


def test_a_rung_whose_snap_was_not_worked_out_feels_the_usual_shortage() -> None:
    """A snap at an unknown opening can be held against a scene with only one rung's snap worked out."""
    remark = replace(said("bogs", None), how="snap")
    snap = np.full((1, len(RUNGS)), np.nan)
    snap[0, 2] = -0.04
    assert behaviour.log_likelihood(remark, replace(scene(0.0), snap=snap)) == pytest.approx(
        behaviour.log_likelihood(remark, scene(0.0))
    )


AILING_WORDS: tuple[tuple[Ailment, Behaviour, Rung], ...] = (
    ("weak spark", "stumbles", Rung.FULL),
    ("weak spark", "flat", Rung.THREE_QUARTERS),
    ("cuts out", "dies", Rung.HALF),
    ("stale fuel", "spits", Rung.SHUT),
    ("stale fuel", "bogs", Rung.EIGHTH),
    ("tight valve", "dies", Rung.SHUT),
    ("tight valve", "spits", Rung.SHUT),
    ("leaking exhaust", "pops", Rung.SHUT),
    ("sticking slide", "hangs", Rung.SHUT),
)


@pytest.mark.parametrize(("ailment", "did", "at"), AILING_WORDS)
def test_words_of_what_is_not_the_mixture(ailment: Ailment, did: Behaviour, at: Rung) -> None:
    """What ails a well set bike is told in the words that workshops know it by, the more the worse it is."""
    sound, slight, bad = (
        behaviour.log_likelihood(said(did, at), ailing(scene(0.0), {ailment: much}))[0]
        for much in (0.0, 0.4, 1.0)
    )
    assert sound < slight < bad


def test_a_weak_spark_is_worst_wide_open_and_at_a_rich_idle() -> None:
    """A weak spark leaves fewer clean rides at full than at 1/4, and at a rich idle than at a fair one."""

    def left(at: Rung, error: float) -> float:
        sound, ill = scene(error), ailing(scene(error), {"weak spark": 1.0})
        both = [np.exp(behaviour.log_likelihood(said("thick", at), seen)[0]) for seen in (sound, ill)]
        return float(both[1] - both[0])

    clean = [
        np.exp(behaviour.log_likelihood(said("clean", at), ailing(scene(0.0), {"weak spark": 1.0}))[0])
        for at in (Rung.QUARTER, Rung.FULL)
    ]
    assert clean[1] < 0.4 * clean[0]
    assert left(Rung.SHUT, 0.25) < left(Rung.SHUT, 0.0)


def test_the_words_of_every_ailment_are_all_its_words() -> None:
    """Each ailment's words add to one, and its share stays a share at every rung and mixture."""
    for telling in behaviour.AILING.values():
        assert sum(telling.words.values()) == pytest.approx(1.0, abs=1e-12)
        assert max(telling.by_rung) == 1.0
        assert telling.by_rung[0] + telling.rich_idle <= 1.0


def test_extra_air_makes_the_revs_hang() -> None:
    """More air than the stop lets in makes hanging revs likelier at idle, whatever the mixture."""
    for error in (-0.3, -0.1, 0.0, 0.1):
        plain, leaking = (
            behaviour.log_likelihood(said("hangs", Rung.SHUT), scene(error, extra_air=air))[0]
            for air in (0.0, 0.5)
        )
        assert leaking > plain


def test_extra_air_says_nothing_above_idle() -> None:
    """Story: revs hung at 1/4 as well, if something had been said at shut in the same trial, so that the
    chance of a word at 1/4 hung by up to 4 in the hundred on what else was said; air at idle belongs to shut.
    """
    for did in ON_A_RUNG:
        plain, leaking = (
            behaviour.log_likelihood(said(did, Rung.QUARTER), scene(0.0, extra_air=air))[0]
            for air in (-1.0, 0.5)
        )
        assert plain == leaking


def test_a_cold_engine_and_a_snap_feel_short() -> None:
    """The same error gives more words of shortage cold than hot, and on a snap than at a steady hand."""
    hot = replace(said("bogs", Rung.QUARTER), how="steady")
    for shorter in (replace(hot, engine="cold"), replace(hot, how="snap")):
        seen = scene(-0.03)
        assert behaviour.log_likelihood(shorter, seen)[0] > behaviour.log_likelihood(hot, seen)[0]


def test_a_word_said_again_is_one_word_made_surer() -> None:
    """Three times the same word tells more than once, and less than two words would."""
    seen = along(np.array([-0.15, 0.0]))
    once, thrice = (behaviour.log_likelihood(said("bogs", Rung.QUARTER), seen, times=n) for n in (1, 3))
    odds_once, odds_thrice = once[0] - once[1], thrice[0] - thrice[1]
    assert odds_once < odds_thrice < 2.0 * odds_once


def test_what_happened_once_tells_less() -> None:
    """The odds from a thing that happened once are nearer to even than from one that happens every time."""
    seen = along(np.array([-0.15, 0.0]))
    for did in ("bogs", "clean", "flat"):
        always, once = (
            np.diff(behaviour.log_likelihood(replace(said(did), often=often), seen))[0]
            for often in ("every time", "once")
        )
        assert abs(once) < abs(always)


def no_slip(remark: Remark, seen: Seen) -> float:
    """Give the chance of a remark that is neither wrong nor of another opening."""
    wrong = behaviour.share_wrong(remark)
    known = np.exp(behaviour.log_likelihood(remark, seen)[0])
    return float((known - wrong / len(ON_A_RUNG)) / (1.0 - wrong))


def test_an_opening_not_known_is_any_of_the_six() -> None:
    """With the opening not known the chance of what is no slip is the mean of the six rungs' chances."""
    seen = scene(np.array([0.0, -0.1, -0.2, 0.1, 0.2, 0.3]))
    for did in ("bogs", "thick", "pings", "hangs"):
        rungs = [no_slip(said(did, at), seen) for at in RUNGS]
        blind = no_slip(said(did, None), seen)
        assert blind == pytest.approx(np.mean(rungs), rel=1e-12)


@pytest.mark.parametrize("at", RUNGS)
def test_one_remark_cannot_decide(at: Rung) -> None:
    """A remark made every time shifts the odds of two bikes by at most 110 to 1, one made once by 37 to 1.

    The least chance of a word is its share among the wrong ones, 0.10 or 0.30 of an eleventh; the most is 1.
    """
    seen = along(np.linspace(-2.0, 2.0, 401), extra_air=0.5)
    for did in ON_A_RUNG:
        for often, most in (("every time", 110.0), ("once", 11.0 / 0.30)):
            known = behaviour.log_likelihood(replace(said(did, at), often=often), seen)  # type: ignore[arg-type]
            assert np.ptp(known) <= np.log(most)


def test_the_chance_of_a_slip_is_bayes() -> None:
    """The chance of a slip is its share over all the chance of the word; high for thick on a short bike."""
    remark = said("thick")
    seen = along(np.array([-0.2, 0.2]))
    slip = behaviour.chance_wrong(remark, seen)
    wrong = behaviour.share_wrong(remark)
    assert wrong == pytest.approx(0.10 + 0.05 * 0.90)
    assert slip == pytest.approx(wrong / 11.0 / np.exp(behaviour.log_likelihood(remark, seen)))
    assert slip[0] > 0.5
    assert slip[1] < 0.05
