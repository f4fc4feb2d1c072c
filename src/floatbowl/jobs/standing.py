"""The garage and what stands in it: bikes put on stands, told anew, and written out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path

from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.jobs.airs import note_air
from floatbowl.jobs.nouns import BareStand, Stand, TooLittleKnownError, entry_uid
from floatbowl.jobs.thinking import advise_next, look_at_bench
from floatbowl.record.bike_file import BikeFile, load_bike_file
from floatbowl.record.first_run import FirstAnswers, first_file
from floatbowl.record.remeasuring import remeasured
from floatbowl.record.store import Record


def look_round(record: Record) -> Iterator[Stand | BareStand]:
    """Go from stand to stand, thinking at each: the bike, what we think of it, and its next step."""
    for name in record.bikes():
        yield _look_at(record, name)


def _look_at(record: Record, name: str) -> Stand | BareStand:
    try:
        belief, advice = look_at_bench(record, name), advise_next(record, name)
    except TooLittleKnownError as trouble:
        return BareStand(bike=record.bike(name), missing=trouble.missing)
    return Stand(bike=record.bike(name), trials=record.trials(name), belief=belief, advice=advice)


def add_bike(
    record: Record, path: Path, *, replace: bool = False, now: datetime, uid: str | None = None
) -> BikeFile:
    """Put the bike of a bike file on a stand; ``replace`` tells one that stands there anew."""
    read = load_bike_file(path)
    record.add_bike(read, now=now, replace=replace, uid=entry_uid(uid, "bike"))
    return read


def new_bike(record: Record, answers: FirstAnswers, *, now: datetime, uid: str | None = None) -> Bike:
    """Put a bike on a stand by the answers of the first evening; what it does is its first remark.

    What nobody knows is assumed. A place that is named is where we are from now on.
    """
    file = first_file(answers)
    record.add_bike(file, now=now, uid=entry_uid(uid, "bike"))
    if answers.place or answers.height is not None:
        note_air(
            record, place=answers.place, height=answers.height, read={}, now=now, uid=entry_uid(uid, "air")
        )
    if answers.did is not None:
        told = {
            "did": answers.did,
            "at": answers.at,
            "how": answers.how,
            "engine": answers.engine,
            "often": answers.often,
        }
        fields = {key: value for key, value in told.items() if value is not None}
        record.say(file.name, fields, now=now, uid=uid)
    return record.bike(file.name)


def bike_on_paper(answers: FirstAnswers) -> tuple[Bike, Setup]:
    """Give the bike that the answers so far make, and what is fitted on it. Nothing is written down."""
    file = first_file(answers)
    return file.bike, file.setup


def remeasure(
    record: Record, name: str, fields: Mapping[str, object], *, now: datetime, uid: str | None = None
) -> Bike:
    """Write down measures of a bike anew, under their places in the bike file: ``{"carb.bore_mm": 26.5}``.

    None takes one back: it is assumed again.
    """
    read = remeasured(record.bike_file(name), fields)
    record.add_bike(read, now=now, replace=True, uid=entry_uid(uid, "bike"))
    return record.bike(name)


def check_bike_file(path: Path) -> BikeFile:
    """Read a bike file and keep nothing; raises a ``RecordTrouble`` that names every slip."""
    return load_bike_file(path)


def export_bike(record: Record, name: str) -> str:
    """Write a bike out as the text of a bike file."""
    from floatbowl.record.bike_text import write_bike_file

    return write_bike_file(record.bike_file(name))
