# ruff: noqa: N818  (an exception here is named for what has happened, as it would be told at the bench)
"""What can go wrong while keeping things, each told as a sentence to the person at the bench.

Every sentence says what was read, what is wrong with it and what to do instead.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from floatbowl.bike.shape import Contradiction


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing wrong: where (a line, if there is one), what, and what to do."""

    line: int | None
    what: str
    do: str

    def sentence(self, source_name: str = "") -> str:
        """Tell it in full.

        >>> Trouble(14, "clip_from_top is 7, but the needle has 5 grooves", "Write 1 to 5").sentence("a.toml")
        'Line 14 of a.toml: clip_from_top is 7, but the needle has 5 grooves. Write 1 to 5.'
        """
        told = f"{self.what}. {self.do}".rstrip()
        return f"{_where(self.line, source_name)}{told}{'' if told.endswith(('.', '?')) else '.'}"


def _where(line: int | None, source_name: str) -> str:
    if line is not None:
        return f"Line {line} of {source_name}: " if source_name else f"Line {line}: "
    return f"{source_name}: " if source_name else ""


class RecordTrouble(Exception):
    """Something about the record or a file; ``str()`` is the sentence to show."""


class UnknownBike(RecordTrouble):
    """No bike of that name stands here."""


class UnknownPlace(RecordTrouble):
    """No place of that name was ever told."""


class NotesMoved(RecordTrouble):
    """Ride notes are of a setup that is no longer fitted."""


class NameTaken(RecordTrouble):
    """Another bike already has that name."""


class NotKept(RecordTrouble):
    """The record cannot be opened or written: damaged, foreign, newer, in use, or may not be written."""


class ForeignFile(NotKept):
    """The file is not a record of ours; it was left untouched."""


class NewerRecord(NotKept):
    """The record was written by a newer floatbowl; it was left untouched."""


class BrokenRecord(NotKept):
    """The record is damaged beyond reading."""


class ReadOnlyRecord(NotKept):
    """The record can be read but not written."""


class NotInDrawer(RecordTrouble):
    """The part to take out is not there."""


class CannotStrike(RecordTrouble):
    """That entry cannot be struck out."""


class Troubles(RecordTrouble):
    """Several things wrong at once, in the order of their lines."""

    def __init__(self, troubles: Iterable[Trouble], *, source_name: str = "") -> None:
        """Keep them all; a reader mends them in one go."""
        self.troubles = tuple(sorted(troubles, key=lambda trouble: trouble.line or 0))
        self.source_name = source_name
        super().__init__("\n".join(trouble.sentence(source_name) for trouble in self.troubles))


class BikeFileTrouble(Troubles):
    """A bike file that cannot be used as it stands."""


class GarageFileTrouble(Troubles):
    """A garage file that cannot be used as it stands."""


class DayFileTrouble(Troubles):
    """A day file that cannot be used as it stands."""


class LogbookTrouble(Troubles):
    """A logbook out of which no garage can be made."""


class EntryTrouble(Troubles):
    """A remark, reading, part or air that cannot be used as it was given."""


class SetupTrouble(Troubles):
    """A setup that cannot be fitted to this bike."""


def tell(contradiction: Contradiction) -> tuple[str, str]:
    """Tell a contradiction: what is wrong, and what to do about it."""
    what, do = _CONTRADICTION[contradiction.key]
    numbers = {name: f"{number:.4g}" for name, number in contradiction.numbers}
    return what.format_map(numbers), do.format_map(numbers)


_CONTRADICTION = {
    "no such groove": (
        "clip_from_top is {clip}, but this needle has {grooves} grooves",
        "Write 1 to {grooves}, counted from the blunt end",
    ),
    "needle through main jet": (
        (
            "length_mm of the needle is {length_mm}: with the slide shut and the clip in groove 1 its tip "
            "would stand {tip_below_floor_mm} mm below the floor of the bore, past the main jet's top at "
            "{jet_below_floor_mm} mm"
        ),
        "Measure length_mm again, and write main_jet_top_mm if it is not there",
    ),
    "needle out of jet": (
        (
            "length_mm of the needle is {length_mm}, but with the slide lifted {full_lift_mm} mm "
            "it must be longer than {needed_mm} mm to stay in the needle jet"
        ),
        "Measure length_mm and full_lift_mm again, and look which groove the clip is in",
    ),
    "needle too thick": (
        "the needle is {needle_mm} mm thick where it sits in a needle jet with a bore of {jet_mm} mm",
        "Measure both again; the needle is about a tenth of a millimetre thinner",
    ),
    "needle stations out of order": (
        "the needle's measures do not run from blunt end to tip: {there_mm} mm comes after {here_mm} mm",
        "Give every distance from the blunt end, in growing order, the last no farther than length_mm",
    ),
    "needle swells": (
        "the needle grows from {here_mm} mm to {there_mm} mm on its way to the tip",
        "A needle only gets thinner: look whether two measures changed places",
    ),
    "grooves off the needle": (
        "the last groove would lie {last_groove_mm} mm from the blunt end of a needle {length_mm} mm long",
        "Measure groove_pitch_mm and count the grooves again",
    ),
    "slide hits needle jet": (
        "needle_jet_rise_mm is {rise_mm} in a bore of {bore_mm} mm, so the slide would hit the needle jet",
        "Measure from the floor of the bore to the jet's mouth",
    ),
    "cutaway too tall": (
        "cutaway {cutaway_mm} is taller than a quarter of the bore ({tallest_mm} mm)",
        "Write the stamp in millimetres, like 2.5",
    ),
    "cutaway below nothing": (
        "cutaway {cutaway_mm} is below nothing",
        "Write the stamp in millimetres, like 2.5",
    ),
    "bypass too large": (
        "bypass hole {hole} is {hole_mm} mm wide; none wider than {widest_mm} mm is drilled there",
        "Write the diameter of the hole itself",
    ),
    "bypass too far up": (
        (
            "bypass hole {hole} is uncovered at {uncovered_mm} mm of lift, but it lies at the slide's edge: "
            "it shows below {highest_mm} mm"
        ),
        "Write the lift of the slide at which half of the hole shows",
    ),
    "outlet too large": (
        "pilot_outlet_mm is {hole_mm}; none wider than {widest_mm} mm is drilled there",
        "Write the diameter of the hole behind the slide",
    ),
}
