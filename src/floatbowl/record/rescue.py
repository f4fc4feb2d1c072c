"""Saving what can be saved: every entry that can be read goes from a damaged record into a new one.

The old file is only ever read, byte by byte. What it lost and an earlier copy of it still
holds comes from there: entries are never changed, so a copy tells of them what the record told.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path

from floatbowl.record import opening, salvage, spares
from floatbowl.record.first_run import FirstAnswers, first_file
from floatbowl.record.importing import bike_body
from floatbowl.record.rows import Row, insert, row_of, rows_of, why_unreadable
from floatbowl.record.trouble import NotKept

Rows = dict[int, Row]


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """What came of a rescue, each entry by its number."""

    place: Path
    entries: int
    from_copies: tuple[int, ...] = ()
    """Read out of an earlier copy, because the record itself lost them."""
    lost: tuple[int, ...] = ()
    """Known to have been there, and read nowhere."""
    stood_in: tuple[int, ...] = ()
    """Made anew: a bike's first entry, by a later one or as one of an unknown bike, or a setup."""
    leaning: tuple[int, ...] = ()
    """Told under a setup or in air that is lost; they now stand under the one before."""


def rescue(path: Path, new: Path) -> Saved:
    """Save all that can be read into a new record.

    Raises ``NotKept`` where nothing can be read, or ``new`` is there already.
    """
    if new.exists():
        text = f"{new} is there already and was left alone. Name a new file."
        raise NotKept(text)
    own = read_by_pages(path)
    copied = {number: row for number, row in _from_copies(path, own).items() if number not in own}
    known = {**own, **copied}
    if not known:
        text = f"Not one entry can be read out of {path.name}, and no copy of it was found. Nothing was made."
        raise NotKept(text)
    stood_in = dict(_stand_ins(known))
    known |= stood_in
    leaning = {row.id: moved for row in known.values() if (moved := _leaning(row, known)) != row}
    kept = _write({**known, **leaning}, new)
    return Saved(
        place=new,
        entries=len(kept),
        from_copies=_in(kept, copied),
        lost=tuple(number for number in range(1, max(known) + 1) if number not in kept),
        stood_in=_in(kept, stood_in),
        leaning=_in(kept, leaning),
    )


def _in(kept: set[int], rows: Mapping[int, Row]) -> tuple[int, ...]:
    return tuple(sorted(kept & set(rows)))


def read_by_pages(path: Path) -> Rows:
    """Read the entries out of a record's file, whatever SQLite thinks of it. It is not touched."""
    try:
        file = path.read_bytes()
        log = path.with_name(f"{path.name}-wal")
        written = log.read_bytes() if log.exists() else b""
    except OSError as error:
        text = f"{path} cannot be read ({error.strerror or error}). See who may read it."
        raise NotKept(text) from None
    found: Rows = {}
    uids: dict[str, int] = {}
    for number, values in salvage.rows_in(file, written):
        row = row_of(number, values)
        if row is None or why_unreadable(row) or uids.setdefault(row.uid, number) != number:
            continue
        found.setdefault(number, row)
    return found


def _from_copies(path: Path, own: Rows) -> Rows:
    """Give what earlier copies hold, the newest word first; a copy of another garage is left out."""
    found: Rows = {}
    for spare in reversed(spares.spares(path)):
        rows = read_copy(spare.place)
        if all(own[number].uid == row.uid for number, row in rows.items() if number in own):
            found = {**rows, **found}
    taken = {row.uid for row in own.values()}
    return {number: row for number, row in found.items() if number in own or row.uid not in taken}


def read_copy(path: Path) -> Rows:
    """Read the entries of a copy that is whole."""
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as copy:
        return {row.id: row for row in rows_of(copy) if not why_unreadable(row)}


# --- what others lean on -----------------------------------------------------------------------------------


def _stand_ins(known: Rows) -> Iterator[tuple[int, Row]]:
    """Make anew what others cannot do without: a bike's first entry, and a setup of every bike."""
    bikes = {row.bike or row.id: row for row in reversed(known.values()) if row.kind == "bike"}
    roots = {row.bike for row in known.values() if row.bike is not None} | set(bikes)
    for root in sorted(roots):
        told = bikes.get(root) or _unknown_bike(root, known)
        if root not in known:
            yield root, replace(told, id=root, uid=f"saved {root}", bike=None)
        if not any(row.kind == "setup" and row.bike == root for row in known.values()):
            free = next(number for number in count(root + 1) if number not in known)
            setup = json.dumps(json.loads(told.body)["setup"], ensure_ascii=False)
            yield free, Row(id=free, uid=f"saved {free}", bike=root, at=told.at, kind="setup", body=setup)


def _unknown_bike(root: int, known: Rows) -> Row:
    """Make a bike of which nothing is known, for what was told of a bike that is lost."""
    at = min(row.at for row in known.values() if row.bike == root)
    body = bike_body(first_file(FirstAnswers(name=f"Lost bike {root}")))
    return Row(id=root, uid="", at=at, kind="bike", body=json.dumps(body, ensure_ascii=False))


def _leaning(row: Row, known: Rows) -> Row:
    """Let an entry whose setup or air is lost stand under the one before."""
    setup, day = row.setup, row.day
    if setup is not None and setup not in known:
        setup = _before(row, known, "setup")
    if day is not None and day not in known:
        day = _before(row, known, "day")
    return replace(row, setup=setup, day=day)


def _before(row: Row, known: Rows, kind: str) -> int | None:
    owners = {row.bike} if kind == "setup" else {row.bike, None}
    numbers = [
        one.id for one in known.values() if one.kind == kind and one.bike in owners and one.id < row.id
    ]
    return max(numbers, default=None)


# --- the new record ----------------------------------------------------------------------------------------


def _write(rows: Rows, new: Path) -> set[int]:
    """Write a new record and give the numbers of what is in it."""
    opened = opening.open_to_write(new)
    with closing(opened.connection) as connection:
        try:
            connection.execute("begin immediate")
            kept = {row.id for row in _in_order(rows) if _took(connection, row)}
            connection.execute("commit")
        except BaseException:
            connection.close()
            new.unlink(missing_ok=True)
            raise
    return kept


def _in_order(rows: Rows) -> Iterable[Row]:
    return (rows[number] for number in sorted(rows))


def _took(connection: sqlite3.Connection, row: Row) -> bool:
    """Write an entry unless the record's own rules refuse it, as where its bike is lost."""
    with suppress(sqlite3.IntegrityError):
        insert(connection, row)
        return True
    return False
