"""The library's door: every job, bound to one open record and to the clock on the wall."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

from floatbowl.bike.aside import Aside
from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.hour import Forecast, Hour
from floatbowl.bike.place import Place
from floatbowl.bike.setup import Setup
from floatbowl.guide.strip import Answer
from floatbowl.jobs.ahead import carry, day_at, day_sheet, hours_at
from floatbowl.jobs.airs import air, keep_place, note_air
from floatbowl.jobs.fitting import fit, set_aside, tag_on
from floatbowl.jobs.handing_over import hand_over, take_card, wall_chart
from floatbowl.jobs.keeping import backup, export_all, read_folder, set_setting, strike, undo
from floatbowl.jobs.listening import Listened, best_idle_of, listen_to, record_note
from floatbowl.jobs.logs import LogCame, LogGuess, guess_log, lambda_of_gas, record_log
from floatbowl.jobs.nouns import (
    BareStand,
    Facts,
    HandOver,
    NotesTaken,
    Proof,
    Sides,
    Stand,
    StripCard,
    TakeAlong,
    WallChart,
)
from floatbowl.jobs.roll_ons import RollOnsHeld, hold_roll_ons
from floatbowl.jobs.saying import mend, record_look, record_remark
from floatbowl.jobs.standing import add_bike, export_bike, look_round, new_bike, remeasure
from floatbowl.jobs.stripping import record_strip, strip_sheet
from floatbowl.jobs.take_along import take_along, take_notes
from floatbowl.jobs.thinking import (
    advise_next,
    changed_setup,
    dry_fit,
    facts_of,
    look_at_bench,
    next_measure,
    proof,
    prove,
    sides,
)
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.first_run import FirstAnswers
from floatbowl.record.garage_file import load_garage_file
from floatbowl.record.log import LogLine
from floatbowl.record.settings import Settings
from floatbowl.record.store import PartKind, Record, StampKind
from floatbowl.signs.trial import (
    Behaviour,
    GasReading,
    IdleNoteReading,
    IdleSweepReading,
    LambdaLogReading,
    LookOutcome,
    LookReading,
    Reading,
    Remark,
    Trial,
)

if TYPE_CHECKING:
    from floatbowl.advice.advice import Advice
    from floatbowl.advice.carry import Carried
    from floatbowl.advice.day_sheet import DaySheet
    from floatbowl.advice.dry_fit import DryFit
    from floatbowl.advice.narrow import NextMeasure
    from floatbowl.belief.belief import Belief
    from floatbowl.record.whole import Say, Written
    from floatbowl.signs.best_idle import BestIdle


class Garage:
    """An open garage: every job of this room, bound to one record and to the clock on the wall.

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
        return facts_of(self._record, name, None)

    def changed(self, name: str, **changes: Any) -> Setup:  # noqa: ANN401  (fields of a setup)
        """Give what is fitted with some parts changed, on paper: ``changed("magpie", main="108")``."""
        return changed_setup(self._record, name, changes)

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
