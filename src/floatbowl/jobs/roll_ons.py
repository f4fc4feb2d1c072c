"""Roll-ons held against roll-ons, and timed from logs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup
from floatbowl.jobs.logs import LogGuess
from floatbowl.jobs.nouns import NothingAskedError
from floatbowl.jobs.thinking import setup_numbered
from floatbowl.record.store import Record
from floatbowl.signs.trial import (
    Reading,
    RollOnReading,
    Trial,
)

if TYPE_CHECKING:
    from floatbowl.signs.roll_on_runs import Difference, Timed


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
        earlier, later = (setup_numbered(record, name, number) for number in (before, after))
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
