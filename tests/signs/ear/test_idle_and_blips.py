"""What is read off a line of speed: the idle, its hunt, the hang after a blip."""

from dataclasses import replace

import numpy as np
import pytest

from floatbowl.signs.ear.blips import blips
from floatbowl.signs.ear.idle import idle_heard, is_idle
from tests.signs.ear.tracks import moments, track_of

TIMES = moments(10.0)


def blipped(*, hang: float, fall: float = 0.4, under: float = 0.0) -> np.ndarray:
    """Give an idle of 1500 with a blip to 6500 at 2 s, which hangs at 3000 and falls with a time ``fall``."""
    rpm = np.full(len(TIMES), 1500.0)
    down = np.maximum(TIMES - 2.4, 0.0)
    rpm += 5000.0 * np.where(
        TIMES < 2.0, 0.0, np.where(TIMES < 2.4, (TIMES - 2.0) / 0.4, np.exp(-down / fall))
    )
    rpm = np.where((down > 0.0) & (down < hang), np.maximum(rpm, 3000.0), rpm)
    return rpm - under * 1500.0 * np.exp(-0.5 * ((TIMES - 5.5) / 0.3) ** 2)


@pytest.mark.parametrize("rate", [0.3, 0.7, 1.4])
def test_a_hunt_is_found_with_its_rate_and_depth(rate: float) -> None:
    """An idle that goes up and down by 8 per cent hunts at the rate it was made with."""
    idle = idle_heard(track_of(1400.0 * np.exp(0.08 * np.sin(2.0 * np.pi * rate * TIMES))))
    assert idle is not None
    assert idle.hunts == pytest.approx(rate, abs=0.05)
    assert idle.depth == pytest.approx(0.08, rel=0.1)


def test_a_wander_is_no_hunt(rng: np.random.Generator) -> None:
    """What moves without a beat of its own wanders and does not hunt; its size is told."""
    knots = rng.standard_normal(21)
    idle = idle_heard(track_of(1400.0 * np.exp(0.03 * np.interp(TIMES, np.arange(21) * 0.5, knots))))
    assert idle is not None
    assert idle.hunts is None
    assert 0.012 < idle.wander < 0.045


def test_doubt_alone_is_no_wander(rng: np.random.Generator) -> None:
    """Scatter of the size of the line's own doubt is taken out of the wander."""
    idle = idle_heard(track_of(1400.0 * np.exp(0.01 * rng.standard_normal(len(TIMES))), doubt=0.01))
    assert idle is not None
    assert idle.wander < 0.006


@pytest.mark.parametrize("hang", [0.0, 1.0, 2.0])
def test_a_hang_is_timed(hang: float) -> None:
    """A blip that hangs takes that much longer from half of the way down to the idle."""
    (blip,) = blips(track_of(blipped(hang=hang)))
    clean = 0.4 * np.log(5.0)  # an exponential fall from a half to a tenth
    expected = clean if hang == 0.0 else max(clean, hang - 0.4 * np.log(2.0))
    assert blip.hangs == pytest.approx(expected, abs=0.06)
    assert blip.top_rpm == pytest.approx(6500.0, rel=0.02)


def test_sinking_below_the_idle_is_seen() -> None:
    """An idle that sinks by a fifth after a blip and comes back sinks; one that does not, does not."""
    assert [blip.sinks for blip in blips(track_of(blipped(hang=0.0, under=0.2)))] == [True]
    assert [blip.sinks for blip in blips(track_of(blipped(hang=0.0)))] == [False]


def test_a_held_throttle_is_no_idle() -> None:
    """Eight thousand held is no idle, nor a pull; an idle with a blip is one."""
    assert not is_idle(track_of(np.full(len(TIMES), 8000.0)))
    assert not is_idle(track_of(np.linspace(2500.0, 9000.0, len(TIMES))))
    assert is_idle(track_of(blipped(hang=1.0)))


def test_nothing_is_read_off_what_was_not_told() -> None:
    """A track that says why not has no idle and no blips."""
    untold = replace(track_of(blipped(hang=1.0)), why_not="no beat")
    assert idle_heard(untold) is None
    assert blips(untold) == ()
