"""Ride notes made away from the garage, as the plain text that a take-along hands out.

One line a note, in the order they were made, each with its time and its own
name, so that a note that comes twice stands once. The last line counts them:
a text that was cut off on its way is noticed. ``docs/how-to/takealong.md``
shows the form. Read here; nothing is kept.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, get_args

from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import PART_FIELDS
from floatbowl.record.trouble import Trouble, Troubles
from floatbowl.signs.trial import Behaviour, How, Often, Warmth

FORM = "FLOATBOWL-NOTES/1"
MOST_NOTES = 2000
"""A season of riding; more is no notebook."""

_NOTE = re.compile(r"(\d{4}-\d\d-\d\dT\d\d:\d\dZ) ([0-9a-f]{16}) (said|fitted) (.+)")
_NUMBERS: Mapping[str, Callable[[str], float]] = {
    "clip": int,
    "screw": float,
    "washer": float,
    "float": float,
}
"""Parts that are counted or measured; all others are stamped."""
_SAID: Mapping[str, tuple[str, ...]] = {
    "did": get_args(Behaviour),
    "at": tuple(rung.value for rung in RUNGS),
    "how": get_args(How),
    "engine": get_args(Warmth),
    "often": get_args(Often),
}
"""What a word may be, field by field of a remark; no word stands under two."""


class NotesTrouble(Troubles):
    """Ride notes that cannot be used as they stand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One note: ``said`` holds the fields of a remark, or ``fitted`` those of a setup that were changed."""

    uid: str
    when: datetime
    said: Mapping[str, str] = field(default_factory=dict)
    fitted: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Notes:
    """The notes of one bike, in order, and the number of the setup on which they began."""

    bike: str
    setup: int
    notes: tuple[Note, ...]


def is_notes(text: str) -> bool:
    """Say whether a text is one of ride notes.

    >>> is_notes(" FLOATBOWL-NOTES/1 Magpie"), is_notes("FLOATBOWL/1 MAGPIE MAIN 105")
    (True, False)
    """
    return text.lstrip().startswith(FORM)


def read_notes(text: str) -> Notes:
    """Read ride notes. Raises ``NotesTrouble``, which names every slip by its line.

    >>> note = "2026-11-25T14:02Z 00112233445566aa said bogs, 1/4, snap"
    >>> notes = read_notes(chr(10).join(["FLOATBOWL-NOTES/1 Magpie", "Setup 3", note, "END 1"]))
    >>> notes.bike, notes.setup, dict(notes.notes[0].said)
    ('Magpie', 3, {'did': 'bogs', 'at': '1/4', 'how': 'snap'})
    """
    lines = [(number, line.strip()) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    slips: list[Trouble] = []
    bike, setup = _head(lines, slips)
    notes = tuple(_notes(lines[2:-1], slips))
    _count(lines, slips)
    if slips:
        raise NotesTrouble(slips, source_name="the notes")
    return Notes(bike=bike, setup=setup, notes=notes)


_Lines = list[tuple[int, str]]


def _head(lines: _Lines, slips: list[Trouble]) -> tuple[str, int]:
    """Read the two lines at the top: which bike, and on which setup the notes began."""
    first = lines[0][1] if lines else ""
    bike = first.removeprefix(FORM).strip()
    second = re.fullmatch(r"Setup (\d{1,9})", lines[1][1]) if len(lines) > 1 else None
    if not first.startswith(f"{FORM} ") or not bike or second is None:
        slips.append(
            Trouble(1, f"Notes begin with {FORM} and the bike's name, and then Setup with its number", "")
        )
        return bike, 0
    return bike, int(second[1])


def _notes(lines: _Lines, slips: list[Trouble]) -> Iterator[Note]:
    for number, line in lines:
        found = _NOTE.fullmatch(line)
        note = None if found is None else _note(*found.groups())
        if note is None:
            slips.append(Trouble(number, f'"{_short(line)}" is no ride note', "Copy the text as it was"))
        else:
            yield note


def _short(line: str) -> str:
    most = 60
    return line if len(line) <= most else f"{line[:most]}..."


def _note(when: str, uid: str, what: str, words: str) -> Note | None:
    """Make a note of its words; None where they mean nothing."""
    try:
        at = datetime.strptime(when, "%Y-%m-%dT%H:%MZ").replace(tzinfo=UTC)
        told = _fitted(words) if what == "fitted" else _said(words)
    except ValueError:
        return None
    return Note(uid=uid, when=at, fitted=told) if what == "fitted" else Note(uid=uid, when=at, said=told)


def _said(words: str) -> dict[str, str]:
    """Read ``bogs, 1/4, snap, hot, every time``. Raises ``ValueError``."""
    told: dict[str, str] = {}
    for word in words.split(", "):
        (place,) = [name for name, known in _SAID.items() if word in known]
        if place in told:
            raise ValueError(word)
        told[place] = word
    if "did" not in told:
        raise ValueError(words)
    return told


def _fitted(words: str) -> dict[str, Any]:
    """Read ``clip 4; main 108`` as fields of a setup; a needle is its stamp. Raises ``ValueError``."""
    told: dict[str, Any] = {}
    for one in words.split("; "):
        part, _, value = one.partition(" ")
        if part not in PART_FIELDS or not value or PART_FIELDS[part] in told:
            raise ValueError(one)
        told[PART_FIELDS[part]] = _NUMBERS.get(part, str)(value)
    return told


def _count(lines: _Lines, slips: list[Trouble]) -> None:
    """See that the last line counts as many as there are."""
    last = lines[-1] if lines else (1, "")
    end = re.fullmatch(r"END (\d{1,4})", last[1])
    there = len(lines) - 3
    if end is None:
        slips.append(Trouble(last[0], "The notes break off: the last line should be END and a count", ""))
    elif int(end[1]) != there:
        slips.append(Trouble(last[0], f"END counts {end[1]} notes, but there are {there}", "Copy them all"))
    elif there > MOST_NOTES:
        slips.append(Trouble(last[0], f"More than {MOST_NOTES} notes at once are not taken", ""))
