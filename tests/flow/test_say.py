"""Who has the say."""

import numpy as np
import pytest

from floatbowl.flow.breath import breathe
from floatbowl.flow.mixture import mixture
from floatbowl.flow.say import elasticities, say, steps
from tests.flow.bikes import OPENED, SIZES, Size, line, ordinary


@pytest.mark.parametrize("size", SIZES[::3], ids=str)
def test_the_shares_of_the_say_make_one(size: Size) -> None:
    """At every opening the parts share out the whole say, and none has less than nothing."""
    p, grid = ordinary(size), line(size, OPENED)
    shares = say(p, grid, breath=breathe(p, grid))
    assert shares.shape == (len(OPENED), 4)
    assert np.all(shares >= 0.0)
    assert np.allclose(shares.sum(axis=1), 1.0)


@pytest.mark.parametrize("size", SIZES[::3], ids=str)
def test_more_area_is_more_fuel_and_never_more_than_in_step(size: Size) -> None:
    """One per cent more hole is up to one per cent more fuel in all; more pilot air is less fuel."""
    p, grid = ordinary(size), line(size, OPENED)
    pilot, pilot_air, ring, main = elasticities(p, grid, breath=breathe(p, grid))
    assert np.all(pilot_air <= 1e-6)
    for part in (pilot, ring, main):
        assert np.all((part > -1e-4) & (part < 1.6))
    assert pilot[0] > 0.3
    assert ring[0] == pytest.approx(0.0, abs=1e-6)
    # without heads and viscosity they would add to one; both make fuel answer more than in step
    assert np.all(pilot + pilot_air.clip(max=0.0) + ring + main < 1.7)


def test_the_needle_jet_has_no_say_where_it_is_dry() -> None:
    """Where no fuel comes from the needle jet, needle and main move nothing."""
    size = SIZES[0]
    p, grid = ordinary(size), line(size, np.array([0.0]))
    breath = breathe(p, grid)
    assert mixture(p, grid, breath=breath).main_fuel[0, 0, 0] == 0.0
    _, _, needle, main = steps(p, grid, breath=breath)[:, 0]
    assert needle == 0.0
    assert main == 0.0
