"""Lambda logs and exhaust gas: a file looked at, agreed on, and written down."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

from floatbowl.bike.rung import Rung
from floatbowl.record.store import Record
from floatbowl.signs.trial import (
    GasReading,
    LambdaLogReading,
)
from floatbowl.units import FREEZING

if TYPE_CHECKING:
    from floatbowl.record.log_columns import Column, Role
    from floatbowl.record.log_text import LogText
    from floatbowl.signs.lambda_log.bins import Came
    from floatbowl.signs.lambda_log.look import Known


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
