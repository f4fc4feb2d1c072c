"""The bikes that stand in the garage: found by name, each as its last file told it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

import msgspec

from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.entries import Entries, Entry, EntryId
from floatbowl.record.trouble import CannotStrike, UnknownBike


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A bike in the record. ``root`` is its first entry, ``entry`` the one that tells of it now."""

    root: EntryId
    entry: EntryId
    file: BikeFile

    @property
    def name(self) -> str:
        """Give the bike's name as it was written."""
        return self.file.name

    @property
    def bike(self) -> Bike:
        """Give the bike, with what nobody measured assumed."""
        return self.file.bike


def root_of(entry: Entry) -> EntryId | None:
    """Give the first entry of the bike that an entry is about; None for the garage's."""
    return entry.id if entry.kind == "bike" and entry.bike is None else entry.bike


def standing(entries: Entries) -> tuple[Stand, ...]:
    """Give the bikes not struck out, in the order they were added."""
    last: dict[EntryId, Entry] = {}
    for entry in entries.of_kind("bike"):
        root = root_of(entry)
        if root is not None and not entry.is_struck:
            last[root] = entry
    return tuple(
        Stand(root=root, entry=entry.id, file=file_of(entry)) for root, entry in sorted(last.items())
    )


def file_of(entry: Entry) -> BikeFile:
    """Give the bike file that an entry was made from, without its trials."""
    body = entry.body
    return BikeFile(
        name=body["name"],
        what=body["what"],
        story=frozenset(body["story"]),
        engine=body["engine"],
        carb=body["carb"],
        fuel=body["fuel"],
        setup=msgspec.convert(body["setup"], Setup),
        text=body["text"],
        source_name=body["source_name"],
    )


def find(entries: Entries, name: str) -> Stand:
    """Find a bike by its name; capital letters make no difference."""
    stands = standing(entries)
    found = named(stands, name)
    if found is None:
        raise UnknownBike(_no_such_bike(name, [stand.name for stand in stands]))
    return found


def named(stands: tuple[Stand, ...], name: str) -> Stand | None:
    """Give the bike of this name, or None."""
    wanted = name.strip().casefold()
    return next((stand for stand in stands if stand.name.casefold() == wanted), None)


def _no_such_bike(name: str, names: list[str]) -> str:
    if not names:
        return f"There is no bike called {name!r}: no bike stands here yet. Add one from its bike file."
    by_folded = {one.casefold(): one for one in names}
    near = get_close_matches(name.casefold(), by_folded, n=1)
    meant = f" Did you mean {by_folded[near[0]]}?" if near else ""
    return f"There is no bike called {name!r}.{meant} Here are: {', '.join(names)}."


def all_names(entries: Entries) -> Mapping[EntryId, str]:
    """Name every bike there ever was by its first entry, struck out or not."""
    names: dict[EntryId, str] = {}
    for entry in entries.of_kind("bike"):
        root = root_of(entry)
        if root is not None and (root not in names or not entry.is_struck):
            names[root] = entry.body["name"]
    return names


def refuse_twins(entries: Entries) -> None:
    """Let no two bikes of one name stand here, even when one comes back from being struck out."""
    seen: set[str] = set()
    for stand in standing(entries):
        if stand.name.casefold() in seen:
            text = f"Then two bikes would be called {stand.name}. Strike out the other one first."
            raise CannotStrike(text)
        seen.add(stand.name.casefold())
