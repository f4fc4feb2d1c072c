"""Opening the record's file: is it ours, is it whole, may we write in it.

A file that is not ours, or comes from a newer floatbowl, is left exactly as it is.
"""

from __future__ import annotations

import os
import shlex
import sqlite3
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from floatbowl.record import salvage, spares, steps
from floatbowl.record.trouble import BrokenRecord, ForeignFile, NewerRecord, NotKept

PATIENCE = 20.0
"""Seconds to wait for another program that is writing."""
_PAUSE = 0.02
_MAGIC = b"SQLite format 3\x00"


@dataclass(frozen=True, slots=True)
class Opened:
    """An open record. ``only_read_because`` says why it cannot be written; empty when it can."""

    connection: sqlite3.Connection
    only_read_because: str = ""


def open_to_write(path: Path) -> Opened:
    """Open a record, making it where there is none; where writing is not possible, to read only."""
    if path.exists() and not os.access(path, os.W_OK):
        return open_to_read(path, because=f"{path.name} may be read but not written. See who may write it.")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _refuse_other_kinds(path)
        connection = _connect(path, mode="rwc")
    except (OSError, sqlite3.OperationalError) as error:
        raise _cannot_open(path, error) from None
    try:
        return _prepare(connection, path)
    except BaseException:
        connection.close()
        raise


def open_to_read(path: Path, *, because: str) -> Opened:
    """Open a record that is not to be written. ``because`` is the sentence for whoever tries."""
    try:
        _refuse_other_kinds(path)
        connection = _connect(path, mode="ro")
    except (OSError, sqlite3.OperationalError) as error:
        raise _cannot_open(path, error) from None
    try:
        if _identify(connection, path) == 0:
            raise _foreign(path)
        return Opened(connection, because)
    except NotKept:
        connection.close()
        raise


def _refuse_other_kinds(path: Path) -> None:
    """Refuse a file of another kind; SQLite would take a short text for an empty record and write over it."""
    if not path.exists():
        return
    with path.open("rb") as file:
        beginning = file.read(len(_MAGIC))
    if beginning and beginning != _MAGIC:
        raise _foreign(path)


def _connect(path: Path, *, mode: str) -> sqlite3.Connection:
    """Connect, and touch the file, so that what cannot be opened shows here."""
    uri = path.absolute().as_uri()
    connection = sqlite3.connect(f"{uri}?mode={mode}", uri=True, isolation_level=None, timeout=PATIENCE)
    try:
        connection.execute("pragma foreign_keys = on")
        connection.execute("select count(*) from sqlite_schema")
    except UnicodeDecodeError as error:  # even the complaint about it is no text
        connection.close()
        raise _unreadable(path, sqlite3.DatabaseError(error.reason)) from None
    except sqlite3.OperationalError:
        connection.close()
        if mode != "ro":
            raise
        return _connect_frozen(path)
    except sqlite3.DatabaseError:
        pass  # not a record at all: _identify says so
    return connection


def _connect_frozen(path: Path) -> sqlite3.Connection:
    """Connect to a record in a folder where nothing may be written, not even the marks of a reader.

    SQLite passes over a log there, and with it what was written last: then it is read in memory.
    """
    log = path.with_name(f"{path.name}-wal")
    if log.exists() and log.stat().st_size:
        connection = sqlite3.connect(":memory:", isolation_level=None)
        connection.deserialize(salvage.image(path.read_bytes(), log.read_bytes()))
        connection.execute("pragma query_only = on")
        return connection
    uri = path.absolute().as_uri()
    connection = sqlite3.connect(f"{uri}?mode=ro&immutable=1", uri=True, isolation_level=None)
    with suppress(sqlite3.DatabaseError):
        connection.execute("select count(*) from sqlite_schema")
    return connection


def _prepare(connection: sqlite3.Connection, path: Path) -> Opened:
    step = _identify(connection, path)
    try:
        because = _damaged_words(connection, path)
        if not because:
            _keep_a_journal(connection)
            connection.execute("pragma synchronous = full")
            because = _take_steps(connection, path, step)
    except sqlite3.OperationalError as error:
        because = _not_written(path, error)
    if not because:
        return Opened(connection)
    connection.close()
    return open_to_read(path, because=because)


def _take_steps(connection: sqlite3.Connection, path: Path, step: int) -> str:
    """Bring the record up to date, a copy of it made first. Say why it was left as it is, if it was."""
    try:
        if 0 < step < steps.NEWEST:
            spares.keep_before_step(connection, path, step=step)
    except NotKept as trouble:
        return (
            f"{path.name} is from an older floatbowl, and is brought up to date only after a copy is made. "
            f"{trouble} Make room and try again."
        )
    steps.bring_up_to_date(connection)
    return ""


def _not_written(path: Path, error: sqlite3.OperationalError) -> str:
    """Say why a record can be read and not written; raise the trouble where others are in the way."""
    if "locked" in str(error) or "busy" in str(error):
        raise _cannot_open(path, error) from None
    return (
        f"{path.name} can be read but not written now ({error}). Look whether the disk is full and who may "
        "write there. What was kept before is safe."
    )


def _damaged_words(connection: sqlite3.Connection, path: Path) -> str:
    """Say what is damaged and what can be done; empty when the record is whole."""
    damage = _damage(connection)
    if not damage:
        return ""
    told = "It is shown as far as it can be read, and nothing is written in it."
    return f"{path.name} is damaged ({damage}). {told}{_what_to_do(path)}"


def _what_to_do(path: Path) -> str:
    """Offer the last copy of a damaged record, and a repair into a new file, each on a line of its own."""
    copy = spares.newest_whole(path)
    last = f"\nIts last whole copy opens with: floatbowl garage --garage {shown(copy)}" if copy else ""
    repair = f"floatbowl doctor --garage {shown(path)} --repair NEW"
    return f"{last}\nWhat can be saved goes into a new file: {repair}"


def shown(path: Path) -> str:
    """Give a path as it is typed in a command."""
    return shlex.quote(str(path))


def _identify(connection: sqlite3.Connection, path: Path) -> int:
    """Give the step the record is at, 0 for an empty file; refuse what is not ours or too new for us."""
    try:
        application = connection.execute("pragma application_id").fetchone()[0]
        step = steps.step_of(connection)
        tables = connection.execute("select count(*) from sqlite_schema").fetchone()[0]
    except sqlite3.OperationalError as error:
        raise _cannot_open(path, error) from None
    except sqlite3.DatabaseError as error:
        raise _unreadable(path, error) from None
    if (application, step, tables) != (0, 0, 0) and application != steps.APPLICATION_ID:
        raise _foreign(path)
    if step > steps.NEWEST:
        text = (
            f"{path.name} was written by a newer floatbowl (step {step}; this one knows {steps.NEWEST}). "
            "Bring floatbowl up to date. Nothing in the file was touched."
        )
        raise NewerRecord(text)
    return step


def _unreadable(path: Path, error: sqlite3.DatabaseError) -> NotKept:
    if "not a database" in str(error):
        return _foreign(path)
    return BrokenRecord(f"{path.name} is damaged and cannot be read ({error}).{_what_to_do(path)}")


def _foreign(path: Path) -> ForeignFile:
    text = f"{path.name} is not a record of floatbowl. Name another file. Nothing in it was touched."
    return ForeignFile(text)


def _cannot_open(path: Path, error: OSError | sqlite3.OperationalError) -> NotKept:
    if "locked" in str(error) or "busy" in str(error):
        text = f"{path.name} is in use by another program that does not let go. Close it and try again."
    else:
        why = getattr(error, "strerror", None) or str(error)
        text = f"{path} cannot be opened ({why}). Look at the folder and at who may write there."
    return NotKept(text)


def _damage(connection: sqlite3.Connection) -> str:
    """Say what is damaged; empty when the record is whole."""
    try:
        found = str(connection.execute("pragma quick_check(1)").fetchone()[0])
        misled = connection.execute("pragma foreign_key_check").fetchone()
    except sqlite3.OperationalError:
        raise
    except sqlite3.DatabaseError as error:
        return str(error)
    if found != "ok":
        return found.replace("\n", " ")
    return "" if misled is None else "an entry leans on one that is not there"


def _keep_a_journal(connection: sqlite3.Connection) -> None:
    """Let readers and a writer work side by side (write-ahead log).

    SQLite does not wait by itself when two programs switch to it at once.
    """
    until = time.monotonic() + PATIENCE
    while True:
        try:
            connection.execute("pragma journal_mode = wal")
        except sqlite3.OperationalError:
            if time.monotonic() > until:
                raise
            time.sleep(_PAUSE)
        else:
            return
