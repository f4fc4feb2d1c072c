"""What a person says of a log's columns, and of what was held when."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from floatbowl.bike.rung import Rung
from floatbowl.signs.trial import Way
from floatbowl.words.heard import number_and_unit, rpm, rung, way
from floatbowl.words.trouble import NotUnderstoodError, nearest, not_known

ROLES = ("time", "rpm", "throttle", "lambda", "afr", "speed", "temperature", "pressure")
_OTHER_NAMES = {
    "t": "time",
    "revs": "rpm",
    "lam": "lambda",
    "tps": "throttle",
    "opening": "throttle",
    "temp": "temperature",
}
_WRITE = "Write --columns time=1,lambda=4, counted from 1 from the left, or by their names."
_MOST_STEP = 10.0


@dataclass(frozen=True, slots=True)
class Told:
    """One column as a person names it: by number or name; a throttle's ends; what stands for lambda 1."""

    column: str
    low: float | None = None
    high: float | None = None
    at_one: float | None = None


@dataclass(frozen=True, slots=True)
class ToldColumns:
    """All columns that were named, and the seconds from row to row where no column tells the time."""

    columns: dict[str, Told]
    step: float | None = None


def columns(word: str) -> ToldColumns:
    """Read ``time=1,lambda=4,throttle=3:0.5..4.5``; ``afr=4/14.7`` says what the meter shows at lambda 1."""
    found: dict[str, Told] = {}
    step: float | None = None
    for part in filter(None, re.split(r"[,;\s]+", word)):
        role, equals, told = part.partition("=")
        asked = _OTHER_NAMES.get(role.casefold(), role.casefold())
        if asked == "step" and equals:
            step = _step(told)
            continue
        if asked not in ROLES or not equals or not told:
            raise NotUnderstoodError(_no_column(part, role))
        found[asked] = _told(told)
    if not found and step is None:
        raise NotUnderstoodError(_WRITE)
    return ToldColumns(found, step)


def _no_column(part: str, role: str) -> str:
    if "=" not in part:
        return f'"{part}": say which column it is. {_WRITE}'
    return f"{not_known(role, what='a column we read', known=ROLES, close=nearest(role, ROLES))} {_WRITE}"


def _step(told: str) -> float:
    value, unit = number_and_unit(told)
    seconds = value * {"": 1.0, "s": 1.0, "ms": 1e-3}.get(unit, 0.0)
    if not 0.0 < seconds <= _MOST_STEP:
        text = f'"{told}" is no time from row to row. Write step=0.05s or step=50ms.'
        raise NotUnderstoodError(text)
    return seconds


def _told(word: str) -> Told:
    place, colon, ends = word.partition(":")
    place, slash, at_one = place.partition("/")
    low, high = _ends(ends) if colon else (None, None)
    return Told(place, low, high, number_and_unit(at_one)[0] if slash else None)


def _ends(word: str) -> tuple[float, float]:
    shut, dots, full = word.partition("..")
    if not dots:
        text = f'"{word}": write what the throttle shows shut and full, as throttle=3:0.5..4.5.'
        raise NotUnderstoodError(text)
    return number_and_unit(shut)[0], number_and_unit(full)[0]


def held(words: Iterable[str]) -> tuple[tuple[Rung, float, float], ...]:
    """Read ``1/4=35-60`` as a rung and the seconds of the log from which to which it was held."""
    return tuple(_held(word) for word in words)


def _held(word: str) -> tuple[Rung, float, float]:
    at, equals, span = word.partition("=")
    start, dash, end = span.partition("-")
    if not equals or not dash:
        text = f'"{word}": write the opening and from when to when, in seconds of the log: --held 1/4=35-60.'
        raise NotUnderstoodError(text)
    seconds = _moment(start), _moment(end)
    if seconds[0] >= seconds[1]:
        text = f'"{word}" ends before it begins. Write from when to when: --held 1/4=35-60.'
        raise NotUnderstoodError(text)
    return rung(at), *seconds


def _moment(word: str) -> float:
    """Read ``95``, ``95s`` or ``1:35`` as seconds."""
    minutes, colon, rest = word.strip().partition(":")
    if colon:
        return 60.0 * number_and_unit(minutes)[0] + number_and_unit(rest)[0]
    return number_and_unit(word)[0]


@dataclass(frozen=True, slots=True)
class Runs:
    """Logs of roll-ons from one opening, and which way each went; no ways where nobody said."""

    at: Rung
    files: tuple[str, ...]
    ways: tuple[Way, ...]


def runs(words: Sequence[str]) -> Runs:
    """Read ``rollon 1/4 there=run1.csv back=run2.csv``."""
    if words[0].casefold().replace("-", "") != "rollon" or len(words) < _FEWEST_WORDS:
        text = "Logs of roll-ons are written: floatbowl measured BIKE rollon 1/4 run1.csv run2.csv."
        raise NotUnderstoodError(text)
    split = [word.rpartition("=") for word in words[2:]]
    ways = tuple(way(told) for told, equals, _ in split if equals)
    if ways and len(ways) < len(split):
        text = "Some runs say which way they went, others do not. Write there= or back= before each or none."
        raise NotUnderstoodError(text)
    return Runs(rung(words[1]), tuple(file for _, _, file in split), ways)


_FEWEST_WORDS = 3


def speeds(word: str | None) -> tuple[float, float]:
    """Read ``4000-7000`` as two engine speeds, rpm."""
    if word is None:
        text = "Say between which engine speeds the runs are timed: --between 4000-7000."
        raise NotUnderstoodError(text)
    low, _, high = word.replace("..", "-").partition("-")
    found = rpm(low), rpm(high)
    if found[0] >= found[1]:
        text = f'"{word}": write the lower engine speed first, as --between 4000-7000.'
        raise NotUnderstoodError(text)
    return found
