"""A scene: the air table stands for the engine, faults at their worst included; what having run tells."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.scene import ANY_SETUP, Stage, _off_as_found
from floatbowl.bike.rung import RUNGS
from floatbowl.flow.breath import breathe
from floatbowl.flow.mixture import mixture
from tests.belief.simulated import SOUND, Ground, demo_bike

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

BIKES = ("magpie", "thistle", "otter")


@cache
def stage_of(name: str, *, ran: bool = True) -> tuple[Ground, Stage]:
    """Give a bike of the demo and its stage, known to have been ridden or not."""
    ground = demo_bike(name)
    return ground, Stage.of(ground.bike, ground.setup, ran_on=ground.day if ran else None)


def one_each(kinds: Whole) -> Whole:
    """Give slots that hold one fault each, or none, (draw, 2)."""
    return np.stack([kinds, np.full(len(kinds), -1)], axis=1)


def gap(name: str, z: np.ndarray, fault: np.ndarray) -> np.ndarray:
    """Give how far lambda from the air table lies from a direct run of the engine, in ln, (draw, rung)."""
    ground, stage = stage_of(name, ran=False)
    p = stage.parameters(ground.setup, ground.day, z, fault)
    direct = mixture(p, stage.grid, breath=breathe(p, stage.grid)).lam[:, :, 0]
    table = mixture(p, stage.grid, breath=stage.air(ground.day).at(p)).lam[:, :, 0]
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(np.clip(table, 0.2, 6.0)) - np.log(np.clip(direct, 0.2, 6.0)))


@pytest.mark.parametrize("name", BIKES)
def test_the_air_table_stands_for_the_engine(name: str, rng: Generator) -> None:
    """For sound bikes lambda from the table is within 3 in the hundred (rms) of a direct run at every rung.

    The model error that we allow is 6 in the hundred: this widens it to 6.7 at most. Measured, 100 bikes of
    each: 2.4 at 1/2 on the Thistle, 2.1 or less elsewhere.
    """
    _, stage = stage_of(name, ran=False)
    off = gap(name, rng.standard_normal((40, stage.places.size)), np.tile(SOUND, (40, 1)))
    rms = np.sqrt((off**2).mean(axis=0))
    assert (rms < 0.03).all(), rms


@pytest.mark.parametrize("name", BIKES)
def test_the_air_table_holds_broken_bikes(name: str, rng: Generator) -> None:
    """With every fault, mild to bad, the table is within 4 in the hundred in 8 of 10 cases at each rung.

    Sound bikes that are within 3 (rms) have 8 of 10 within 3.8.
    """
    _, stage = stage_of(name, ran=False)
    kinds = np.repeat(np.arange(len(stage.faults)), 4)
    off = gap(name, rng.standard_normal((len(kinds), stage.places.size)), one_each(kinds))
    assert (np.quantile(np.abs(off), 0.8, axis=0) < 0.04).all(), np.quantile(np.abs(off), 0.8, axis=0)


@pytest.mark.parametrize("name", BIKES)
def test_some_rungs_alone_are_as_in_the_whole(name: str, rng: Generator) -> None:
    """A scene worked out at some rungs gives there what the whole gives, the rest is nan."""
    ground, stage = stage_of(name)
    z, fault = rng.standard_normal((8, stage.places.size)), one_each(np.array([-1, 0, 1, 2, 3, 4, 5, 6]))
    whole = stage.seen(ground.setup, ground.day, z, fault)
    part = stage.seen(ground.setup, ground.day, z, fault, rungs=(0, 3))
    assert part.error[:, [0, 3]] == pytest.approx(whole.error[:, [0, 3]], rel=1e-9)
    assert np.isnan(part.error[:, [1, 2, 4, 5]]).all()
    assert part.extra_air == pytest.approx(whole.extra_air)


@pytest.mark.parametrize("name", BIKES)
def test_bikes_do_not_feel_each_other(name: str, rng: Generator) -> None:
    """A draw's scene does not depend on which others are worked out with it."""
    ground, stage = stage_of(name)
    z, fault = rng.standard_normal((6, stage.places.size)), one_each(np.array([-1, 5, 0, -1, 2, 9]))
    together = stage.seen(ground.setup, ground.day, z, fault).error
    apart = [stage.seen(ground.setup, ground.day, z[k : k + 1], fault[k : k + 1]).error[0] for k in range(6)]
    assert together == pytest.approx(np.array(apart), rel=1e-9)


def test_the_air_does_not_feel_the_setup() -> None:
    """The air table is made with a setup of nobody: the idle stop and all air are the same in any setup."""
    ground, stage = stage_of("otter")
    zeros = np.zeros((1, stage.places.size))
    one, other = (
        stage.parameters(setup, ground.day, zeros, SOUND[None, :]) for setup in (ground.setup, ANY_SETUP)
    )
    assert float(np.ravel(one.idle_lift)[0]) == pytest.approx(float(np.ravel(other.idle_lift)[0]), rel=1e-6)
    assert breathe(one, stage.grid).air == pytest.approx(breathe(other, stage.grid).air, rel=1e-6)


def test_a_leak_and_a_hanging_slide_are_seen_as_air() -> None:
    """A leak and a slide that hangs, both of middling size, let in over a tenth more air at idle."""
    for name in BIKES:
        ground, stage = stage_of(name, ran=False)
        keys = [fault.key for fault in stage.faults]
        kinds = one_each(np.array([-1, keys.index("air leak"), keys.index("slide hangs open")]))
        air = stage.seen(ground.setup, ground.day, np.zeros((3, stage.places.size)), kinds).extra_air
        assert air[0] == pytest.approx(0.0, abs=0.02)
        assert (air[1:] > 0.1).all()


def test_another_speed_tilts_the_model_error_only() -> None:
    """A reading at twice the line's speed feels the tilt of the model error, and nothing without tilt."""
    ground, stage = stage_of("magpie", ran=False)
    z = np.zeros((2, stage.places.size))
    z[1, stage.places.tilt] = 1.0
    rpm = 2.0 * float(stage.grid.rpm[5, 0])
    fault = np.tile(SOUND, (2, 1))
    line = stage.seen(ground.setup, ground.day, z, fault, rungs=(5,))
    fast = stage.seen(ground.setup, ground.day, z, fault, rungs=(5,), rpm={5: rpm})
    moved = fast.error_at(RUNGS[5]) - line.error_at(RUNGS[5])
    assert moved == pytest.approx(np.array([0.0, 0.05 * np.log(2.0)]))


@pytest.mark.parametrize("name", BIKES)
def test_two_faults_do_what_both_do(name: str) -> None:
    """Both jets blocked: far less at idle and at full, whichever slot each stands in."""
    ground, stage = stage_of(name)
    keys = [fault.key for fault in stage.faults]
    pilot, main = keys.index("pilot jet blocked"), keys.index("main jet blocked")
    fault = np.array([[-1, -1], [pilot, main], [main, pilot]])
    error = stage.seen(ground.setup, ground.day, np.zeros((3, stage.places.size)), fault).error
    assert error[1] == pytest.approx(error[2])
    assert (error[1, [0, -1]] < error[0, [0, -1]] - 0.1).all()


def spread_of_error(stage: Stage, ground: Ground, rng: Generator, *, draws: int = 1500) -> Array:
    """Give the errors (draw, rung) of sound bikes in the setup the bike was first ridden in."""
    z = rng.standard_normal((draws, stage.places.size))
    return stage.glimpse(ground.setup, ground.day, z, np.tile(SOUND, (draws, 1))).error


@pytest.mark.parametrize("name", BIKES)
@pytest.mark.parametrize("story", ["", "fresh replacement"])
def test_a_bike_that_ran_is_not_far_off(name: str, story: str, rng: Generator) -> None:
    """Having run narrows the errors as a weak reading of all rungs would, by the normal law, within a fifth.

    But for what is not straight in the unknowns.
    """
    ground = demo_bike(name)
    bike = replace(ground.bike, story=frozenset({story} - {""}))
    unridden, stage = (Stage.of(bike, ground.setup, ran_on=day) for day in (None, ground.day))
    free, ran = (spread_of_error(one, ground, rng) for one in (unridden, stage))
    weak = _off_as_found(unridden, ground.setup, ground.day)
    exact = np.sqrt(np.diag(np.linalg.inv(np.linalg.inv(np.cov(free.T)) + np.linalg.inv(weak))))
    spread = ran.std(axis=0)
    assert spread == pytest.approx(exact, rel=0.2)
    assert (spread < np.minimum(free.std(axis=0), np.sqrt(np.diag(weak)))).all()


@pytest.mark.parametrize("name", BIKES)
def test_a_fresh_replacement_may_be_further_off(name: str) -> None:
    """A carburettor never matched may be further off at every rung, and rungs one jet rules hang together."""
    ground = demo_bike(name)
    stages = [
        Stage.of(replace(ground.bike, story=frozenset(story)), ground.setup)
        for story in ((), ("fresh replacement",))
    ]
    known, fresh = (_off_as_found(stage, ground.setup, ground.day) for stage in stages)
    assert (np.diag(fresh) > np.diag(known)).all()
    assert known[4, 5] / np.sqrt(known[4, 4] * known[5, 5]) > 0.5


@pytest.mark.parametrize("name", BIKES)
def test_a_bike_that_ran_is_nearer_right(name: str) -> None:
    """Of a bike that ran the middle is nearer right at its worst rung than by its measures alone."""
    ground, stage = stage_of(name)
    _, unridden = stage_of(name, ran=False)
    free, ran = (
        np.abs(one.seen(ground.setup, ground.day, np.zeros((1, one.places.size)), SOUND[None, :]).error[0])
        for one in (unridden, stage)
    )
    assert ran.max() < 0.7 * free.max()


@pytest.mark.parametrize("name", BIKES)
def test_having_run_leaves_the_rows_whole(name: str, rng: Generator) -> None:
    """How bad a fault is and the tilt stay as they were; no unknown spreads wider than before."""
    _, stage = stage_of(name)
    z = rng.standard_normal((500, stage.places.size))
    row = stage.ran.row(z)
    untouched = [*range(stage.places.size)[stage.places.severity], stage.places.tilt]
    assert row[:, untouched] == pytest.approx(z[:, untouched], abs=1e-12)
    middle, spread = stage.ran.middle_and_spread()
    assert (spread <= 1.0 + 1e-12).all()
    assert (spread > 0.1).all()
    assert row.mean(axis=0) == pytest.approx(middle, abs=4.0 / np.sqrt(500.0))
    assert row.std(axis=0) == pytest.approx(spread, rel=4.0 / np.sqrt(1000.0))


def test_what_was_never_ridden_keeps_its_rows(rng: Generator) -> None:
    """Of a bike that was never ridden the rows are the standard normal numbers themselves."""
    _, stage = stage_of("otter", ran=False)
    z = rng.standard_normal((5, stage.places.size))
    assert (stage.ran.row(z) == z).all()


def test_a_stage_serves_its_own_bike_alone() -> None:
    """It serves the setup and the day it was set for; not another first setup, day, or a stamp unread."""
    ground, stage = stage_of("otter")
    first, day = ground.setup, ground.day
    bigger, unread = replace(first, main="165"), replace(first, main="?")
    assert stage.serves(first, day, (first, bigger))
    assert not stage.serves(bigger, day, (first,))
    assert not stage.serves(first, replace(day, date="another"), (first,))
    assert not stage.serves(first, day, (first, unread))
