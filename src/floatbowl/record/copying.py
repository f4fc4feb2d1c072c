"""A copy of the whole record in a dated file, made while it is in use."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import datetime
from itertools import count
from pathlib import Path

from floatbowl.record.entries import Entries
from floatbowl.record.trouble import NotKept

UNFINISHED = ".part"
"""A copy that is not whole yet carries this at the end of its name."""


def copy(entries: Entries, record: Path, *, folder: Path, now: datetime) -> Path:
    """Copy the record into ``folder`` and give the new file. Raises ``NotKept`` where that cannot be done.

    The copy fills its name only once it is whole; what lies there already stays.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        place = _claimed(folder, record, now)
    except OSError as error:
        raise _no_copy(folder, error.strerror or str(error)) from None
    unfinished = place.with_name(place.name + UNFINISHED)
    try:
        entries.copy_to(unfinished)
        unfinished.replace(place)
    except (OSError, sqlite3.Error, NotKept) as error:
        unfinished.unlink(missing_ok=True)
        place.unlink(missing_ok=True)
        raise _no_copy(folder, str(error)) from None
    return place


def _claimed(folder: Path, record: Path, now: datetime) -> Path:
    """Take a name that nothing has yet, named after the record and the day."""
    for name in _names(record, now):
        place = folder / name
        try:
            place.touch(exist_ok=False)
        except FileExistsError:
            continue
        return place
    raise AssertionError  # there is always a further name


def _names(record: Path, now: datetime) -> Iterator[str]:
    day = now.date().isoformat()
    yield f"{record.stem}-{day}{record.suffix}"
    yield from (f"{record.stem}-{day}-{number}{record.suffix}" for number in count(2))


def _no_copy(folder: Path, why: str) -> NotKept:
    text = f"No copy was made in {folder} ({why}). Name another folder. The record itself is as it was."
    return NotKept(text)
