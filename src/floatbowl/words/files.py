"""A bike file read, in words: what is doubtful, unknown, or was left out."""

from __future__ import annotations

from floatbowl.record.bike_file import BikeFile
from floatbowl.words.forms import Form, form
from floatbowl.words.names import in_line

_LEFT_OUT: dict[str, str] = {
    "main": "the main's stamp",
    "pilot": "the pilot's stamp",
    "clip_from_top": "the clip's groove",
    "cutaway": "the cutaway",
    "screw_turns": "the turns of the mixture screw",
}


def good_words(read: BikeFile) -> str:
    """Say that a file is good, and which bike it holds."""
    what = f", {read.what}" if read.what else ""
    return f"{read.source_name} is good: {read.name}{what}."


def notes(read: BikeFile) -> tuple[str, ...]:
    """Give a sentence for everything a person may want to look at again."""
    told = [doubt.sentence() for doubt in read.doubts]
    told += [unknown.sentence() for unknown in read.unknown]
    if read.assumed_setup:
        names = in_line(tuple(_LEFT_OUT[key] for key in read.assumed_setup))
        told.append(f"Not told, so assumed or not known: {names}.")
    return tuple(told)


def read_form(name: str, read: BikeFile) -> Form:
    """Give a bike file that was read."""
    return form(
        name,
        bike=read.name,
        what=read.what,
        trials=len(read.trials),
        doubtful=[doubt.key for doubt in read.doubts],
        unknown=[unknown.key for unknown in read.unknown],
        assumed_setup=list(read.assumed_setup),
        notes=list(notes(read)),
    )
