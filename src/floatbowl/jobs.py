"""One function for each job a mechanic comes in for; reads like a price list.

Each fetches facts from the record, thinks, and hands back frozen nouns. The clock
and the dice come in from here and from nowhere else: ``now`` is an aware
``datetime``, and the dice of a bike are thrown from its own measures, so that the
same record always gives the same belief, and a likely bike does not jump when
nothing new was said.
"""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import lru_cache
from importlib import resources
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Literal, Self, cast

from floatbowl.bike.aside import Aside
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer, nearest_changes
from floatbowl.bike.hour import Forecast, Hour
from floatbowl.bike.place import NOT_KNOWN, Place, assume_day
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup
from floatbowl.guide.strip import Answer, Ask, Happening, Part, State, cards_for, state_of
from floatbowl.record import history
from floatbowl.record.bike_file import BikeFile, load_bike_file, read_bike_file
from floatbowl.record.card_text import CardText, is_card, read_card, write_card
from floatbowl.record.day_file import DayFile, load_day_file
from floatbowl.record.first_run import FirstAnswers, first_file
from floatbowl.record.garage_file import load_garage_file, read_garage_file
from floatbowl.record.log import LogLine
from floatbowl.record.notes_text import Note, is_notes, read_notes
from floatbowl.record.remeasuring import remeasured
from floatbowl.record.settings import Settings
from floatbowl.record.store import PartKind, Record, StampKind
from floatbowl.record.trial_file import reading_of_facts
from floatbowl.record.trouble import (
    EntryTrouble,
    NotesMoved,
    NotInDrawer,
    NotKept,
    RecordTrouble,
    UnknownBike,
    UnknownPlace,
)
from floatbowl.signs.trial import (
    SHOWS,
    Behaviour,
    GasReading,
    How,
    IdleNoteReading,
    IdleSweepReading,
    LambdaLogReading,
    LookOutcome,
    LookReading,
    Often,
    Reading,
    Remark,
    RollOnReading,
    Trial,
    Warmth,
)
from floatbowl.units import FREEZING, HECTOPASCAL

if TYPE_CHECKING:
    import numpy as np
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.advice.advice import Advice, Step
    from floatbowl.advice.carry import Carried as Carried  # noqa: PLC0414  (the pages name it from here)
    from floatbowl.advice.day_sheet import DaySheet as DaySheet  # noqa: PLC0414  (the same)
    from floatbowl.advice.dry_fit import DryFit as DryFit  # noqa: PLC0414  (the pages name it from here)
    from floatbowl.advice.narrow import NextMeasure
    from floatbowl.advice.plates import Plates
    from floatbowl.advice.prove import Check
    from floatbowl.advice.swaps import Band
    from floatbowl.belief.belief import Belief
    from floatbowl.record.health import Finding
    from floatbowl.record.log_columns import Column, Role
    from floatbowl.record.log_text import LogText
    from floatbowl.record.rescue import Saved
    from floatbowl.record.sound_file import Sound
    from floatbowl.record.whole import Say, Written
    from floatbowl.signs.best_idle import BestIdle
    from floatbowl.signs.ear.blips import Blip
    from floatbowl.signs.ear.idle import IdleHeard
    from floatbowl.signs.ear.track import Track
    from floatbowl.signs.lambda_log.bins import Came
    from floatbowl.signs.lambda_log.look import Known
    from floatbowl.signs.roll_on_runs import Difference, Timed

__all__ = [
    "BareStand",
    "BikeFile",
    "DayFile",
    "EntryTrouble",
    "Facts",
    "FirstAnswers",
    "Garage",
    "HandOver",
    "Listened",
    "LogCame",
    "LogGuess",
    "LogLine",
    "NotOnAStandError",
    "NotThereError",
    "NotesTaken",
    "NothingAskedError",
    "Proof",
    "RecordTrouble",
    "RollOnPair",
    "RollOnsHeld",
    "Settings",
    "Sides",
    "Stand",
    "StripCard",
    "TakeAlong",
    "TooLittleKnownError",
    "UnknownBike",
    "WallChart",
    "bike_on_paper",
    "carry_thought",
    "check_bike_file",
    "examine",
    "hand_over_of",
    "is_card",
    "is_notes",
    "keep_film",
    "lay_out_day",
    "lay_side_by_side",
    "load_day_file",
    "missing_checks",
    "narrows_most",
    "open_demo",
    "open_garage",
    "proof_of",
    "put_right",
    "read_log",
    "reopen_demo",
    "repair",
    "shades_of",
    "take_along_of",
    "think",
    "time_by_ear",
    "time_runs",
    "try_on_paper",
    "wall_chart_of",
    "warm_up",
]

DEMO_NOW = datetime(2026, 11, 12, 18, 40, tzinfo=UTC)
"""The fixed clock of the demo."""
NEEDED = (
    "click",
    "jinja2",
    "msgspec",
    "multipart",
    "numba",
    "numpy",
    "segno",
    "starlette",
    "tomlkit",
    "typst",
    "uvicorn",
)
"""What floatbowl is built on, by the names it is imported under; the doctor looks whether all is there."""
DEMO_BIKES = ("magpie", "thistle", "otter")


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


# --- the garage and what stands in it ----------------------------------------------------------------------


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


def _named(uid: str | None, what: str) -> str | None:
    """Name one of several entries that are written at once, so that each stands once."""
    return None if uid is None else f"{uid} {what}"


def add_bike(
    record: Record, path: Path, *, replace: bool = False, now: datetime, uid: str | None = None
) -> BikeFile:
    """Put the bike of a bike file on a stand; ``replace`` tells one that stands there anew."""
    read = load_bike_file(path)
    record.add_bike(read, now=now, replace=replace, uid=_named(uid, "bike"))
    return read


def new_bike(record: Record, answers: FirstAnswers, *, now: datetime, uid: str | None = None) -> Bike:
    """Put a bike on a stand by the answers of the first evening; what it does is its first remark.

    What nobody knows is assumed. A place that is named is where we are from now on.
    """
    file = first_file(answers)
    record.add_bike(file, now=now, uid=_named(uid, "bike"))
    if answers.place or answers.height is not None:
        note_air(record, place=answers.place, height=answers.height, read={}, now=now, uid=_named(uid, "air"))
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
    record.add_bike(read, now=now, replace=True, uid=_named(uid, "bike"))
    return record.bike(name)


def check_bike_file(path: Path) -> BikeFile:
    """Read a bike file and keep nothing; raises a ``RecordTrouble`` that names every slip."""
    return load_bike_file(path)


def export_bike(record: Record, name: str) -> str:
    """Write a bike out as the text of a bike file."""
    from floatbowl.record.bike_text import write_bike_file

    return write_bike_file(record.bike_file(name))


# --- what is fitted, what is at hand, what the air is ------------------------------------------------------


def fit(  # noqa: PLR0913  (what, when, and what hung there)
    record: Record,
    name: str,
    changes: Mapping[str, Any],
    *,
    now: datetime,
    tag: str | None = None,
    uid: str | None = None,
) -> Setup:
    """Write down what was fitted: only the fields of the setup that changed.

    ``tag`` is the fault of the stop tag that hung there, see ``tag_on``; the logbook notes it.
    """
    return record.fit(name, _changed(record, name, changes), now=now, tag=tag or "", uid=uid)


def tag_on(record: Record, name: str) -> str | None:
    """Name the fault of the stop tag that hangs on a bike now; None where none hangs."""
    return think(_facts(record, name, None), record.drawer()).tag


def set_aside(
    record: Record, name: str, *, advice: Advice | None = None, now: datetime, uid: str | None = None
) -> Aside:
    """Set aside what a card advised, else what one advises now, while the setup stands."""
    from floatbowl.advice.advice import aside_of

    sent = record.sent(uid)
    if sent is not None:
        return history.aside_of_facts(sent.facts)
    aside = aside_of(advice or advise_next(record, name))
    if aside is None:
        raise NothingAskedError(record.bike(name).name, "aside")
    return record.set_aside(name, aside, now=now, uid=uid)


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
    metres = _height_of(record, here) if height is None else height
    if here != NOT_KNOWN and height is not None:
        record.note_place(here, height, now=now, uid=_named(uid, "place"))
    day = assume_day(here, date=now.date().isoformat(), height=metres, **read)
    return record.note_air(day, now=now, uid=uid)


def _height_of(record: Record, place: str) -> float | None:
    heights = {one.name.casefold(): one.height for one in record.places()}
    return heights.get(place.casefold())


# --- what it did, and what was measured --------------------------------------------------------------------


def record_remark(  # noqa: PLR0913  (one for each thing a rider can say)
    record: Record,
    name: str,
    *,
    did: Behaviour,
    at: Rung | None = None,
    how: How | None = None,
    engine: Warmth = "hot",
    often: Often = "every time",
    now: datetime,
    uid: str | None = None,
) -> Remark:
    """Write down what it did, with what is fitted now."""
    told = {"did": did, "at": at.value if at else None, "how": how, "engine": engine, "often": often}
    fields = {key: value for key, value in told.items() if value is not None}
    return record.say(name, fields, now=now, uid=uid)


def record_look(  # noqa: PLR0913  (what was looked at, what it brought, and when)
    record: Record,
    name: str,
    outcome: LookOutcome,
    *,
    look: str | None = None,
    now: datetime,
    uid: str | None = None,
) -> LookReading:
    """Write down what a look brought; where none is named it is the one that is asked for now."""
    sent = record.sent(uid)
    if sent is not None:
        return cast("LookReading", reading_of_facts(sent.facts, entry=sent.entry))
    fields = {"kind": "look", "look": look or _look_asked(record, name), "outcome": outcome}
    return cast("LookReading", record.read(name, fields, now=now, uid=uid))


def _look_asked(record: Record, name: str) -> str:
    look = advise_next(record, name).look
    if look not in SHOWS:
        raise NothingAskedError(record.bike(name).name, "look")
    return look


def mend(
    record: Record, name: str, fault: str | None = None, *, now: datetime, uid: str | None = None
) -> str:
    """Write down that a fault was put right; where none is named it is the one on the tag."""
    sent = record.sent(uid)
    if sent is not None:
        return str(sent.facts["fault"])
    return record.mend(name, fault or _fault_tagged(record, name), now=now, uid=uid)


def _fault_tagged(record: Record, name: str) -> str:
    """Give the fault that a stop tag is about, or else the only one that a look found."""
    from floatbowl.advice.looks import faults_found

    tagged = advise_next(record, name).suspect
    faults = (tagged,) if tagged else faults_found(record.trials(name))
    if len(faults) != 1:
        raise NothingAskedError(record.bike(name).name, "mend")
    return faults[0]


# --- the strip sheet ---------------------------------------------------------------------------------------


def strip_sheet(record: Record, name: str) -> tuple[StripCard, ...]:
    """Give the cards of the strip sheet that fit this bike, and how each stands."""
    happenings = _happenings(record.log(name))
    file = record.bike_file(name)
    return tuple(
        StripCard(part=part, state=state_of(part, happenings), measured=_measured(file, part))
        for part in cards_for(record.bike(name))
    )


def _happenings(lines: Sequence[LogLine]) -> tuple[Happening, ...]:
    told = []
    for line in lines:
        facts = line.facts
        if line.struck:
            continue
        if line.kind == "strip":
            told.append(Happening("strip", facts["card"], facts["answer"]))
        elif line.kind == "reading" and facts["kind"] == "look":
            told.append(Happening("look", facts["look"], facts["outcome"]))
        elif line.kind == "mend":
            told.append(Happening("mend", facts["fault"]))
    return tuple(told)


def _measured(file: BikeFile, part: Part) -> dict[str, str | float]:
    known = {ask.field: _known(file, ask) for ask in part.asks}
    return {field: value for field, value in known.items() if value is not None}


def _known(file: BikeFile, ask: Ask) -> str | float | None:
    """Give what is known of a measure; None where nobody told it."""
    first, *inner = ask.field.split(".")
    if first == "setup":
        value = getattr(file.setup, inner[0])
        return None if value == "?" else value
    value = getattr(file, first)
    for key in inner:
        value = value.get(key, {}) if isinstance(value, Mapping) else {}
    return None if value == {} else value


def record_strip(  # noqa: PLR0913  (which part, how it is, what it measures)
    record: Record,
    name: str,
    card: str,
    answer: Answer,
    measures: Mapping[str, str | float] | None = None,
    *,
    now: datetime,
    uid: str | None = None,
) -> StripCard:
    """Write down what came of one card of the strip sheet, and what was measured on the way.

    ``measures`` are told by their fields, see ``Ask``. A card that is a look for a fault keeps fine and not
    fine as that look, clear and found, so that it counts for the belief.
    """
    part = _card(record, name, card)
    told = dict(measures or {})
    _refuse_unasked(record.bike(name).name, part, told)
    settings = {field.removeprefix("setup."): told.pop(field) for field in list(told) if "setup." in field}
    if told:
        remeasure(record, name, told, now=now, uid=_named(uid, "measures"))
    if settings:
        fit(record, name, settings, now=now, uid=_named(uid, "setup"))
    if part.look and answer != "skipped":
        outcome = "clear" if answer == "fine" else "found"
        record.read(name, {"kind": "look", "look": part.look, "outcome": outcome}, now=now, uid=uid)
    else:
        record.strip(name, part.key, answer, now=now, uid=uid)
    return next(one for one in strip_sheet(record, name) if one.part.key == part.key)


def _card(record: Record, name: str, card: str) -> Part:
    cards = {part.key: part for part in cards_for(record.bike(name))}
    if card.casefold() not in cards:
        raise NotThereError(record.bike(name).name, "card", asked=card, known=tuple(cards))
    return cards[card.casefold()]


def _refuse_unasked(bike: str, part: Part, measures: Mapping[str, str | float]) -> None:
    known = tuple(ask.field for ask in part.asks)
    for field in measures:
        if field not in known:
            raise NotThereError(bike, "measure", asked=field, known=known)


# --- logs of lambda ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class LogGuess:
    """A log with what each of its columns is taken for. ``air_per_fuel`` is what counts as lambda 1."""

    text: LogText
    columns: Mapping[Role, Column]
    air_per_fuel: float
    rows_apart: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LogCame:
    """What a log came to: what had to be known of it, what its rows came to, lines that were no rows."""

    known: Known
    came: Came
    torn: int


def guess_log(record: Record, name: str, path: Path) -> LogGuess:
    """Find the shape of a log, and guess its columns; nothing is written down."""
    from floatbowl.flow.fuel import blend_state
    from floatbowl.record.log_columns import guess
    from floatbowl.record.log_text import open_log

    fuel = record.bike(name).fuel
    text = open_log(path)
    asked = blend_state(fuel.ethanol_share.value, temperature=FREEZING + 20.0).air_per_fuel
    return LogGuess(text=text, columns=guess(text), air_per_fuel=float(asked))


def put_right(  # noqa: PLR0913  (one for each thing that can be put right)
    guess: LogGuess,
    role: Role,
    column: str,
    *,
    low: float | None = None,
    high: float | None = None,
    at_one: float | None = None,
) -> LogGuess:
    """Take a column, by number or name, for something; ``low`` and ``high`` are a throttle's ends."""
    from floatbowl.record import log_columns

    found = log_columns.column(guess.text, role, log_columns.named(guess.text, column))
    if low is not None and high is not None:
        found = log_columns.with_travel(found, low, high)
    others = {key: one for key, one in guess.columns.items() if one.number != found.number}
    if role in {"lambda", "afr"}:
        others = {key: one for key, one in others.items() if key not in {"lambda", "afr"}}
    columns = {**others, role: found}
    return replace(guess, columns=columns, air_per_fuel=at_one or guess.air_per_fuel)


def read_log(
    guess: LogGuess,
    *,
    held: Sequence[tuple[Rung, float, float]] = (),
    progress: Callable[[int], None] = lambda _: None,
) -> LogCame:
    """Go through a log, however long; nothing is written down. ``progress`` is told the bytes read."""
    from floatbowl.record.log_columns import refuse_unread
    from floatbowl.record.log_file import Torn, pieces, stretches
    from floatbowl.signs.lambda_log.bins import tally
    from floatbowl.signs.lambda_log.look import look
    from floatbowl.signs.lambda_log.sort import Held

    refuse_unread(guess.text, guess.columns, rows_apart=guess.rows_apart)
    how = {"air_per_fuel": guess.air_per_fuel, "rows_apart": guess.rows_apart}
    torn = Torn()
    known = look(stretches(guess.text, guess.columns, **how))
    rows = pieces(guess.text, guess.columns, **how, torn=torn, progress=progress)
    came = tally(rows, known, held=[Held(*one) for one in held])
    return LogCame(known=known, came=came, torn=torn.lines)


def record_log(
    record: Record, name: str, came: LogCame, *, now: datetime, uid: str | None = None
) -> LambdaLogReading:
    """Write down what a log came to."""
    places = came.came.places
    speeds = [round(one.rpm) for one in places if one.rpm is not None]
    fields = {
        "kind": "log",
        "at": [one.at.value for one in places],
        "value": [round(one.lam, 4) for one in places],
        "spread": [round(one.spread, 4) for one in places],
        **({"rpm": speeds} if speeds else {}),
    }
    return cast("LambdaLogReading", record.read(name, fields, now=now, uid=uid))


def lambda_of_gas(record: Record, name: str, reading: GasReading) -> tuple[float, float]:
    """Give the lambda that the exhaust gas comes to with this bike's fuel, and its relative spread."""
    from floatbowl.flow.fuel import blend_elements
    from floatbowl.signs.exhaust_gas import lambda_and_spread

    return lambda_and_spread(reading, blend_elements(record.bike(name).fuel.ethanol_share.value))


# --- roll-ons ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class RollOnPair:
    """The roll-ons of two setups from one rung and speed: their times in seconds, and how they differ.

    ``difference`` is None where there are too few runs to say.
    """

    at: Rung
    rpm: float | None
    before: tuple[Timed, ...]
    after: tuple[Timed, ...]
    difference: Difference | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RollOnsHeld:
    """The roll-ons of two setups held against each other, rung by rung."""

    bike: str
    before: Setup
    after: Setup
    pairs: tuple[RollOnPair, ...]


def hold_roll_ons(
    record: Record, name: str, before: int | None = None, after: int | None = None
) -> RollOnsHeld:
    """Hold the timed roll-ons of two setups, by their numbers, against each other; else of the last two."""
    from floatbowl.signs.roll_on_runs import compare

    bike, trials = record.bike(name).name, record.trials(name)
    if before is None or after is None:
        earlier, later = _last_two_timed(bike, trials)
    else:
        earlier, later = (_setup_numbered(record, name, number) for number in (before, after))
    one, other = _timed_by_place(trials, earlier), _timed_by_place(trials, later)
    pairs = tuple(
        RollOnPair(
            at=at,
            rpm=rpm,
            before=one[at, rpm],
            after=other[at, rpm],
            difference=compare(one[at, rpm], other[at, rpm]),
        )
        for at, rpm in one
        if (at, rpm) in other
    )
    return RollOnsHeld(bike=bike, before=earlier, after=later, pairs=pairs)


def _last_two_timed(bike: str, trials: Sequence[Trial]) -> tuple[Setup, Setup]:
    """Give the last two setups that have roll-ons in common, the later last."""
    timed: dict[int, Setup] = {}
    for trial in trials:
        if any(_is_plain_roll_on(one) for one in trial.readings):
            timed.pop(trial.setup.number, None)
            timed[trial.setup.number] = trial.setup
    if len(timed) < 2:  # noqa: PLR2004  (a pair)
        raise NothingAskedError(bike, "rollons")
    earlier, later = list(timed.values())[-2:]
    return (earlier, later) if earlier.number < later.number else (later, earlier)


def _is_plain_roll_on(reading: Reading) -> bool:
    return isinstance(reading, RollOnReading) and reading.choke == "off"


def _timed_by_place(
    trials: Sequence[Trial], setup: Setup
) -> dict[tuple[Rung, float | None], tuple[Timed, ...]]:
    """Give the runs of a setup with the choke off, by rung and speed, each with its air."""
    from floatbowl.flow.air import dry_pressure
    from floatbowl.flow.power import sae_j1349
    from floatbowl.signs.roll_on_runs import Timed

    found: dict[tuple[Rung, float | None], tuple[Timed, ...]] = {}
    for trial in (one for one in trials if one.setup.number == setup.number):
        day = trial.day
        warmth = day.temperature.value
        dry = dry_pressure(day.pressure.value, temperature=warmth, humidity=day.humidity.value)
        factor = float(sae_j1349(dry, temperature=warmth))
        for reading in trial.readings:
            if isinstance(reading, RollOnReading) and reading.choke == "off":
                one = Timed(reading.seconds, reading.ways, reading.by, air=factor, day=day.date or repr(day))
                key = (reading.at, reading.rpm)
                found[key] = (*found.get(key, ()), one)
    return found


def time_runs(guess: LogGuess, path: Path, *, low: float, high: float) -> float | None:
    """Give how long a logged run takes from one engine speed to another, in seconds; None: it did not.

    ``guess`` says which column is which, as of another log of the same kind.
    """
    from floatbowl.record.log_file import pieces
    from floatbowl.record.log_text import open_log
    from floatbowl.signs.lambda_log.samples import joined
    from floatbowl.signs.roll_on_runs import run_of, seconds_between

    text = open_log(path)
    parts = list(pieces(text, guess.columns, air_per_fuel=guess.air_per_fuel, rows_apart=guess.rows_apart))
    if not parts:
        return None
    run = run_of(joined(parts))
    took = None if run is None else seconds_between(run, low, high)
    return None if took is None else took[0]


# --- another day, another height ---------------------------------------------------------------------------


def day_at(
    record: Record, to: str | None, *, height: float | None = None, date: str = "", read: Mapping[str, float]
) -> Day:
    """Give the air expected at a place, in SI; where none is named it is the place of now.

    ``read`` holds ``temperature``, ``humidity``, and ``pressure`` at the door or the forecast's
    ``sea_level_pressure``. What is not told is assumed from the height and a mild day.
    """
    place = to or air(record).place
    metres = _height_of(record, place) if height is None else height
    if metres is None and place == air(record).place:
        metres = air(record).height
    if metres is None:
        known = ", ".join(one.name for one in record.places()) or "none yet"
        text = f"We do not know how high {place} lies. Say its height as well. Places we know: {known}."
        raise UnknownPlace(text)
    told = dict(read)
    if "sea_level_pressure" in told:
        from floatbowl.flow.air import station_pressure

        told["pressure"] = float(station_pressure(told.pop("sea_level_pressure"), height=metres))
    return assume_day(place, date=date, height=metres, **told)


def keep_place(record: Record, place: str, height: float, *, now: datetime, uid: str | None = None) -> None:
    """Remember a place with its height in metres; where it is known so already nothing is written."""
    if _height_of(record, place) != height:
        record.note_place(place, height, now=now, uid=uid)


def carry(record: Record, name: str, day: Day) -> Carried:
    """Carry what we think to another day: what it does there, what to fit, where other parts take over."""
    return carry_thought(_facts(record, name, None), record.drawer(), day)


def hours_at(
    record: Record, to: str | None, forecasts: Sequence[Forecast], *, height: float | None, date: str = ""
) -> tuple[Hour, ...]:
    """Give the hours of a day ahead at a place, each with its air; see ``day_at``."""
    return tuple(
        Hour(
            minute=one.minute,
            what=one.what,
            day=day_at(record, to, height=height, date=date, read=_told_of(one)),
        )
        for one in forecasts
    )


def _told_of(one: Forecast) -> dict[str, float]:
    told = {key: getattr(one, key) for key in ("temperature", "pressure", "sea_level_pressure", "humidity")}
    return {key: value for key, value in told.items() if value is not None}


def day_sheet(record: Record, name: str, hours: tuple[Hour, ...]) -> DaySheet:
    """Lay a day out: the air hour by hour, the swap lines across it, what to take along and what to buy."""
    return lay_out_day(_facts(record, name, None), record.drawer(), hours)


# --- the ear -----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Listened:
    """A recording listened to: its line of speed, and the idle and the blips in it."""

    name: str
    sound: Sound
    track: Track
    idle: IdleHeard | None
    blips: tuple[Blip, ...]
    is_idle: bool
    """Whether it is an idle, with or without blips, and no engine held or pulled."""

    @property
    def range(self) -> tuple[float, float]:
        """Give the lowest and the highest speed that it was at for more than a moment."""
        import numpy as np

        low, high = np.quantile(self.track.rpm, (0.03, 0.97))
        return float(low), float(high)

    @property
    def middle(self) -> float:
        """Give the speed in the middle of all."""
        import numpy as np

        return float(np.median(self.track.rpm))


def listen_to(record: Record, name: str, path: Path) -> Listened:
    """Listen to a recording of a bike; nothing is written down. Raises ``RecordTrouble`` where it cannot."""
    from floatbowl.record.sound_file import load_sound, refuse_short
    from floatbowl.signs.ear.blips import blips
    from floatbowl.signs.ear.idle import idle_heard, is_idle
    from floatbowl.signs.ear.listen import SHORTEST, listen

    strokes = record.bike(name).engine.strokes
    sound = load_sound(path)
    refuse_short(sound, least=SHORTEST)
    track = listen(sound.samples, sound.rate, strokes=strokes)
    return Listened(
        name=path.name,
        sound=sound,
        track=track,
        idle=idle_heard(track),
        blips=blips(track),
        is_idle=is_idle(track),
    )


def record_note(
    record: Record, name: str, heard: Listened, *, now: datetime, uid: str | None = None
) -> IdleNoteReading:
    """Write down an idle that was heard, and what came of its blips."""
    from statistics import median

    idle, blips = heard.idle, heard.blips
    if idle is None or not heard.is_idle:
        raise NothingAskedError(record.bike(name).name, "idle")
    hunts = {} if idle.hunts is None else {"hunts_per_s": round(idle.hunts, 2)}
    sank = 2 * sum(blip.sinks for blip in blips) > len(blips)
    after: dict[str, object] = {
        "hangs_s": round(median(blip.hangs for blip in blips), 1) if blips else None,
        "after_blip": "sinks" if sank else "settles",
    }
    fields = {
        "kind": "ear",
        "rpm": round(idle.rpm, 1),
        "spread_rpm": round(idle.spread, 1),
        "wander_pct": round(100.0 * idle.wander, 2),
        **hunts,
        **(after if blips else {}),
    }
    return cast("IdleNoteReading", record.read(name, fields, now=now, uid=uid))


def time_by_ear(heard: Listened, *, low: float, high: float) -> float | None:
    """Give how long a run that was heard takes from one engine speed to another, s; None: it did not."""
    from floatbowl.signs.roll_on_runs import Run, seconds_between

    track = heard.track
    took = seconds_between(Run(track.seconds, track.rpm, track.spread / track.rpm), low, high)
    return None if took is None else took[0]


def best_idle_of(record: Record, name: str, reading: IdleSweepReading) -> BestIdle:
    """Say where the mixture screw is best by a sweep, and whether the pilot is a size out."""
    from floatbowl.signs.best_idle import best_idle

    return best_idle(reading, screw=record.bike(name).carb.screw)


def shades_of(heard: Listened, *, highest: float, rows: int) -> NDArray[np.float32]:
    """Give the shades of a recording for its picture, (row, column), from ``highest`` rpm to nought."""
    from floatbowl.signs.ear.listen import per_repeat
    from floatbowl.signs.ear.shades import shades

    repeats = highest / per_repeat(heard.track.strokes)
    return shades(heard.sound.samples, heard.sound.rate, highest=repeats, rows=rows)


# --- thinking ----------------------------------------------------------------------------------------------


def look_at_bench(record: Record, name: str, *, day: Day | None = None) -> Belief:
    """Say what this bike probably is, rung by rung."""
    return _believe(_facts(record, name, day))


def advise_next(record: Record, name: str, *, day: Day | None = None) -> Advice:
    """Tell the rider what to fit, look at or test next on this bike."""
    return _advise(_facts(record, name, day), record.drawer())


def next_measure(record: Record, name: str) -> NextMeasure | None:
    """Name the measure nobody took with which most of what is open goes; None where none stands out."""
    return narrows_most(look_at_bench(record, name))


def narrows_most(belief: Belief) -> NextMeasure | None:
    """Name the measure nobody took with which most of what a belief leaves open goes."""
    from floatbowl.advice.narrow import next_measure as narrows

    return narrows(belief)


def dry_fit(record: Record, name: str, changes: Mapping[str, Any]) -> tuple[Belief, DryFit]:
    """Try parts on paper: the belief as it is, and what would become of it. Nothing is written down."""
    belief = look_at_bench(record, name)
    return belief, try_on_paper(belief, _changed(record, belief.bike.name, changes))


def sides(record: Record, name: str, first: int, second: int) -> Sides:
    """Lay two setups side by side, by their numbers, on the belief of now."""
    one, other = _setup_numbered(record, name, first), _setup_numbered(record, name, second)
    _refuse_unreadable(record.bike(name).name, [one, other])
    return lay_side_by_side(look_at_bench(record, name), one, other)


def lay_side_by_side(belief: Belief, first: Setup, second: Setup) -> Sides:
    """Lay two setups side by side on one belief."""
    from floatbowl.advice.all_setups import parts_between
    from floatbowl.advice.rank import step_between

    return Sides(
        belief=belief,
        first=try_on_paper(belief, first),
        second=try_on_paper(belief, second),
        steps=tuple(step_between(part, first, second) for part in parts_between(first, second)),
    )


def _setup_numbered(record: Record, name: str, number: int) -> Setup:
    setups = {setup.number: setup for setup in record.setups(name)}
    if number not in setups:
        known = tuple(str(one) for one in sorted(setups))
        raise NotThereError(record.bike(name).name, "setup", asked=str(number), known=known)
    return setups[number]


def proof(record: Record, name: str) -> Proof:
    """Give every check of what is fitted: done, with the entries that passed it, or missing."""
    return proof_of(think(_facts(record, name, None), record.drawer()))


def proof_of(stand: Stand) -> Proof:
    """Give every check of what is fitted at a stand."""
    from floatbowl.advice.prove import checks

    return Proof(checks=checks(stand.belief, stand.trials), is_all_done=stand.advice.kind == "done")


def prove(record: Record, name: str) -> tuple[str, ...]:
    """Name the checks that what is fitted has still to pass before it is proven; none when it is."""
    from floatbowl.advice.prove import missing_proof

    return missing_proof(look_at_bench(record, name), record.trials(name))


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


def think(facts: Facts, drawer: Drawer) -> Stand:
    """Think about a bike, with no record at hand: from one thread at a time, since thoughts are kept."""
    belief, advice = _believe(facts), _advise(facts, drawer)
    return Stand(bike=facts.bike, trials=facts.trials, belief=belief, advice=advice)


def try_on_paper(belief: Belief, setup: Setup) -> DryFit:
    """Say what would become of a bike with another setup."""
    from floatbowl.advice.dry_fit import dry_fit as try_it

    return try_it(belief, setup)


def missing_checks(stand: Stand) -> tuple[str, ...]:
    """Name the checks that what is fitted has still to pass before it is proven; none when it is."""
    from floatbowl.advice.prove import missing_proof

    return missing_proof(stand.belief, stand.trials)


def warm_up() -> None:
    """Compile the sums, so that the first thought is as quick as the next."""
    from floatbowl.belief.warm import main

    main()


def _facts(record: Record, name: str, day: Day | None) -> Facts:
    bike, setup, trials = record.bike(name), record.setup(name), record.trials(name)
    _refuse_unreadable(bike.name, [setup, *(trial.setup for trial in trials)])
    return Facts(bike=bike, setup=setup, day=day or air(record), trials=trials, aside=record.asides(name))


def _believe(facts: Facts) -> Belief:
    """Think of the facts, whatever was set aside."""
    return _believe_once(replace(facts, aside=()))


@lru_cache(maxsize=16)
def _believe_once(facts: Facts) -> Belief:
    """Think once about the same facts: the dice are thrown from the bike, so the answer would be the same.

    What was thought of the bike before is taken on from there.
    """
    from floatbowl.belief.believe import believe

    since = _thought.pop(facts.bike.name, None)
    belief = believe(
        facts.bike,
        setup=facts.setup,
        day=facts.day,
        trials=facts.trials,
        rng=dice_of(facts.bike),
        since=since,
    )
    _thought[facts.bike.name] = belief
    while len(_thought) > _MOST_THOUGHT:
        del _thought[next(iter(_thought))]
    return belief


_thought: dict[str, Belief] = {}
"""The last belief about each bike, the latest last."""
_MOST_THOUGHT = 16


@lru_cache(maxsize=16)
def _advise(facts: Facts, drawer: Drawer) -> Advice:
    from floatbowl.advice.advise import advise

    return advise(
        _believe(facts), drawer=drawer, trials=facts.trials, rng=dice_of(facts.bike), aside=facts.aside
    )


@lru_cache(maxsize=16)
def carry_thought(facts: Facts, drawer: Drawer, day: Day) -> Carried:
    """Carry a thought to another day, with no record at hand: from one thread at a time, as it is kept."""
    from floatbowl.advice.carry import carry as carry_it

    return carry_it(_believe(facts), drawer=drawer, day=day)


@lru_cache(maxsize=16)
def lay_out_day(facts: Facts, drawer: Drawer, hours: tuple[Hour, ...]) -> DaySheet:
    """Lay a day out, with no record at hand: from one thread at a time, as it is kept."""
    from floatbowl.advice.day_sheet import day_sheet as lay_out

    return lay_out(_believe(facts), drawer=drawer, hours=hours)


def dice_of(bike: Bike) -> Generator:
    """Give a bike's own dice, thrown from its measures: the same bike, the same dice, on any machine."""
    from numpy.random import default_rng

    facts = repr((bike.name, bike.engine, bike.carb, bike.fuel))
    return default_rng(int.from_bytes(hashlib.sha256(facts.encode()).digest()[:8], "big"))


def _refuse_unreadable(name: str, setups: Sequence[Setup]) -> None:
    """See that every stamp can be read or is known not to be: an older record took stamps we cannot use."""
    from floatbowl.flow.stamps import unreadable

    missing = tuple(dict.fromkeys(part for setup in setups for part in unreadable(setup)))
    if missing:
        raise TooLittleKnownError(name, missing)


def _changed(record: Record, name: str, changes: Mapping[str, Any]) -> Setup:
    setup = record.setup(name)
    if "needle" not in changes:
        return replace(setup, **changes)
    return replace(setup, **{**changes, "needle": _needle(record, name, changes["needle"])})


def _needle(record: Record, name: str, stamp: str) -> Needle | None:
    needles = {one.stamp: one for one in record.drawer().needles}
    if stamp == record.bike(name).carb.needle.stamp:
        return None
    if stamp not in needles:
        text = f"There is no needle {stamp} in the drawer, so we do not know its shape."
        raise NotInDrawer(text)
    return needles[stamp]


# --- the setup card ----------------------------------------------------------------------------------------


def hand_over(record: Record, name: str) -> HandOver:
    """Give all that the setup card of a bike tells."""
    return hand_over_of(_facts(record, name, None), record.drawer())


@lru_cache(maxsize=16)
def hand_over_of(facts: Facts, drawer: Drawer) -> HandOver:
    """Give all that a setup card tells, with no record at hand: from one thread at a time, as it is kept."""
    from floatbowl.advice.carry import main_bands

    stand = think(facts, drawer)
    made, belief = proof_of(stand), stand.belief
    fitted = replace(belief.setup, number=0)
    rides = [trial.day for trial in stand.trials if replace(trial.setup, number=0) == fitted]
    day = rides[-1] if rides else belief.day
    text = write_card(stand.bike.name, belief.setup, day=day, is_proven=made.is_proven)
    return HandOver(stand=stand, proof=made, set_on=day, mains=main_bands(belief, drawer), text=text)


def wall_chart(record: Record, name: str) -> WallChart:
    """Give all that the wall chart of a bike tells."""
    return wall_chart_of(_facts(record, name, None), record.drawer())


@lru_cache(maxsize=16)
def wall_chart_of(facts: Facts, drawer: Drawer) -> WallChart:
    """Give all that a wall chart tells, with no record at hand: from one thread at a time, as it is kept."""
    from floatbowl.advice.plates import plates

    card = hand_over_of(facts, drawer)
    return WallChart(card=card, plates=plates(card.stand.belief))


def take_card(record: Record, text: str, *, now: datetime, uid: str | None = None) -> tuple[Bike, Setup]:
    """Fit what a setup card tells to the bike that it is of."""
    card = read_card(text)
    names = tuple(name for name in record.bikes() if card.is_of(name))
    if len(names) != 1:
        raise NotOnAStandError(card.name, names)
    bike, before = record.bike(names[0]), record.setup(names[0])
    setup = replace(before, **card.setup, needle=_needle_on(record, bike, card))
    return bike, record.fit(bike.name, setup, now=now, uid=uid)


def _needle_on(record: Record, bike: Bike, card: CardText) -> Needle | None:
    """Give the needle of a card: the carburettor's own, one fitted before, or one from the drawer."""
    if card.needle is None:
        return None
    fitted = [setup.needle for setup in reversed(record.setups(bike.name)) if setup.needle is not None]
    found = [one for one in (*fitted, *record.drawer().needles) if card.is_with(one.stamp)]
    if not found:
        text = f"There is no needle {card.needle} in the drawer, so we do not know its shape."
        raise NotInDrawer(text)
    return found[0]


# --- the film ----------------------------------------------------------------------------------------------


def keep_film(path: Path, frames: Iterable[bytes], *, rate: int) -> int:
    """Keep frames, each a PNG, as a film with so many a second; give how many they were."""
    from floatbowl.record.film_file import write_film

    return write_film(path, frames, rate=rate)


# --- the take-along, and the notes that come back ----------------------------------------------------------


def take_along(record: Record, name: str, hours: tuple[Hour, ...] = ()) -> TakeAlong:
    """Give all that a bike's take-along holds; ``hours`` are those of a day ahead."""
    return take_along_of(_facts(record, name, None), record.drawer(), hours)


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
    there = replace(_setup_numbered(record, bike.name, notes.setup), number=0)
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
    return {**note.fitted, "needle": _needle(record, name, note.fitted["needle"])}


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


# --- the logbook -------------------------------------------------------------------------------------------


def undo(record: Record, name: str | None, *, now: datetime, uid: str | None = None) -> LogLine | None:
    """Strike out the last entry of a bike, or of the whole garage; it stays in the logbook, struck."""
    return record.undo(name, now=now, uid=uid)


def strike(record: Record, entry_id: int, *, now: datetime, uid: str | None = None) -> LogLine:
    """Strike out one entry by its number in the logbook; striking out a strike brings back."""
    return record.strike(entry_id, now=now, uid=uid)


# --- settings, and a copy of it all ------------------------------------------------------------------------


def set_setting(record: Record, key: str, value: str, *, now: datetime, uid: str | None = None) -> Settings:
    """Set one thing of the garage: ``units``, ``backup_folder``, ``home_place``."""
    return record.set_setting(key, value, now=now, uid=uid)


def backup(record: Record, folder: Path | None, *, now: datetime) -> Path:
    """Copy the whole record into a dated file, in this folder, else the one that is set, else beside it."""
    set_folder = record.settings().backup_folder
    default = Path(set_folder).expanduser() if set_folder else record.path.parent
    return record.backup(folder or default, now=now)


def export_all(record: Record, folder: Path, say: Say) -> Written:
    """Write the whole garage as plain files into a new folder; ``say`` puts a line of the log in words."""
    return record.write_out(folder, say=say)


def read_folder(record: Record, folder: Path, *, replace: bool = False, now: datetime) -> int | None:
    """Take in a folder of plain files: into an empty garage all comes back as it was, else only what is new.

    Give how many entries came back, None where files were added one by one.
    """
    return record.read_in(folder, now=now, replace=replace)


def examine(path: Path) -> tuple[Finding, ...]:
    """Say how the record in a file and this installation are. Nothing is written."""
    from floatbowl.record import health

    missing = tuple(
        health.Finding(key="missing package", weight="bad", facts={"name": name}) for name in _missing()
    )
    return (*health.examine(path, now=datetime.now(UTC)), *missing)


def _missing() -> Iterator[str]:
    """Name the packages that floatbowl needs and that are not there."""
    from importlib.util import find_spec

    yield from (name for name in NEEDED if find_spec(name) is None)


def repair(path: Path, new: Path) -> Saved:
    """Save all that can be read out of a damaged record into a new file; the old one is only read."""
    from floatbowl.record.rescue import rescue

    return rescue(path, new)


# --- the library's door, and the demo's shed ---------------------------------------------------------------


class Garage:
    """An open garage: every job above, bound to one record and to the clock on the wall.

    Use it in a ``with`` statement, or close it.
    """

    def __init__(self, record: Record, *, clock: Callable[[], datetime], once: str = "") -> None:
        """Take an open record and a clock; ``open_garage`` is the way in.

        ``once`` names this visit: what is written in a visit of the same name again stands once.
        """
        self._record = record
        self._now = clock
        self._once = once
        self._written = 0

    def __enter__(self) -> Self:
        """Give the garage itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Let the file go."""
        self._record.__exit__(kind, error, trace)

    def close(self) -> None:
        """Let the file go."""
        self._record.close()

    def _uid(self) -> str | None:
        """Name the next entry of this visit: the same visit made again names its entries the same."""
        self._written += 1
        return f"{self._once} {self._written}" if self._once else None

    @property
    def mark(self) -> str:
        """Give a short mark of this garage: the same for the same file, another for another one."""
        return hashlib.sha256(str(self._record.path.absolute()).encode()).hexdigest()[:12]

    @property
    def only_read_because(self) -> str:
        """Say why nothing can be written; empty when it can."""
        return self._record.only_read_because

    def bikes(self) -> tuple[str, ...]:
        """Name the bikes on the stands."""
        return self._record.bikes()

    def facts(self, name: str) -> Facts:
        """Give all that a thought about this bike rests on, in the air of now."""
        return _facts(self._record, name, None)

    def changed(self, name: str, **changes: Any) -> Setup:  # noqa: ANN401  (fields of a setup)
        """Give what is fitted with some parts changed, on paper: ``changed("magpie", main="108")``."""
        return _changed(self._record, name, changes)

    def setups(self, name: str) -> tuple[Setup, ...]:
        """Give every setup of a bike in the order they were fitted; the one fitted now stands last."""
        return self._record.setups(name)

    def places(self) -> tuple[Place, ...]:
        """Give the places we know, each with its height as last noted."""
        return self._record.places()

    def look_round(self) -> Iterator[Stand | BareStand]:
        """Go from stand to stand, thinking at each: the bike, what we think of it, and its next step."""
        return look_round(self._record)

    def add_bike(self, path: Path, *, replace: bool = False) -> BikeFile:
        """Put the bike of a bike file on a stand; ``replace`` tells one that stands there anew."""
        return add_bike(self._record, path, replace=replace, now=self._now(), uid=self._uid())

    def new_bike(self, answers: FirstAnswers) -> Bike:
        """Put a bike on a stand by the answers of the first evening."""
        return new_bike(self._record, answers, now=self._now(), uid=self._uid())

    def remeasure(self, name: str, fields: Mapping[str, object]) -> Bike:
        """Write down measures anew: ``remeasure("magpie", {"carb.needle_jet_bore_mm": 2.62})``."""
        return remeasure(self._record, name, fields, now=self._now(), uid=self._uid())

    def next_measure(self, name: str) -> NextMeasure | None:
        """Name the measure nobody took with which most of what is open goes."""
        return next_measure(self._record, name)

    def export_bike(self, name: str) -> str:
        """Write a bike out as the text of a bike file."""
        return export_bike(self._record, name)

    def bike(self, name: str) -> Bike:
        """Give a bike by its name."""
        return self._record.bike(name)

    def fitted(self, name: str) -> Setup:
        """Show what is fitted now."""
        return self._record.setup(name)

    def fit(
        self,
        name: str,
        *,
        tag: str | None = None,
        **changes: Any,  # noqa: ANN401  (fields of a setup)
    ) -> Setup:
        """Write down what was fitted: ``fit("magpie", main="108", clip_from_top=4)``.

        ``tag`` is the fault of the stop tag that hung there, see ``tag_on``: the logbook notes it.
        """
        return fit(self._record, name, changes, now=self._now(), tag=tag, uid=self._uid())

    def tag_on(self, name: str) -> str | None:
        """Name the fault of the stop tag that hangs on a bike now; None where none hangs."""
        return tag_on(self._record, name)

    def set_aside(self, name: str, *, advice: Advice | None = None) -> Aside:
        """Set aside what a card advised, else what one advises now, while the setup stands."""
        return set_aside(self._record, name, advice=advice, now=self._now(), uid=self._uid())

    def strip_sheet(self, name: str) -> tuple[StripCard, ...]:
        """Give the cards of the strip sheet that fit this bike, and how each stands."""
        return strip_sheet(self._record, name)

    def record_strip(
        self, name: str, card: str, answer: Answer, measures: Mapping[str, str | float] | None = None
    ) -> StripCard:
        """Write down one card: ``record_strip("magpie", "float", "fine", {"setup.float_height_mm": 18})``."""
        return record_strip(self._record, name, card, answer, measures, now=self._now(), uid=self._uid())

    def drawer(self) -> Drawer:
        """Show the parts at hand."""
        return self._record.drawer()

    def put_in_drawer(self, kind: StampKind, stamps: Sequence[str]) -> Drawer:
        """Put parts into the drawer."""
        return self._record.put_in_drawer(kind, stamps, now=self._now(), uid=self._uid())

    def take_from_drawer(self, kind: PartKind, stamps: Sequence[str]) -> Drawer:
        """Take parts out of the drawer."""
        return self._record.take_from_drawer(kind, stamps, now=self._now(), uid=self._uid())

    def take_in(self, path: Path) -> Drawer:
        """Put everything a garage file tells into the drawer and among the places."""
        self._record.take_in(load_garage_file(path), now=self._now())
        return self._record.drawer()

    def air(self) -> Day:
        """Give the air here and now."""
        return air(self._record)

    def note_air(
        self,
        *,
        place: str | None = None,
        height: float | None = None,
        **read: float,
    ) -> Day:
        """Write down the air, in SI: ``note_air(place="Tarn Hollow", pressure=85100.0)``."""
        return note_air(self._record, place=place, height=height, read=read, now=self._now(), uid=self._uid())

    def record_remark(self, name: str, did: Behaviour, **told: Any) -> Remark:  # noqa: ANN401  (fields of a remark)
        """Write down what it did: ``record_remark("magpie", "bogs", at=Rung.QUARTER, how="snap")``."""
        return record_remark(self._record, name, did=did, **told, now=self._now(), uid=self._uid())

    def record_reading(
        self,
        name: str,
        **fields: Any,  # noqa: ANN401  (fields of a reading)
    ) -> Reading:
        """Write down a reading: ``record_reading("magpie", kind="plug", at="full", colour="tan")``."""
        return self._record.read(name, fields, now=self._now(), uid=self._uid())

    def guess_log(self, name: str, path: str | Path) -> LogGuess:
        """Find the shape of a log of lambda, and guess its columns."""
        return guess_log(self._record, name, Path(path))

    def record_log(self, name: str, came: LogCame) -> LambdaLogReading:
        """Write down what ``read_log`` gave of a log."""
        return record_log(self._record, name, came, now=self._now(), uid=self._uid())

    def lambda_of_gas(self, name: str, reading: GasReading) -> tuple[float, float]:
        """Give the lambda that the exhaust gas comes to with this bike's fuel, and its relative spread."""
        return lambda_of_gas(self._record, name, reading)

    def listen_to(self, name: str, path: str | Path) -> Listened:
        """Listen to a recording: its line of speed, and the idle and the blips in it."""
        return listen_to(self._record, name, Path(path))

    def record_note(self, name: str, heard: Listened) -> IdleNoteReading:
        """Write down the idle that ``listen_to`` heard."""
        return record_note(self._record, name, heard, now=self._now(), uid=self._uid())

    def best_idle(self, name: str, reading: IdleSweepReading) -> BestIdle:
        """Say where the mixture screw is best by a sweep, and whether the pilot is a size out."""
        return best_idle_of(self._record, name, reading)

    def hold_roll_ons(self, name: str, before: int | None = None, after: int | None = None) -> RollOnsHeld:
        """Hold the roll-ons of two setups, by their numbers, against each other; else of the last two."""
        return hold_roll_ons(self._record, name, before, after)

    def record_look(self, name: str, outcome: LookOutcome, *, look: str | None = None) -> LookReading:
        """Write down what a look brought, ``found`` or ``clear``: the look named, or the one asked for."""
        return record_look(self._record, name, outcome, look=look, now=self._now(), uid=self._uid())

    def mend(self, name: str, fault: str | None = None) -> str:
        """Write down that a fault was put right, the one named or the one on the tag, and give its key."""
        return mend(self._record, name, fault, now=self._now(), uid=self._uid())

    def trials(self, name: str) -> tuple[Trial, ...]:
        """Give every setup ridden, with what was said and measured."""
        return self._record.trials(name)

    def look_at_bench(self, name: str, *, day: Day | None = None) -> Belief:
        """Say what this bike probably is, rung by rung."""
        return look_at_bench(self._record, name, day=day)

    def advise_next(self, name: str, *, day: Day | None = None) -> Advice:
        """Tell the rider what to fit, look at or test next on this bike."""
        return advise_next(self._record, name, day=day)

    def prove(self, name: str) -> tuple[str, ...]:
        """Name the checks that what is fitted has still to pass before it is proven."""
        return prove(self._record, name)

    def hand_over(self, name: str) -> HandOver:
        """Give all that the setup card of a bike tells."""
        return hand_over(self._record, name)

    def wall_chart(self, name: str) -> WallChart:
        """Give all that the wall chart of a bike tells."""
        return wall_chart(self._record, name)

    def take_card(self, text: str) -> tuple[Bike, Setup]:
        """Fit what the text of a setup card tells: ``take_card("FLOATBOWL/1 MAGPIE MAIN 105 ...")``."""
        return take_card(self._record, text, now=self._now(), uid=self._uid())

    def take_along(self, name: str, hours: Sequence[Hour] = ()) -> TakeAlong:
        """Give all that a bike's take-along holds; ``hours`` are those of a day ahead, see ``hours_at``."""
        return take_along(self._record, name, tuple(hours))

    def take_notes(self, text: str) -> NotesTaken:
        """Write down the ride notes that a take-along handed out; each stands once."""
        return take_notes(self._record, text)

    def proof(self, name: str) -> Proof:
        """Give every check of what is fitted: done, with the entries that passed it, or missing."""
        return proof(self._record, name)

    def sides(self, name: str, first: int, second: int) -> Sides:
        """Lay two setups side by side, by their numbers, on the belief of now."""
        return sides(self._record, name, first, second)

    def dry_fit(self, name: str, **changes: Any) -> tuple[Belief, DryFit]:  # noqa: ANN401  (fields of a setup)
        """Try parts on paper: ``dry_fit("magpie", clip_from_top=4)``."""
        return dry_fit(self._record, name, changes)

    def carry(
        self, name: str, to: str | Day | None = None, *, height: float | None = None, **read: float
    ) -> Carried:
        """Carry it to a place or a day: ``carry("otter", to="Low Meadow", temperature=287.0)``, in SI."""
        return carry(
            self._record, name, to if isinstance(to, Day) else self.day_at(to, height=height, **read)
        )

    def day_at(self, to: str | None = None, *, height: float | None = None, **read: float) -> Day:
        """Give the air expected at a place: ``day_at("Low Meadow", sea_level_pressure=102100.0)``."""
        return day_at(self._record, to, height=height, read=read)

    def keep_place(self, place: str, height: float) -> None:
        """Remember a place with its height in metres."""
        keep_place(self._record, place, height, now=self._now(), uid=self._uid())

    def hours_at(
        self, to: str | None, forecasts: Sequence[Forecast], *, height: float | None = None, date: str = ""
    ) -> tuple[Hour, ...]:
        """Give the hours of a day ahead at a place, each with its air."""
        return hours_at(self._record, to, forecasts, height=height, date=date)

    def day_sheet(self, name: str, hours: Sequence[Hour]) -> DaySheet:
        """Lay a day out, hour by hour: ``day_sheet("otter", garage.hours_at("Low Meadow", forecasts))``."""
        return day_sheet(self._record, name, tuple(hours))

    def log(self, name: str | None = None) -> tuple[LogLine, ...]:
        """Give all that happened, in order, of one bike or of the whole garage."""
        return self._record.log(name)

    def undo(self, name: str | None = None) -> LogLine | None:
        """Strike out the last entry of a bike, or of the whole garage."""
        return undo(self._record, name, now=self._now(), uid=self._uid())

    def strike(self, entry_id: int) -> LogLine:
        """Strike out one entry by its number in the logbook; striking out a strike brings back."""
        return strike(self._record, entry_id, now=self._now(), uid=self._uid())

    def settings(self) -> Settings:
        """Give what the garage has set for itself."""
        return self._record.settings()

    def set_setting(self, key: str, value: str) -> Settings:
        """Set one thing of the garage: ``units``, ``backup_folder``, ``home_place``."""
        return set_setting(self._record, key, value, now=self._now(), uid=self._uid())

    def backup(self, folder: Path | None = None) -> Path:
        """Copy the whole record into a dated file: in this folder, else the one that is set."""
        return backup(self._record, folder, now=self._now())

    def export_all(self, folder: Path, say: Say) -> Written:
        """Write the whole garage as plain files into a new folder."""
        return export_all(self._record, folder, say)

    def read_folder(self, folder: Path, *, replace: bool = False) -> int | None:
        """Take in a folder of plain files; give how many entries came back into an empty garage."""
        return read_folder(self._record, folder, replace=replace, now=self._now())

    def keep_spare(self) -> Path | None:
        """Make the spare copy of the day beside the record; None where there is nothing new to copy."""
        return self._record.keep_spare(now=self._now())


def open_garage(path: str | Path, *, once: str = "") -> Garage:
    """Open the garage kept in a file, making it if it is not there.

    ``once`` names this visit: what is written in a visit of the same name again stands once.
    """
    return Garage(Record.open(Path(path)), clock=lambda: datetime.now(UTC), once=once)


@contextmanager
def open_demo(keep: Path | None = None) -> Iterator[Garage]:
    """Open the demo's shed with its fixed clock, in a new file or in one that is thrown away."""
    if keep is None:
        with tempfile.TemporaryDirectory() as folder, open_demo(Path(folder) / "demo.garage") as garage:
            yield garage
        return
    if keep.exists():
        text = f"{keep} is there already and was left alone. Name a new file."
        raise NotKept(text)
    with Record.open(keep) as record:
        _set_out_demo(record)
        yield Garage(record, clock=lambda: DEMO_NOW)


def reopen_demo(path: Path, *, once: str = "") -> Garage:
    """Open a shed that ``open_demo`` set out, with the demo's fixed clock."""
    return Garage(Record.open(path), clock=lambda: DEMO_NOW, once=once)


def _set_out_demo(record: Record) -> None:
    shelf = resources.files("floatbowl") / "demo"
    garage = read_garage_file((shelf / "garage.toml").read_text(encoding="utf-8"), source_name="garage.toml")
    record.take_in(garage, now=DEMO_NOW)
    air_now = assume_day(
        "Tarn Hollow",
        date=DEMO_NOW.date().isoformat(),
        height=1450.0,
        temperature=19.0 + FREEZING,
        pressure=851.0 * HECTOPASCAL,
        humidity=0.46,
    )
    record.note_air(air_now, now=DEMO_NOW)
    for name in DEMO_BIKES:
        source = f"{name}.toml"
        read = read_bike_file((shelf / source).read_text(encoding="utf-8"), source_name=source)
        record.add_bike(read, now=DEMO_NOW)
