"""Opening the record: ours or not, whole or not, ours to write or not; and two programs at once."""

from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from floatbowl.record import history, steps
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.store import Record
from floatbowl.record.trouble import BrokenRecord, ForeignFile, NewerRecord, NotKept, ReadOnlyRecord
from floatbowl.signs.trial import Reading, Remark
from tests.record.files import NOW


def kept(place: Path, magpie: BikeFile, *, rides: int = 0) -> bytes:
    """Make a record with Magpie in it, close it and give its bytes."""
    with Record.open(place) as record:
        record.add_bike(magpie, now=NOW)
        for _ in range(rides):
            record.say("magpie", {"did": "flat"}, now=NOW)
    return place.read_bytes()


def test_a_record_is_made_where_there_is_none_with_its_folders(tmp_path: Path) -> None:
    """The first opening makes folders and file, marked as ours and at the newest step."""
    place = tmp_path / "shed" / "garage.sqlite"
    with Record.open(place) as record:
        assert record.bikes() == ()
    with closing(sqlite3.connect(place)) as connection:
        marks = [
            connection.execute(f"pragma {mark}").fetchone()[0] for mark in ("application_id", "user_version")
        ]
        assert marks == [steps.APPLICATION_ID, steps.NEWEST]


def test_a_record_is_kept_with_the_strictest_care(record: Record) -> None:
    """Write-ahead log, every commit on the disk, references checked."""
    ask = record._entries._connection.execute
    found = [ask(f"pragma {name}").fetchone()[0] for name in ("journal_mode", "synchronous", "foreign_keys")]
    assert found == ["wal", 2, 1]


def test_what_was_kept_is_there_the_next_time(place: Path, magpie: BikeFile) -> None:
    """Close it, open it: the same bike, the same log."""
    kept(place, magpie)
    with Record.open(place) as first:
        log = first.log()
    with Record.open(place) as second:
        assert (second.bike("magpie"), second.log()) == (magpie.bike, log)


@pytest.mark.parametrize(
    "content",
    [
        b'name = "Magpie"\n' * 200,
        b"\x89PNG\r\n\x1a\n" + bytes(4000),
        b"x",
        b"SQLite format 3\x00" + b"\xff" * 4000,
    ],
)
def test_a_file_of_another_kind_is_refused_and_not_touched(place: Path, content: bytes) -> None:
    """A bike file, a picture, a torn header: the sentence says what it is not, the bytes stay."""
    place.write_bytes(content)
    with pytest.raises(NotKept) as caught:
        Record.open(place)
    assert place.name in str(caught.value)
    assert place.read_bytes() == content


def test_a_database_of_another_program_is_refused_and_not_touched(place: Path) -> None:
    """SQLite, but not ours: left byte for byte as it was, with no journal beside it."""
    with closing(sqlite3.connect(place)) as connection:
        connection.execute("create table tunes (name text)")
    before = place.read_bytes()
    with pytest.raises(ForeignFile, match="not a record of floatbowl"):
        Record.open(place)
    assert place.read_bytes() == before
    assert [path.name for path in place.parent.iterdir()] == [place.name]


def test_a_newer_record_is_refused_politely_and_not_touched(place: Path, magpie: BikeFile) -> None:
    """A step we do not know yet: bring floatbowl up to date."""
    kept(place, magpie)
    with closing(sqlite3.connect(place)) as connection:
        connection.execute(f"pragma user_version = {steps.NEWEST + 1}")
    before = place.read_bytes()
    with pytest.raises(NewerRecord, match="Bring floatbowl up to date"):
        Record.open(place)
    assert place.read_bytes() == before


def test_a_failing_step_leaves_the_record_at_the_step_before(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half a step is no step: the whole of it is taken back."""
    monkeypatch.setattr(steps, "STEPS", (("create table half (a)", "this is no statement"),))
    with pytest.raises(NotKept):
        Record.open(place)
    with closing(sqlite3.connect(place)) as connection:
        assert steps.step_of(connection) == 0
        assert connection.execute("select count(*) from sqlite_schema").fetchone()[0] == 0


def test_an_older_record_is_taken_through_the_steps_it_has_not_seen(
    place: Path, magpie: BikeFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A further step is taken once, on opening, and what was kept stays."""
    kept(place, magpie)
    monkeypatch.setattr(steps, "STEPS", (*steps.STEPS, ("create table more (a)",)))
    monkeypatch.setattr(steps, "NEWEST", len(steps.STEPS))
    for _ in range(2):
        with Record.open(place) as record:
            assert record.bike("magpie") == magpie.bike
    with closing(sqlite3.connect(place)) as connection:
        assert steps.step_of(connection) == len(steps.STEPS)


def test_a_record_from_before_mends_takes_one(
    place: Path, magpie: BikeFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The entries move into a table that knows mends: all are there, struck ones struck, all guarded."""
    with monkeypatch.context() as older:
        older.setattr(steps, "STEPS", steps.STEPS[:1])
        older.setattr(steps, "NEWEST", 1)
        with Record.open(place) as record:
            record.add_bike(magpie, now=NOW)
            record.undo("magpie", now=NOW)
            log = record.log()
    with Record.open(place) as record:
        assert record.log() == log
        record.mend("magpie", "air leak", now=NOW)
        ask = record._entries._connection.execute
        assert ask("pragma foreign_key_check").fetchall() == []
        assert ask("pragma foreign_keys").fetchone() == (1,)
        with pytest.raises(sqlite3.IntegrityError, match="never erased"):
            ask("delete from entry")
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
            ask("insert into entry (id, uid, bike, at, kind, body) values (900, 'x', 901, '', 'card', '{}')")


def test_a_reading_from_before_a_field_was_added_is_known_again(
    place: Path, magpie: BikeFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A roll-on kept before engine speeds stood beside it is no new one when its file is added again."""

    def older(thing: Remark | Reading) -> dict[str, Any]:
        return {key: value for key, value in body_of(thing).items() if key != "rpm"}

    body_of = history.body_of
    with monkeypatch.context() as then:
        then.setattr(history, "body_of", older)
        kept(place, magpie)
    with Record.open(place) as record:
        assert record.add_bike(magpie, now=NOW) == ()


def test_a_record_from_before_mends_can_be_read_as_it_is(
    place: Path, magpie: BikeFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Opened to be read only it stays at its step, and all of it is shown."""
    with monkeypatch.context() as older:
        older.setattr(steps, "STEPS", steps.STEPS[:1])
        older.setattr(steps, "NEWEST", 1)
        before = kept(place, magpie)
    with Record.open_to_read(place) as record:
        assert record.trials("magpie") == magpie.trials
    assert place.read_bytes() == before


def test_a_record_opened_to_read_is_never_written(place: Path, magpie: BikeFile) -> None:
    """Reading works; writing is refused in a sentence, and the bytes stay."""
    before = kept(place, magpie)
    with Record.open_to_read(place) as record:
        assert record.bike("magpie") == magpie.bike
        with pytest.raises(ReadOnlyRecord, match="read only"):
            record.say("magpie", {"did": "flat"}, now=NOW)
    assert place.read_bytes() == before


def test_a_record_that_is_not_there_cannot_be_opened_to_read(place: Path) -> None:
    """Reading makes no file."""
    with pytest.raises(NotKept, match="cannot be opened"):
        Record.open_to_read(place)
    assert not place.exists()


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere"
)
def test_a_record_we_may_not_write_opens_to_read(place: Path, magpie: BikeFile) -> None:
    """File and folder without leave to write: what is kept is shown all the same."""
    kept(place, magpie)
    place.chmod(stat.S_IRUSR)
    place.parent.chmod(stat.S_IRUSR | stat.S_IXUSR)
    try:
        with Record.open(place) as record:
            assert record.bikes() == ("Magpie",)
            assert "may be read but not written" in record.only_read_because
    finally:
        place.parent.chmod(stat.S_IRWXU)


def test_a_folder_is_no_record(tmp_path: Path) -> None:
    """A folder where the file should be is told, not stumbled over."""
    with pytest.raises(NotKept, match="cannot be opened"):
        Record.open(tmp_path)


def damaged(content: bytes, *, page: int) -> bytes:
    """Overwrite one page of a record."""
    size = 4096
    return content[: page * size] + b"\xa5" * size + content[(page + 1) * size :]


def test_a_damaged_record_opens_to_be_read_as_far_as_it_goes_or_is_refused(
    place: Path, magpie: BikeFile
) -> None:
    """Whichever page is spoilt there is a sentence, never a traceback, and the bytes stay."""
    whole = kept(place, magpie, rides=120)
    outcomes = []
    for page in range(1, len(whole) // 4096):
        spoilt = damaged(whole, page=page)
        place.write_bytes(spoilt)
        outcomes.append(told_on_opening(place))
        assert place.read_bytes() == spoilt
    assert all("damaged" in told for told in outcomes)
    assert any("as far as it can be read" in told for told in outcomes)


def told_on_opening(place: Path) -> str:
    """Open a record, look at its bikes, try to write, and give what was told of it."""
    try:
        with Record.open(place) as record:
            with pytest.raises(ReadOnlyRecord):
                record.put_in_drawer("main", ["105"], now=NOW)
            record.bikes()
            return record.only_read_because
    except BrokenRecord as error:
        return str(error)


def test_a_record_cut_short_is_told(place: Path, magpie: BikeFile) -> None:
    """Half a file is damage, not an empty garage."""
    whole = kept(place, magpie, rides=120)
    place.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(BrokenRecord, match="damaged"), Record.open(place) as record:
        record.say("magpie", {"did": "flat"}, now=NOW)


WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from floatbowl.record.bike_file import load_bike_file
from floatbowl.record.store import Record

place, file, mark = sys.argv[1:]
with Record.open(Path(place)) as record:
    for count in range(25):
        record.add_bike(load_bike_file(Path(file)), now=datetime(2026, 11, 12, tzinfo=UTC))
        record.say("magpie", {"did": "flat"}, now=datetime(2026, 11, 12, tzinfo=UTC), uid=f"{mark}-{count}")
"""


def test_two_programs_writing_at_once_lose_nothing(place: Path, magpie: BikeFile, tmp_path: Path) -> None:
    """Both make the record, add the bike and talk at once: one bike, fifty remarks, fifty names."""
    file = tmp_path / "magpie.toml"
    file.write_text(magpie.text, encoding="utf-8")
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(place), str(file), mark], stderr=subprocess.PIPE)
        for mark in ("left", "right")
    ]
    said = [writer.communicate(timeout=60)[1].decode() for writer in writers]
    assert said == ["", ""]
    with Record.open(place) as record:
        names = [remark.entry for trial in record.trials("magpie") for remark in trial.remarks]
    assert names == [f"ride-{count}" for count in range(1, 52)]


def test_a_reader_sees_nothing_half_written(place: Path, magpie: BikeFile, record: Record) -> None:
    """While one program is in the middle of an entry another reads the record as it was."""
    with Record.open(place) as other:
        before = other.log()
        with record._entries.writing():
            record.add_bike(replace(magpie, name="Otter"), now=NOW)
            assert other.log() == before
        assert other.bikes() == ("Magpie", "Otter")
