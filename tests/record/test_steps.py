"""A record from before strip sheets, asides and settings opens, whole, and takes them from then on."""

from pathlib import Path

import pytest

from floatbowl.bike.aside import Aside
from floatbowl.record import steps
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.store import Record
from tests.record.files import NOW


@pytest.mark.parametrize("step", [1, 2, 3])
def test_an_older_record_takes_the_new_kinds(
    place: Path, magpie: BikeFile, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    """From every earlier step on: nothing is lost on the way, and what is new can be kept."""
    with monkeypatch.context() as older:
        older.setattr(steps, "STEPS", steps.STEPS[:step])
        older.setattr(steps, "NEWEST", step)
        with Record.open(place) as record:
            record.add_bike(magpie, now=NOW)
            record.say("magpie", {"did": "flat"}, now=NOW)
            before = record.log()
    with Record.open(place) as record:
        assert record.log() == before
        record.strip("magpie", "outside", "fine", now=NOW)
        record.set_aside("magpie", Aside(part="clip", after=4), now=NOW)
        assert record.set_setting("units", "imperial", now=NOW).units == "imperial"
        assert [line.kind for line in record.log()[len(before) :]] == ["strip", "aside", "setting"]
