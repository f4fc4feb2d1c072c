"""A bike put on its stand by a few answers: what is not known is written as not known, and assumed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from floatbowl.record.bike_file import FORM, UNKNOWN, BikeFile, read_bike_file
from floatbowl.record.toml_write import write_fresh
from floatbowl.record.trouble import BikeFileTrouble, EntryTrouble
from floatbowl.signs.trial import Behaviour, How, Often, Warmth

USUAL_STROKES = 4
"""What an engine is taken for whose owner cannot say (judgement: most small trail bikes are)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAnswers:
    """The answers of the first evening; None stands for what nobody knows. ``height`` is in metres."""

    name: str
    strokes: int | None = None
    swept_cc: float | None = None
    bore_mm: float | None = None
    main: str | None = None
    place: str | None = None
    height: float | None = None
    did: Behaviour | None = None
    at: str | None = None
    how: How | None = None
    engine: Warmth = "hot"
    often: Often = "every time"


def first_file(answers: FirstAnswers) -> BikeFile:
    """Give the bike file that the answers make. Raises ``EntryTrouble`` for what cannot be."""
    try:
        return read_bike_file(write_fresh(_written(answers)), source_name="")
    except BikeFileTrouble as error:
        raise EntryTrouble([replace(trouble, line=None) for trouble in error.troubles]) from None


def _written(answers: FirstAnswers) -> dict[str, Any]:
    return {
        "form": FORM,
        "name": answers.name,
        "engine": {
            "strokes": answers.strokes or USUAL_STROKES,
            "swept_cc": UNKNOWN if answers.swept_cc is None else answers.swept_cc,
        },
        "carb": {"bore_mm": UNKNOWN if answers.bore_mm is None else answers.bore_mm},
        "setup": {"number": 1, "main": answers.main or UNKNOWN, "pilot": UNKNOWN, "cutaway": UNKNOWN},
    }
