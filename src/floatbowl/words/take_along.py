# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""The take-along in words: one file for the phone at the track, and the notes that come back from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from floatbowl.advice.advice import Step
from floatbowl.bike.carb import Needle
from floatbowl.bike.setup import PART_FIELDS, Setup
from floatbowl.jobs import NotesTaken, TakeAlong
from floatbowl.words.bench import Row
from floatbowl.words.card import Card
from floatbowl.words.dry_fit import dry_fit_sentence, ladder_after
from floatbowl.words.forms import Form, form
from floatbowl.words.names import plural
from floatbowl.words.steps import effect, step_brief

if TYPE_CHECKING:
    from floatbowl.advice.dry_fit import DryFit
    from floatbowl.bike.bike import Bike

TITLE = "Take-along"
ABOUT = "One file, for the phone at the track: it needs no network and no garage. It opens in any browser."
HOLDS = "The drawing with its slide, the ladder, the next step, every dry fit one change away, the setup card, and a notebook."
AS_OF = "Worked out for setup {number}, as it was fitted when this file was made. What you fit or say here is kept as a note."
NO_SCRIPT = (
    "Script does not run here: all can be read, but the slide does not move and no note can be kept. "
    "Open the file in a browser."
)
FITS = "Dry fits, worked out beforehand"
FITS_NOTE = "Thin strokes are the twenty likely bikes as they are, blue dashed ones the same twenty with it. One change at a time."
NEAREST = "Of each part the nearest that lie in the drawer."
NOTES = "Ride notes"
NO_NOTES = "No note yet."
NOT_KEPT = "This browser keeps nothing for a file. The notes last as long as this page is open: copy them before you close it."
BACK_HOME = (
    "Back home: floatbowl add, and the file or the text. Each note is taken once, however often it comes."
)
EXPORTED = "The notes as text"
COPIED = "Copied."
COPY_BY_HAND = "Marked. Copy it by hand."
SAY_WHAT = "Choose what it did."
SAY_WHERE = "Choose where on the throttle."
NO_SUCH_NOTES = (
    "That is not the text of a notebook. It begins with FLOATBOWL-NOTES/1 and ends with END and a count."
)
TAKEN_ONCE = "Each note is taken once, at its own time and in its order, however often it comes."
FITTED_HERE = "Fitted since:"
FITTED_AS_ADVISED = "Fitted as advised"

PARTS: dict[str, str] = {
    "clip": "Clip",
    "washer": "Washer under the clip",
    "needle": "Needle",
    "main": "Main jet",
    "pilot": "Pilot jet",
    "screw": "Mixture screw",
    "cutaway": "Slide cutaway",
    "float": "Float height",
}
"""The heads under which dry fits stand, in the order in which they are offered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One dry fit: what is changed, what it does to the fuel, what the twenty make of it, how a note says it."""

    brief: str
    effect: str
    sentence: str
    rows: tuple[Row, ...]
    note: str


def fits_by_part(told: TakeAlong) -> list[tuple[str, list[Fit]]]:
    """Give the dry fits under their heads, each part from less to more."""
    belief = told.card.stand.belief
    found: dict[str, list[tuple[float, Fit]]] = {part: [] for part in PARTS}
    for tried in told.fits:
        step = _step(belief.setup, tried.setup)
        found[step.part].append((_size(step.after), _fit(told, tried, step)))
    ordered = (
        (part, [fit for _, fit in sorted(fits, key=lambda one: one[0])]) for part, fits in found.items()
    )
    return [(PARTS[part], fits) for part, fits in ordered if fits]


def _step(before: Setup, after: Setup) -> Step:
    """Give the one step between two setups."""
    return next(
        Step(part, _value(old), _value(new))
        for part, field in PART_FIELDS.items()
        if (old := getattr(before, field)) != (new := getattr(after, field))
    )


def _value(value: str | float | Needle | None) -> str | float:
    if isinstance(value, Needle):
        return value.stamp
    return "own" if value is None else value


def _size(value: str | float) -> float:
    try:
        return float(value)
    except ValueError:
        return 0.0


def _fit(told: TakeAlong, tried: DryFit, step: Step) -> Fit:
    belief = told.card.stand.belief
    return Fit(
        brief=step_brief(step, belief.bike),
        effect=effect(step, belief.bike),
        sentence=dry_fit_sentence(belief, tried),
        rows=ladder_after(belief, tried),
        note=note_of([step], belief.bike),
    )


def note_of(steps: Iterable[Step], bike: Bike) -> str:
    """Say steps as a note of the take-along does: ``clip 4; main 108``."""
    return "; ".join(f"{step.part} {_noted(step, bike)}" for step in steps)


def _noted(step: Step, bike: Bike) -> str:
    if step.part == "needle" and step.after == "own":
        return bike.carb.needle.stamp
    return f"{step.after:g}" if isinstance(step.after, float) else f"{step.after}"


def card_rows(card: Card) -> list[tuple[str, str]]:
    """Give the lines of the next step's card with their labels, each label once in a row."""
    rows: list[tuple[str, str]] = []
    for label, text in card.lines:
        shown = "" if rows and label in {row[0] for row in rows} else label
        rows.append((LABELS.get(shown, shown), text))
    return rows


LABELS: dict[str, str] = {
    "do": "Do",
    "how": "How",
    "why": "Why",
    "feel": "What to feel",
    "back": "If not",
    "care": "Mind",
    "not": "Why not first",
    "buy": "To buy",
    "aside": "Set aside",
    "assumed": "Assumed",
}


def packed_words(fits: int) -> str:
    """Say what was worked out beforehand."""
    return f"{plural(fits, 'dry fit')} worked out beforehand. {NEAREST}"


def written_words(bike: str, file: str, kilobytes: int) -> str:
    """Say that the take-along was written."""
    return f"The take-along of {bike} is in {file} ({kilobytes} kB). Send it to the phone; it opens in any browser."


def written_form(bike: str, *, file: str, size: int, fits: int) -> Form:
    """Give what was written."""
    return form("takealong", bike=bike, file=file, size_bytes=size, dry_fits=fits)


def taken_words(taken: NotesTaken) -> str:
    """Say what came of ride notes."""
    if not taken.new:
        return f"Nothing new: {_notes(taken.known)} of {taken.bike} stood here already."
    known = f" {_notes(taken.known)} stood here already." if taken.known else ""
    return f"Taken: {_notes(taken.new)} of {taken.bike}.{known} Fitted now is setup {taken.setup.number}."


def _notes(count: int) -> str:
    return plural(count, "note")


def taken_form(taken: NotesTaken) -> Form:
    """Give what came of ride notes."""
    return form(
        "notes",
        bike=taken.bike,
        new=taken.new,
        known=taken.known,
        setup=taken.setup.number,
        words=taken_words(taken),
    )


def counts(rows: Sequence[Row]) -> list[tuple[str, int, int, int, int]]:
    """Give a dry fit's table: opening, short, about right, too much, and about right before."""
    return [(row.at.value, row.short, row.right, row.too_much, row.right_before or 0) for row in rows]
