"""The logbook: all that happened, line by line, struck out or not."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from floatbowl.record import history, stands
from floatbowl.record.entries import Entry, EntryId, Kind
from floatbowl.record.setup_file import setup_written
from floatbowl.record.trial_file import day_written, facts_of_reading, remark_written


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLine:
    """One line of the logbook. ``entry`` is the name of a remark or reading, ``bike`` empty for the garage's.

    ``id`` is what ``strike`` takes, and ``can_be_struck`` says whether it may: striking out a strike brings
    back what it struck. ``facts`` is plain data under the names and in the units of the bike file.
    """

    id: EntryId
    entry: str
    when: dt.datetime
    kind: Kind
    facts: Mapping[str, Any]
    struck: bool
    bike: str
    can_be_struck: bool = field(default=False, compare=False)


def log_line(entry: Entry, names: Mapping[EntryId, str], *, is_last: bool = False) -> LogLine:
    """Give an entry as a line of the logbook; ``names`` are those of the bikes by their first entry.

    ``is_last`` says that its bike would be left with nothing fitted without it.
    """
    root = stands.root_of(entry)
    return LogLine(
        id=entry.id,
        entry=entry.name or "",
        when=entry.at,
        kind=entry.kind,
        facts=_facts(entry),
        struck=entry.is_struck,
        bike="" if root is None else names[root],
        can_be_struck=not entry.is_struck and not is_last,
    )


def _facts(entry: Entry) -> dict[str, Any]:
    told = _FACTS.get(entry.kind)
    return dict(entry.body) if told is None else told(entry)


_FACTS: dict[Kind, Callable[[Entry], dict[str, Any]]] = {
    "bike": lambda entry: {
        **{key: entry.body[key] for key in ("name", "what")},
        **({} if entry.bike in {None, entry.id} else {"again": True}),
    },
    "setup": lambda entry: {
        **setup_written(history.setup_of(entry)),
        **({"tag": entry.body["tag"]} if entry.body.get("tag") else {}),
    },
    "day": lambda entry: {key: _plain(value) for key, value in day_written(history.day_of(entry)).items()},
    "remark": lambda entry: remark_written(history.remark_of(entry), default_entry=entry.name or ""),
    "reading": lambda entry: facts_of_reading(history.reading_of(entry)),
    "place": lambda entry: {"name": entry.body["name"], "height_m": entry.body["height"]},
    "drawer": lambda entry: {key: entry.body[key] for key in ("move", "part", "stamps")},
    "strike": lambda entry: {"strikes": entry.strikes},
}


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, dt.date) else value
