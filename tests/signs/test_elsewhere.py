"""What it does away from any opening: drawn as believed, and pointing the known way."""

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.signs import elsewhere
from floatbowl.signs.trial import Behaviour, Remark
from tests.signs.scenes import scene, too_far

DRAWS = 20_000


@pytest.mark.calibration
@pytest.mark.parametrize("did", elsewhere.ELSEWHERE)
@pytest.mark.parametrize("error", [-0.4, -0.15, 0.0, 0.2])
@pytest.mark.parametrize("level_drop", [-0.008, 0.0])
def test_it_is_told_as_often_as_believed(
    did: Behaviour, error: float, level_drop: float, rng: Generator
) -> None:
    """Hard starts, drips and fouled plugs are drawn with the believed frequency."""
    remark = Remark(entry="ride-1", did=did)
    told = elsewhere.draw(remark, scene(error, draws=DRAWS, level_drop=level_drop), rng)
    share = float(np.exp(elsewhere.log_likelihood(remark, scene(error, level_drop=level_drop))[0]))
    counts = np.array([told.sum(), (~told).sum()])
    assert not too_far(counts, np.array([share, 1.0 - share])).any()


@pytest.mark.calibration
def test_a_share_counted_twice_is_caught(rng: Generator) -> None:
    """Control: the drawn frequency does not agree with the square of what is believed."""
    remark = Remark(entry="ride-1", did="drips")
    told = elsewhere.draw(remark, scene(0.0, draws=DRAWS, level_drop=-0.008), rng)
    share = float(np.exp(2.0 * elsewhere.log_likelihood(remark, scene(0.0, level_drop=-0.008))[0]))
    assert too_far(np.array([told.sum(), (~told).sum()]), np.array([share, 1.0 - share])).all()


def odds(did: Behaviour, of: dict[str, float], over: dict[str, float]) -> float:
    """Give the logarithm of the odds by which a remark speaks for one scene over another."""
    remark = Remark(entry="ride-1", did=did)
    one, other = (scene(s.get("error", 0.0), level_drop=s.get("level_drop", 0.0)) for s in (of, over))
    return float((elsewhere.log_likelihood(remark, one) - elsewhere.log_likelihood(remark, other))[0])


def test_a_drip_speaks_for_a_high_level() -> None:
    """A drip speaks for fuel that stands high, and not for a mixture."""
    assert odds("drips", {"level_drop": -0.008}, {}) > 1.0
    assert odds("drips", {"error": 0.3}, {}) == 0.0


def test_fouled_plugs_speak_for_too_much_low_down() -> None:
    """Fouled plugs speak for too much fuel at small openings; what happens at full does not matter."""
    assert odds("fouls", {"error": 0.3}, {"error": -0.3}) > 1.0
    remark = Remark(entry="ride-1", did="fouls")
    high = np.array([0.0, 0.0, 0.0, 0.4, 0.4, 0.4])
    assert elsewhere.log_likelihood(remark, scene(high)) == elsewhere.log_likelihood(remark, scene(0.0))


def test_a_hard_start_speaks_for_short_at_idle() -> None:
    """A hard start speaks for too little fuel at idle."""
    assert odds("hard start", {"error": -0.4}, {"error": 0.0}) > 1.0


@pytest.mark.parametrize("did", elsewhere.ELSEWHERE)
def test_one_telling_cannot_decide(did: Behaviour) -> None:
    """A thing told away from any rung shifts the odds by at most 10 to 1: 0.60 with cause, 0.06 without."""
    for error in (-3.0, 3.0):
        for drop in (-0.02, 0.02):
            shift = odds(did, {"error": error, "level_drop": drop}, {"error": -error, "level_drop": -drop})
            assert abs(shift) <= np.log(10.0) + 1e-9
