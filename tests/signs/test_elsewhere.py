"""What it does away from any opening: drawn as believed, and pointing the known way."""

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.bike.faults import Ailment
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs import elsewhere
from floatbowl.signs.seen import Seen
from floatbowl.signs.trial import Behaviour, Often, Remark, Warmth
from tests.signs.scenes import ailing, scene, starving, too_far

DRAWS = 20_000


@pytest.mark.calibration
@pytest.mark.parametrize("did", elsewhere.ELSEWHERE)
@pytest.mark.parametrize(("error", "level_drop"), [(-0.4, 0.0), (0.0, -0.005), (0.2, -0.008)])
@pytest.mark.parametrize(("engine", "often"), [("hot", "every time"), ("cold", "once")])
@pytest.mark.parametrize("ailment", [None, "weak spark", "cuts out", "dripping", "tight valve", "stale fuel"])
def test_it_is_told_as_often_as_believed(
    did: Behaviour,
    error: float,
    level_drop: float,
    engine: Warmth,
    often: Often,
    ailment: Ailment | None,
    rng: Generator,
) -> None:
    """Whatever is told away from any opening is drawn with the believed frequency."""
    remark = Remark(entry="ride-1", did=did, engine=engine, often=often)
    seen = starving(scene(error, draws=DRAWS, level_drop=level_drop), -0.1)
    seen = ailing(seen, {ailment: 0.7}) if ailment else seen
    told = elsewhere.draw(remark, seen, rng)
    share = float(np.exp(elsewhere.log_likelihood(remark, seen)[0]))
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


def told(did: Behaviour, seen: Seen, engine: Warmth = "hot") -> float:
    """Give how often a thing is told of the first bike of a scene."""
    return float(np.exp(elsewhere.log_likelihood(Remark(entry="ride-1", did=did, engine=engine), seen)[0]))


KNOWN: tuple[tuple[Behaviour, Warmth, Ailment], ...] = (
    ("hard start", "cold", "stale fuel"),
    ("hard start", "cold", "weak spark"),
    ("hard start", "hot", "tight valve"),
    ("hard start", "hot", "weak spark"),
    ("hard start", "hot", "dripping"),
    ("drips", "hot", "dripping"),
    ("fouls", "hot", "weak spark"),
    ("cuts out", "hot", "cuts out"),
)


@pytest.mark.parametrize(("did", "engine", "ailment"), KNOWN)
def test_what_is_not_the_mixture_is_told(did: Behaviour, engine: Warmth, ailment: Ailment) -> None:
    """What ails a bike is told at least five times as often of it as of a sound one (common practice)."""
    sound = scene(0.0)
    assert told(did, ailing(sound, {ailment: 1.0}), engine) > 5.0 * told(did, sound, engine)


def test_like_a_switch_is_the_spark_and_fading_is_the_fuel() -> None:
    """Dying like a switch speaks for the ignition over a starved bowl, fading the other way ([munro1968])."""
    dry, dead = starving(scene(0.0), -0.6), ailing(scene(0.0), {"cuts out": 1.0})
    assert told("cuts out", dead) > 3.0 * told("cuts out", dry)
    assert told("fades", dry) > 3.0 * told("fades", dead)
    assert told("rest helps", dry) > told("rest helps", dead) > told("rest helps", scene(0.0))


def test_what_looks_wide_open_needs_no_more_worked_out() -> None:
    """Each thing needs only the rungs that it names: the rest may be unknown."""
    for did in elsewhere.ELSEWHERE:
        places = [RUNGS.index(rung) for rung in elsewhere.rungs_for(did)]
        error = np.full(len(RUNGS), np.nan)
        error[places] = 0.1
        assert np.isfinite(told(did, scene(error)))
    assert Rung.FULL in elsewhere.rungs_for("fades")


def test_any_cause_is_enough() -> None:
    """Two causes tell more than each, and less than both put together."""
    wet, weak = scene(0.3), ailing(scene(0.0), {"weak spark": 1.0})
    both, none = ailing(scene(0.3), {"weak spark": 1.0}), scene(0.0)
    one, other, two = (told("fouls", seen) - told("fouls", none) for seen in (wet, weak, both))
    assert max(one, other) < two < one + other


def test_what_happened_once_tells_less() -> None:
    """A thing that happened once shifts the odds less than one that happens every time."""
    for did in elsewhere.ELSEWHERE:
        seen = ailing(starving(scene(0.3, level_drop=-0.01), -0.5), {"cuts out": 1.0})
        always, once = Remark(entry="ride-1", did=did), Remark(entry="ride-1", did=did, often="once")
        shift = [
            float((elsewhere.log_likelihood(one, seen) - elsewhere.log_likelihood(one, scene(0.0)))[0])
            for one in (always, once)
        ]
        assert 0.0 < shift[1] < shift[0]


@pytest.mark.parametrize("did", elsewhere.ELSEWHERE)
def test_one_telling_cannot_decide(did: Behaviour) -> None:
    """A thing told away from any rung shifts the odds by at most 30 to 1: 0.60 with cause, 0.02 without."""
    ills: dict[Ailment, float] = {"cuts out": 1.0, "dripping": 1.0, "weak spark": 1.0, "tight valve": 1.0}
    for error in (-3.0, 0.0, 3.0):
        ill = ailing(starving(scene(error, level_drop=-0.02), -3.0), ills)
        for engine in ("hot", "cold"):
            assert told(did, ill, engine) <= 30.0 * told(did, scene(0.0, level_drop=0.02), engine)
