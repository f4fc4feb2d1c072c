"""The record of a garage: bikes, setups, parts, air, and all that was said and measured.

One file. Entries are only ever added: a change of mind is a further entry that
strikes out an earlier one, and can be struck out in turn. Facts are kept and
opinions are not: what is assumed of a bike is worked out anew each time.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Literal, Self

import msgspec

from floatbowl.bike.aside import Aside
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.place import Place
from floatbowl.bike.setup import Setup
from floatbowl.record import (
    copying,
    drawer_entries,
    history,
    importing,
    opening,
    spares,
    stands,
    striking,
    whole,
)
from floatbowl.record.bike_file import BikeFile, load_bike_file
from floatbowl.record.bike_text import write_bike_file, write_garage_file
from floatbowl.record.entries import Entries, Entry, EntryId, Under
from floatbowl.record.entry_checks import (
    check_day,
    check_place,
    check_setup,
    checked_fault,
    checked_reading,
    checked_remark,
    checked_stamps,
)
from floatbowl.record.garage_file import GarageFile, load_garage_file
from floatbowl.record.log import LogLine, log_line
from floatbowl.record.rows import NONSENSE, rows_of, senseless
from floatbowl.record.settings import Settings, checked_setting, settings
from floatbowl.record.trouble import BrokenRecord, NotKept
from floatbowl.signs.trial import Reading, Remark, Trial

StampKind = Literal["main", "pilot", "cutaway"]
PartKind = Literal["main", "pilot", "cutaway", "needle"]
Told = Literal["remark", "reading", "mend", "strip", "aside"]
StripAnswer = Literal["fine", "not fine", "skipped"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """Something said to the rider, kept as it was said: text, date, and who or what signed it."""

    entry: EntryId
    when: datetime
    text: str
    signed: str


class Record:
    """An open record. Use it in a ``with`` statement, or close it."""

    def __init__(self, path: Path, opened: opening.Opened) -> None:
        """Take an open file; ``Record.open`` is the way in."""
        self.path = path
        self.only_read_because = opened.only_read_because
        """Why nothing can be written; empty when it can."""
        self._entries = Entries(opened)

    @classmethod
    def open(cls, path: Path) -> Self:
        """Open the record kept in a file, making it where there is none.

        Where the file may not be written or is damaged it opens to be read only.
        Raises a ``NotKept`` when it is no record of ours, or a newer one, or cannot be read at all.
        """
        return cls(path, opening.open_to_write(path))

    @classmethod
    def open_to_read(cls, path: Path) -> Self:
        """Open a record without ever writing in it."""
        because = f"{path.name} was opened to be read only."
        return cls(path, opening.open_to_read(path, because=because))

    def close(self) -> None:
        """Let the file go."""
        self._entries.close()

    def __enter__(self) -> Self:
        """Give the record itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Let the file go. Where something failed because an entry makes no sense, tell that instead."""
        try:
            if isinstance(error, NONSENSE) and (numbers := self._senseless()):
                text = f"The record is damaged here ({numbers}). See what can be saved: floatbowl doctor"
                raise BrokenRecord(text) from error
        finally:
            self.close()

    def _senseless(self) -> str:
        """Name the entries that make no sense, or say what the full check finds; empty where all is well."""
        connection = self._entries.connection
        try:
            numbers = senseless(rows_of(connection))[:3]
            found = str(connection.execute("pragma integrity_check(1)").fetchone()[0])
            return ", ".join(f"entry {number}" for number in numbers) or ("" if found == "ok" else found)
        except (sqlite3.DatabaseError, LookupError) as error:
            return str(error)

    # --- bikes ---------------------------------------------------------------------------------------------

    def bikes(self) -> tuple[str, ...]:
        """Name the bikes, in the order they were added."""
        return tuple(stand.name for stand in stands.standing(self._entries))

    def bike(self, name: str) -> Bike:
        """Give a bike as its last file told it; capital letters make no difference.

        Raises ``UnknownBike`` with the names there are.
        """
        return stands.find(self._entries, name).bike

    def add_bike(
        self, file: BikeFile, *, now: datetime, replace: bool = False, uid: str | None = None
    ) -> tuple[EntryId, ...]:
        """Add a bike with its setups, trials and readings. Adding the same file again adds nothing.

        ``replace`` lets a file change a bike that is here already: its measures are
        taken anew, what is new in the file is added, and nothing that happened is lost.
        Without it another bike of the same name raises ``NameTaken``.
        """
        with self._entries.writing():
            return importing.bring_in(self._entries, file, now=now, may_change=replace, uid=uid)

    def bike_file(self, name: str) -> BikeFile:
        """Give all that is known of a bike as a file would tell it, ready to be written."""
        stand = stands.find(self._entries, name)
        fitted = self.setups(name)
        return replace(
            stand.file,
            setup=fitted[-1],
            earlier_setups=fitted[:-1],
            trials=self.trials(name),
            assumed_setup=(),
        )

    # --- setups --------------------------------------------------------------------------------------------

    def setups(self, bike: str) -> tuple[Setup, ...]:
        """Give the setups of a bike in the order they were fitted; the one fitted now stands last."""
        return history.setups(self._of(bike))

    def setup(self, bike: str) -> Setup:
        """Give the setup fitted now."""
        return self.setups(bike)[-1]

    def fit(self, bike: str, setup: Setup, *, now: datetime, tag: str = "", uid: str | None = None) -> Setup:
        """Record a setup as fitted now and give it with its number; the same again is no new setup.

        ``tag`` is the fault of a stop tag that hung on the bike while it was fitted.

        Raises ``SetupTrouble`` when it cannot be on this bike.
        """
        stand = stands.find(self._entries, bike)
        check_setup(stand.bike, setup)
        with self._entries.writing():
            entries = self._entries.of_bike(stand.root)
            current = history.setups(entries)[-1]
            if self._entries.of_uid(uid) is not None or replace(setup, number=current.number) == current:
                return current
            numbered = replace(setup, number=history.next_number(entries))
            body = {**history.plain(numbered), **({"tag": tag} if tag else {})}
            self._entries.add("setup", body, now=now, under=Under(bike=stand.root), uid=uid)
            return numbered

    # --- the drawer ----------------------------------------------------------------------------------------

    def drawer(self) -> Drawer:
        """Give the parts at hand."""
        return drawer_entries.drawer(self._entries.of_kind("drawer"))

    def put_in_drawer(
        self, kind: StampKind, stamps: Iterable[str], *, now: datetime, uid: str | None = None
    ) -> Drawer:
        """Put parts into the drawer by their stamps; what is there already stays once."""
        checked = checked_stamps(kind, stamps)
        with self._entries.writing():
            there = drawer_entries.stamps_of(self.drawer(), kind)
            new = [stamp for stamp in checked if stamp not in there]
            if new and self._entries.of_uid(uid) is None:
                body = drawer_entries.moved("in", kind, new)
                self._entries.add("drawer", body, now=now, under=Under(), uid=uid)
        return self.drawer()

    def take_from_drawer(
        self, kind: PartKind, stamps: Iterable[str], *, now: datetime, uid: str | None = None
    ) -> Drawer:
        """Take parts out of the drawer. Raises ``NotInDrawer`` when one is not there."""
        wanted = list(dict.fromkeys(stamps))
        with self._entries.writing():
            if self._entries.of_uid(uid) is None:
                drawer_entries.refuse_missing(self.drawer(), kind, wanted)
                body = drawer_entries.moved("out", kind, wanted)
                self._entries.add("drawer", body, now=now, under=Under(), uid=uid)
        return self.drawer()

    def put_needle_in_drawer(self, needle: Needle, *, now: datetime) -> Drawer:
        """Put a needle into the drawer; one of the same stamp is replaced."""
        with self._entries.writing():
            if needle not in self.drawer().needles:
                self._entries.add("drawer", drawer_entries.needle_in(needle), now=now, under=Under())
        return self.drawer()

    # --- air and places ------------------------------------------------------------------------------------

    def day(self) -> Day | None:
        """Give the air last noted here; where none was, that of the last trial that came with a bike."""
        days = history.living(self._entries.of_kind("day"), "day")
        here = [day for day in days if day.bike is None]
        return history.day_of((here or days)[-1]) if days else None

    def note_air(self, day: Day, *, now: datetime, uid: str | None = None) -> Day:
        """Note the air here and now."""
        check_day(day)
        with self._entries.writing():
            if self._entries.of_uid(uid) is None:
                self._entries.add("day", history.plain(day), now=now, under=Under(), uid=uid)
        return day

    def places(self) -> tuple[Place, ...]:
        """Give the places we know, each with its height as last noted."""
        entries = history.living(self._entries.of_kind("place"), "place")
        by_name = {entry.body["name"].casefold(): msgspec.convert(entry.body, Place) for entry in entries}
        return tuple(by_name.values())

    def note_place(self, name: str, height: float, *, now: datetime, uid: str | None = None) -> Place:
        """Note a place and its height in metres."""
        place = Place(name=name, height=height)
        check_place(place)
        with self._entries.writing():
            if place not in self.places() and self._entries.of_uid(uid) is None:
                self._entries.add("place", history.plain(place), now=now, under=Under(), uid=uid)
        return place

    def garage_file(self) -> GarageFile:
        """Give drawer and places as a file would tell them, ready to be written."""
        return GarageFile(drawer=self.drawer(), places=self.places())

    def take_in(self, file: GarageFile, *, now: datetime) -> None:
        """Put everything a garage file tells into drawer and places."""
        with self._entries.writing():
            self.put_in_drawer("main", file.drawer.mains, now=now)
            self.put_in_drawer("pilot", file.drawer.pilots, now=now)
            self.put_in_drawer("cutaway", file.drawer.cutaways, now=now)
            for needle in file.drawer.needles:
                self.put_needle_in_drawer(needle, now=now)
            for place in file.places:
                self.note_place(place.name, place.height, now=now)

    # --- what was said and measured ------------------------------------------------------------------------

    def say(
        self, bike: str, fields: Mapping[str, object], *, now: datetime, uid: str | None = None
    ) -> Remark:
        """Keep a remark, ``did`` and ``at``, ``how``, ``engine``, ``often`` as far as told, and name it.

        Raises ``EntryTrouble`` when it is no remark.
        """
        remark = checked_remark(fields)
        entry = self._tell(bike, "remark", history.body_of(remark), now=now, uid=uid)
        return history.remark_of(entry)

    def read(
        self, bike: str, fields: Mapping[str, object], *, now: datetime, uid: str | None = None
    ) -> Reading:
        """Keep a reading: its ``kind`` and what was measured, under the names they have in a bike file.

        The kinds are those of ``trial_file.NOUNS``. Raises ``EntryTrouble`` when it is no reading.
        """
        reading = checked_reading(fields)
        entry = self._tell(bike, "reading", history.body_of(reading), now=now, uid=uid)
        return history.reading_of(entry)

    def strip(
        self, bike: str, card: str, answer: StripAnswer, *, now: datetime, uid: str | None = None
    ) -> StripAnswer:
        """Keep what came of one card of the strip sheet that is no look for a fault, and give the answer."""
        self._tell(bike, "strip", {"card": card, "answer": answer}, now=now, uid=uid)
        return answer

    def set_aside(self, bike: str, aside: Aside, *, now: datetime, uid: str | None = None) -> Aside:
        """Keep that a change or a look was set aside, with what is fitted now."""
        body = {key: value for key, value in history.plain(aside).items() if value not in {"", None}}
        self._tell(bike, "aside", body, now=now, uid=uid)
        return aside

    def asides(self, bike: str) -> tuple[Aside, ...]:
        """Give what was set aside while what is fitted now stood."""
        return history.asides(self._of(bike))

    def mend(self, bike: str, fault: str, *, now: datetime, uid: str | None = None) -> str:
        """Keep that a fault was put right, and give its key. What was told before, it still had.

        Raises ``EntryTrouble`` when this bike has no such fault.
        """
        key = checked_fault(self.bike(bike), fault)
        self._tell(bike, "mend", history.body_of_mend(key), now=now, uid=uid)
        return key

    def trials(self, bike: str) -> tuple[Trial, ...]:
        """Give what was said, measured and mended and not struck out, grouped by setup, air and mends."""
        return history.trials(self._of(bike), self._garage_days())

    # --- cards, log, striking out --------------------------------------------------------------------------

    def keep_card(self, bike: str, text: str, *, signed: str = "", now: datetime) -> Card:
        """Keep something that was said to the rider, word for word."""
        root = stands.find(self._entries, bike).root
        with self._entries.writing():
            body = {"text": text, "signed": signed}
            entry = self._entries.add("card", body, now=now, under=Under(bike=root))
        return Card(entry=entry, when=now, text=text, signed=signed)

    def cards(self, bike: str) -> tuple[Card, ...]:
        """Give the cards kept for a bike, oldest first."""
        return tuple(
            Card(entry=entry.id, when=entry.at, text=entry.body["text"], signed=entry.body["signed"])
            for entry in history.living(self._of(bike), "card")
        )

    def log(self, bike: str | None = None) -> tuple[LogLine, ...]:
        """Give all that happened, in order, struck out or not: of one bike, or of the whole garage."""
        names = stands.all_names(self._entries)
        entries = self._entries.all() if bike is None else self._of(bike)
        only = striking.only_setups(entries)
        return tuple(log_line(entry, names, is_last=entry.id in only) for entry in entries)

    def sent(self, uid: str | None) -> LogLine | None:
        """Give the entry that was sent under this name before; for a strike, what it struck out."""
        known = None if uid is None else self._entries.of_uid(uid)
        if known is None:
            return None
        entry = self._entries.one(known)
        return log_line(
            entry if entry.strikes is None else self._entries.one(entry.strikes),
            stands.all_names(self._entries),
        )

    def strike(self, entry_id: int, *, now: datetime, uid: str | None = None) -> LogLine:
        """Strike an entry out, and give it as it stands in the log then. Striking out a strike brings back.

        Raises ``CannotStrike`` when there is no such entry, when it is struck out already, or
        when a bike would be left with nothing fitted.
        """
        with self._entries.writing():
            if (known := self.sent(uid)) is not None:
                return known
            target = striking.strike(self._entries, EntryId(entry_id), now=now, uid=uid)
            return log_line(target, stands.all_names(self._entries))

    def undo(self, bike: str | None, *, now: datetime, uid: str | None = None) -> LogLine | None:
        """Strike out the last entry of a bike, or of the garage, that is not struck out yet.

        None when that is the bike itself or the only setup it has: those stay.
        """
        with self._entries.writing():
            if (known := self.sent(uid)) is not None:
                return known
            last = (
                striking.last_of_garage(self._entries.all())
                if bike is None
                else striking.last_to_undo(self._of(bike))
            )
            return None if last is None else self.strike(last.id, now=now, uid=uid)

    # --- settings and copies -------------------------------------------------------------------------------

    def settings(self) -> Settings:
        """Give what the garage has set for itself."""
        return settings(self._entries.of_kind("setting"))

    def set_setting(self, key: str, value: str, *, now: datetime, uid: str | None = None) -> Settings:
        """Set one thing. Raises ``EntryTrouble`` for what cannot be set so."""
        text = checked_setting(key, value)
        with self._entries.writing():
            if self._entries.of_uid(uid) is None and getattr(self.settings(), key) != text:
                self._entries.add("setting", {"key": key, "value": text}, now=now, under=Under(), uid=uid)
        return self.settings()

    def backup(self, folder: Path, *, now: datetime) -> Path:
        """Copy the record into a new file in a folder, named after the day; nothing there is written over."""
        return copying.copy(self._entries.connection, self.path, folder=folder, now=now)

    def keep_spare(self, *, now: datetime) -> Path | None:
        """Make the spare copy of the day beside the record, and give up those whose turn is over.

        None where there is one already, nothing was written since the last, or the record cannot be written.
        """
        if self.only_read_because:
            return None
        return spares.keep_daily(self._entries.connection, self.path, now=now)

    def write_out(self, folder: Path, *, say: whole.Say) -> whole.Written:
        """Write the whole garage as plain files into a new folder. ``say`` tells a line of the log in words.

        Raises ``NotKept`` where something is there already or it cannot be written.
        """
        names = whole.file_names(self.bikes())
        files = {place: write_bike_file(self.bike_file(bike)) for bike, place in names.items()}
        files[whole.GARAGE] = write_garage_file(self.garage_file())
        log = self.log()
        whole.write_out(folder, files, whole.logbook_text(self._entries, log, say))
        return whole.Written(folder=folder, bikes=tuple(names.values()), entries=len(log))

    def read_in(self, folder: Path, *, now: datetime, replace: bool = False) -> int | None:
        """Take in a folder of plain files, all of it or nothing.

        Into a record in which nothing was ever written all comes back exactly as the folder's logbook tells:
        give how many entries. Into any other the bike files and the garage file are added: give None.
        """
        logbook = folder / whole.LOGBOOK
        with self._entries.writing():
            if whole.is_empty(self._entries) and logbook.exists():
                return whole.restore(self._entries, whole.load_logbook(logbook))
            garage = folder / whole.GARAGE
            files = whole.bike_files_in(folder)
            if not files and not garage.exists():
                text = f"There is no bike file in {folder}, and no logbook. Name another folder."
                raise NotKept(text)
            for path in files:
                self.add_bike(load_bike_file(path), now=now, replace=replace)
            if garage.exists():
                self.take_in(load_garage_file(garage), now=now)
        return None

    # --- within --------------------------------------------------------------------------------------------

    def _of(self, bike: str) -> list[Entry]:
        return self._entries.of_bike(stands.find(self._entries, bike).root)

    def _garage_days(self) -> list[Entry]:
        return [day for day in self._entries.of_kind("day") if day.bike is None]

    def _tell(
        self,
        bike: str,
        kind: Told,
        body: Mapping[str, Any],
        *,
        now: datetime,
        uid: str | None,
    ) -> Entry:
        """Add what was told, under the setup and air in force; sent twice it stands once."""
        with self._entries.writing():
            root = stands.find(self._entries, bike).root
            known = self._entries.of_uid(uid)
            if known is None:
                under = self._in_force(root, kind)
                known = self._entries.add(kind, body, now=now, under=under, uid=uid)
            return self._entries.one(known)

    def _in_force(self, root: EntryId, kind: Told) -> Under:
        entries = self._entries.of_bike(root)
        setup = history.living(entries, "setup")[-1]
        days = history.living(self._garage_days(), "day") or history.living(entries, "day")
        return Under(
            bike=root,
            name=history.next_name(entries, kind) if kind in {"remark", "reading"} else None,
            setup=setup.id,
            day=days[-1].id if days else None,
        )
