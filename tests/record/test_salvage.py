"""Reading a record page by page without SQLite: it tells the same as SQLite does, and never stumbles."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from floatbowl.record.bike_file import BikeFile
from floatbowl.record.salvage import Row, rows_in
from floatbowl.record.store import Record
from tests.record.files import NOW


def by_pages(file: bytes, log: bytes = b"") -> dict[int, Row]:
    """Give the rows of the table of entries as the pages tell them."""
    return {number: (number, *row[1:]) for number, row in rows_in(file, log) if len(row) == 10}


def by_sqlite(place: Path) -> dict[int, Row]:
    """Give the rows of the table of entries as SQLite tells them."""
    with closing(sqlite3.connect(place)) as connection:
        return {row[0]: row for row in connection.execute("select * from entry")}


def test_a_record_reads_the_same_page_by_page(place: Path, magpie: BikeFile) -> None:
    """Hundreds of entries, long texts that fill pages of their own, letters beyond ASCII: all the same."""
    with Record.open(place) as record:
        record.add_bike(magpie, now=NOW)
        for count in range(300):
            record.say("magpie", {"did": "flat"}, now=NOW)
            record.keep_card("magpie", "höher \N{SNOWMAN} " * (count * 7 % 900), signed="", now=NOW)
        assert by_pages(place.read_bytes(), log_of(place)) == by_sqlite(place)
    assert by_pages(place.read_bytes()) == by_sqlite(place)


def log_of(place: Path) -> bytes:
    """Give the write-ahead log of a record."""
    return place.with_name(f"{place.name}-wal").read_bytes()


@contextmanager
def a_reader(place: Path) -> Iterator[None]:
    """Keep the record open meanwhile, so that its log is not emptied."""
    with closing(sqlite3.connect(place)) as connection:
        connection.execute("select count(*) from entry").fetchone()
        yield


def test_only_what_was_committed_is_read_out_of_the_log(place: Path, magpie: BikeFile) -> None:
    """Wherever the log is cut, the pages tell what SQLite tells after the same cut."""
    with Record.open(place) as record:
        record.add_bike(magpie, now=NOW)
        with a_reader(place):
            for _ in range(8):
                record.say("magpie", {"did": "flat"}, now=NOW)
            file, log = place.read_bytes(), log_of(place)
    seen = set()
    for cut in range(0, len(log), 1030):  # a frame is 4120 bytes: at its ends and within
        other = place.with_name(f"cut-{cut}.sqlite")
        other.write_bytes(file)
        other.with_name(f"{other.name}-wal").write_bytes(log[:cut])
        try:
            expected = by_sqlite(other)
        except sqlite3.DatabaseError:
            expected = {}
        found = by_pages(file, log[:cut])
        assert found == expected
        seen.add(len(found))
    assert len(seen) > 5


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Give the bytes of a record of some pages."""
    from floatbowl.record.bike_file import read_bike_file  # noqa: PLC0415  (for this one record)
    from tests.record.files import MAGPIE  # noqa: PLC0415

    place = tmp_path_factory.mktemp("whole") / "garage.sqlite"
    with Record.open(place) as record:
        record.add_bike(read_bike_file(MAGPIE, source_name="magpie.toml"), now=NOW)
        for _ in range(60):
            record.say("magpie", {"did": "flat"}, now=NOW)
    return place.read_bytes()


@pytest.mark.property
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
@given(data=some.data())
def test_no_nonsense_makes_it_stumble(data: some.DataObject, whole: bytes) -> None:
    """Bytes changed, cut and added anywhere, as file and as log: rows or none, and no failure."""
    spoilt = bytearray(whole)
    for _ in range(data.draw(some.integers(1, 12))):
        start = data.draw(some.integers(0, len(spoilt)))
        spoilt[start : start + data.draw(some.integers(0, 40))] = data.draw(some.binary(max_size=40))
    list(rows_in(bytes(spoilt), bytes(spoilt[::-1])))
    list(rows_in(data.draw(some.binary(max_size=300)), bytes(spoilt)))
