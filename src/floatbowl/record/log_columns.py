"""Which column of a log is which, guessed from names, units and values, and put right by a person."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from itertools import pairwise
from typing import Literal, get_args

from floatbowl.record.log_text import DAY, LogFileTrouble, LogText
from floatbowl.units import FREEZING

Role = Literal["time", "rpm", "throttle", "lambda", "afr", "speed", "temperature", "pressure"]
ROLES: tuple[Role, ...] = get_args(Role)

_NAMES: dict[Role, str] = {
    "time": r"time|^t$|t_s|zeit|temps|tempo|clock|sec(onds)?$|stamp",
    "lambda": r"lambda|λ|^lam$|^lam_",
    "afr": r"\bafr\b|air.?fuel|a/f\b|air.to.fuel|luftverh",
    "rpm": r"rpm|revs|engine.?speed|drehzahl|regime|régime|1/min|^n$|^n_",
    "throttle": r"throttle|\btps\b|opening|drossel|gaz|papillon|accel|grip",
    "speed": r"road.?speed|vehicle|wheel|geschw|vitesse|km/?h|mph|^v$|^speed",
    "temperature": r"engine.?temp|water|coolant|head.?temp|cylinder|oil.?temp|motor.?temp|^ect$|^clt$|^temp",
    "pressure": r"press|baro|druck|\bmap\b|manifold",
}
"""What columns are called, in a few languages (common practice)."""
_NOT: dict[Role, str] = {
    "temperature": r"exh|egt|intake|air|iat|abgas",
    "lambda": r"target|wanted|soll|volt",
    "afr": r"target|wanted|soll|volt",
    "throttle": r"volt",
}
"""What else would be taken for them."""
_UNITS: dict[Role, dict[str, float]] = {
    "time": {"s": 1.0, "sec": 1.0, "seconds": 1.0, "ms": 1e-3, "min": 60.0},
    "rpm": {"rpm": 1.0, "1/min": 1.0, "min-1": 1.0, "u/min": 1.0, "r/min": 1.0, "rpmx1000": 1000.0},
    "throttle": {"%": 0.01, "pct": 0.01, "percent": 0.01},
    "lambda": {"lambda": 1.0, "λ": 1.0},
    "afr": {"afr": 1.0, "a/f": 1.0},
    "speed": {"km/h": 1 / 3.6, "kmh": 1 / 3.6, "mph": 0.44704, "m/s": 1.0},
    "temperature": {
        "c": 1.0,
        "°c": 1.0,
        "k": 1.0,
        "f": 5 / 9,
        "°f": 5 / 9,
        "degc": 1.0,
    },
    "pressure": {"bar": 1e5, "kpa": 1e3, "hpa": 100.0, "mbar": 100.0, "psi": 6894.76},
}
"""Units by the role that they give away, and what a number is multiplied by."""
_ENOUGH = 2.0
"""Marks that a column needs to be taken for something (judgement)."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a log, from 1, as what it is taken: ``times`` a number plus ``plus`` gives SI.

    ``why`` says what gave it away; ``low`` and ``high`` are the ends of a throttle's own scale.
    """

    number: int
    times: float = 1.0
    plus: float = 0.0
    why: str = ""
    low: float | None = None
    high: float | None = None


Columns = Mapping[Role, Column]


def guess(text: LogText) -> dict[Role, Column]:
    """Guess the columns of a log; what cannot be guessed is left out."""
    values = [_values(text, place) for place in range(text.width)]
    marks = sorted(
        (
            (_marks(text, role, place, values[place]), role, place)
            for role in ROLES
            for place in range(text.width)
        ),
        key=lambda one: (-one[0], ROLES.index(one[1])),
    )
    found: dict[Role, Column] = {}
    taken: set[int] = set()
    for mark, role, place in marks:
        if mark >= _ENOUGH and role not in found and place not in taken:
            found[role] = column(text, role, place + 1)
            taken.add(place)
    if "lambda" in found:
        found.pop("afr", None)
    return {role: found[role] for role in ROLES if role in found}


def column(text: LogText, role: Role, place: int) -> Column:
    """Take a column, counted from 1, for something, with the scale that unit or values give away."""
    if not 1 <= place <= text.width:
        told = (
            f"{text.path.name} has {text.width} columns, and no column {place}. Count from 1, from the left."
        )
        raise LogFileTrouble(told)
    values = _values(text, place - 1)
    name, unit = text.names[place - 1], _unit(text, place - 1)
    why = "its name" if re.search(_NAMES[role], name, flags=re.IGNORECASE) else "its values"
    return _scaled(role, Column(place, times=_UNITS[role].get(unit, 1.0), why=why), unit, values)


def named(text: LogText, word: str) -> int:
    """Give the number of a column, from 1, by its number or its name."""
    if word.isdecimal():
        return int(word)
    names = [name.casefold() for name in text.names]
    alike = get_close_matches(word.casefold(), names, n=1, cutoff=0.6)
    if not alike:
        known = ", ".join(name for name in text.names if name) or "none: count them from 1, from the left"
        told = f'{text.path.name} has no column "{word}". Its columns: {known}.'
        raise LogFileTrouble(told)
    return names.index(alike[0]) + 1


def refuse_unread(text: LogText, columns: Columns, *, rows_apart: float) -> None:
    """See that a log tells lambda and time."""
    if not {"lambda", "afr"} & set(columns):
        told = f"We found no lambda in {text.path.name}. Name its column: --columns lambda=4, or afr=4."
        raise LogFileTrouble(told)
    if "time" not in columns and not rows_apart:
        told = (
            f"We found no time in {text.path.name}. Name its column, --columns time=1, or say how far "
            f"apart the rows are: --columns step=0.05s."
        )
        raise LogFileTrouble(told)


def _scaled(role: Role, one: Column, unit: str, values: list[float]) -> Column:
    largest, smallest = max(values, default=0.0), min(values, default=0.0)
    if role == "throttle":
        return _of_travel(one, unit, smallest, largest)
    if role == "temperature":
        return replace(
            one, plus={"k": 0.0}.get(unit, FREEZING - (32.0 * 5 / 9 if unit in {"f", "°f"} else 0.0))
        )
    if role == "rpm" and unit not in _UNITS["rpm"] and 0.0 < largest <= 20.0:  # noqa: PLR2004  (thousands)
        return replace(one, times=1000.0)
    if role == "time" and unit not in _UNITS["time"]:
        return replace(one, times=_of_time(values))
    return one


def _of_travel(one: Column, unit: str, smallest: float, largest: float) -> Column:
    """Give the scale of a throttle: per cent, a share, or a sensor's own from shut to full as it was seen."""
    if unit in _UNITS["throttle"] or (smallest >= -5.0 and 10.0 < largest <= 110.0):  # noqa: PLR2004  (per cent)
        return replace(one, times=0.01, low=0.0, high=100.0)
    if largest <= 1.1 and smallest >= -0.1:  # noqa: PLR2004  (a share)
        return replace(one, low=0.0, high=1.0)
    return with_travel(one, smallest, largest)


def with_travel(one: Column, low: float, high: float) -> Column:
    """Give a throttle's column whose own scale runs from ``low``, shut, to ``high``, full.

    >>> with_travel(Column(3), 0.5, 4.5).times
    0.25
    """
    if low == high:
        return replace(one, low=low, high=high)
    return replace(one, times=1.0 / (high - low), plus=-low / (high - low), low=low, high=high)


def _of_time(values: list[float]) -> float:
    """Give the scale of a time that has no unit: seconds, unless the steps are far too large or too small."""
    steps = sorted(b - a for a, b in pairwise(values) if b > a)
    step = steps[len(steps) // 2] if steps else 1.0
    if step >= 2.0 and all(value == int(value) for value in values):  # noqa: PLR2004  (no log is that slow: ms)
        return 1e-3
    return DAY if step < 1e-4 and values[0] > 1.0 else 1.0  # noqa: PLR2004  (days, as a spreadsheet counts them)


def _unit(text: LogText, place: int) -> str:
    """Give a column's unit in small letters: from the row of units, or in brackets behind its name."""
    bracketed = re.search(r"[\[(]\s*([^\])]+?)\s*[\])]", text.names[place])
    told = text.units[place] or (bracketed[1] if bracketed else "") or _ending(text.names[place])
    return told.strip("[]()<> ").casefold()


def _ending(name: str) -> str:
    """Give the unit that a name ends in, as ``speed_kmh``."""
    ending = re.search(r"[_ ](s|ms|pct|kmh|mph|c|f|kpa|hpa|bar)$", name, flags=re.IGNORECASE)
    return ending[1] if ending else ""


def _values(text: LogText, place: int) -> list[float]:
    told = (text.number(row[place]) for row in text.rows)
    return [value for value in told if value == value]  # noqa: PLR0124  (not a number is not itself)


def _marks(text: LogText, role: Role, place: int, values: list[float]) -> float:
    """Give how much speaks for a column to be something."""
    if not values or not _can_be(role, values):
        return 0.0
    name = text.names[place]
    told = 3.0 * bool(re.search(_NAMES[role], name, flags=re.IGNORECASE))
    told += 2.0 * (_unit(text, place) in _UNITS[role])
    if role in _NOT and re.search(_NOT[role], name, flags=re.IGNORECASE):
        return 0.0
    return told + (0.0 if name and not told else _looks(role, values, is_first=place == 0))


def _can_be(role: Role, values: list[float]) -> bool:
    middle = sorted(values)[len(values) // 2]
    low, high = _MIDDLES[role]
    return low <= middle <= high


_MIDDLES: dict[Role, tuple[float, float]] = {
    "time": (-1e9, 1e13),
    "rpm": (0.0, 20_000.0),
    "throttle": (-10.0, 1100.0),
    "lambda": (0.4, 2.5),
    "afr": (6.0, 30.0),
    "speed": (0.0, 400.0),
    "temperature": (-60.0, 420.0),
    "pressure": (0.0, 120_000.0),
}
"""Where the middle of a column's values can lie, in any of its units."""


def _looks(role: Role, values: list[float], *, is_first: bool) -> float:
    """Give the marks for values alone: a time that only rises, and numbers of the right size that differ."""
    low, high, many = min(values), max(values), len(set(values)) > 20  # noqa: PLR2004  (a flag or a state has few)
    rises = all(a <= b for a, b in pairwise(values)) and high > low
    looks = {
        "time": 1.5 * rises + 0.8 * (rises and is_first),
        "rpm": 2.0 * (not rises and many and high > 1500.0 and high < 20_000.0),  # noqa: PLR2004
        "lambda": 2.0 * (not rises and many and low > 0.5 and high < 2.0),  # noqa: PLR2004
        "afr": 2.0 * (not rises and many and low > 7.0 and high < 25.0),  # noqa: PLR2004
        "throttle": 2.0 * (not rises and many and low >= -1.0 and low < 20.0 and 60.0 < high <= 105.0),  # noqa: PLR2004
    }
    return float(looks.get(role, 0.0))
