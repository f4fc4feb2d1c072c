"""Records as earlier versions of floatbowl left them, kept as they were: each opens, whole, and can go on.

The files in ``old/`` were written by the versions themselves; each holds the same evening.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from floatbowl.record import steps
from floatbowl.record.spares import folder_of
from floatbowl.record.store import Record
from tests.record.files import NOW

OLD = sorted((Path(__file__).parent / "old").glob("step-*.garage"))


def step_of(place: Path) -> int:
    """Give the step a record is at."""
    with closing(sqlite3.connect(f"{place.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as connection:
        return steps.step_of(connection)


def test_there_is_one_of_every_step() -> None:
    """No step was released without a record of it being kept for these tests."""
    assert [step_of(place) for place in OLD] == list(range(1, steps.NEWEST + 1))


@pytest.mark.parametrize("old", OLD, ids=lambda path: path.stem)
def test_an_old_record_opens_and_tells_the_evening(old: Path, tmp_path: Path) -> None:
    """Bikes, setups, rides, drawer, places and what was struck out are there; new things can be kept."""
    place = Path(shutil.copy(old, tmp_path / "home.garage"))
    with Record.open(place) as record:
        assert (record.only_read_because, record.bikes()) == ("", ("Magpie",))
        assert [setup.clip_from_top for setup in record.setups("magpie")] == [3, 4]
        trials = record.trials("magpie")
        assert [remark.did for trial in trials for remark in trial.remarks] == ["bogs", "flat"]
        assert sum(len(trial.readings) for trial in trials) == 2
        assert record.drawer().mains == ("105", "108")
        assert [place.name for place in record.places()] == ["Low Meadow"]
        assert [line.facts["did"] for line in record.log() if line.struck] == ["bogs"]
        record.set_setting("units", "imperial", now=NOW)
        record.mend("magpie", "air leak", now=NOW)
    assert step_of(place) == steps.NEWEST


@pytest.mark.parametrize("old", OLD[:-1], ids=lambda path: path.stem)
def test_an_old_record_is_kept_as_it_was_beside_the_new(old: Path, tmp_path: Path) -> None:
    """The copy made before the step holds the same entries, at the old step."""
    place = Path(shutil.copy(old, tmp_path / "home.garage"))
    with Record.open(place) as record:
        log = record.log()
    (copy,) = folder_of(place).iterdir()
    assert step_of(copy) == step_of(old)
    with Record.open_to_read(copy) as record:
        assert record.log() == log
