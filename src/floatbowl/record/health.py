"""How a record is: looked at from all sides, as thoroughly as it goes, and never written in.

What is found is told as data; ``words.doctor`` makes sentences of it.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

from floatbowl.record import opening, spares, steps
from floatbowl.record.rescue import read_by_pages, read_copy
from floatbowl.record.rows import Row, rows_of, senseless
from floatbowl.record.trouble import BrokenRecord, NotKept

Weight = Literal["good", "note", "bad"]
ROOM = 50_000_000
"""Bytes that should be free on the disk: a season of entries and a copy of each (judgement)."""
LATEST_COPY_DAYS = 14
MENDED_SQLITE = (3, 51, 3)
"""From here on two programs that empty the log at the same moment cannot harm the file.

Source: from memory, of what SQLite says of its write-ahead log; 3.44.6 and 3.50.7 have it mended too.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing found: ``key`` says what, ``facts`` the numbers and names in it."""

    key: str
    weight: Weight
    facts: Mapping[str, str | int] = field(default_factory=dict)


def examine(path: Path, *, now: datetime) -> tuple[Finding, ...]:
    """Look at a record from all sides. It is not written in."""
    if not path.exists():
        return (Finding(key="no record", weight="note", facts={"file": str(path)}), *_copies(path, now))
    return (*_record(path), *_copies(path, now), *_around(path))


# --- the record itself -------------------------------------------------------------------------------------


def _record(path: Path) -> Iterator[Finding]:
    try:
        opened = opening.open_to_read(path, because="")
    except BrokenRecord as trouble:
        yield Finding(key="damaged", weight="bad", facts={"file": str(path), "why": _first_line(trouble)})
        yield from _readable(path)
        return
    except NotKept as trouble:
        yield Finding(key="not ours to read", weight="bad", facts={"why": str(trouble)})
        return
    with closing(opened.connection) as connection:
        yield from _structure(connection, path)


def _first_line(trouble: Exception) -> str:
    return str(trouble).partition("\n")[0]


def _structure(connection: sqlite3.Connection, path: Path) -> Iterator[Finding]:
    damage = _damage(connection)
    rows: list[Row] = []
    if not damage:
        try:
            rows = list(rows_of(connection))
        except sqlite3.DatabaseError as error:  # letters that are none
            damage = " ".join(str(error).split())
    if damage:
        yield Finding(key="damaged", weight="bad", facts={"file": str(path), "why": damage})
        yield from _readable(path)
        return
    bikes = len({row.bike or row.id for row in rows if row.kind == "bike"})
    yield Finding(key="whole", weight="good", facts={"entries": len(rows), "bikes": bikes, "file": str(path)})
    yield from _entries(rows, path)
    if steps.step_of(connection) < steps.NEWEST:
        yield Finding(key="older", weight="note")


def _damage(connection: sqlite3.Connection) -> str:
    """Say what the full check finds first, which goes through every page and index."""
    try:
        found = str(connection.execute("pragma integrity_check(1)").fetchone()[0]).replace("\n", " ")
        misled = connection.execute("pragma foreign_key_check").fetchone()
    except sqlite3.DatabaseError as error:
        return str(error)
    leans = "" if misled is None else "an entry leans on one that is not there"
    return leans if found == "ok" else found


def _readable(path: Path) -> Iterator[Finding]:
    rows = read_by_pages(path)
    yield Finding(
        key="can be saved",
        weight="note",
        facts={"entries": len(rows), "of": max(rows, default=0), "file": opening.shown(path)},
    )


def _entries(rows: list[Row], path: Path) -> Iterator[Finding]:
    garbled = senseless(rows)
    if garbled:
        yield Finding(key="garbled", weight="bad", facts={**_numbers(garbled), "file": opening.shown(path)})
    by_number = {row.id: row for row in rows}
    gone = [number for number in range(1, max(by_number, default=0) + 1) if number not in by_number]
    if gone:
        yield Finding(key="gaps", weight="note", facts=_numbers(gone))
    for spare in reversed(spares.spares(path)):
        copied = read_copy(spare.place)
        if any(by_number[number].uid != row.uid for number, row in copied.items() if number in by_number):
            continue  # a copy of another garage, or of this one before somebody went back
        changed = [number for number, row in copied.items() if _is_other(row, by_number.get(number))]
        if changed:
            facts = {**_numbers(changed), "copy": opening.shown(spare.place)}
            yield Finding(key="changed", weight="bad", facts=facts)
            return


def _is_other(copied: Row, row: Row | None) -> bool:
    """Say whether an entry, which is never changed, reads otherwise than it did when it was copied."""
    return row is None or (row.at, row.kind, row.body) != (copied.at, copied.kind, copied.body)


def _numbers(numbers: list[int]) -> dict[str, str | int]:
    shown = ", ".join(str(number) for number in numbers[:10])
    return {"count": len(numbers), "numbers": f"{shown} and more" if len(numbers) > 10 else shown}  # noqa: PLR2004  (as shown)


# --- copies, and what is around it -------------------------------------------------------------------------


def _copies(path: Path, now: datetime) -> Iterator[Finding]:
    found = spares.spares(path)
    if not found:
        if path.exists():
            yield Finding(key="no copy", weight="note", facts={"folder": str(spares.folder_of(path))})
        return
    last = found[-1].place
    made = datetime.fromtimestamp(last.stat().st_mtime, tz=UTC)
    facts: dict[str, str | int] = {"count": len(found), "copy": str(last), "day": made.date().isoformat()}
    is_old = (now - made).days > LATEST_COPY_DAYS
    yield Finding(key="old copies" if is_old else "copies", weight="note" if is_old else "good", facts=facts)


def _around(path: Path) -> Iterator[Finding]:
    for place in (path, path.parent):
        if not os.access(place, os.W_OK):
            yield Finding(key="no leave to write", weight="bad", facts={"file": str(place)})
    free = shutil.disk_usage(path.parent).free
    needed = max(ROOM, 3 * path.stat().st_size)
    if free < needed:
        facts: dict[str, str | int] = {"free": free // 1_000_000, "needed": needed // 1_000_000}
        yield Finding(key="little room", weight="bad", facts=facts)
    if _may_race():
        yield Finding(key="old sqlite", weight="note", facts={"version": sqlite3.sqlite_version})


def _may_race() -> bool:
    """Say whether this SQLite is older than the mend named above."""
    version = sqlite3.sqlite_version_info
    has_mend = version[:2] in {(3, 44), (3, 50)} and version >= {44: (3, 44, 6), 50: (3, 50, 7)}[version[1]]
    return version < MENDED_SQLITE and not has_mend
