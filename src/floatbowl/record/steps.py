"""The shape of the record, one numbered step for each change it ever went through.

A record says in its header which step it is at. Opening it takes it through the
steps it has not seen, each in one transaction. A step that has been released is
never changed; the next idea is a further step.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

APPLICATION_ID = 0x464C4257
"""Marks a file as ours: the letters FLBW."""

_ENTRIES = """
create table entry (
    id integer primary key,
    uid text not null unique,
    bike integer references entry (id),
    at text not null,
    kind text not null check (
        kind in ('bike', 'setup', 'drawer', 'day', 'place', 'remark', 'reading', 'card', 'strike')
    ),
    name text,
    setup integer references entry (id),
    day integer references entry (id),
    strikes integer references entry (id),
    body text not null check (json_valid(body)),
    check ((kind = 'strike') = (strikes is not null)),
    check (strikes is null or strikes < id),
    check (kind not in ('remark', 'reading') or (bike is not null and name is not null and setup is not null))
) strict
"""
"""``bike`` is the first entry of the bike concerned, null for the garage; ``setup`` and ``day``
are those in force when something was said or measured."""

_NAMES_ARE_UNIQUE = "create unique index entry_name on entry (bike, name) where name is not null"
_BY_BIKE = "create index entry_bike on entry (bike)"
_BY_KIND = "create index entry_kind on entry (kind)"
_STRIKES = "create index entry_strikes on entry (id, strikes) where strikes is not null"

_NO_CHANGE = """
create trigger entry_is_never_changed before update on entry
begin select raise(abort, 'an entry is never changed; strike it out instead'); end
"""
_NO_ERASING = """
create trigger entry_is_never_erased before delete on entry
begin select raise(abort, 'an entry is never erased; strike it out instead'); end
"""
_NO_REPLACING = """
create trigger entry_is_never_replaced before insert on entry
when exists (select 1 from entry where id = new.id or uid = new.uid)
begin select raise(abort, 'an entry is never replaced; strike it out instead'); end
"""
"""Insert-or-replace would erase without asking the trigger above."""

_ENTRIES_WITH_MENDS = """
create table entry_with_mends (
    id integer primary key,
    uid text not null unique,
    bike integer references entry (id),
    at text not null,
    kind text not null check (
        kind in ('bike', 'setup', 'drawer', 'day', 'place', 'remark', 'reading', 'mend', 'card', 'strike')
    ),
    name text,
    setup integer references entry (id),
    day integer references entry (id),
    strikes integer references entry (id),
    body text not null check (json_valid(body)),
    check ((kind = 'strike') = (strikes is not null)),
    check (strikes is null or strikes < id),
    check (kind not in ('remark', 'reading') or name is not null),
    check (kind not in ('remark', 'reading', 'mend') or (bike is not null and setup is not null))
) strict
"""
"""A table's checks cannot be widened: the entries move into a new table, which takes the old one's name."""

_ENTRIES_WITH_SETTINGS = """
create table entry_with_settings (
    id integer primary key,
    uid text not null unique,
    bike integer references entry (id),
    at text not null,
    kind text not null check (
        kind in (
            'bike', 'setup', 'drawer', 'day', 'place', 'remark', 'reading', 'mend', 'strip', 'aside', 'card',
            'setting', 'strike'
        )
    ),
    name text,
    setup integer references entry (id),
    day integer references entry (id),
    strikes integer references entry (id),
    body text not null check (json_valid(body)),
    check ((kind = 'strike') = (strikes is not null)),
    check (strikes is null or strikes < id),
    check (kind not in ('remark', 'reading') or name is not null),
    check (kind not in ('remark', 'reading', 'mend', 'aside') or (bike is not null and setup is not null)),
    check (kind <> 'strip' or bike is not null)
) strict
"""
"""Parts of the strip sheet, what was set aside, and the garage's settings are entries as well."""

_MORE_READINGS: tuple[str, ...] = ()
"""Further kinds of reading stand in the same table. The step keeps an older floatbowl, which could not read
them, from opening the record."""

STEPS: tuple[tuple[str, ...], ...] = (
    (
        f"pragma application_id = {APPLICATION_ID}",
        _ENTRIES,
        _NAMES_ARE_UNIQUE,
        _BY_BIKE,
        _BY_KIND,
        _STRIKES,
        _NO_CHANGE,
        _NO_ERASING,
        _NO_REPLACING,
    ),
    (
        _ENTRIES_WITH_MENDS,
        "insert into entry_with_mends select * from entry",
        "drop table entry",
        "alter table entry_with_mends rename to entry",
        _NAMES_ARE_UNIQUE,
        _BY_BIKE,
        _BY_KIND,
        _STRIKES,
        _NO_CHANGE,
        _NO_ERASING,
        _NO_REPLACING,
    ),
    _MORE_READINGS,
    (
        _ENTRIES_WITH_SETTINGS,
        "insert into entry_with_settings select * from entry",
        "drop table entry",
        "alter table entry_with_settings rename to entry",
        _NAMES_ARE_UNIQUE,
        _BY_BIKE,
        _BY_KIND,
        _STRIKES,
        _NO_CHANGE,
        _NO_ERASING,
        _NO_REPLACING,
    ),
)
NEWEST = len(STEPS)


def step_of(connection: sqlite3.Connection) -> int:
    """Tell how many steps the record has been through."""
    return int(connection.execute("pragma user_version").fetchone()[0])


def bring_up_to_date(connection: sqlite3.Connection) -> None:
    """Take the record through the steps it has not seen. Two programs may try at once."""
    while step_of(connection) < NEWEST:
        with _references_unchecked(connection):
            _take_next(connection)


@contextmanager
def _references_unchecked(connection: sqlite3.Connection) -> Iterator[None]:
    """Hold one transaction in which a table may be dropped that entries lean on.

    SQLite takes note of this setting outside transactions only.
    """
    connection.execute("pragma foreign_keys = off")
    try:
        connection.execute("begin immediate")
        yield
        connection.execute("commit")
    finally:
        if connection.in_transaction:
            connection.execute("rollback")
        connection.execute("pragma foreign_keys = on")


def _take_next(connection: sqlite3.Connection) -> None:
    """Take one step, inside a transaction: another program may have taken it while we waited."""
    done = step_of(connection)
    if done < NEWEST:
        for statement in STEPS[done]:
            connection.execute(statement)
        connection.execute(f"pragma user_version = {done + 1}")
