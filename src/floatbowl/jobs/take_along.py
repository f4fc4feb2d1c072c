"""The take-along, and the notes that come back."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

from floatbowl.bike.drawer import Drawer, nearest_changes
from floatbowl.bike.hour import Hour
from floatbowl.bike.setup import Setup
from floatbowl.jobs.handing_over import hand_over_of
from floatbowl.jobs.nouns import Facts, NotesTaken, TakeAlong
from floatbowl.jobs.thinking import facts_of, lay_out_day, needle_of, setup_numbered, try_on_paper
from floatbowl.record.notes_text import Note, read_notes
from floatbowl.record.store import Record
from floatbowl.record.trouble import (
    NotesMoved,
)


def take_along(record: Record, name: str, hours: tuple[Hour, ...] = ()) -> TakeAlong:
    """Give all that a bike's take-along holds; ``hours`` are those of a day ahead."""
    return take_along_of(facts_of(record, name, None), record.drawer(), hours)


FITS_OF_A_PART = 12
"""Dry fits of one part that go into a take-along: the nearest ones, so that a full drawer fits a phone."""


@lru_cache(maxsize=4)
def take_along_of(facts: Facts, drawer: Drawer, hours: tuple[Hour, ...] = ()) -> TakeAlong:
    """Give all that a take-along holds, with no record at hand: from one thread at a time, as it is kept."""
    card = hand_over_of(facts, drawer)
    belief = card.stand.belief
    grooves = (belief.setup.needle or facts.bike.carb.needle).grooves
    setups = nearest_changes(belief.setup, drawer, grooves=grooves, most=FITS_OF_A_PART)
    return TakeAlong(
        card=card,
        fits=tuple(try_on_paper(belief, setup) for setup in setups),
        sheet=lay_out_day(facts, drawer, hours) if hours else None,
    )


def take_notes(record: Record, text: str) -> NotesTaken:
    """Write down ride notes that were made away from the garage: each once, in order, at its own time.

    What was fitted on the way is fitted here. Where something else was fitted here meanwhile, nothing is
    written down.
    """
    notes = read_notes(text)
    bike = record.bike(notes.bike)
    there = replace(setup_numbered(record, bike.name, notes.setup), number=0)
    new = 0
    for note in notes.notes:
        sent = record.sent(_note_uid(note))
        after = replace(there, **_fitted_fields(record, bike.name, note))
        if sent is None and (note.said or after != there):
            _refuse_moved(record, bike.name, notes.setup, there)
            _take_note(record, bike.name, note, after)
            new += 1
        there = there if sent is not None and sent.struck else after
    return NotesTaken(bike=bike.name, new=new, known=len(notes.notes) - new, setup=record.setup(bike.name))


def _note_uid(note: Note) -> str:
    return f"note {note.uid}"


def _fitted_fields(record: Record, name: str, note: Note) -> dict[str, Any]:
    """Give what a note says was fitted; a needle by its shape."""
    if "needle" not in note.fitted:
        return dict(note.fitted)
    return {**note.fitted, "needle": needle_of(record, name, note.fitted["needle"])}


def _take_note(record: Record, name: str, note: Note, after: Setup) -> None:
    uid = _note_uid(note)
    if note.said:
        record.say(name, note.said, now=note.when, uid=uid)
    else:
        record.fit(name, replace(after, number=record.setup(name).number), now=note.when, uid=uid)


def _refuse_moved(record: Record, name: str, number: int, there: Setup) -> None:
    """Refuse notes of a setup that is no longer the one that is fitted."""
    now = record.setup(name)
    if replace(now, number=0) != there:
        text = (
            f"These notes begin on setup {number} of {name}, and other parts were fitted here since "
            f"(setup {now.number}). Strike that out in the logbook, take the notes, and fit it again."
        )
        raise NotesMoved(text)
