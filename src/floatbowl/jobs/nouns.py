"""What the jobs hand back, and what they say when they cannot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from floatbowl.bike.aside import Aside
from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.setup import Setup
from floatbowl.guide.strip import Part, State
from floatbowl.signs.trial import (
    Trial,
)

if TYPE_CHECKING:
    from floatbowl.advice.advice import Advice, Step
    from floatbowl.advice.day_sheet import DaySheet
    from floatbowl.advice.dry_fit import DryFit
    from floatbowl.advice.plates import Plates
    from floatbowl.advice.prove import Check
    from floatbowl.advice.swaps import Band
    from floatbowl.belief.belief import Belief


class TooLittleKnownError(Exception):
    """Too little is known of a bike to answer; ``missing`` names what, as fields of a setup."""

    def __init__(self, bike: str, missing: tuple[str, ...]) -> None:
        """Take the bike's name and what is missing."""
        super().__init__(bike)
        self.bike = bike
        self.missing = missing


class NotThereError(Exception):
    """A bike has no such thing: ``what`` is ``card``, ``measure`` or ``setup``, ``known`` what there is."""

    def __init__(
        self, bike: str, what: Literal["card", "measure", "setup"], *, asked: str, known: tuple[str, ...]
    ) -> None:
        """Take the bike's name, what was asked for, and what there is."""
        super().__init__(bike)
        self.bike = bike
        self.what = what
        self.asked = asked
        self.known = known


class NothingAskedError(Exception):
    """Nothing is there that could be meant: no look, no mend, nothing to set aside, no roll-ons."""

    def __init__(self, bike: str, what: Literal["look", "mend", "aside", "rollons", "idle"]) -> None:
        """Take the bike's name and what was left open."""
        super().__init__(bike)
        self.bike = bike
        self.what = what


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A bike on its stand, with what we think of it."""

    bike: Bike
    trials: tuple[Trial, ...]
    belief: Belief
    advice: Advice

    @property
    def is_proven(self) -> bool:
        """Say whether what is fitted passed every check."""
        return not missing_checks(self)

    @property
    def tag(self) -> str | None:
        """Name the fault of the stop tag that hangs here; None where none hangs."""
        return self.advice.suspect if self.advice.kind == "stop" else None


@dataclass(frozen=True, slots=True, kw_only=True)
class StripCard:
    """A card of the strip sheet, how it stands, and what is known of its measures, in its own units."""

    part: Part
    state: State
    measured: Mapping[str, str | float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """Two setups on one belief, and the parts in which they differ, from the first to the second."""

    belief: Belief
    first: DryFit
    second: DryFit
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """Every check of what is fitted; ``is_all_done`` says that ``next`` has nothing more to ask."""

    checks: tuple[Check, ...]
    is_all_done: bool

    @property
    def is_proven(self) -> bool:
        """Say whether no check is missing."""
        return all(check.is_done for check in self.checks)


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOver:
    """All that a setup card tells of a stand: its checks, the air it was set in, mains by height, text."""

    stand: Stand
    proof: Proof
    set_on: Day
    mains: tuple[Band, ...]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WallChart:
    """All that the wall chart of a bike tells: what is handed over, and the numbers of its plates."""

    card: HandOver
    plates: Plates


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeAlong:
    """All that a bike's take-along holds: what is handed over, every dry fit one change away, a day."""

    card: HandOver
    fits: tuple[DryFit, ...]
    sheet: DaySheet | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NotesTaken:
    """What came of ride notes: whose they are, how many were new, and how many stood here already."""

    bike: str
    new: int
    known: int
    setup: Setup


class NotOnAStandError(TooLittleKnownError):
    """A setup card is of a bike that does not stand here; ``alike`` names the bikes that it may be of."""

    def __init__(self, bike: str, alike: tuple[str, ...]) -> None:
        """Take the name on the card, and the bikes whose names begin like it."""
        super().__init__(bike, ("engine.strokes", "engine.swept_cc", "carb.bore_mm"))
        self.alike = alike


@dataclass(frozen=True, slots=True, kw_only=True)
class BareStand:
    """A bike of which too little is known to think anything."""

    bike: Bike
    missing: tuple[str, ...]


def entry_uid(uid: str | None, what: str) -> str | None:
    """Name one of several entries that are written at once, so that each stands once."""
    return None if uid is None else f"{uid} {what}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """All that a belief rests on; equal facts are thought about once.

    ``aside`` is what was set aside: it changes what is advised, not what is believed.
    """

    bike: Bike
    setup: Setup
    day: Day
    trials: tuple[Trial, ...]
    aside: tuple[Aside, ...] = ()


def missing_checks(stand: Stand) -> tuple[str, ...]:
    """Name the checks that what is fitted has still to pass before it is proven; none when it is."""
    from floatbowl.advice.prove import missing_proof

    return missing_proof(stand.belief, stand.trials)
