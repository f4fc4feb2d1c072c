"""The demo's shed: three invented bikes, the same every time."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path

from floatbowl.bike.place import assume_day
from floatbowl.jobs.garage import Garage
from floatbowl.record.bike_file import read_bike_file
from floatbowl.record.garage_file import read_garage_file
from floatbowl.record.store import Record
from floatbowl.record.trouble import (
    NotKept,
)
from floatbowl.units import FREEZING, HECTOPASCAL

DEMO_NOW = datetime(2026, 11, 12, 18, 40, tzinfo=UTC)
"""The fixed clock of the demo."""
DEMO_BIKES = ("magpie", "thistle", "otter")


@contextmanager
def open_demo(keep: Path | None = None) -> Iterator[Garage]:
    """Open the demo's shed with its fixed clock, in a new file or in one that is thrown away."""
    if keep is None:
        with tempfile.TemporaryDirectory() as folder, open_demo(Path(folder) / "demo.garage") as garage:
            yield garage
        return
    if keep.exists():
        text = f"{keep} is there already and was left alone. Name a new file."
        raise NotKept(text)
    with Record.open(keep) as record:
        _set_out_demo(record)
        yield Garage(record, clock=lambda: DEMO_NOW)


def reopen_demo(path: Path, *, once: str = "") -> Garage:
    """Open a shed that ``open_demo`` set out, with the demo's fixed clock."""
    return Garage(Record.open(path), clock=lambda: DEMO_NOW, once=once)


def _set_out_demo(record: Record) -> None:
    shelf = resources.files("floatbowl") / "demo"
    garage = read_garage_file((shelf / "garage.toml").read_text(encoding="utf-8"), source_name="garage.toml")
    record.take_in(garage, now=DEMO_NOW)
    air_now = assume_day(
        "Tarn Hollow",
        date=DEMO_NOW.date().isoformat(),
        height=1450.0,
        temperature=19.0 + FREEZING,
        pressure=851.0 * HECTOPASCAL,
        humidity=0.46,
    )
    record.note_air(air_now, now=DEMO_NOW)
    for name in DEMO_BIKES:
        source = f"{name}.toml"
        read = read_bike_file((shelf / source).read_text(encoding="utf-8"), source_name=source)
        record.add_bike(read, now=DEMO_NOW)
