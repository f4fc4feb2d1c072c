"""The air in words, units on the edge; what nobody read off an instrument is called assumed."""

from __future__ import annotations

from floatbowl.bike.day import Day
from floatbowl.bike.measure import Measure
from floatbowl.bike.place import NOT_KNOWN
from floatbowl.units import FREEZING, HECTOPASCAL


def air_words(day: Day) -> tuple[tuple[str, str], ...]:
    """Give place and air as pairs of name and value."""
    return (
        ("place", f"{day.place}, {day.height:,.0f} m above the sea{_guess(day)}"),
        ("warmth", _told(day.temperature, less=FREEZING, unit=1.0, sign=" \u00b0C")),
        ("pressure", _told(day.pressure, unit=HECTOPASCAL, sign=" hPa at the door")),
        ("damp", _told(day.humidity, unit=0.01, sign=" %")),
    )


def air_line(day: Day) -> str:
    """Give place and air in one line: ``Tarn Hollow, 1,450 m, 15.5 °C, 851 hPa at the door, 46 % damp``."""
    celsius = f"{day.temperature.value - FREEZING:.1f} \u00b0C"
    pressure = f"{day.pressure.value / HECTOPASCAL:.0f} hPa at the door"
    damp = f"{day.humidity.value * 100:.0f} % damp"
    assumed = [measure.is_assumed for measure in (day.temperature, day.pressure, day.humidity)]
    note = " (all assumed)" if all(assumed) else " (part assumed)" if any(assumed) else ""
    place = "a place not named" if day.place == NOT_KNOWN else day.place
    return f"{place}, {day.height:,.0f} m, {celsius}, {pressure}, {damp}{note}"


def _guess(day: Day) -> str:
    return ", assumed" if day.place == NOT_KNOWN and day.pressure.is_assumed else ""


def _told(measure: Measure, *, unit: float, sign: str, less: float = 0.0) -> str:
    value = f"{(measure.value - less) / unit:.4g}{sign}"
    return f"{value}, assumed" if measure.is_assumed else value
