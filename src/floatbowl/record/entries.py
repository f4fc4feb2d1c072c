"""The entries of the record: added, struck out, never changed."""

from __future__ import annotations

import json
import sqlite3
import uuid
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Literal, NewType, get_args

import msgspec

from floatbowl.record.opening import Opened
from floatbowl.record.trouble import BrokenRecord, NotKept, ReadOnlyRecord

EntryId = NewType("EntryId", int)
Kind = Literal[
    "bike",
    "setup",
    "drawer",
    "day",
    "place",
    "remark",
    "reading",
    "mend",
    "strip",
    "aside",
    "card",
    "setting",
    "strike",
]


KINDS: frozenset[str] = frozenset(get_args(Kind))


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry as it stands in the record. ``bike`` is the first entry of the bike it is about."""

    id: EntryId
    bike: EntryId | None
    at: datetime
    kind: Kind
    name: str | None
    setup: EntryId | None
    day: EntryId | None
    strikes: EntryId | None
    body: dict[str, Any]
    is_struck: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Under:
    """What an entry is about and what was in force when it was made."""

    bike: EntryId | None = None
    name: str | None = None
    setup: EntryId | None = None
    day: EntryId | None = None
    strikes: EntryId | None = None


_COLUMNS = "id, bike, at, kind, name, setup, day, strikes, body"
_ALL = f"select {_COLUMNS} from entry order by id"  # noqa: S608  (built from the line above alone)
_OF_BIKE = f"select {_COLUMNS} from entry where bike = :bike or id = :bike order by id"  # noqa: S608  (the same)
_ONE = f"select {_COLUMNS} from entry where id = :id"  # noqa: S608  (the same)
_OF_KIND = f"select {_COLUMNS} from entry where kind = :kind order by id"  # noqa: S608  (the same)
_INSERT = """
insert into entry (id, uid, bike, at, kind, name, setup, day, strikes, body)
values (
    (select coalesce(max(id), 0) + 1 from entry),
    :uid, :bike, :at, :kind, :name, :setup, :day, :strikes, :body
)
"""


class Entries:
    """The table of entries behind one open connection."""

    def __init__(self, opened: Opened) -> None:
        """Take an open record."""
        self.only_read_because = opened.only_read_because
        self._connection = opened.connection
        self._is_writing = False

    def close(self) -> None:
        """Let the file go."""
        self._connection.close()

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Hold the record for writing: all that is added within stands or falls together."""
        if self.only_read_because:
            raise ReadOnlyRecord(self.only_read_because)
        if self._is_writing:
            yield
            return
        self._run("begin immediate")
        self._is_writing = True
        try:
            yield
            self._run("commit")
        finally:
            self._is_writing = False
            if self._connection.in_transaction:
                self._connection.execute("rollback")

    def add(
        self, kind: Kind, body: Mapping[str, Any], *, now: datetime, under: Under, uid: str | None = None
    ) -> EntryId:
        """Add one entry; only within ``writing``. ``uid`` tells an entry sent twice from two entries."""
        values = {
            "uid": uid or uuid.uuid4().hex,
            "at": now.isoformat(),
            "kind": kind,
            "body": json.dumps(body, allow_nan=False, ensure_ascii=False),
            **asdict(under),
        }
        try:
            return EntryId(int(self._run(_INSERT, values).lastrowid or 0))
        except sqlite3.IntegrityError as error:  # we refuse what cannot be kept before it comes to this
            raise _damaged(str(error)) from None

    @property
    def connection(self) -> sqlite3.Connection:
        """Give the connection, for a copy of the whole."""
        return self._connection

    def of_uid(self, uid: str | None) -> EntryId | None:
        """Find an entry that was sent before."""
        row = self._run("select id from entry where uid = :uid", {"uid": uid}).fetchone()
        return None if row is None else EntryId(row[0])

    def find(self, entry: EntryId) -> Entry | None:
        """Give one entry, or None where there is none of that number."""
        return next(iter(self._select(_ONE, {"id": entry})), None)

    def one(self, entry: EntryId) -> Entry:
        """Give an entry that is there."""
        return self._select(_ONE, {"id": entry})[0]

    def all(self) -> list[Entry]:
        """Give all entries in the order they were made."""
        return self._select(_ALL, {})

    def of_bike(self, bike: EntryId) -> list[Entry]:
        """Give the entries about one bike."""
        return self._select(_OF_BIKE, {"bike": bike})

    def of_kind(self, kind: Kind) -> list[Entry]:
        """Give the entries of one kind, for the garage and all its bikes."""
        return self._select(_OF_KIND, {"kind": kind})

    def _select(self, query: str, values: Mapping[str, Any]) -> list[Entry]:
        rows = self._all(query, values)
        struck = self._struck()
        try:
            return [_entry(row, struck) for row in rows]
        except (ValueError, KeyError) as error:  # what SQLite took for whole is no entry of ours
            raise _damaged(str(error)) from None

    def _struck(self) -> frozenset[int]:
        """Give all entries struck out. A strike that was itself struck out no longer counts."""
        struck: set[int] = set()
        query = "select id, strikes from entry where strikes is not null order by id desc"
        for strike, target in self._all(query):
            if strike not in struck:  # whatever strikes this strike came later, so it has been seen
                struck.add(target)
        return frozenset(struck)

    def _all(self, query: str, values: Mapping[str, Any] | None = None) -> list[tuple[Any, ...]]:
        """Give all rows at once: a page that cannot be read may turn up with the last of them."""
        try:
            return self._run(query, values).fetchall()
        except sqlite3.DatabaseError as error:
            raise _told(error) from error

    def _run(self, statement: str, values: Mapping[str, Any] | None = None) -> sqlite3.Cursor:
        try:
            return self._connection.execute(statement, values or {})
        except sqlite3.IntegrityError:
            raise
        except sqlite3.DatabaseError as error:
            raise _told(error) from error


def _told(error: sqlite3.DatabaseError) -> NotKept:
    """Tell what SQLite complains of as a sentence."""
    said = str(error)
    if "locked" in said or "busy" in said:
        return NotKept(
            "Another program is writing in the record and does not let go. Close it and try again."
        )
    if "readonly" in said:
        return ReadOnlyRecord("The record may be read but not written. See who may write it.")
    if "full" in said:
        return NotKept("The disk is full. Make room and try again; all that was kept before is safe.")
    if "disk I/O" in said:
        text = f"The disk did not take it ({said}). Look whether it is full. What was kept before is safe."
        return NotKept(text)
    return _damaged(said)


def _damaged(why: str) -> BrokenRecord:
    told = " ".join(why.split())
    return BrokenRecord(f"The record is damaged here ({told}). See what can be saved: floatbowl doctor")


def _entry(row: tuple[Any, ...], struck: frozenset[int]) -> Entry:
    entry, bike, at, kind, name, setup, day, strikes, body = row
    if kind not in KINDS:
        raise KeyError(kind)
    return Entry(
        id=EntryId(entry),
        bike=EntryId(entry) if kind == "bike" and bike is None else bike,
        at=datetime.fromisoformat(at),
        kind=kind,
        name=name,
        setup=setup,
        day=day,
        strikes=strikes,
        body=msgspec.json.decode(body),
        is_struck=entry in struck,
    )
