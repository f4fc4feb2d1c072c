"""Bringing a bike file into the record: what is new in it is added, what is known already is not."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from floatbowl.bike.day import Day
from floatbowl.bike.place import assume_day
from floatbowl.bike.setup import Setup
from floatbowl.record import history, stands
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.entries import Entries, Entry, EntryId, Kind, Under
from floatbowl.record.mends import mended_after
from floatbowl.record.setup_file import setup_written
from floatbowl.record.trial_file import day_written
from floatbowl.record.trouble import NameTaken
from floatbowl.signs.trial import Trial


def bring_in(
    entries: Entries, file: BikeFile, *, now: datetime, may_change: bool, uid: str | None = None
) -> tuple[EntryId, ...]:
    """Add a bike file, within ``writing``, and give the entries made; none when nothing in it is new.

    ``uid`` names what is told of the bike itself, so that a file sent twice is taken once.
    """
    if entries.of_uid(uid) is not None:
        return ()
    stand = stands.named(stands.standing(entries), file.name)
    if stand is None:
        return _bring_new(entries, file, now=now, uid=uid)
    made = _bring_again(entries, file, stand, now=now, uid=uid)
    if made and not may_change:
        text = (
            f"A bike called {stand.name} stands here already, and this file tells something else of it. "
            "Give the new one another name, or add it with --replace: all that happened stays."
        )
        raise NameTaken(text)
    return made


def _bring_new(entries: Entries, file: BikeFile, *, now: datetime, uid: str | None) -> tuple[EntryId, ...]:
    bring = _Bring(entries, now)
    bring.root = bring.add("bike", bike_body(file), uid=uid)
    waiting = [*file.earlier_setups, file.setup]
    for trial, mended in zip(file.trials, mended_after(file.trials), strict=True):
        bring.fit_up_to(trial.setup, waiting)
        bring.trial(trial, mended)
    bring.fit_up_to(file.setup, waiting)
    bring.fit(file.setup)
    return tuple(bring.made)


def _bring_again(
    entries: Entries, file: BikeFile, stand: stands.Stand, *, now: datetime, uid: str | None
) -> tuple[EntryId, ...]:
    """Add what a file tells beyond what is known. A setup it told before is not fitted again."""
    bring = _Bring(entries, now, root=stand.root)
    fitted = bring.fitted()
    if _told(bike_body(file)) != _told(bike_body(stand.file)):
        bring.add("bike", bike_body(file), uid=uid)
    for trial, mended in zip(file.trials, mended_after(file.trials), strict=True):
        bring.trial(trial, mended)
    bring.fit(fitted if same_setup(file.setup, stand.file.setup) else file.setup)
    return tuple(bring.made)


def bike_body(file: BikeFile) -> dict[str, Any]:
    """Give what is kept of a bike file: its text, and what was read out of it."""
    return {
        "name": file.name,
        "what": file.what,
        "story": sorted(file.story),
        "engine": dict(file.engine),
        "carb": dict(file.carb),
        "fuel": dict(file.fuel),
        "setup": history.plain(file.setup),
        "text": file.text,
        "source_name": file.source_name,
    }


def _told(body: Mapping[str, Any]) -> dict[str, Any]:
    """Give what a body tells of the bike, wherever the file lay and however it is laid out."""
    return {key: value for key, value in body.items() if key not in {"text", "source_name", "setup"}}


def same_setup(one: Setup, other: Setup) -> bool:
    """Say whether two setups are the same but for their number."""
    return setup_written(replace(one, number=other.number)) == setup_written(other)


class _Bring:
    """One bike on its way in. ``root`` is its first entry, ``made`` the entries made so far."""

    def __init__(self, entries: Entries, now: datetime, *, root: EntryId | None = None) -> None:
        self.root = root
        self.made: list[EntryId] = []
        self._entries = entries
        self._now = now
        self._known = [] if root is None else entries.of_bike(root)
        self._seen = Counter(_marks(self._known, entries.of_kind("day")))
        self._names = {entry.name for entry in self._known}

    def add(
        self, kind: Kind, body: Mapping[str, Any], under: Under | None = None, *, uid: str | None = None
    ) -> EntryId:
        """Add an entry about this bike."""
        about = replace(under or Under(), bike=self.root)
        entry = self._entries.add(kind, body, now=self._now, under=about, uid=uid)
        self.made.append(entry)
        self._known.append(self._entries.one(entry))
        return entry

    def fitted(self) -> Setup:
        """Give the setup fitted now."""
        return history.setups(self._known)[-1]

    def fit_up_to(self, setup: Setup, waiting: list[Setup]) -> None:
        """Fit the setups waiting, in their order, until this one has had its turn."""
        while setup in waiting:
            self._fit(waiting.pop(0))

    def fit(self, setup: Setup) -> None:
        """Fit a setup unless it is the one fitted now."""
        if not same_setup(self.fitted(), setup):
            self._fit(setup)

    def _fit(self, setup: Setup) -> EntryId:
        others = [one for one in history.setups(self._known) if not same_setup(one, setup)]
        is_taken = setup.number in {one.number for one in others}
        number = history.next_number(self._known) if is_taken else setup.number
        return self.add("setup", history.plain(replace(setup, number=number)))

    def trial(self, trial: Trial, mended: tuple[str, ...]) -> None:
        """Add what the record does not hold yet of a trial and of what was mended after it."""
        things = self._unseen(_things(trial, mended), trial.day)
        if things:
            setup, day = self._setup_entry(trial.setup), self._day_entry(trial.day)
            for thing in things:
                self._tell(thing, setup=setup, day=day)

    def _unseen(self, things: list[_Thing], day: Day) -> list[_Thing]:
        """Leave out what the record holds already; what was struck out it holds as well."""
        new: list[_Thing] = []
        for thing in things:
            mark = _mark(thing.body, day)
            if self._seen[mark]:
                self._seen[mark] -= 1
            else:
                new.append(thing)
        return new

    def _setup_entry(self, setup: Setup) -> EntryId:
        same = [
            one for one in history.living(self._known, "setup") if same_setup(history.setup_of(one), setup)
        ]
        return same[-1].id if same else self._fit(setup)

    def _day_entry(self, day: Day) -> EntryId:
        days = history.living(self._known, "day")
        return (
            days[-1].id if days and history.day_of(days[-1]) == day else self.add("day", history.plain(day))
        )

    def _tell(self, thing: _Thing, *, setup: EntryId, day: EntryId) -> None:
        is_taken = thing.name is not None and thing.name in self._names
        name = history.next_name(self._known, thing.kind) if is_taken else thing.name
        self._names.add(name)
        self.add(thing.kind, thing.body, Under(name=name, setup=setup, day=day))


@dataclass(frozen=True, slots=True)
class _Thing:
    """One thing told of a bike: as which kind of entry, under which name, and what is kept of it."""

    kind: Kind
    name: str | None
    body: dict[str, Any]


def _things(trial: Trial, mended: tuple[str, ...]) -> list[_Thing]:
    """Give all that a trial tells, and then what was mended."""
    return [
        *(_Thing("remark", remark.entry, history.body_of(remark)) for remark in trial.remarks),
        *(_Thing("reading", reading.entry, history.body_of(reading)) for reading in trial.readings),
        *(_Thing("mend", None, history.body_of_mend(fault)) for fault in mended),
    ]


def _marks(known: Sequence[Entry], days: Sequence[Entry]) -> list[str]:
    day_of = {day.id: history.day_of(day) for day in days}
    return [
        _mark(history.body_now(entry), assume_day() if entry.day is None else day_of[entry.day])
        for entry in known
        if entry.kind in history.TOLD
    ]


def _mark(body: Mapping[str, Any], day: Day) -> str:
    """Tell a remark, reading or mend from others: what it says, and when and where it was."""
    return json.dumps([body, day_written(day)], sort_keys=True, default=str)
