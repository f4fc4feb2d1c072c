"""A garage's record to try things on."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from floatbowl.record.bike_file import BikeFile, read_bike_file
from floatbowl.record.store import Record
from tests.record.files import MAGPIE, NOW


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Give a place for a record that is not there yet."""
    return tmp_path / "garage.sqlite"


@pytest.fixture
def magpie() -> BikeFile:
    """Give Magpie as her file tells her."""
    return read_bike_file(MAGPIE, source_name="magpie.toml")


@pytest.fixture
def record(place: Path, magpie: BikeFile) -> Iterator[Record]:
    """Give an open record in which Magpie stands."""
    with Record.open(place) as opened:
        opened.add_bike(magpie, now=NOW)
        yield opened
