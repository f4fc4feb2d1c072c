"""Spare copies: made by themselves, once a day and before a step, whole or not at all, given up by turns."""

from __future__ import annotations

import os
import sqlite3
import time
from contextlib import closing
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from floatbowl.record import spares, steps
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.store import Record
from floatbowl.record.trouble import BrokenRecord, NotKept
from tests.record.files import NOW


def bikes_in(place: Path) -> tuple[str, ...]:
    """Name the bikes in a record."""
    with Record.open_to_read(place) as record:
        return record.bikes()


def test_a_day_has_one_copy_which_opens_like_any_other(record: Record) -> None:
    """The first look on a day makes it, the second does not; it is the whole record."""
    made = record.keep_spare(now=NOW)
    assert made == spares.folder_of(record.path) / "2026-11-12.sqlite"
    record.say("magpie", {"did": "flat"}, now=NOW)
    assert record.keep_spare(now=NOW) is None
    assert bikes_in(made) == ("Magpie",)


def test_a_day_on_which_nothing_was_written_has_no_copy(record: Record) -> None:
    """Looking every day does not push the older copies out."""
    record.keep_spare(now=NOW)
    assert record.keep_spare(now=NOW + timedelta(days=1)) is None
    record.say("magpie", {"did": "flat"}, now=NOW)
    assert record.keep_spare(now=NOW + timedelta(days=2)) is not None


def test_a_record_that_is_only_read_gets_no_copy(record: Record) -> None:
    """What may be damaged does not push a whole copy out."""
    with Record.open_to_read(record.path) as reading:
        assert reading.keep_spare(now=NOW) is None


@given(days=some.sets(some.dates(date(2024, 1, 1), date(2027, 12, 31)), max_size=60))
def test_the_last_days_stay_and_beyond_them_a_day_of_each_month(days: set[date]) -> None:
    """The newest seven stay; every month of the last twelve that had a copy has one; no more than 19."""
    names = [f"{day.isoformat()}.garage" for day in days]
    left = set(names) - set(spares.given_up([*names, "notes.txt"], suffix=".garage"))
    assert set(sorted(names)[-spares.DAYS_KEPT :]) <= left
    months = sorted({name[:7] for name in names})
    assert {name[:7] for name in left} >= set(months[-spares.MONTHS_KEPT :])
    assert len(left) <= spares.DAYS_KEPT + spares.MONTHS_KEPT


def test_what_is_not_a_copy_of_ours_is_never_given_up() -> None:
    """Files that a person put there stay."""
    assert spares.given_up(["a.garage", "2026-01-01 my own.garage", "notes.txt"], suffix=".garage") == []


def older(place: Path, magpie: BikeFile, monkeypatch: pytest.MonkeyPatch, *, step: int = 1) -> bytes:
    """Make a record at an earlier step and give its bytes."""
    with monkeypatch.context() as then:
        then.setattr(steps, "STEPS", steps.STEPS[:step])
        then.setattr(steps, "NEWEST", step)
        with Record.open(place) as record:
            record.add_bike(magpie, now=NOW)
    return place.read_bytes()


def test_a_copy_is_made_before_a_step(place: Path, magpie: BikeFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """An older record is copied as it is before it is brought up to date."""
    older(place, magpie, monkeypatch)
    with Record.open(place):
        (copy,) = spares.spares(place)
    assert copy.place.name == "before-step-2.sqlite"
    with closing(sqlite3.connect(copy.place)) as connection:
        assert steps.step_of(connection) == 1
    assert bikes_in(copy.place) == ("Magpie",)


def test_without_a_copy_no_step_is_taken(
    place: Path, magpie: BikeFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the copy cannot be made the record is shown as it is, and the sentence says why."""
    before = older(place, magpie, monkeypatch)
    spares.folder_of(place).write_text("in the way")
    with Record.open(place) as record:
        assert record.bikes() == ("Magpie",)
        assert "only after a copy is made" in record.only_read_because
    assert place.read_bytes() == before


def test_a_copy_that_cannot_be_finished_leaves_nothing(
    record: Record, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk in the middle: no half copy bears a name, and the record is as it was."""

    def fail(*_: object) -> None:
        message = "database or disk is full"
        raise sqlite3.OperationalError(message)

    monkeypatch.setattr(spares, "_copy", fail)
    with pytest.raises(NotKept, match="full"):
        record.keep_spare(now=NOW)
    assert list(spares.folder_of(record.path).iterdir()) == []


def test_a_stick_without_second_names_takes_copies_too(
    record: Record, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a file can have one name only, the copy is made all the same and writes nothing over."""

    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    made = [record.backup(tmp_path / "stick", now=NOW) for _ in range(2)]
    assert [path.name for path in made] == ["garage-2026-11-12.sqlite", "garage-2026-11-12-2.sqlite"]
    assert [bikes_in(path) for path in made] == [("Magpie",)] * 2


def test_what_a_stopped_program_left_is_cleared_away(record: Record) -> None:
    """An unfinished copy of long ago goes, one that may still be written stays."""
    folder = spares.folder_of(record.path)
    folder.mkdir()
    old, new = folder / "17-1.part", folder / "18-1.part"
    for path in (old, new):
        path.write_bytes(b"half")
    long_ago = time.time() - 2 * spares.LONGEST_COPY
    os.utime(old, (long_ago, long_ago))
    record.keep_spare(now=NOW)
    assert (old.exists(), new.exists()) == (False, True)


def spoil(place: Path, *, page: int) -> None:
    """Overwrite a page of a record."""
    content = bytearray(place.read_bytes())
    content[page * 4096 : (page + 1) * 4096] = b"\xa5" * 4096
    place.write_bytes(content)


def test_a_damaged_record_offers_its_last_whole_copy(place: Path, magpie: BikeFile) -> None:
    """The sentence names the copy that opens, not one that is damaged too, and the way to a repair."""
    with Record.open(place) as record:
        record.add_bike(magpie, now=NOW)
        for count in range(120):
            record.say("magpie", {"did": "flat"}, now=NOW, uid=f"{count}")
        whole = record.keep_spare(now=NOW)
        record.add_bike(replace(magpie, name="Otter"), now=NOW)
        spoilt = record.keep_spare(now=NOW + timedelta(days=1))
    assert whole is not None
    assert spoilt is not None
    spoil(spoilt, page=2)
    spoil(place, page=2)
    try:
        with Record.open(place) as record:
            told = record.only_read_because
    except BrokenRecord as error:
        told = str(error)
    assert f"floatbowl garage --garage {whole}" in told
    assert f"floatbowl doctor --garage {place} --repair NEW" in told
    assert bikes_in(whole) == ("Magpie",)
