"""What the entries of one bike add up to: what is fitted now, and what was said under which setup."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any, cast

import msgspec

from floatbowl.bike.aside import Aside
from floatbowl.bike.day import Day
from floatbowl.bike.place import assume_day
from floatbowl.bike.setup import Setup
from floatbowl.record.entries import Entry, EntryId, Kind
from floatbowl.record.trial_file import NOUNS, kind_of
from floatbowl.signs.trial import Reading, Remark, Trial

TOLD: tuple[Kind, ...] = ("remark", "reading", "mend")
"""What is told of a bike under the setup and air in force."""


def living(entries: Iterable[Entry], *kinds: Kind) -> list[Entry]:
    """Give the entries of some kinds that are not struck out, oldest first."""
    return [entry for entry in entries if entry.kind in kinds and not entry.is_struck]


def setup_of(entry: Entry) -> Setup:
    """Give the setup in an entry."""
    return msgspec.convert(entry.body, Setup)


def day_of(entry: Entry) -> Day:
    """Give the air in an entry."""
    return msgspec.convert(entry.body, Day)


def remark_of(entry: Entry) -> Remark:
    """Give the remark in an entry."""
    return msgspec.convert({**entry.body, "entry": entry.name}, Remark)


def reading_of(entry: Entry) -> Reading:
    """Give the reading in an entry."""
    reading: Reading = msgspec.convert({**entry.body, "entry": entry.name}, NOUNS[entry.body["kind"]])
    return reading


def body_of(thing: Remark | Reading) -> dict[str, Any]:
    """Give what is kept of a remark or reading; its name stands beside it."""
    body = {key: value for key, value in plain(thing).items() if key != "entry"}
    return body if isinstance(thing, Remark) else {"kind": kind_of(thing), **body}


def body_now(entry: Entry) -> dict[str, Any]:
    """Give what would be kept today of what an entry tells: a noun may have gained a field since."""
    match entry.kind:
        case "remark":
            return body_of(remark_of(entry))
        case "reading":
            return body_of(reading_of(entry))
        case _:
            return entry.body


def body_of_mend(fault: str) -> dict[str, Any]:
    """Give what is kept of a mend."""
    return {"fault": fault}


def plain(noun: object) -> dict[str, Any]:
    """Give a noun as plain data."""
    return cast("dict[str, Any]", msgspec.to_builtins(noun))


def next_number(entries: Iterable[Entry]) -> int:
    """Give the number of the next setup: no number is used twice, struck out or not."""
    return 1 + max((setup_of(entry).number for entry in entries if entry.kind == "setup"), default=0)


_NAMED = {"remark": "ride", "reading": "reading"}


def next_name(entries: Iterable[Entry], kind: Kind) -> str:
    """Give the name of the next remark or reading of a bike: ``ride-3``. Names are not used twice.

    >>> next_name([], "remark"), next_name([], "reading")
    ('ride-1', 'reading-1')
    """
    counts = (re.search("[0-9]+", entry.name) for entry in entries if entry.kind == kind and entry.name)
    last = max((int(count.group()) for count in counts if count), default=0)
    return f"{_NAMED[kind]}-{last + 1}"


def setups(entries: Iterable[Entry]) -> tuple[Setup, ...]:
    """Give the setups in the order they were last fitted; the one fitted now stands last."""
    by_number: dict[int, Setup] = {}
    for entry in living(entries, "setup"):
        setup = setup_of(entry)
        by_number.pop(setup.number, None)
        by_number[setup.number] = setup
    return tuple(by_number.values())


def asides(entries: Sequence[Entry]) -> tuple[Aside, ...]:
    """Give what was set aside under the setup that is fitted now, each once."""
    fitted = living(entries, "setup")
    here = [entry for entry in living(entries, "aside") if in_force(fitted, entry.setup).id == fitted[-1].id]
    return tuple(dict.fromkeys(aside_of_facts(entry.body) for entry in here))


def aside_of_facts(facts: Mapping[str, Any]) -> Aside:
    """Give what was set aside back from what is kept of it."""
    return msgspec.convert(dict(facts), Aside)


def trials(entries: Sequence[Entry], garage_days: Sequence[Entry]) -> tuple[Trial, ...]:
    """Group what was said and measured: together while setup and air stay the same and nothing is mended.

    What was said under a setup that was struck out since counts for the setup
    before it; the same holds for the air.
    """
    fitted = living(entries, "setup")
    days = [*garage_days, *(entry for entry in entries if entry.kind == "day")]
    mends = living(entries, "mend")
    told = [
        (setup_of(in_force(fitted, entry.setup)), _air(entry, days), _mended_since(entry, mends), entry)
        for entry in living(entries, *TOLD)
    ]
    return tuple(_trial(group) for _, group in groupby(told, key=lambda one: one[:3]))


def _mended_since(entry: Entry, mends: Sequence[Entry]) -> tuple[str, ...]:
    """Name what was mended since; a mend itself belongs to what it ends."""
    return tuple(mend.body["fault"] for mend in mends if mend.id >= entry.id)


def in_force(living_entries: Sequence[Entry], told: EntryId | None) -> Entry:
    """Give the entry told, or where it was struck out the one before it, or else the first there is."""
    before = [entry for entry in living_entries if told is not None and entry.id <= told]
    return before[-1] if before else living_entries[0]


def _air(entry: Entry, days: Sequence[Entry]) -> Day:
    """Give the air told of; garage and bike (from its file) have each their own line of days."""
    told = next((day for day in days if day.id == entry.day), None)
    if told is None:
        return assume_day()
    same_line = [day for day in days if day.bike == told.bike and day.id <= told.id and not day.is_struck]
    return day_of(same_line[-1]) if same_line else assume_day()


def _trial(group: Iterator[tuple[Setup, Day, tuple[str, ...], Entry]]) -> Trial:
    told = list(group)
    setup, day, mended, _ = told[0]
    entries = [entry for *_, entry in told]
    return Trial(
        setup=setup,
        day=day,
        remarks=tuple(remark_of(entry) for entry in entries if entry.kind == "remark"),
        readings=tuple(reading_of(entry) for entry in entries if entry.kind == "reading"),
        mended=mended,
    )
