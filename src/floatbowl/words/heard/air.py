"""The air: temperature, pressure, damp and height, in whatever unit they were read."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from floatbowl.units import FOOT, FREEZING, HECTOPASCAL, KILOPASCAL
from floatbowl.words.heard.plain import number_and_unit
from floatbowl.words.trouble import NotUnderstoodError


@dataclass(frozen=True, slots=True)
class _AirUnit:
    """One way to write one thing of the air: the way to SI, and what can be."""

    field: str
    to_si: Callable[[float], float]
    least: float
    most: float


_WARM = {"least": 233.0, "most": 333.0}
_PRESS = {"least": 45000.0, "most": 108500.0}
_AIR_UNITS: dict[str, _AirUnit] = {
    "c": _AirUnit("temperature", lambda x: x + FREEZING, **_WARM),
    "f": _AirUnit("temperature", lambda x: (x - 32.0) / 1.8 + FREEZING, **_WARM),
    "k": _AirUnit("temperature", lambda x: x, **_WARM),
    "hpa": _AirUnit("pressure", lambda x: x * HECTOPASCAL, **_PRESS),
    "mbar": _AirUnit("pressure", lambda x: x * HECTOPASCAL, **_PRESS),
    "kpa": _AirUnit("pressure", lambda x: x * KILOPASCAL, **_PRESS),
    "mmhg": _AirUnit("pressure", lambda x: x * 133.322, **_PRESS),
    "inhg": _AirUnit("pressure", lambda x: x * 3386.39, **_PRESS),
    "%": _AirUnit("humidity", lambda x: x / 100.0, 0.0, 1.0),
}


def air(words: Iterable[str]) -> dict[str, float]:
    """Read ``19C 851hPa 46%`` in any order, as temperature, pressure and humidity in SI."""
    found: dict[str, float] = {}
    for word in words:
        value, unit = number_and_unit(word)
        kind = _AIR_UNITS.get(unit.casefold().removeprefix("\u00b0"))
        if kind is None:
            text = f'"{word}": write the unit behind the number, as 19C, 851hPa, 46%.'
            raise NotUnderstoodError(text)
        if kind.field in found:
            text = f'"{word}": the {kind.field} was given twice. Write it once.'
            raise NotUnderstoodError(text)
        found[kind.field] = _air_value(word, kind, value)
    return found


def _air_value(word: str, kind: _AirUnit, value: float) -> float:
    in_si = kind.to_si(value)
    if not (math.isfinite(in_si) and kind.least <= in_si <= kind.most):
        hint = (
            " We need the pressure at the door, as a barometer there reads it."
            if kind.field == "pressure"
            else ""
        )
        text = f'"{word}" cannot be the {kind.field} of air that anyone rides in.{hint}'
        raise NotUnderstoodError(text)
    return in_si


def air_of(word: str, *, field: str, unit: str) -> float:
    """Read one thing of the air in SI, ``field`` by its name; without a unit it is in ``unit``.

    >>> air_of("20", field="temperature", unit="C"), air_of("0.5%", field="humidity", unit="%")
    (293.15, 0.005)
    """
    value, own = number_and_unit(word)
    found = air([f"{value:g}{own or unit}"])
    if field not in found:
        text = f'"{word}" is not the {field}. Write it in {unit}.'
        raise NotUnderstoodError(text)
    return found[field]


def height(word: str) -> float:
    """Read a height above the sea in metres or feet, as metres."""
    value, unit = number_and_unit(word)
    factors = {"": 1.0, "m": 1.0, "ft": FOOT}
    metres = value * factors.get(unit.casefold(), math.nan)
    if not -430.0 <= metres <= 6000.0:  # noqa: PLR2004  (the lowest shore, and more than any engine climbs)
        text = f'"{word}" is not a height we can use. Write metres or feet, as 1450m or 4760ft.'
        raise NotUnderstoodError(text)
    return metres
