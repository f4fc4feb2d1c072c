"""The bundle of all numbers."""

from dataclasses import replace

import numpy as np
import pytest

from tests.flow.bikes import SIZES, ordinary


def test_draws_are_counted_wherever_they_stand() -> None:
    """An array in any field, or inside a tuple, says how many draws there are; plain numbers are one."""
    p = ordinary(SIZES[3])
    assert p.draws == 1
    assert replace(p, leak_area=np.zeros(7)).draws == 7
    first, *rest = p.bypass_areas
    assert replace(p, bypass_areas=(np.full(5, float(np.asarray(first))), *rest)).draws == 5


def test_the_bundle_does_not_change() -> None:
    """A fault or an unknown makes a new bundle."""
    p = ordinary(SIZES[3])
    with pytest.raises(AttributeError):
        p.leak_area = 1e-6  # type: ignore[misc]
