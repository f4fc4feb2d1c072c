"""What a log comes to, against the truth it was made from; every row accounted for."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator

from benchmarks.made_logs import Probe, made, true_lambda
from floatbowl.bike.rung import Rung
from floatbowl.signs.lambda_log.bins import Came, tally
from floatbowl.signs.lambda_log.look import look
from floatbowl.signs.lambda_log.samples import Samples
from floatbowl.signs.lambda_log.sort import Held, Reason
from tests.signs.lambda_log.made import samples


def came_of(whole: Samples, **more: object) -> Came:
    """Give what samples come to, all in one piece."""
    return tally([whole], look([whole]), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(("dead", "lag", "bias"), [(0.2, 0.05, 0.0), (0.6, 0.15, 0.03), (1.2, 0.4, -0.03)])
def test_lambda_is_found_within_a_hundredth(dead: float, lag: float, bias: float, rng: Generator) -> None:
    """Every place of a ten minute log lies within 0.01 of the truth, but for the probe's own bias."""
    whole = samples(made(Probe(dead=dead, lag=lag, noise=0.015, bias=bias), rng, seconds=600.0))
    came = came_of(whole)
    assert {one.at for one in came.places} == set(Rung)
    for one in came.places:
        assert one.rpm is not None
        truth = true_lambda(one.at.opening, one.rpm) * (1.0 + bias)
        assert one.lam == pytest.approx(float(truth), abs=0.01)


def test_a_wrong_delay_spoils_it(rng: Generator) -> None:
    """Control: with a dead time four seconds too long, some place is off by more than a hundredth."""
    whole = samples(made(Probe(dead=1.2, lag=0.4, noise=0.015), rng, seconds=600.0))
    known = look([whole])
    wrong = replace(known, delay=replace(known.delay, dead=known.delay.dead + 4.0))
    assert furthest_off(tally([whole], wrong)) > 0.01 > furthest_off(tally([whole], known))


def furthest_off(came: Came) -> float:
    """Give how far the worst place lies from the truth."""
    return max(abs(one.lam - float(true_lambda(one.at.opening, one.rpm or 1.0))) for one in came.places)


def test_every_row_is_used_or_has_a_reason(rng: Generator) -> None:
    """Rows used and rows set aside add up to all rows of the log."""
    whole = samples(made(Probe(dead=0.6, lag=0.15), rng))
    came = came_of(whole)
    assert came.used + sum(came.aside.values()) == came.rows == len(whole)


def test_pieces_come_to_what_the_whole_does(rng: Generator) -> None:
    """Gone through in pieces of fifty seconds, a log comes to the same within a window or two."""
    whole = samples(made(Probe(dead=0.6, lag=0.15), rng, seconds=400.0))
    known = look([whole])
    at_once = tally([whole], known)
    by_pieces = tally([whole.part(k, k + 1000) for k in range(0, len(whole), 1000)], known)
    assert by_pieces.rows == at_once.rows
    assert abs(by_pieces.used - at_once.used) < 0.01 * at_once.rows
    for one, other in zip(at_once.places, by_pieces.places, strict=True):
        assert other.lam == pytest.approx(one.lam, abs=0.002)


def _spoiled(rng: Generator, reason: Reason) -> Samples:
    """Give a log in which a stretch of a hundred seconds is spoiled in one way."""
    whole = samples(made(Probe(dead=0.6, lag=0.15), rng, seconds=400.0))
    bad = (whole.time >= 100.0) & (whole.time < 200.0)
    early = whole.time < 100.0
    lam, rpm = np.asarray(whole.lam), np.asarray(whole.rpm)
    spikes = bad & (np.arange(len(lam)) % 50 == 0)
    shaken = lam + np.where(bad, 0.12 * np.sin(whole.time * 9.0), 0.0)
    spoiled = {
        "no number": replace(whole, lam=np.where(bad, np.nan, lam)),
        "end of the scale": replace(whole, lam=np.where(bad, 1.36, lam)),
        "engine cold": replace(whole, warmth=np.where(early, 300.0, 355.0)),
        "not running": replace(whole, rpm=np.where(bad, 0.0, rpm)),
        "probe waking": replace(whole, lam=np.where(early, 1.0, lam)),
        "jump": replace(whole, lam=lam + np.where(spikes, 0.4, 0.0)),
        "unsteady": replace(whole, lam=shaken),
    }
    return spoiled[reason]


@pytest.mark.parametrize(
    ("reason", "least"),
    [
        ("no number", 1900),
        ("end of the scale", 1900),
        ("engine cold", 1900),
        ("not running", 1900),
        ("probe waking", 1900),
        ("jump", 30),
        ("unsteady", 150),
    ],
)
def test_what_spoils_a_row_is_named(reason: Reason, least: int, rng: Generator) -> None:
    """A hundred seconds spoiled in one way are set aside for that reason, and the rest comes to the truth."""
    came = came_of(_spoiled(rng, reason))
    assert came.aside[reason] >= least
    for one in came.places:
        assert one.lam == pytest.approx(float(true_lambda(one.at.opening, one.rpm or 1.0)), abs=0.012)


def test_overrun_is_set_aside(rng: Generator) -> None:
    """Throttle shut at high speed, fuel-free air at the probe: named, and the idle is not touched by it."""
    whole = samples(made(Probe(dead=0.3, lag=0.05), rng, seconds=400.0))
    throttle, rpm = np.asarray(whole.throttle), np.asarray(whole.rpm)
    driven = (throttle < 0.04) & (rpm > 3000.0)
    late = np.interp(whole.time - 0.3, whole.time, driven.astype(np.float64)) > 0.5
    came = came_of(replace(whole, lam=np.where(late, 1.6, np.asarray(whole.lam))))
    assert came.aside["overrun"] > 50
    idle = next(one for one in came.places if one.at is Rung.SHUT)
    assert idle.lam == pytest.approx(float(true_lambda(0.0, idle.rpm or 1.0)), abs=0.012)


def test_without_a_throttle_the_riders_marks_name_the_rung(rng: Generator) -> None:
    """A log without throttle tells nothing of itself, and with a mark the rung that was held."""
    time = np.arange(0.0, 60.0, 0.05)
    lam = 0.9 + 0.05 * (time > 30.0) + 0.01 * rng.standard_normal(len(time))
    whole = Samples(time=time, lam=lam, rpm=np.full(len(time), 5000.0))
    assert came_of(whole).places == ()
    assert came_of(whole).aside["no opening known"] > 1000
    places = came_of(whole, held=[Held(Rung.HALF, 40.0, 55.0)]).places
    assert [one.at for one in places] == [Rung.HALF]
    assert places[0].lam == pytest.approx(0.95, abs=0.005)


def test_more_rows_of_one_hold_are_no_more_windows() -> None:
    """Ten times as many rows a second make a place about as sure, not three times as sure."""
    slow, quick = (spreads_at(rate) for rate in (10.0, 100.0))
    both = set(slow) & set(quick)
    assert len(both) >= 4
    assert 0.5 < np.mean([quick[key] / slow[key] for key in both]) < 1.5


def spreads_at(rate: float) -> dict[tuple[Rung, int], float]:
    """Give how sure each place of one made ride is, written so many times a second."""
    log = made(Probe(dead=0.3, lag=0.1, rate=rate), np.random.default_rng(5), seconds=200.0)
    return {(one.at, round((one.rpm or 0.0) / 2000.0)): one.spread for one in came_of(samples(log)).places}
