"""A day ahead in one plain text file: the place, and the air of a few hours as a forecast gives it."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field
from pathlib import Path

from floatbowl.bike.hour import Forecast
from floatbowl.record import toml_text
from floatbowl.record.checking import Doubt, Notes, Table, UnknownKey
from floatbowl.record.fields import HEIGHT, HUMIDITY, PRESSURE, TEMPERATURE, Number
from floatbowl.record.trial_file import LONGEST_PLACE, date_of
from floatbowl.record.trouble import DayFileTrouble
from floatbowl.units import FREEZING

FORM = "floatbowl.day/1"
MOST_HOURS = 12
SEA_LEVEL = Number("pressure_hpa_sea_level", "sea_level_pressure", 100.0, 870.0, 1090.0)
_TIME = re.compile(r"([01]?\d|2[0-3])[:.]([0-5]\d)")


@dataclass(frozen=True, slots=True, kw_only=True)
class DayFile:
    """What a day file tells. ``place`` is empty and ``height``, in metres, None where it does not say."""

    place: str
    height: float | None
    date: str
    hours: tuple[Forecast, ...]
    unknown: tuple[UnknownKey, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    source_name: str = field(default="", compare=False)


def load_day_file(path: Path) -> DayFile:
    """Read a day file from disk. Raises ``DayFileTrouble`` for anything that stands in the way."""
    data = toml_text.read_bytes(path, trouble=DayFileTrouble)
    text = toml_text.text_of(data, source_name=path.name, trouble=DayFileTrouble)
    return read_day_file(text, source_name=path.name)


def read_day_file(text: str, *, source_name: str) -> DayFile:
    """Read a day file. Raises ``DayFileTrouble`` with everything that is wrong, each with its line.

    >>> day = read_day_file('hour = [{ time = "09:00", temperature_c = 8 }]', source_name="day.toml")
    >>> day.hours[0].minute, day.hours[0].temperature
    (540, 281.15)
    """
    written = toml_text.parse(text, source_name=source_name, trouble=DayFileTrouble)
    notes = Notes(written.lines)
    whole = Table(written.data, path=(), notes=notes)
    whole.check_form(FORM)
    place, height = whole.text("place", longest=LONGEST_PLACE) or "", whole.number(HEIGHT)
    date, hours = date_of(whole), _hours(whole)
    whole.report_unknown()
    if notes.troubles:
        raise DayFileTrouble(notes.troubles, source_name=source_name)
    return DayFile(
        place=place,
        height=height,
        date=date,
        hours=hours,
        unknown=tuple(notes.unknown),
        doubts=tuple(notes.doubts),
        source_name=source_name,
    )


def _hours(whole: Table) -> tuple[Forecast, ...]:
    tables = whole.tables("hour")
    if not tables:
        whole.trouble("hour", "there is no hour in it", 'Write [[hour]], and under it time = "09:00"')
    if len(tables) > MOST_HOURS:
        whole.trouble("hour", f"there are {len(tables)} hours in it", f"Keep it to {MOST_HOURS}")
    read = [hour for table in tables if (hour := _hour(table)) is not None]
    return tuple(sorted(read, key=lambda hour: hour.minute))


def _hour(table: Table) -> Forecast | None:
    minute, what = _minute(table), table.text("what", longest=LONGEST_PLACE) or ""
    celsius = table.number(TEMPERATURE)
    if PRESSURE.key in table and SEA_LEVEL.key in table:
        table.trouble(
            SEA_LEVEL.key, "the pressure is told twice", "Write the one at the door, or the one at sea level"
        )
    pressure, sea_level, humidity = (_in_si(table, number) for number in (PRESSURE, SEA_LEVEL, HUMIDITY))
    table.report_unknown()
    if minute is None:
        return None
    return Forecast(
        minute=minute,
        what=what,
        temperature=None if celsius is None else celsius + FREEZING,
        pressure=pressure,
        sea_level_pressure=sea_level,
        humidity=humidity,
    )


def _in_si(table: Table, number: Number) -> float | None:
    value = table.number(number)
    return None if value is None else value * number.unit


def _minute(table: Table) -> int | None:
    """Read a time of day, as text or as the file's own kind of time."""
    value = table.get("time")
    if isinstance(value, dt.time):
        return value.hour * 60 + value.minute
    match = _TIME.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is not None:
        return int(match[1]) * 60 + int(match[2])
    what = "this hour has no time" if value is None else f"time is {toml_text.shown(value)}, which is no time"
    table.trouble("time", what, 'Write it like time = "09:30"')
    return None
