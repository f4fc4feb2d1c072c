"""Roll-ons held against each other: seldom a claim where nothing differs, mostly one where 3 per cent do."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator
from scipy import stats

from benchmarks.roll_ons import a_run, an_evening, shares, two_setups
from floatbowl.signs.lambda_log.samples import Samples
from floatbowl.signs.roll_on_runs import (
    Run,
    Timed,
    below,
    compare,
    compare_pairs,
    pull_by_speed,
    run_of,
    seconds_between,
)
from floatbowl.signs.trial import Way

THERE_AND_BACK: tuple[Way, ...] = ("there", "back", "there", "back")


@pytest.mark.parametrize("free", [1.0, 2.0, 3.5, 6.0, 40.0, 400.0])
def test_students_law_agrees_with_a_library(free: float) -> None:
    """The share below agrees with the library's to 1e-10, for whole and broken degrees of freedom."""
    for t in np.linspace(-8.0, 8.0, 33):
        assert below(float(t), free) == pytest.approx(stats.t.cdf(t, free), abs=1e-10)


def _bells(rng: Generator, difference: float, *, scatter: float = 0.01) -> tuple[Timed, Timed]:
    def runs(gain: float) -> Timed:
        sway = np.array([0.05, -0.05, 0.05, -0.05])
        log = np.log(4.0) - gain + sway + scatter * rng.standard_normal(4)
        return Timed(tuple(np.exp(log).tolist()), THERE_AND_BACK, by="trace")

    return runs(0.0), runs(difference)


@pytest.mark.calibration
@pytest.mark.parametrize("scatter", [0.006, 0.015, 0.04])
def test_without_a_difference_a_claim_is_rare(scatter: float, rng: Generator) -> None:
    """At no difference a claim is made in at most 5 of 100, whatever the runs scatter by.

    4000 tries scatter a share of 0.05 by 0.0034: four of these are let pass.
    """
    claims = 0
    for _ in range(4000):
        before, after = _bells(rng, 0.0, scatter=scatter)
        found = compare([before], [after])
        claims += found is not None and found.verdict != "cannot tell"
    assert claims / 4000 <= 0.05 + 4.0 * 0.0034


@pytest.mark.calibration
def test_counting_each_run_twice_is_caught(rng: Generator) -> None:
    """Control: with every run written down twice, far more than 5 in 100 would claim."""
    claims = 0
    for _ in range(500):
        before, after = (
            replace(one, seconds=one.seconds * 2, ways=one.ways * 2) for one in _bells(rng, 0.0, scatter=0.02)
        )
        found = compare([before], [after])
        claims += found is not None and found.verdict != "cannot tell"
    assert claims / 500 > 0.08


@pytest.mark.slow
@pytest.mark.calibration
def test_on_a_made_lane_three_per_cent_is_told_and_nothing_is_not() -> None:
    """Ridden by the law of motion, four runs each: 3 per cent told right in 80 of 100, claims of nothing in
    5 of 100; sixty evenings scatter the shares by 0.03 and 0.05, and twice that is let pass.
    """
    nothing = shares(60, 11, difference=0.0)
    assert nothing["faster"] + nothing["slower"] <= 0.05 + 0.06
    assert shares(60, 12, difference=0.03)["faster"] >= 0.80


def test_the_pull_that_is_told_is_the_pull_that_was_put_in(rng: Generator) -> None:
    """A tenth more pull on a made lane is told as 0.07 to 0.13: the road's share is only roughly known."""
    found = two_setups(0.10, rng, runs=6)
    assert found.verdict == "faster"
    assert 0.07 < found.pull < 0.13


def test_ways_are_taken_out(rng: Generator) -> None:
    """A slope of 5 per cent hides a difference of 3, unless the runs say which way they went."""
    before, after = _bells(rng, 0.03, scatter=0.004)
    told, blind = compare([before], [after]), compare([replace(before, ways=())], [replace(after, ways=())])
    assert told is not None
    assert blind is not None
    assert told.verdict == "faster"
    assert blind.verdict == "cannot tell"
    assert blind.spread > 3.0 * told.spread


def test_another_day_makes_it_less_sure(rng: Generator) -> None:
    """The same runs on two days are surer of nothing below the day's own spread."""
    before, after = _bells(rng, 0.03, scatter=0.004)
    other = compare([before], [replace(after, day="2026-11-13")])
    assert other is not None
    assert other.spread > 0.02
    assert other.verdict == "cannot tell"


def test_thin_air_is_allowed_for(rng: Generator) -> None:
    """Runs slower by what the air takes from the pull are no slower: the correction gives it back."""
    before, after = _bells(rng, 0.0, scatter=0.004)
    slower = tuple(second * 1.10 ** (1.0 / 0.75) for second in after.seconds)
    found = compare([before], [replace(after, seconds=slower, air=1.10, day="other")])
    assert found is not None
    assert abs(found.gain) < 0.02
    assert found.verdict == "cannot tell"


def test_a_watch_is_never_surer_than_a_thumb() -> None:
    """Story: runs of 3.9, 3.9, 3.9 against 3.8, 3.8, 3.8 scatter by nothing; a claim of 2.6 per cent would
    rest on a tenth of a second. The thumb's own scatter stands in for it.
    """
    found = compare([Timed((3.9, 3.9, 3.9))], [Timed((3.8, 3.8, 3.8))])
    assert found is not None
    assert found.verdict == "cannot tell"


@pytest.mark.parametrize(("before", "after"), [((3.9,), (3.8,)), ((), (3.8, 3.9)), ((3.9,), ())])
def test_too_few_runs_say_nothing(before: tuple[float, ...], after: tuple[float, ...]) -> None:
    """One run of each, or none of one, is no comparison."""
    assert compare([Timed(before)], [Timed(after)]) is None


def test_pairs_let_an_evenings_drift_fall_out(rng: Generator) -> None:
    """An engine that loses 2 per cent a run hides 3 per cent unpaired, and not in pairs."""
    drift = np.exp(0.02 * np.arange(5) + 0.002 * rng.standard_normal(5))
    before, after = Timed(tuple(4.0 * drift), by="trace"), Timed(tuple(4.0 * drift * 0.97), by="trace")
    paired, plain = compare_pairs(before, after), compare([before], [after])
    assert paired is not None
    assert plain is not None
    assert (paired.verdict, plain.verdict) == ("faster", "cannot tell")
    assert compare_pairs(Timed((3.9,)), Timed((3.8,))) is None


def _ramp(seconds: float, noise: float, rng: Generator) -> Run:
    """Give a run that gains evenly from 4000 to 8000 rpm."""
    time = np.arange(0.0, seconds, 0.05)
    rpm = 4000.0 + 4000.0 * time / seconds
    return Run(time, rpm * np.exp(noise * rng.standard_normal(len(time))), np.full(len(time), noise))


def test_a_trace_gives_its_time_and_how_surely(rng: Generator) -> None:
    """Half of an even gain over 4 s takes 2 s: thirty noisy traces scatter as they say, to a half."""
    found = [seconds_between(_ramp(4.0, 0.01, rng), 5000.0, 7000.0) for _ in range(30)]
    took = np.array([one[0] for one in found if one is not None])
    told = float(np.mean([one[1] for one in found if one is not None]))
    assert len(took) == 30
    assert took.mean() == pytest.approx(2.0, abs=0.03)
    assert took.std() == pytest.approx(told, rel=0.5)


def test_a_run_that_does_not_go_so_far_gives_no_time(rng: Generator) -> None:
    """Below its first and above its last engine speed a run says nothing."""
    run = _ramp(4.0, 0.003, rng)
    assert seconds_between(run, 5000.0, 9000.0) is None
    assert seconds_between(run, 3000.0, 7000.0) is None


def test_pull_by_speed_is_the_gain_of_speed(rng: Generator) -> None:
    """An even gain of 1000 rpm a second is that in every band, to a tenth, and nan beyond the run."""
    pull = pull_by_speed(_ramp(4.0, 0.003, rng), [4500.0, 5500.0, 6500.0, 7500.0, 9500.0])
    assert pull[:3] == pytest.approx(1000.0, rel=0.1)
    assert np.isnan(pull[3])


def test_a_log_of_a_run_is_a_run(rng: Generator) -> None:
    """From a log's rows a run is taken with its jitter, told from row to row, to a third."""
    ridden = a_run(an_evening(rng), "there", 1.0, rng)
    found = run_of(Samples(time=ridden.time, rpm=ridden.rpm))
    assert found is not None
    assert float(found.spread[0]) == pytest.approx(0.007, rel=0.35)
    assert run_of(Samples(time=ridden.time)) is None
