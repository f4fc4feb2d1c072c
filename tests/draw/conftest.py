"""A belief made by hand on a real stage: what is drawn from it is known beforehand."""

from __future__ import annotations

import numpy as np
import pytest

from floatbowl.belief.belief import OF, Belief, Trust
from floatbowl.belief.scene import Stage
from floatbowl.bike.place import assume_day
from floatbowl.bike.rung import RUNGS
from tests.bike.bikes import bike_with, setup_with

PILOT_SHARE = np.array([0.96, 0.63, 0.31, 0.19, 0.08, 0.05])
"""What comes through the pilot from shut to full; made up."""


@pytest.fixture(scope="session")
def belief() -> Belief:
    """Give twenty likely bikes that are all alike."""
    bike, setup = bike_with(), setup_with()
    nothing = np.zeros((OF, len(RUNGS)))
    return Belief(
        bike=bike,
        setup=setup,
        day=assume_day("Tarn Hollow", height=1450.0),
        error=nothing,
        lam=nothing + 0.88,
        weight=np.full(OF, 1.0 / OF),
        fault=np.full((OF, 2), -1),
        fault_keys=(),
        twenty=np.arange(OF),
        say=np.full((len(RUNGS), 4), 0.25),
        fuel_share=np.column_stack([PILOT_SHARE, 1.0 - PILOT_SHARE]),
        target=np.full(len(RUNGS), 0.88),
        close_enough=np.full(len(RUNGS), 0.05),
        suspects=(),
        trust=Trust(is_good=True, why="", effective_draws=800.0),
        leaned_on=(),
        z=np.empty((OF, 0)),
        stage=Stage.of(bike, setup),
        trials=(),
    )
