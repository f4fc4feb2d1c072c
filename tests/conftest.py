"""What every test may ask for: the seed and the dice thrown from it."""

import os

import numpy as np
import pytest
from hypothesis import HealthCheck, settings

SEED_NAME = "FLOATBOWL_SEED"
"""Set it to a number to run the tests with other dice."""

USUAL_SEED = 20_261_125


def pytest_configure(config: pytest.Config) -> None:
    """Let hypothesis think of the same cases each time, or of those that the asked-for seed gives.

    No deadline: on a shared machine a slow moment says nothing about the code.
    """
    slow_machine = [HealthCheck.too_slow]
    settings.register_profile(
        "same", derandomize=True, deadline=None, database=None, suppress_health_check=slow_machine
    )
    settings.register_profile(
        "other", deadline=None, database=None, print_blob=True, suppress_health_check=slow_machine
    )
    asked = os.environ.get(SEED_NAME)
    settings.load_profile("other" if asked else "same")
    if asked:
        config.option.hypothesis_seed = asked


@pytest.fixture(scope="session")
def seed() -> int:
    """Give the seed of this run: the usual one, or that of the environment variable."""
    return int(os.environ.get(SEED_NAME, USUAL_SEED))


@pytest.fixture
def rng(seed: int) -> np.random.Generator:
    """Give fresh dice thrown from the seed, so that no test feels which tests ran before it."""
    return np.random.default_rng(seed)
