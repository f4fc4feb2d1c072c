"""The bleed of the main jet."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import main_jet
from floatbowl.units import GRAVITY

PULLS = st.floats(0.0, 3000.0)


@given(PULLS, PULLS, st.floats(-0.01, 0.02), st.floats(0.004, 0.02))
def test_more_pull_never_covers_a_bleed_hole(one: float, two: float, depth: float, span: float) -> None:
    """The uncovered share lies between nothing and all and never falls with the pull."""
    low, high = sorted((one, two))
    share = np.asarray(main_jet.bleed_uncovered(np.array([low, high]), depth, span, 745.0))
    assert 0.0 <= share[0] <= share[1] <= 1.0


def test_the_well_is_drawn_down_by_what_the_pull_weighs() -> None:
    """A pull that holds up 14 mm of fuel uncovers half of holes that lie from 8 to 20 mm."""
    pull = 745.0 * GRAVITY * 0.014
    assert float(main_jet.bleed_uncovered(pull, 0.008, 0.012, 745.0)) == pytest.approx(0.5)
    assert float(main_jet.bleed_uncovered(0.0, 0.008, 0.012, 745.0)) == 0.0
