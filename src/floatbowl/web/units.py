"""How the air is written by a person who writes no unit: the signs shown, and the way in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from floatbowl.units import FOOT
from floatbowl.words import heard


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """How one thing of the air is written where nobody writes a unit: the sign shown, and the word for it."""

    sign: str
    word: str


Units = Mapping[str, Unit]

UNITS: dict[str, dict[str, Unit]] = {
    "metric": {
        "temperature": Unit(sign="°C", word="C"),
        "pressure": Unit(sign="hPa", word="hPa"),
        "humidity": Unit(sign="%", word="%"),
        "height": Unit(sign="m", word="m"),
    },
    "imperial": {
        "temperature": Unit(sign="°F", word="F"),
        "pressure": Unit(sign="inHg", word="inHg"),
        "humidity": Unit(sign="%", word="%"),
        "height": Unit(sign="ft", word="ft"),
    },
}


def height_told(metres: float, units: Units) -> str:
    """Write a height in the units of the garage."""
    unit = units["height"]
    return f"{metres / (FOOT if unit.word == 'ft' else 1.0):,.0f} {unit.sign}"


def air_typed(typed: str, *, field: str, units: Units) -> float:
    """Read one thing of the air, in SI; without a unit it is in that of the garage."""
    return heard.air_of(typed, field=field, unit=units[field].word)


def height_typed(typed: str, units: Units) -> float:
    """Read a height, in metres; without a unit it is in that of the garage."""
    value, own = heard.number_and_unit(typed)
    return heard.height(f"{value}{own or units['height'].word}")
