"""Entries as they lie in the file, row by row: taken whole from one record into another."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, astuple, dataclass, fields
from datetime import datetime
from typing import Any, cast

import msgspec

from floatbowl.bike.place import Place
from floatbowl.record import drawer_entries, history, settings, stands
from floatbowl.record.entries import KINDS, Entry, EntryId


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of the table of entries, in the order of its columns."""

    id: int
    uid: str
    bike: int | None = None
    at: str
    kind: str
    name: str | None = None
    setup: int | None = None
    day: int | None = None
    strikes: int | None = None
    body: str


COLUMNS = tuple(field.name for field in fields(Row))
_SELECT = f"select {', '.join(COLUMNS)} from entry order by id"  # noqa: S608  (built from the names above)
_INSERT = f"insert into entry ({', '.join(COLUMNS)}) values ({', '.join(f':{name}' for name in COLUMNS)})"  # noqa: S608
_TEXTS = {"uid", "at", "kind", "body"}
_NUMBERS = {"bike", "setup", "day", "strikes"}


def rows_of(connection: sqlite3.Connection) -> Iterator[Row]:
    """Give every row in the order of the entries."""
    for values in connection.execute(_SELECT):
        yield Row(**dict(zip(COLUMNS, values, strict=True)))


def insert(connection: sqlite3.Connection, row: Row) -> None:
    """Write a row under its own number and name. Raises ``sqlite3.IntegrityError`` where that cannot be."""
    connection.execute(_INSERT, asdict(row))


def row_of(number: int, values: tuple[object, ...]) -> Row | None:
    """Make a row of the values of one; None where they are of some other table, or nonsense."""
    if len(values) != len(COLUMNS):
        return None
    told = dict(zip(COLUMNS, (number, *values[1:]), strict=True))
    if not all(isinstance(told[name], str) for name in _TEXTS):
        return None
    if not all(told[name] is None or isinstance(told[name], int) for name in _NUMBERS):
        return None
    if number < 1 or told["kind"] not in KINDS or not isinstance(told["name"], str | None):
        return None
    return Row(**cast("dict[str, Any]", told))


def why_unreadable(row: Row) -> str:
    """Say why an entry cannot be read as what it should be; empty when it can."""
    try:
        _READ[row.kind](entry_of(row))
    except NONSENSE as error:
        return f"{type(error).__name__}: {error}"
    return ""


def senseless(rows: Iterable[Row]) -> list[int]:
    """Give the numbers of entries that cannot be read, or lean on what is no bike, setup or air."""
    known = {row.id: row for row in rows}
    leans = {"bike": "bike", "setup": "setup", "day": "day"}

    def is_led_astray(row: Row) -> bool:
        told = ((getattr(row, field), kind) for field, kind in leans.items())
        return any(number is not None and known[number].kind != kind for number, kind in told)

    return [row.id for row in known.values() if why_unreadable(row) or is_led_astray(row)]


def entry_of(row: Row) -> Entry:
    """Give a row as an entry, as if nothing had struck it out."""
    told = dict(zip(COLUMNS, astuple(row), strict=True))
    del told["uid"]
    at, body = datetime.fromisoformat(row.at), json.loads(row.body)
    bike = EntryId(row.id) if row.kind == "bike" and row.bike is None else row.bike
    return Entry(**{**told, "at": at, "body": body, "bike": bike}, is_struck=False)


NONSENSE = (ValueError, LookupError, TypeError, AttributeError, ArithmeticError, RecursionError)
"""What reading an entry that makes no sense may raise."""
_READ: dict[str, Callable[[Entry], object]] = {
    "bike": lambda entry: stands.file_of(entry).bike,
    "setup": history.setup_of,
    "drawer": lambda entry: drawer_entries.drawer([entry]),
    "day": history.day_of,
    "place": lambda entry: msgspec.convert(entry.body, Place),
    "remark": history.remark_of,
    "reading": history.reading_of,
    "mend": lambda entry: msgspec.convert(entry.body["fault"], str),
    "strip": lambda entry: (msgspec.convert(entry.body, dict[str, str])["card"], entry.body["answer"]),
    "aside": lambda entry: history.aside_of_facts(entry.body),
    "card": lambda entry: msgspec.convert([entry.body["text"], entry.body["signed"]], list[str]),
    "setting": lambda entry: settings.settings([entry]),
    "strike": lambda entry: entry.strikes,
}
