"""The best place of the mixture screw, and what it says of the pilot."""

import pytest

from floatbowl.bike.carb import ScrewKind
from floatbowl.signs.best_idle import Verdict, best_idle
from floatbowl.signs.trial import IdleSweepReading


def sweep(*places: tuple[float, float]) -> IdleSweepReading:
    """Give a sweep of these places."""
    return IdleSweepReading(
        entry="reading-1", turns=tuple(turn for turn, _ in places), rpm=tuple(rpm for _, rpm in places)
    )


def test_the_top_of_a_parabola_is_found() -> None:
    """Speeds that lie on a parabola with its top at 1.7 turns have their best there."""
    places = [(turn, 1500.0 - 200.0 * (turn - 1.7) ** 2) for turn in (0.5, 1.0, 1.5, 2.0, 2.5)]
    best = best_idle(sweep(*places), screw="air")
    assert best.turns == pytest.approx(1.7)
    assert best.rpm == pytest.approx(1500.0)
    assert (best.verdict, best.is_at_end) == ("right", False)


@pytest.mark.parametrize(
    ("screw", "far_out", "far_in"),
    [("air", "pilot too big", "pilot too small"), ("fuel", "pilot too small", "pilot too big")],
)
def test_a_best_place_outside_says_the_pilot_is_a_size_out(
    screw: ScrewKind, far_out: Verdict, far_in: Verdict
) -> None:
    """Best beyond 2.5 turns, an air screw thins too big a pilot, a fuel screw feeds too small a one."""
    rising = sweep((1.0, 1380.0), (2.0, 1450.0), (3.0, 1500.0))
    falling = sweep((0.5, 1500.0), (1.5, 1440.0), (2.5, 1380.0))
    assert best_idle(rising, screw=screw).verdict == far_out
    assert best_idle(falling, screw=screw).verdict == far_in


def test_an_end_inside_the_usual_range_settles_nothing() -> None:
    """Best at the last place tried, 2 turns: it may lie further still, so nothing is said of the pilot."""
    best = best_idle(sweep((1.0, 1380.0), (1.5, 1450.0), (2.0, 1500.0)), screw="air")
    assert (best.verdict, best.is_at_end) == ("cannot tell", True)


def test_a_flat_sweep_settles_nothing() -> None:
    """An idle that the screw hardly moves has no best place."""
    assert best_idle(sweep((1.0, 1500.0), (1.5, 1505.0), (2.0, 1498.0)), screw="air").verdict == "cannot tell"


def test_places_where_it_died_count_as_low() -> None:
    """Dead on both sides, the one place where it ran is best; dead everywhere, none is."""
    alone = best_idle(sweep((1.0, 0.0), (1.5, 1400.0), (2.0, 0.0)), screw="fuel")
    assert (alone.turns, alone.verdict) == (1.5, "right")
    assert best_idle(sweep((1.0, 0.0), (2.0, 0.0)), screw="fuel").verdict == "cannot tell"
