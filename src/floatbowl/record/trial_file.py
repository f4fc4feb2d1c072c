"""What was said and measured, as it is written in a file or typed at a door: into nouns and back."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable, Mapping
from typing import Any, get_args

import msgspec

from floatbowl.bike.day import Day
from floatbowl.bike.faults import FAULT_KEYS
from floatbowl.bike.measure import Measure
from floatbowl.bike.place import NOT_KNOWN, assume_day
from floatbowl.bike.rung import RUNGS
from floatbowl.record.checking import Table
from floatbowl.record.fields import (
    ABOVE_BOOK,
    CO,
    CO2,
    HANGS,
    HC,
    HEIGHT,
    HUMIDITY,
    HUNTS,
    LAMBDA,
    LOGGED_SPREAD,
    O2,
    PRESSURE,
    RPM,
    SECONDS,
    SPREAD_RPM,
    SWEEP_RPM,
    SWEEP_TURNS,
    TEMPERATURE,
    WANDER,
    Choice,
    Number,
)
from floatbowl.signs.trial import (
    SHOWS,
    AfterBlip,
    Behaviour,
    ChokeOutcome,
    ChokeReading,
    ChokeUse,
    Clock,
    GasReading,
    HandOutcome,
    HandReading,
    How,
    IdleNoteReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    LevelReading,
    LookOutcome,
    LookReading,
    Often,
    PlugColour,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    Touched,
    TouchedReading,
    Warmth,
    Way,
)
from floatbowl.units import FREEZING

LONGEST_PLACE = 60
MOST_RUNS = 50
MOST_LOGGED = 60
FEWEST_PLACES, MOST_PLACES = 2, 30
"""Places of the mixture screw on one sweep: a single one compares with nothing."""
NOUNS: dict[str, type[Reading]] = {
    "rollon": RollOnReading,
    "lambda": LambdaReading,
    "log": LambdaLogReading,
    "gas": GasReading,
    "plug": PlugReading,
    "choke": ChokeReading,
    "hand": HandReading,
    "sweep": IdleSweepReading,
    "ear": IdleNoteReading,
    "level": LevelReading,
    "touched": TouchedReading,
    "look": LookReading,
}
"""Every kind of reading by the word it is written with."""
ENTRY_NAME = re.compile(r"(?:ride|reading)-[1-9][0-9]{0,5}[a-z]?")

_AIR_TO_FUEL = (7.0, 25.0)
"""Where a meter's air to fuel by weight lies; lambda is never that large."""
_OPENINGS = tuple(rung.value for rung in RUNGS)
AT = Choice("at", "at", _OPENINGS)
FROM = Choice("from", "at", _OPENINGS)
KIND = Choice("kind", "kind", tuple(NOUNS))
_SAID = (
    Choice("did", "did", get_args(Behaviour)),
    AT,
    Choice("how", "how", get_args(How)),
    Choice("engine", "engine", get_args(Warmth)),
    Choice("often", "often", get_args(Often)),
)
_COLOUR = Choice("colour", "colour", get_args(PlugColour))
_CHOKE = Choice("choke", "choke", get_args(ChokeUse))
_WAY = Choice("ways", "ways", get_args(Way))
_CLOCK = Choice("by", "by", get_args(Clock))
_LOOK = Choice("look", "look", tuple(SHOWS))
_OUTCOME = Choice("outcome", "outcome", get_args(LookOutcome))
_FAULT = Choice("mended", "mended", FAULT_KEYS)
_CHOKE_DID = Choice("outcome", "outcome", get_args(ChokeOutcome))
_HAND_DID = Choice("outcome", "outcome", get_args(HandOutcome))
_AFTER_BLIP = Choice("after_blip", "after_blip", get_args(AfterBlip))
_PART = Choice("part", "part", get_args(Touched))


def read_remark(table: Table, *, entry: str) -> Remark | None:
    """Read one remark; None where trouble was noted. ``entry`` names it unless it names itself."""
    found = {choice.into: table.choice(choice) for choice in _SAID}
    name = _entry(table, default=entry)
    if table.get("did") is None:
        table.trouble("did", "this remark does not say what it did", 'Write did = "bogs" and the like')
    if found["did"] is None:
        return None
    given = {key: value for key, value in found.items() if value is not None}
    return msgspec.convert({"entry": name, **given}, Remark)


def read_reading(table: Table, *, entry: str) -> Reading | None:
    """Read one measured thing; None where trouble was noted."""
    kind = table.choice(KIND)
    if table.get("kind") is None:
        table.trouble(
            "kind", "this reading does not say its kind", f"Write kind = one of {', '.join(KIND.words)}"
        )
    name = _entry(table, default=entry)
    found = None if kind is None else _PARTS[kind](table)
    if kind is None or found is None:
        return None
    reading: Reading = msgspec.convert({"entry": name, **found}, NOUNS[kind])
    return reading


def _entry(table: Table, *, default: str) -> str:
    name = table.text("entry")
    if name is None:
        return default
    if ENTRY_NAME.fullmatch(name) is None:
        table.trouble(
            "entry", f"{name!r} is no name for an entry", f'Leave entry out, or write it like "{default}"'
        )
    return name


def _at_an_opening(
    read: Callable[[Table], dict[str, Any] | None],
) -> Callable[[Table], dict[str, Any] | None]:
    """Let a reading say at which opening it was taken, besides what ``read`` reads of it."""

    def both(table: Table) -> dict[str, Any] | None:
        at, found = _opening(table), read(table)
        return None if at is None or found is None else {"at": at, **found}

    return both


def _opening(table: Table) -> str | None:
    key = FROM if "from" in table else AT
    if table.get(key.key) is None:
        table.trouble(
            key.key, "this reading does not say at which opening", f"Write at = one of {', '.join(AT.words)}"
        )
    return table.choice(key)


def _lambda_parts(table: Table) -> dict[str, Any] | None:
    told = table.get(LAMBDA.key)
    if isinstance(told, int | float) and _AIR_TO_FUEL[0] <= told <= _AIR_TO_FUEL[1]:
        what = f"value is {told:g}, which looks like air to fuel by weight"
        table.trouble(
            LAMBDA.key, what, "Divide it by what your fuel needs (14.6 for plain petrol): we keep lambda"
        )
        return None
    value = _needed(table, LAMBDA)
    rpm = table.number(RPM)
    return None if value is None else {"value": value, "rpm": rpm}


def _needed(table: Table, number: Number) -> float | None:
    if table.get(number.key) is None:
        table.trouble(
            number.key, f"this reading has no {number.key}", f"Write {number.key} as a plain number"
        )
    return table.number(number, needed=True)


def _gas_parts(table: Table) -> dict[str, Any] | None:
    gases = {gas.into: _needed(table, gas) for gas in (CO, CO2, HC, O2)}
    rpm = table.number(RPM)
    return None if None in gases.values() else {**gases, "rpm": rpm}


def _log_parts(table: Table) -> dict[str, Any] | None:
    at = [table.checked_choice(one, AT) for one in table.items(AT.key)]
    found = {number.into: _numbers(table, number, most=MOST_LOGGED) for number in (LAMBDA, LOGGED_SPREAD)}
    rpm = _numbers(table, RPM, most=MOST_LOGGED)
    lengths = {len(at), *(len(one) for one in found.values()), len(rpm) or len(at)}
    if lengths == {0} or len(lengths) > 1 or len(at) > MOST_LOGGED:
        do = f'Write as many of each, at most {MOST_LOGGED}: at = ["1/4"], value = [0.91], spread = [0.01]'
        table.trouble("at", f"this log has {len(at)} openings and not as many numbers", do)
        return None
    is_whole = None not in (*at, *rpm) and not any(None in one for one in found.values())
    return {"at": at, **found, "rpm": rpm} if is_whole else None


def _plug_parts(table: Table) -> dict[str, Any] | None:
    return _one_word(table, _COLOUR)


def _one_word(table: Table, choice: Choice) -> dict[str, Any] | None:
    word = table.choice(choice)
    if table.get(choice.key) is None:
        what = f"this reading has no {choice.key}"
        table.trouble(choice.key, what, f"Write {choice.key} = one of {', '.join(choice.words)}")
    return None if word is None else {choice.into: word}


def _rollon_parts(table: Table) -> dict[str, Any] | None:
    choke, rpm = table.choice(_CHOKE), table.number(RPM)
    runs = _numbers(table, SECONDS, most=MOST_RUNS)
    if not 1 <= len(runs) <= MOST_RUNS:
        table.trouble(
            "seconds",
            "this reading needs its times",
            f"Write seconds = [3.9, 3.8], at most {MOST_RUNS} of them",
        )
        return None
    ways = [table.checked_choice(one, _WAY) for one in table.items(_WAY.key)]
    if ways and len(ways) != len(runs):
        what = f"this roll-on has {len(runs)} times and {len(ways)} ways"
        table.trouble("ways", what, 'Write as many ways as times: ways = ["there", "back"]')
        return None
    by = table.choice(_CLOCK)
    if None in runs or None in ways:
        return None
    return {"seconds": runs, "choke": choke or "off", "rpm": rpm, "ways": ways, "by": by or "watch"}


def _numbers(table: Table, number: Number, *, most: int) -> list[float | None]:
    """Read a list of numbers, one more than there may be of them at the most."""
    return [
        table.checked(item, number, needed=True, path=(*table.path, number.key, place))
        for place, item in enumerate(table.items(number.key)[: most + 1])
    ]


def _sweep_parts(table: Table) -> dict[str, Any] | None:
    turns = _numbers(table, SWEEP_TURNS, most=MOST_PLACES)
    rpm = _numbers(table, SWEEP_RPM, most=MOST_PLACES)
    if not FEWEST_PLACES <= len(turns) <= MOST_PLACES or len(turns) != len(rpm):
        what = f"this sweep has {len(turns)} places of the screw and {len(rpm)} idle speeds"
        do = (
            f"Write as many of each, {FEWEST_PLACES} to {MOST_PLACES}: turns = [1.0, 1.5], rpm = [1380, 1450]"
        )
        table.trouble("turns", what, do)
        return None
    return None if None in (*turns, *rpm) else {"turns": turns, "rpm": rpm}


def _ear_parts(table: Table) -> dict[str, Any] | None:
    asked = {number.into: _needed(table, number) for number in (RPM, SPREAD_RPM, WANDER)}
    heard = {number.into: table.number(number) for number in (HUNTS, HANGS)}
    after = table.choice(_AFTER_BLIP)
    return None if None in asked.values() else {**asked, **heard, "after_blip": after}


def _level_parts(table: Table) -> dict[str, Any] | None:
    above = _needed(table, ABOVE_BOOK)
    return None if above is None else {"above_mm": above}


def _look_parts(table: Table) -> dict[str, Any] | None:
    parts = {choice.into: table.choice(choice) for choice in (_LOOK, _OUTCOME)}
    for choice, such_as in ((_LOOK, "soap on the joints"), (_OUTCOME, "found")):
        if table.get(choice.key) is None:
            what = f"this look does not say its {choice.key}"
            table.trouble(choice.key, what, f'Write {choice.key} = "{such_as}" or the like')
    return None if None in parts.values() else parts


_PARTS: dict[str, Callable[[Table], dict[str, Any] | None]] = {
    "rollon": _at_an_opening(_rollon_parts),
    "lambda": _at_an_opening(_lambda_parts),
    "log": _log_parts,
    "gas": _at_an_opening(_gas_parts),
    "plug": _at_an_opening(_plug_parts),
    "choke": _at_an_opening(lambda table: _one_word(table, _CHOKE_DID)),
    "hand": lambda table: _one_word(table, _HAND_DID),
    "sweep": _sweep_parts,
    "ear": _ear_parts,
    "level": _level_parts,
    "touched": lambda table: _one_word(table, _PART),
    "look": _look_parts,
}


def read_mended(table: Table) -> tuple[str, ...]:
    """Read what was mended right after a trial."""
    told = [table.checked_choice(fault, _FAULT) for fault in table.items(_FAULT.key)]
    return tuple(fault for fault in told if fault is not None)


def read_day(table: Table) -> Day:
    """Read date, place, height and air of a trial; what is not there is assumed."""
    air = table.table("air")
    celsius = air.number(TEMPERATURE)
    day = assume_day(
        table.text("place", longest=LONGEST_PLACE) or NOT_KNOWN,
        date=date_of(table),
        height=table.number(HEIGHT),
        temperature=None if celsius is None else celsius + FREEZING,
        pressure=_scaled(air, PRESSURE),
        humidity=_scaled(air, HUMIDITY),
    )
    air.report_unknown()
    return day


def _scaled(table: Table, number: Number) -> float | None:
    value = table.number(number)
    return None if value is None else value * number.unit


def date_of(table: Table) -> str:
    """Give the date that a table tells, as TOML or as text; empty when it tells none."""
    value = table.get("date")
    if value is None:
        return ""
    if isinstance(value, dt.date):  # a datetime is one as well
        return value.isoformat()
    text = table.text("date", longest=LONGEST_PLACE) or ""
    try:
        if text:
            dt.datetime.fromisoformat(text)
    except ValueError:
        table.trouble("date", f"date is {text!r}, which is no day", "Write it like 2026-11-12")
    return text


def remark_written(remark: Remark, *, default_entry: str) -> dict[str, Any]:
    """Give a remark as it is written in a file. Its name is left out where it would get the same one."""
    return {
        **({} if remark.at is None else {"at": remark.at.value}),
        "did": remark.did,
        **({} if remark.how is None else {"how": remark.how}),
        "engine": remark.engine,
        "often": remark.often,
        **_named(remark.entry, default_entry),
    }


def reading_written(reading: Reading, *, default_entry: str) -> dict[str, Any]:
    """Give a reading as it is written in a file."""
    return {**facts_of_reading(reading), **_named(reading.entry, default_entry)}


def facts_of_reading(reading: Reading) -> dict[str, Any]:
    """Give a reading under the names it has in a file, without its name as an entry."""
    plain = _rollon_facts(reading) if isinstance(reading, RollOnReading) else msgspec.to_builtins(reading)
    told = {key: value for key, value in plain.items() if key != "entry" and value not in (None, (), [])}
    lists = {key: list(value) for key, value in told.items() if isinstance(value, tuple)}
    return {"kind": kind_of(reading), **told, **lists}


def kind_of(reading: Reading) -> str:
    """Give the word a kind of reading is written with."""
    return next(kind for kind, noun in NOUNS.items() if isinstance(reading, noun))


def reading_of_facts(facts: Mapping[str, Any], *, entry: str = "") -> Reading:
    """Give the reading back that ``facts_of_reading`` told; what was kept once is not checked again."""
    at = {"at": facts["from"]} if "from" in facts else {}
    reading: Reading = msgspec.convert({**facts, **at, "entry": entry}, NOUNS[facts["kind"]])
    return reading


def _rollon_facts(reading: RollOnReading) -> dict[str, Any]:
    choke = None if reading.choke == "off" else reading.choke
    return {
        "from": reading.at.value,
        "choke": choke,
        "rpm": reading.rpm,
        "seconds": reading.seconds,
        "ways": reading.ways or None,
        "by": None if reading.by == "watch" else reading.by,
    }


def _named(entry: str, default: str) -> dict[str, str]:
    return {} if entry == default else {"entry": entry}


def day_written(day: Day) -> dict[str, Any]:
    """Give date, place, height and air as they are written in a file; only what was read off."""
    air = {
        "temperature_c": _read_off(day.temperature, offset=FREEZING),
        "pressure_hpa_at_door": _read_off(day.pressure, unit=PRESSURE.unit),
        "humidity_pct": _read_off(day.humidity, unit=HUMIDITY.unit),
    }
    known_air = {key: value for key, value in air.items() if value is not None}
    return {
        **({"date": _written_date(day.date)} if day.date else {}),
        **({"place": day.place} if day.place != NOT_KNOWN else {}),
        **({"height_m": day.height} if day.height != _height_without_telling(day) else {}),
        **({"air": known_air} if known_air else {}),
    }


def _height_without_telling(day: Day) -> float:
    pressure = None if day.pressure.is_assumed else day.pressure.value
    return assume_day(pressure=pressure).height


def _read_off(measure: Measure, *, unit: float = 1.0, offset: float = 0.0) -> float | None:
    return None if measure.is_assumed else shortest(measure.value, unit=unit, offset=offset)


def shortest(value: float, *, unit: float = 1.0, offset: float = 0.0) -> float:
    """Give the shortest decimal number that comes back as the same value when it is read again.

    >>> shortest(2.6 * 1e-3, unit=1e-3), shortest(15.5 + 273.15, offset=273.15)
    (2.6, 15.5)
    """
    raw = (value - offset) / unit
    candidates = [float(f"{raw:.{digits}g}") for digits in range(4, 18)]
    exact = (number for number in candidates if number * unit + offset == value)
    near = (number for number in candidates if math.isclose(number, raw, rel_tol=1e-15))
    return next(exact, next(near, raw))


def _written_date(text: str) -> dt.date | str:
    for kind in (dt.date, dt.datetime):
        try:
            value = kind.fromisoformat(text)
        except ValueError:
            continue
        if value.isoformat() == text:
            return value
    return text
