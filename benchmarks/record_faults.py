"""Kill programs that write in a record, at any moment, and see what is left in it.

``python -m benchmarks.record_faults KILLS SEED``. Two programs tap all the time: one as the
command line does, which opens the record for every job and leaves a spare copy behind; one
as the pages do, which names every tap and sends it again, under the same name, when it got
no answer. One of the two is killed (SIGKILL) after a random while, what it had been told was
kept is held against the record, and another takes its place. The record is checked while the
other one goes on writing.

In every second record a third program keeps it open and reads, so that its log grows long; in
the others every tap may be the last to let it go, which empties the log into the file.

All are forked from this program, so that a life costs milliseconds: only the imports are
shared, the record is opened by each for itself. The disk itself is not failed here.
"""

from __future__ import annotations

import argparse
import os
import signal
import sqlite3
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import numpy as np

from floatbowl.jobs import Garage
from floatbowl.record.bike_file import read_bike_file
from floatbowl.record.spares import UNFINISHED, folder_of, spares
from floatbowl.record.store import Record
from floatbowl.signs.trial import LambdaReading

MAGPIE = """\
name = "Magpie"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0 }
setup = { main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""
START = datetime(2026, 1, 1, tzinfo=UTC)
LONGEST_LIFE = 0.1
"""Seconds within which a program is killed."""
KILLS_A_RECORD = 100
"""Then a new record is begun, or reading all of it would be most of the work."""
SCALE = 1e-7
"""A tap's number is hidden in the lambda it writes down: 0.7 and so many ten-millionths."""


@dataclass
class Life:
    """A program that taps, and the pipe on which it says what it did."""

    process: int
    pipe: int


@dataclass
class Tally:
    """What came of it."""

    kills: int = 0
    kept: int = 0
    sent_again: int = 0
    lost: list[int] = field(default_factory=list)
    twice: list[int] = field(default_factory=list)
    damage: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    copies: int = 0
    halves: int = 0

    @property
    def is_clean(self) -> bool:
        """Say whether nothing was lost, doubled, damaged, or told as trouble to one who tapped."""
        return not (self.lost or self.twice or self.damage or self.said or self.halves)


def begin(place: Path) -> None:
    """Make a record in which a bike stands."""
    with Record.open(place) as record:
        record.add_bike(read_bike_file(MAGPIE, source_name="magpie.toml"), now=START)


def tap_like_commands(place: Path, numbers: Iterator[int], say: Callable[[str, int], None]) -> None:
    """Open the record for every tap, write it down, leave the day's spare copy; then say so."""
    for number in numbers:
        now = START + timedelta(days=number // 20)
        with Garage(Record.open(place), clock=partial(_at, now)) as garage:
            say("begins", number)
            garage.record_reading("magpie", kind="lambda", at="1/4", value=0.7 + number * SCALE)
            say("kept", number)
            garage.keep_spare()


def _at(now: datetime) -> datetime:
    return now


def tap_like_pages(place: Path, numbers: Iterator[int], say: Callable[[str, int], None]) -> None:
    """Open the record for every tap and write it under the tap's name: sent twice it stands once."""
    for number in numbers:
        with Garage(Record.open(place), clock=lambda: START, once=f"tap {number}") as garage:
            say("begins", number)
            garage.record_reading("magpie", kind="lambda", at="1/2", value=0.7 + number * SCALE)
        say("kept", number)


def look_on(place: Path, _: Iterator[int], say: Callable[[str, int], None]) -> None:
    """Keep the record open and read in it, again and again."""
    with Record.open(place) as record:
        while True:
            record.log()
            say("looked", 0)
            time.sleep(0.05)


WAYS = (tap_like_commands, tap_like_pages)


def start(way: Callable[..., None], place: Path, first: int, again: Sequence[int]) -> Life:
    """Fork a program that taps, first what it got no answer to, then ever further numbers."""
    reading, writing = os.pipe()
    process = os.fork()
    if process:
        os.close(writing)
        return Life(process, reading)
    try:
        way(place, _numbers(first, again), lambda what, number: _say(writing, f"{what} {number}"))
    except BaseException as error:  # noqa: BLE001  (told to the parent, whatever it is)
        _say(writing, f"trouble {type(error).__name__}: {error}".replace("\n", " "))
    os._exit(1)


def _numbers(first: int, again: Sequence[int]) -> Iterator[int]:
    yield from again
    number = first
    while True:
        yield number
        number += 2  # odd and even: the two programs never share a number


def _say(pipe: int, line: str) -> None:
    os.write(pipe, f"{line}\n".encode())


def end(life: Life) -> list[str]:
    """Kill a program and give all that it had said."""
    os.kill(life.process, signal.SIGKILL)
    os.waitpid(life.process, 0)
    with os.fdopen(life.pipe, "rb") as pipe:
        said = pipe.read().decode().split("\n")
    return said[:-1]  # a line that was not finished was not said


def entries_kept(place: Path) -> Counter[int]:
    """Count how often each tap's number stands in the record, read by SQLite alone."""
    with closing(sqlite3.connect(place, timeout=20.0)) as connection:
        query = "select json_extract(body, '$.value') from entry where kind = 'reading'"
        return Counter(round((value - 0.7) / SCALE) for (value,) in connection.execute(query))


def damage_in(place: Path) -> str:
    """Say what the full check of SQLite finds; empty when nothing."""
    with closing(sqlite3.connect(place, timeout=20.0)) as connection:
        found = connection.execute("pragma integrity_check").fetchone()[0]
        misled = connection.execute("pragma foreign_key_check").fetchone()
    return "" if found == "ok" and misled is None else f"{found} {misled}"


def one_record(place: Path, kills: int, rng: np.random.Generator, tally: Tally, *, is_watched: bool) -> None:
    """Let two programs tap in one record and kill them by turns, so many times."""
    begin(place)
    watching = [start(look_on, place, 0, [])] if is_watched else []
    told: list[set[int]] = [set(), set()]
    last = [-2, -1]
    again: list[list[int]] = [[], []]
    lives = [start(way, place, first, []) for first, way in enumerate(WAYS)]
    for _ in range(kills):
        time.sleep(float(rng.uniform(0.0, LONGEST_LIFE)))
        k = int(rng.integers(2))
        last[k] = max(last[k], _take_note(end(lives[k]), told[k], again[k], tally, is_named=k == 1))
        tally.kills += 1
        _check(place, told, tally)
        lives[k] = start(WAYS[k], place, last[k] + 2, again[k])
    for life in watching:
        _take_note(end(life), set(), [], tally, is_named=False)
    for k, life in enumerate(lives):
        _take_note(end(life), told[k], again[k], tally, is_named=k == 1)
    _check(place, told, tally)
    with Record.open(place) as record:  # and floatbowl itself reads it
        readings = [one for trial in record.trials("magpie") for one in trial.readings]
    assert all(isinstance(one, LambdaReading) for one in readings)
    tally.kept += len(readings)
    tally.copies += len(whole := spares(place))
    named = [path for path in folder_of(place).glob("*") if UNFINISHED not in path.name]
    tally.halves += len(named) - len(whole)


def _take_note(said: list[str], told: set[int], again: list[int], tally: Tally, *, is_named: bool) -> int:
    """Note what was kept, and what was begun without an answer: the pages send that again.

    Give the highest number that was begun.
    """
    begun, unanswered = -2, frozenset(again)
    for line in said:
        what, _, rest = line.partition(" ")
        begun = max(begun, int(rest)) if what == "begins" else begun
        if what == "trouble":
            tally.said.append(rest)
        elif what == "kept":
            told.add(int(rest))
            if int(rest) in again:
                again.remove(int(rest))
            tally.sent_again += int(rest) in unanswered
        elif what == "begins" and is_named and int(rest) not in again:
            again.append(int(rest))
    return begun


def _check(place: Path, told: list[set[int]], tally: Tally) -> None:
    found = damage_in(place)
    if found:
        tally.damage.append(found)
    there = entries_kept(place)
    tally.lost += [number for numbers in told for number in numbers if number not in there]
    tally.twice += [number for number, times in there.items() if times > 1]


def run(kills: int, seed: int, folder: Path) -> Tally:
    """Kill so many programs, a new record every hundred."""
    rng, tally = np.random.default_rng(seed), Tally()
    for count, left in enumerate(range(kills, 0, -KILLS_A_RECORD)):
        place = folder / f"{count}.garage"
        one_record(place, min(KILLS_A_RECORD, left), rng, tally, is_watched=count % 2 == 1)
    return tally


def main() -> None:
    """Kill, and print what was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("kills", type=int)
    parser.add_argument("seed", type=int)
    asked = parser.parse_args()
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        tally = run(asked.kills, asked.seed, Path(folder))
    print(f"{tally.kills} kills in {time.monotonic() - began:.0f} s, SQLite {sqlite3.sqlite_version}")
    print(f"{tally.kept} taps in the records; {tally.sent_again} sent again after a kill and then kept")
    print(f"acknowledged and lost: {len(tally.lost)}; kept twice: {len(tally.twice)}")
    print(f"integrity check not clean: {len(tally.damage)} {tally.damage[:1]}")
    print(f"trouble told to who tapped: {len(tally.said)} {tally.said[:3]}")
    print(f"spare copies: {tally.copies} whole, {tally.halves} that bear a name and are not whole")
    raise SystemExit(0 if tally.is_clean else 1)


if __name__ == "__main__":
    main()
