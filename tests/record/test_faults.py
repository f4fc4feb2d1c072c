"""Faults: programs killed, disks full, files that may not be written, writes torn. What was kept stays kept.

A small share runs always; ``python -m benchmarks.record_faults 1000 7`` kills a thousand times, and
FLOATBOWL_FUZZ sets how many bytes are flipped here.
"""

from __future__ import annotations

import os
import resource
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from benchmarks import record_faults
from floatbowl.cli import main
from floatbowl.record import opening
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.log import LogLine
from floatbowl.record.spares import folder_of
from floatbowl.record.store import Record
from floatbowl.record.trouble import BrokenRecord, NotKept, ReadOnlyRecord, RecordTrouble
from tests.record.files import NOW

FLIPS = int(os.environ.get("FLOATBOWL_FUZZ", "40"))
FRAME = 24 + 4096
"""Bytes of a page in the write-ahead log, with its head."""


def log_beside(place: Path) -> Path:
    """Name the write-ahead log of a record."""
    return place.with_name(f"{place.name}-wal")


# --- killed ------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_killed_at_any_moment_nothing_is_lost_doubled_or_damaged(tmp_path: Path) -> None:
    """Forty programs that tap, each killed in the middle: every entry that was acknowledged is there once."""
    tally = record_faults.run(40, 11, tmp_path)
    assert tally.is_clean, tally
    assert tally.kills == 40
    assert tally.kept > 20


def test_the_count_sees_a_loss_and_a_double(place: Path) -> None:
    """An entry acknowledged and not there, and one there twice, are both counted: the test above can fail."""
    record_faults.begin(place)
    with Record.open(place) as record:
        for number in (4, 4):
            value = 0.7 + number * record_faults.SCALE
            record.read("magpie", {"kind": "lambda", "at": "1/4", "value": value}, now=NOW)
    tally = record_faults.Tally()
    record_faults._check(place, [{2, 4}, set()], tally)
    assert (tally.lost, tally.twice, tally.is_clean) == ([2], [4], False)


# --- two programs at once ----------------------------------------------------------------------------------


def test_a_tap_waits_for_another_program_and_is_not_lost(
    record: Record, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While somebody else writes, a tap waits; where that never ends it is refused in a sentence."""
    monkeypatch.setattr(opening, "PATIENCE", 0.2)
    with Record.open(record.path) as other:
        with record._entries.writing():
            record.say("magpie", {"did": "flat"}, now=NOW)
            with pytest.raises(NotKept, match="does not let go"):
                other.say("magpie", {"did": "bogs"}, now=NOW)
        other.say("magpie", {"did": "bogs"}, now=NOW, uid="again")
        assert [line.facts["did"] for line in record.log()[-2:]] == ["flat", "bogs"]


# --- no room -----------------------------------------------------------------------------------------------

FILLER = """
import resource, signal, sys
from datetime import UTC, datetime
from pathlib import Path
from floatbowl.record.store import Record
from floatbowl.record.trouble import NotKept

place, most = Path(sys.argv[1]), int(sys.argv[2])
if most:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
with Record.open(place) as record:
    for count in range(100_000):
        try:
            record.say("magpie", {"did": "flat"}, now=datetime(2026, 11, 12, tzinfo=UTC), uid=f"tap {count}")
        except NotKept as trouble:
            print("refused", trouble)
            break
        print("kept", count, flush=True)
"""


def fill_up(place: Path, *, most: int = 0) -> tuple[list[str], str]:
    """Let a program tap until the disk takes no more; give what was acknowledged, and what was told then."""
    ran = subprocess.run(
        [sys.executable, "-c", FILLER, str(place), str(most)],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert ran.stderr == ""
    lines = ran.stdout.splitlines()
    return [f"tap {line.split()[1]}" for line in lines if line.startswith("kept")], lines[-1]


def uids(place: Path) -> list[str]:
    """Name the taps in a record, as SQLite alone reads it, whole."""
    with closing(sqlite3.connect(place)) as connection:
        assert connection.execute("pragma integrity_check").fetchone()[0] == "ok"
        found = connection.execute("select uid from entry where uid like 'tap %' order by id")
        return [uid for (uid,) in found]


@contextmanager
def small_disk(place: Path, *, kilobytes: int) -> Iterator[Path]:
    """Give a disk of its own with so little room."""
    place.mkdir()
    asked = ["mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "none", str(place)]
    if shutil.which("mount") is None or subprocess.run(asked, capture_output=True, check=False).returncode:
        pytest.skip("a small disk can be had by the superuser only")
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


def test_on_a_full_disk_what_was_acknowledged_stays(magpie: BikeFile, tmp_path: Path) -> None:
    """A real small disk, tapped full: a sentence, the record whole, all there; and it can still be read."""
    with small_disk(tmp_path / "disk", kilobytes=900) as disk:
        place = disk / "home.garage"
        with Record.open(place) as record:
            record.add_bike(magpie, now=NOW)
        (disk / "rest").write_bytes(b"x" * 200_000)
        kept, told = fill_up(place)
        assert "full" in told
        assert len(kept) > 10
        with Record.open(place) as record:
            assert len(record.log()) >= len(kept)
            with pytest.raises(RecordTrouble):
                record.keep_card("magpie", "long " * 200_000, signed="", now=NOW)
        (disk / "rest").unlink()
        assert uids(place)[: len(kept)] == kept
        with Record.open(place) as record:
            record.say("magpie", {"did": "bogs"}, now=NOW)


def test_a_file_that_may_not_grow_is_told_and_stays_whole(place: Path, magpie: BikeFile) -> None:
    """The system forbids the file to grow: the tap is refused in a sentence, earlier ones are there."""
    with Record.open(place) as record:
        record.add_bike(magpie, now=NOW)
    kept, told = fill_up(place, most=400_000)
    assert told.startswith("refused The disk")
    assert len(kept) > 10
    assert uids(place)[: len(kept)] == kept


def test_a_write_for_which_there_is_no_room_leaves_nothing(record: Record) -> None:
    """SQLite told that the disk ends here (its ENOSPC): the entry is not there, the next one is."""
    ask = record._entries.connection.execute
    pages = ask("pragma page_count").fetchone()[0]
    ask(f"pragma max_page_count = {pages}")
    before = record.log()
    with pytest.raises(NotKept, match="The disk is full"):
        record.keep_card("magpie", "long " * 20_000, signed="", now=NOW)
    assert record.log() == before
    ask("pragma max_page_count = 1000000")
    record.say("magpie", {"did": "flat"}, now=NOW)
    assert len(record.log()) == len(before) + 1
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] != 0


# --- may not be written ------------------------------------------------------------------------------------


@contextmanager
def write_protected(folder: Path) -> Iterator[None]:
    """Make a folder that nobody may write in, not even the superuser."""
    bound = subprocess.run(["mount", "--bind", str(folder), str(folder)], capture_output=True, check=False)
    if bound.returncode:
        pytest.skip("a write-protected disk can be had by the superuser only")
    try:
        subprocess.run(["mount", "-o", "remount,bind,ro", str(folder)], check=True)
        yield
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


@pytest.mark.parametrize("is_in_use", [False, True])
def test_on_a_write_protected_disk_all_can_be_read(
    tmp_path: Path, magpie: BikeFile, *, is_in_use: bool
) -> None:
    """Also where the log was not emptied: what was acknowledged is shown, writing is refused."""
    folder = tmp_path / "stick"
    folder.mkdir()
    first = tmp_path / "first.garage"
    with Record.open(first) as record, closing(sqlite3.connect(first)) as reader:
        record.add_bike(magpie, now=NOW)
        reader.execute("select count(*) from entry").fetchone()
        record.say("magpie", {"did": "flat"}, now=NOW)
        if is_in_use:
            shutil.copy(log_beside(first), folder / "home.garage-wal")
            shutil.copy(first, folder / "home.garage")
        log = record.log()
    if not is_in_use:
        shutil.copy(first, folder / "home.garage")
    with write_protected(folder), Record.open(folder / "home.garage") as record:
        assert record.log() == log
        with pytest.raises(ReadOnlyRecord):
            record.say("magpie", {"did": "bogs"}, now=NOW)


# --- torn --------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def torn(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, bytes, tuple[LogLine, ...], int]:
    """Give a record and its log as they lie on the disk in the middle of an evening.

    Also its logbook, and how many of its entries had been brought from the log into the file by then.
    """
    place = tmp_path_factory.mktemp("torn") / "garage.sqlite"
    record_faults.begin(place)
    with Record.open(place) as record:
        for _ in range(20):
            record.say("magpie", {"did": "flat"}, now=NOW)
    with Record.open(place) as record, closing(sqlite3.connect(place)) as reader:
        settled = len(record.log())
        reader.execute("select count(*) from entry").fetchone()
        for _ in range(12):
            record.say("magpie", {"did": "bogs"}, now=NOW)
        return place.read_bytes(), log_beside(place).read_bytes(), record.log(), settled


def lay_out(folder: Path, file: bytes, log: bytes) -> Path:
    """Put a record and its log on the disk as a fault left them."""
    place = folder / "garage.sqlite"
    for beside in folder.glob("garage.sqlite*"):
        if beside.is_file():
            beside.unlink()
    place.write_bytes(file)
    if log:
        log_beside(place).write_bytes(log)
    return place


def test_a_log_cut_anywhere_opens_with_the_last_commit(
    tmp_path: Path, torn: tuple[bytes, bytes, tuple[LogLine, ...], int]
) -> None:
    """At every page boundary, within every head and page: what is there is a beginning of what was written.

    What had been brought into the file is always there, a longer log never tells less, and one can go on.
    """
    file, log, lines, settled = torn
    ends = [32 + frame * FRAME for frame in range((len(log) - 32) // FRAME + 1)]
    cuts = sorted({0, 1, 31, len(log), *ends, *(end + more for end in ends for more in (1, 24, 25, 2000))})
    told = []
    for cut in (cut for cut in cuts if cut <= len(log)):
        with Record.open(lay_out(tmp_path, file, log[:cut])) as record:
            found = record.log()
            assert found == lines[: len(found)]
            record.say("magpie", {"did": "flat"}, now=NOW)
        told.append(len(found))
    assert told == sorted(told)
    assert (told[0], told[-1]) == (settled, len(lines))


def test_bytes_flipped_in_the_log_end_it_there(
    tmp_path: Path, torn: tuple[bytes, bytes, tuple[LogLine, ...], int], rng: np.random.Generator
) -> None:
    """A log whose bytes changed is believed up to there and no further."""
    file, log, lines, settled = torn
    for _ in range(FLIPS):
        spoilt = bytearray(log)
        spoilt[rng.integers(len(log))] ^= 1 << rng.integers(8)
        with Record.open(lay_out(tmp_path, file, bytes(spoilt))) as record:
            found = record.log()
        assert found == lines[: len(found)]
        assert len(found) >= settled


def ask(place: Path, words: str) -> tuple[int, str]:
    """Write a command, and give how it ended and what it said."""
    ran = CliRunner().invoke(main, words.split(), env={"FLOATBOWL_GARAGE": str(place), "COLUMNS": "500"})
    assert ran.exception is None or isinstance(ran.exception, SystemExit), ran.exception
    return ran.exit_code, ran.output


def test_a_torn_file_is_shown_or_refused_and_the_copy_offered(
    tmp_path: Path, torn: tuple[bytes, bytes, tuple[LogLine, ...], int]
) -> None:
    """A page written by half, each in turn: the record is read, or a sentence offers its last copy."""
    file, _, _, _ = torn
    place = lay_out(tmp_path, file, b"")
    with Record.open(place) as record:
        record.keep_spare(now=NOW)
    whole = place.read_bytes()
    offered = 0
    for page in range(len(whole) // 4096):
        half = page * 4096 + 2048
        lay_out(tmp_path, whole[:half] + b"\0" * 2048 + whole[half + 2048 :], b"")
        code, said = ask(place, "said magpie flat")
        assert (code, "floatbowl itself" in said) in {(0, False), (3, False)}
        if code:
            assert f"floatbowl garage --garage {folder_of(place)}" in said
            offered += 1
    assert offered > 3


def test_a_file_cut_short_is_refused_and_the_copy_offered(
    tmp_path: Path, torn: tuple[bytes, bytes, tuple[LogLine, ...], int]
) -> None:
    """At every page boundary and in the middle of every page."""
    file, _, lines, settled = torn
    place = lay_out(tmp_path, file, b"")
    with Record.open(place) as record:
        copy = record.keep_spare(now=NOW)
    for cut in range(2048, len(file) - 1, 2048):
        try:
            with Record.open(lay_out(tmp_path, file[:cut], b"")) as record:
                told = record.only_read_because
                assert told or record.log() == lines[:settled]
        except BrokenRecord as error:
            told = str(error)
        assert f"floatbowl garage --garage {copy}" in told


def test_bytes_flipped_in_the_file_never_show_our_insides(
    tmp_path: Path, torn: tuple[bytes, bytes, tuple[LogLine, ...], int], rng: np.random.Generator
) -> None:
    """Wherever a byte flips: an answer, or a sentence about the file; never a fault of our own."""
    file, _, _, _ = torn
    for _ in range(FLIPS):
        spoilt = bytearray(file)
        spoilt[rng.integers(len(file))] ^= 1 << rng.integers(8)
        place = lay_out(tmp_path, bytes(spoilt), b"")
        for words in ("log", "said magpie flat", "fitted magpie", "export magpie", "doctor"):
            code, said = ask(place, words)
            assert "floatbowl itself" not in said, (words, said)
            assert code in {0, 2, 3}, (words, said)
