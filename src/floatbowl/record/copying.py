"""A copy of the whole record in a dated file, made because somebody asked for it, while it is in use."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import datetime
from itertools import count
from pathlib import Path

from floatbowl.record.spares import copy_into


def copy(connection: sqlite3.Connection, record: Path, *, folder: Path, now: datetime) -> Path:
    """Copy the record into ``folder`` and give the new file. Raises ``NotKept`` where that cannot be done."""
    return copy_into(connection, folder, _names(record, now))


def _names(record: Path, now: datetime) -> Iterator[str]:
    day = now.date().isoformat()
    yield f"{record.stem}-{day}{record.suffix}"
    yield from (f"{record.stem}-{day}-{number}{record.suffix}" for number in count(2))
