"""Bikes whose papers are looked at, thought about once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from floatbowl.jobs import Garage, HandOver, WallChart, open_demo

SMALL, LARGE = "Magpie", "Otter"
"""One whose drawing leaves room for the words beside it, and one that takes a side for itself."""


@pytest.fixture(scope="session")
def shed() -> Iterator[Garage]:
    """Open the demo's shed."""
    with open_demo() as garage:
        yield garage


@pytest.fixture(scope="session", params=[SMALL, LARGE])
def told(request: pytest.FixtureRequest, shed: Garage) -> HandOver:
    """Give what is handed over with each of the two bikes."""
    return shed.hand_over(request.param)


@pytest.fixture(scope="session")
def chart(shed: Garage) -> WallChart:
    """Give what the wall chart of the smaller bike is made from."""
    return shed.wall_chart(SMALL)
