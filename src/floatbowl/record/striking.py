"""Striking out: what may be struck, and what is left when it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from floatbowl.record import stands
from floatbowl.record.entries import Entries, Entry, EntryId, Kind, Under
from floatbowl.record.history import living
from floatbowl.record.trouble import CannotStrike

_UNDONE_ONE_BY_ONE: tuple[Kind, ...] = ("remark", "reading", "mend", "strip", "aside")
_UNDONE_DOWN_TO_THE_LAST: tuple[Kind, ...] = ("setup", "bike")


def strike(entries: Entries, target: EntryId, *, now: datetime, uid: str | None = None) -> Entry:
    """Strike an entry out, within ``writing``, and give it as struck."""
    entry = _standing(entries, target)
    entries.add("strike", {}, now=now, under=Under(bike=stands.root_of(entry), strikes=target), uid=uid)
    stands.refuse_twins(entries)
    refuse_bare(entries)
    return replace(entry, is_struck=True)


def _standing(entries: Entries, target: EntryId) -> Entry:
    entry = entries.find(target)
    if entry is None:
        text = f"There is no entry {target} in the logbook. Look up its number there. Nothing was changed."
        raise CannotStrike(text)
    if entry.is_struck:
        text = f"Entry {target} is struck out already. Nothing was changed."
        raise CannotStrike(text)
    return entry


def refuse_bare(entries: Entries) -> None:
    """Leave no bike with nothing fitted."""
    for stand in stands.standing(entries):
        if not living(entries.of_bike(stand.root), "setup"):
            text = f"{stand.name} would be left with nothing fitted. Record what is fitted first."
            raise CannotStrike(text)


def only_setups(entries: Sequence[Entry]) -> frozenset[EntryId]:
    """Give every setup that is the only one left of its bike: without it nothing would be fitted."""
    fitted: dict[EntryId | None, list[EntryId]] = {}
    for entry in living(entries, "setup"):
        fitted.setdefault(entry.bike, []).append(entry.id)
    return frozenset(setups[0] for setups in fitted.values() if len(setups) == 1)


def last_to_undo(entries: Sequence[Entry]) -> Entry | None:
    """Give the last entry of a bike that can be taken back: what was told, a setup, or a change of its file.

    The bike itself and its only setup stay; taking the bike away is done on purpose, by its number.
    """
    undoable = [
        *living(entries, *_UNDONE_ONE_BY_ONE),
        *(entry for kind in _UNDONE_DOWN_TO_THE_LAST for entry in living(entries, kind)[1:]),
    ]
    return max(undoable, key=lambda entry: entry.id, default=None)


def last_of_garage(entries: Sequence[Entry]) -> Entry | None:
    """Give the last entry of the garage; None where that is a bike itself or its only setup."""
    standing = [entry for entry in entries if entry.kind != "strike" and not entry.is_struck]
    if not standing:
        return None
    last = standing[-1]
    if last.kind not in _UNDONE_DOWN_TO_THE_LAST:
        return last
    root = stands.root_of(last)
    return last_to_undo(
        [entry for entry in standing if stands.root_of(entry) == root and entry.kind == last.kind]
    )
