"""Snaps of the throttle in the scenes of a stage."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from floatbowl.belief.scene import Stage
from floatbowl.bike.rung import RUNGS
from tests.flow.bikes import MILD, ORDINARY, SIZES, bike_of

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

DRAWS = 300
EVERY = tuple(range(len(RUNGS)))


@pytest.fixture(scope="module", params=[4, 11], ids=["four-stroke", "two-stroke"])
def stage(request: pytest.FixtureRequest) -> Stage:
    """Give the stage of an ordinary bike."""
    return Stage.of(bike_of(SIZES[request.param]), ORDINARY, ran_on=MILD)


def crowd(stage: Stage, rng: np.random.Generator) -> tuple[Array, Whole]:
    """Give likely bikes, every third with one fault."""
    fault = np.full((DRAWS, 2), -1)
    fault[::3, 0] = rng.integers(0, len(stage.faults), DRAWS // 3)
    return rng.standard_normal((DRAWS, stage.places.size)), fault


def test_only_what_was_snapped_differs_from_holding(stage: Stage, rng: np.random.Generator) -> None:
    """At rungs not snapped from, and at full, the felt error is the error; no number is missing."""
    z, fault = crowd(stage, rng)
    seen = stage.seen(ORDINARY, MILD, z, fault, snaps=(1, 5))
    assert seen.snap is not None
    others = [place for place in EVERY if place != 1]
    np.testing.assert_array_equal(seen.snap[:, others], seen.error[:, others])
    assert np.isfinite(seen.snap).all()
    assert (seen.snap[:, 1] != seen.error[:, 1]).any()


def test_nothing_is_worked_out_unasked(stage: Stage, rng: np.random.Generator) -> None:
    """Without a snap there is no felt error, and with one the rest of the scene stays as it was."""
    z, fault = crowd(stage, rng)
    plain = stage.seen(ORDINARY, MILD, z, fault, rungs=(1, 2))
    snapped = stage.seen(ORDINARY, MILD, z, fault, rungs=(1, 2), snaps=(1,))
    assert plain.snap is None
    np.testing.assert_array_equal(plain.error, snapped.error)
    np.testing.assert_array_equal(plain.lam, snapped.lam)


def test_a_glimpse_of_a_snap_is_near_the_sight_of_it(stage: Stage, rng: np.random.Generator) -> None:
    """Looked up, the felt error of half the crowd is within 0.03 of that worked out, at every rung."""
    z, fault = crowd(stage, rng)
    seen = stage.seen(ORDINARY, MILD, z, fault, snaps=EVERY).snap
    glimpse = stage.glimpse(ORDINARY, MILD, z, fault, snaps=EVERY).snap
    assert seen is not None
    assert glimpse is not None
    assert np.isfinite(glimpse).all()
    assert np.median(np.abs(glimpse - seen), axis=0).max() < 0.03


def test_a_larger_main_is_never_felt_leaner_on_a_snap(stage: Stage, rng: np.random.Generator) -> None:
    """The same bikes with a larger main jet feel as rich or richer, snapped from any rung."""
    z, fault = crowd(stage, rng)
    small, large = (
        stage.seen(replace(ORDINARY, main=main), MILD, z, fault, snaps=EVERY).snap for main in ("110", "125")
    )
    assert small is not None
    assert large is not None
    assert (large >= small - 1e-6).all()


def test_a_sound_crowd_mostly_takes_a_snap(stage: Stage, rng: np.random.Generator) -> None:
    """From a quarter up, eight of ten sound bikes feel a snap within 0.02 of holding."""
    z, _ = crowd(stage, rng)
    sound = np.full((DRAWS, 2), -1)
    seen = stage.seen(ORDINARY, MILD, z, sound, snaps=EVERY)
    assert seen.snap is not None
    near = np.abs(seen.snap - seen.error) < 0.02
    assert near[:, 2:].mean(axis=0).min() > 0.8
