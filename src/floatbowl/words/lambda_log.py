"""What a log is taken for, and what it came to, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from floatbowl.words.forms import Form, form, reading_form
from floatbowl.words.names import AT, plural

if TYPE_CHECKING:
    from floatbowl.bike.rung import Rung
    from floatbowl.jobs import LogCame, LogGuess
    from floatbowl.signs.lambda_log.sort import Reason
    from floatbowl.signs.trial import LambdaLogReading

TAKEN: dict[str, str] = {
    "time": "time",
    "rpm": "engine speed",
    "throttle": "throttle",
    "lambda": "lambda",
    "afr": "air to fuel",
    "speed": "road speed (not used)",
    "temperature": "engine's warmth",
    "pressure": "pressure (not used)",
}
ASIDE: dict[Reason, str] = {
    "no number": "the probe gave no number, or the log ends before it could tell",
    "probe waking": "the probe was still warming up",
    "end of the scale": "the probe stood at the end of its scale",
    "engine cold": "the engine was cold",
    "not running": "the engine stood",
    "overrun": "the bike drove the engine, throttle shut",
    "jump": "the number jumped away and back",
    "moving": "throttle or engine speed moved, or had not settled",
    "between rungs": "held between two of the six openings",
    "no opening known": "nobody says at which opening",
    "unsteady": "the number would not stand still: a misfire, perhaps",
    "too short": "held for too short a time",
}
"""Why a row was set aside."""


def guess_rows(guess: LogGuess) -> list[tuple[str, str]]:
    """Give what each column is taken for, as pairs."""
    return [(TAKEN[role], _column(guess, role)) for role in guess.columns]


def _column(guess: LogGuess, role: str) -> str:
    one = guess.columns[role]  # type: ignore[index]
    name = guess.text.names[one.number - 1]
    first = ", ".join(row[one.number - 1] for row in guess.text.rows[:3])
    called = f'column {one.number}, "{name}"' if name else f"column {one.number}"
    ends = f"; shut is {one.low:g}, full {one.high:g}" if one.low is not None and one.high is not None else ""
    return f"{called}: {first} ...{ends}"


def guess_lacks(guess: LogGuess) -> tuple[str, ...]:
    """Say what a log lacks before it can be read, or what it will then not tell."""
    told = []
    if not {"lambda", "afr"} & set(guess.columns):
        told.append("We found no lambda. Name its column: --columns lambda=4, or afr=4 for air to fuel.")
    if "time" not in guess.columns:
        told.append("We found no time. Name its column, or how far the rows are apart: --columns step=0.05s.")
    if "throttle" not in guess.columns:
        told.append("No throttle: say what you held and when, in seconds of the log: --held 1/4=35-60.")
    if "afr" in guess.columns and "lambda" not in guess.columns:
        again = f"afr={guess.columns['afr'].number}/14.7"
        told.append(
            f"Air to fuel is divided by {guess.air_per_fuel:.2f}, what this bike's fuel needs. If the meter "
            f"is set for another fuel, write what it shows at lambda 1: {again}."
        )
    return tuple(told)


def run_lacks(guess: LogGuess) -> tuple[str, ...]:
    """Say what a log of a roll-on lacks before it can be timed."""
    asked = {"time": "--columns time=1", "rpm": "--columns rpm=2"}
    return tuple(
        f"We found no {TAKEN[role]}. Name its column: {write}."
        for role, write in asked.items()
        if role not in guess.columns
    )


def as_columns(guess: LogGuess) -> str:
    """Give the guess as one would write it in a command."""
    return ",".join(f"{role}={one.number}" for role, one in guess.columns.items())


def guess_form(guess: LogGuess, *, bike: str, notes: tuple[str, ...]) -> Form:
    """Give what a log is taken for, so that another program can confirm it."""
    columns = [
        {"column": one.number, "name": guess.text.names[one.number - 1] or None, "taken_for": role}
        for role, one in guess.columns.items()
    ]
    return form(
        "log_guess",
        bike=bike,
        file=guess.text.path.name,
        columns=columns,
        confirm=f"--columns {as_columns(guess)}",
        notes=list(notes),
    )


def came_lines(reading: LambdaLogReading) -> list[str]:
    """Say what a log came to, a line for each opening and speed."""
    rpm: tuple[float | None, ...] = reading.rpm or (None,) * len(reading.at)
    told = zip(reading.at, rpm, reading.value, reading.spread, strict=True)
    return [_place(*one) for one in told]


def _place(at: Rung, speed: float | None, value: float, spread: float) -> str:
    where = f"{AT[at]}{'' if speed is None else f', {speed:.0f} rpm'}"
    return f"{where[0].upper()}{where[1:]}: lambda {value:.3f}, give or take {2 * spread:.3f}"


def late_words(came: LogCame) -> str:
    """Say how late the probe is."""
    late = came.known.delay
    if not late.is_found:
        return f"How late the probe is, this log does not tell: {late.dead:.1f} s is usual, and was taken."
    give = f"give or take {2 * late.spread:.2f}"
    follows = f"The probe is {late.dead:.2f} s late, {give}, and takes {late.lag:.2f} s to follow."
    return f"{follows} What it may read off everywhere alike comes on top."


def aside_lines(came: LogCame) -> list[str]:
    """Say how many rows tell, and how many were set aside and why."""
    told = came.came
    lines = [f"{told.used:,} of {plural(told.rows, 'row')} tell. Set aside:"]
    most_first = sorted(told.aside.items(), key=lambda one: -one[1])
    lines += [f"  {count:,}: {ASIDE[reason]}" for reason, count in most_first]
    if came.torn:
        lines.append(f"  {came.torn:,}: lines that are no rows")
    return lines


def tells_nothing(came: LogCame) -> str:
    """Say that a log tells of no opening, and what to do."""
    held = "Hold each opening for five seconds, mark the grip, and log again."
    return "\n".join([f"No opening was held for long enough to tell. {held}", *aside_lines(came)])


def came_form(reading: LambdaLogReading, came: LogCame, *, bike: str) -> Form:
    """Give the reading with what it rests on."""
    late = came.known.delay
    windows = [{"at": one.at.value, "windows": one.windows, "rows": one.rows} for one in came.came.places]
    return {
        **reading_form(reading, bike=bike),
        "delay_s": round(late.dead, 3),
        "lag_s": round(late.lag, 3),
        "delay_found": late.is_found,
        "rows": came.came.rows,
        "used": came.came.used,
        "aside": {reason.replace(" ", "_"): count for reason, count in came.came.aside.items()},
        "torn_lines": came.torn,
        "windows": windows,
    }
