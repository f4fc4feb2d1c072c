"""The air here and now, and the places that are kept."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from floatbowl.bike.day import Day
from floatbowl.bike.place import NOT_KNOWN, assume_day
from floatbowl.jobs.nouns import entry_uid
from floatbowl.record.store import Record


def air(record: Record) -> Day:
    """Give the air here and now; where nobody said, a mild day is assumed."""
    return record.day() or assume_day()


def note_air(  # noqa: PLR0913  (one for each thing that is read, and when)
    record: Record,
    *,
    place: str | None,
    height: float | None,
    read: Mapping[str, float],
    now: datetime,
    uid: str | None = None,
) -> Day:
    """Write down the air: what was read, in SI, under ``temperature``, ``pressure``, ``humidity``.

    A place that is named is remembered with its height; unnamed, it is the last one.
    """
    here = place or air(record).place
    metres = height_of(record, here) if height is None else height
    if here != NOT_KNOWN and height is not None:
        record.note_place(here, height, now=now, uid=entry_uid(uid, "place"))
    day = assume_day(here, date=now.date().isoformat(), height=metres, **read)
    return record.note_air(day, now=now, uid=uid)


def height_of(record: Record, place: str) -> float | None:
    """Give the height of a place as it was last noted, in metres; None where nobody did."""
    heights = {one.name.casefold(): one.height for one in record.places()}
    return heights.get(place.casefold())


def keep_place(record: Record, place: str, height: float, *, now: datetime, uid: str | None = None) -> None:
    """Remember a place with its height in metres; where it is known so already nothing is written."""
    if height_of(record, place) != height:
        record.note_place(place, height, now=now, uid=uid)
