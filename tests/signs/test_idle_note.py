"""The idle by ear as a sign: drawn as believed, pointing the known way."""

import numpy as np
import pytest
from numpy.random import Generator

from floatbowl.signs import idle_note
from floatbowl.signs.trial import IdleNoteReading
from tests.signs.scenes import ailing, along, scene, too_far

DRAWS = 20_000
EDGES = np.exp(np.linspace(idle_note._LEAST, idle_note._MOST, 4000))


def note(**told: object) -> IdleNoteReading:
    """Give an even idle, with what is told otherwise."""
    usual = {"entry": "reading-1", "rpm": 1500.0, "spread_rpm": 5.0, "wander_pct": 1.0}
    return IdleNoteReading(**{**usual, **told})  # type: ignore[arg-type]


@pytest.mark.calibration
@pytest.mark.parametrize("error", [-0.25, -0.1, 0.0, 0.2])
@pytest.mark.parametrize("extra_air", [0.0, 0.3])
def test_idles_hunt_and_sink_as_often_as_believed(error: float, extra_air: float, rng: Generator) -> None:
    """Drawn idles hunt, and sink after a blip, as often as the reading's chance says."""
    seen = scene(error, draws=DRAWS, extra_air=extra_air)
    drawn = idle_note.draw(seen, rng)
    for is_so, share in (
        (drawn.hunts, idle_note.share_hunts(seen)[0]),
        (drawn.sinks, idle_note.share_sinks(seen)[0]),
    ):
        chance = idle_note.ASTRAY.value / 2.0 + (1.0 - idle_note.ASTRAY.value) * share
        assert not too_far(np.array([is_so.sum(), (~is_so).sum()]), np.array([chance, 1.0 - chance])).any()


@pytest.mark.calibration
@pytest.mark.parametrize("error", [-0.25, 0.0, 0.2])
def test_hangs_and_wanders_fall_where_believed(error: float, rng: Generator) -> None:
    """Drawn hangs and wanders fill bins as the density says, within four standard errors."""
    seen = scene(error, draws=DRAWS)
    drawn = idle_note.draw(seen, rng)
    at = np.log(EDGES)
    for values, share, usual, worse in (
        (drawn.hangs, idle_note.share_hangs(seen)[0], idle_note.SETTLES_IN, idle_note.HANGS_FOR),
        (drawn.wander, idle_note.share_uneven(seen)[0], idle_note.EVEN_WANDER, idle_note.UNEVEN_WANDER),
    ):
        density = np.array(
            [np.exp(idle_note._log_of_two(one, np.array([share]), usual, worse)[0]) for one in EDGES]
        )
        grown = np.concatenate([[0.0], np.cumsum(0.5 * (density[1:] + density[:-1]) * np.diff(at))])
        cuts = np.interp([0.1, 0.3, 0.5, 0.7, 0.9], grown, at)
        inside = (np.log(values) > at[0]) & (np.log(values) < at[-1])
        counts = np.bincount(np.searchsorted(cuts, np.log(values[inside])), minlength=6)
        expected = np.diff(np.concatenate([[0.0], [0.1, 0.3, 0.5, 0.7, 0.9], [grown[-1]]])) / grown[-1]
        assert not too_far(counts, expected).any()


@pytest.mark.calibration
def test_a_hunt_counted_twice_is_caught(rng: Generator) -> None:
    """Control: the frequencies do not agree with squared chances, shared out anew."""
    hunts = idle_note.draw(scene(-0.12, draws=DRAWS), rng).hunts
    share = float(idle_note.share_hunts(scene(-0.12))[0])
    squared = np.array([share**2, (1.0 - share) ** 2])
    assert too_far(np.array([hunts.sum(), (~hunts).sum()]), squared / squared.sum()).all()


def test_each_point_the_known_way() -> None:
    """Hunting speaks for lean before rich, hanging for lean, sinking for rich (common practice)."""
    lean_right_rich = along(np.array([-0.2, 0.0, 0.25]))
    hunting = idle_note.log_likelihood(note(hunts_per_s=0.8), lean_right_rich)
    hanging = idle_note.log_likelihood(note(hangs_s=3.0), lean_right_rich)
    sinking = idle_note.log_likelihood(note(hangs_s=0.5, after_blip="sinks"), lean_right_rich)
    assert hunting[0] > hunting[2] > hunting[1]
    assert hanging[0] > hanging[1] + 0.5
    assert hanging[0] > hanging[2] + 0.5
    assert sinking[2] > sinking[1] + 0.5
    assert sinking[2] > sinking[0] + 0.5


def test_a_leak_and_a_sticking_slide_hang() -> None:
    """A long hang speaks for extra air, and for a slide that sticks, against a sound bike."""
    hang = note(hangs_s=3.0)
    sound = idle_note.log_likelihood(hang, scene(0.0))[0]
    assert idle_note.log_likelihood(hang, scene(0.0, extra_air=0.6))[0] > sound + 1.0
    assert idle_note.log_likelihood(hang, ailing(scene(0.0), {"sticking slide": 1.0}))[0] > sound + 1.0


def test_the_speed_itself_says_nothing() -> None:
    """The idle stop may stand anywhere, so 1200 tells of the mixture what 1900 does."""
    seen = along(np.linspace(-0.3, 0.3, 7))
    slow, quick = (idle_note.log_likelihood(note(rpm=rpm), seen) for rpm in (1200.0, 1900.0))
    assert np.array_equal(slow, quick)


def test_one_recording_cannot_decide() -> None:
    """However it sounds, a recording shifts the odds by less than 1000 to 1."""
    seen = along(np.linspace(-2.0, 2.0, 401))
    worst = note(hunts_per_s=1.0, hangs_s=8.0, after_blip="settles")
    assert float(np.ptp(idle_note.log_likelihood(worst, seen))) < np.log(1000.0)
