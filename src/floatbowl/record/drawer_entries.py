"""What was put into the drawer and taken out of it, entry by entry."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Literal

import msgspec

from floatbowl.bike.carb import Needle
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.shape import stamped_number
from floatbowl.record.entries import Entry
from floatbowl.record.history import living, plain
from floatbowl.record.trouble import NotInDrawer

Part = Literal["main", "pilot", "cutaway", "needle"]
_NAMED = {"main": "main jet", "pilot": "pilot jet", "cutaway": "slide with cutaway", "needle": "needle"}


def moved(move: Literal["in", "out"], part: Part, stamps: Sequence[str]) -> dict[str, Any]:
    """Give what is kept of parts moved in or out."""
    return {"move": move, "part": part, "stamps": list(stamps)}


def needle_in(needle: Needle) -> dict[str, Any]:
    """Give what is kept of a needle put in."""
    return {**moved("in", "needle", [needle.stamp]), "needle": plain(needle)}


def drawer(entries: Iterable[Entry]) -> Drawer:
    """Add up what was put in and taken out: jets by size, needles in the order they came."""
    there: dict[str, dict[str, Needle | None]] = {"main": {}, "pilot": {}, "cutaway": {}, "needle": {}}
    for entry in living(entries, "drawer"):
        parts = there[entry.body["part"]]
        for stamp in entry.body["stamps"]:
            parts.pop(stamp, None)
            if entry.body["move"] == "in":
                needle = entry.body.get("needle")
                parts[stamp] = None if needle is None else msgspec.convert(needle, Needle)
    return Drawer(
        mains=_by_size(there["main"]),
        pilots=_by_size(there["pilot"]),
        cutaways=_by_size(there["cutaway"]),
        needles=tuple(needle for needle in there["needle"].values() if needle is not None),
    )


def _by_size(stamps: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(stamps, key=lambda stamp: (stamped_number(stamp) or 0.0, stamp)))


def stamps_of(drawer: Drawer, part: Part) -> tuple[str, ...]:
    """Give the stamps of one kind of part."""
    needles = tuple(needle.stamp for needle in drawer.needles)
    return {"main": drawer.mains, "pilot": drawer.pilots, "cutaway": drawer.cutaways, "needle": needles}[part]


def refuse_missing(drawer: Drawer, part: Part, wanted: Iterable[str]) -> None:
    """See that all these parts are there to be taken out."""
    there = stamps_of(drawer, part)
    for stamp in wanted:
        if stamp not in there:
            held = f"It holds {', '.join(there)}." if there else "It holds none."
            text = f"There is no {_NAMED[part]} {stamp} in the drawer. {held} Nothing was changed."
            raise NotInDrawer(text)
