"""A person's words into nouns: openings, behaviours, air, parts, times.

Every reader gives the noun or raises ``NotUnderstoodError`` with the sentence to
show. Units come in here and leave as SI.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, TypeVar, get_args

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import (
    SHOWS,
    Behaviour,
    ChokeOutcome,
    ChokeUse,
    HandOutcome,
    LookOutcome,
    PlugColour,
    Touched,
    Way,
)
from floatbowl.units import FOOT, FREEZING, HECTOPASCAL, KILOPASCAL
from floatbowl.words.measuring import WRITTEN
from floatbowl.words.suspects import SUSPECTS
from floatbowl.words.trouble import NotUnderstoodError, nearest, not_known

if TYPE_CHECKING:
    from floatbowl.guide.strip import Answer, Ask, Part
    from floatbowl.jobs import StripCard

_Known = TypeVar("_Known", bound=str)

_RUNG_WORDS: dict[str, Rung] = {
    **{rung.value: rung for rung in RUNGS},
    "0": Rung.SHUT,
    "idle": Rung.SHUT,
    "closed": Rung.SHUT,
    "eighth": Rung.EIGHTH,
    "quarter": Rung.QUARTER,
    "half": Rung.HALF,
    "three-quarters": Rung.THREE_QUARTERS,
    "three quarters": Rung.THREE_QUARTERS,
    "wide open": Rung.FULL,
    "open": Rung.FULL,
    "1": Rung.FULL,
    "1/1": Rung.FULL,
    "\u215b": Rung.EIGHTH,
    "\u00bc": Rung.QUARTER,
    "\u00bd": Rung.HALF,
    "\u00be": Rung.THREE_QUARTERS,
}


def rung(word: str) -> Rung:
    """Read an opening: ``1/4``, ``quarter``, ``shut``, ``full``."""
    found = _RUNG_WORDS.get(word.strip().casefold())
    if found is None:
        known = [one.value for one in RUNGS]
        close = nearest(word, _RUNG_WORDS)
        meant = f" Did you mean {_RUNG_WORDS[close].value}?" if close else ""
        text = f'"{word}" is not an opening.{meant} Write {", ".join(known[:-1])} or {known[-1]}.'
        raise NotUnderstoodError(text)
    return found


_BEHAVIOUR_WORDS: dict[str, Behaviour] = {
    **{one: one for one in get_args(Behaviour)},
    "bog": "bogs",
    "stumble": "stumbles",
    "hesitates": "stumbles",
    "surge": "surges",
    "hunts": "surges",
    "rough": "thick",
    "four-strokes": "thick",
    "burbles": "thick",
    "blubbers": "thick",
    "weak": "flat",
    "ping": "pings",
    "pinks": "pings",
    "knocks": "pings",
    "hot": "pings",
    "hang": "hangs",
    "die": "dies",
    "stalls": "dies",
    "spit": "spits",
    "pop": "pops",
    "hard-start": "hard start",
    "drip": "drips",
    "leaks": "drips",
    "floods": "drips",
    "foul": "fouls",
    "cuts": "cuts out",
    "like a switch": "cuts out",
    "switches off": "cuts out",
    "fade": "fades",
    "starves": "fades",
    "runs out": "fades",
    "rest": "rest helps",
    "rests": "rest helps",
    "better after a rest": "rest helps",
}


def behaviour(word: str) -> Behaviour:
    """Read what it did, with the trade's other words for the same."""
    found = _BEHAVIOUR_WORDS.get(word.strip().casefold())
    if found is None:
        close = nearest(word, _BEHAVIOUR_WORDS)
        meant = f" Did you mean {_BEHAVIOUR_WORDS[close]}?" if close else ""
        text = f'"{word}" is not something we know a bike to do.{meant} See them all: floatbowl said --list.'
        raise NotUnderstoodError(text)
    return found


def plug_colour(word: str) -> PlugColour:
    """Read a plug's colour."""
    known: tuple[PlugColour, ...] = get_args(PlugColour)
    for colour in known:
        if colour == word.strip().casefold().replace("-", " "):
            return colour
    raise NotUnderstoodError(not_known(word, what="a plug colour", known=known))


def choke_use(word: str) -> ChokeUse:
    """Read how far the choke was on."""
    known: tuple[ChokeUse, ...] = get_args(ChokeUse)
    for use in known:
        if use == word.strip().casefold():
            return use
    raise NotUnderstoodError(not_known(word, what="a place of the choke", known=known))


_NUMBER = re.compile(r"([+\N{MINUS SIGN}-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(\S*)")


def number_and_unit(word: str) -> tuple[float, str]:
    """Read ``3.9s`` as 3.9 and ``s``; a comma may stand for the point."""
    match = _NUMBER.fullmatch(word.strip())
    if match is None:
        text = f'"{word}" is not a number we can read. Write it like 3.9 or 3.9s.'
        raise NotUnderstoodError(text)
    return float(match[1].replace(",", ".").replace("\N{MINUS SIGN}", "-")), match[2]


def number(word: str, *, what: str, units: Sequence[str], least: float, most: float) -> float:
    """Read a number with or without its unit, within what can be."""
    value, unit = number_and_unit(word)
    if unit and unit.casefold() not in {one.casefold() for one in units}:
        text = f'"{word}": {what} is written in {units[0]}.'
        raise NotUnderstoodError(text)
    if not least <= value <= most:
        text = f'"{word}": {what} lies between {least:g} and {most:g} {units[0]}'.rstrip() + "."
        raise NotUnderstoodError(text)
    return value


def seconds(word: str) -> float:
    """Read one timed run."""
    return number(word, what="a roll-on time", units=("s", "sec"), least=0.2, most=120.0)


def lambda_value(word: str) -> float:
    """Read a lambda; whether it can be one is for the record to say."""
    return number(word, what="lambda", units=("", "lambda"), least=0.0, most=1000.0)


def rpm(word: str) -> float:
    """Read an engine speed."""
    return number(word, what="an engine speed", units=("rpm",), least=300.0, most=20000.0)


# --- air ---------------------------------------------------------------------------------------------------


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


# --- parts -------------------------------------------------------------------------------------------------

_PART_WORDS: dict[str, str] = {
    "main": "main",
    "pilot": "pilot",
    "clip": "clip_from_top",
    "groove": "clip_from_top",
    "screw": "screw_turns",
    "turns": "screw_turns",
    "cutaway": "cutaway",
    "slide": "cutaway",
    "float": "float_height_mm",
    "washer": "needle_washer_mm",
    "needle": "needle",
}
_WRITE_PARTS = "main=108, pilot=40, clip=4, screw=1.5, cutaway=2.5, float=18, washer=0.5, needle=STAMP"
_STAMP = re.compile(r"[0-9A-Za-z?][0-9A-Za-z .,/+#*-]{0,15}")


def changes(words: Iterable[str]) -> dict[str, Any]:
    """Read ``main=108 clip=4`` as fields of a setup."""
    found: dict[str, str | int | float] = {}
    for word in words:
        name, equals, value = word.partition("=")
        field = _PART_WORDS.get(name.strip().casefold())
        if not equals or field is None:
            close = nearest(name, _PART_WORDS)
            meant = f" Did you mean {close}=...?" if close else ""
            text = f'"{word}" is not a part we can fit.{meant} Write it like {_WRITE_PARTS}.'
            raise NotUnderstoodError(text)
        if field in found:
            text = f'"{word}": that part was named twice. Write it once.'
            raise NotUnderstoodError(text)
        found[field] = _PART_READER.get(field, stamp)(value)
    return found


def stamp(word: str) -> str:
    """Read what is stamped on a part, as stamped; ``?`` is not known."""
    if _STAMP.fullmatch(word.strip()) is None:
        text = (
            f'"{word}" does not look like a stamp. Write what stands on the part, or ? if nobody can read it.'
        )
        raise NotUnderstoodError(text)
    return word.strip()


def groove(word: str) -> int:
    """Read a clip's groove, counted from the blunt end."""
    value = number(word, what="the clip's groove, counted from the blunt end,", units=("",), least=1, most=12)
    if value != int(value):
        text = f'"{word}": grooves are whole. A washer under the clip makes a half: washer=0.5.'
        raise NotUnderstoodError(text)
    return int(value)


_PART_READER: Mapping[str, Callable[[str], str | int | float]] = {
    "clip_from_top": groove,
    "screw_turns": lambda word: number(
        word, what="the mixture screw, out from lightly seated,", units=("turns",), least=0.0, most=8.0
    ),
    "float_height_mm": lambda word: number(
        word, what="the float height", units=("mm",), least=2.0, most=40.0
    ),
    "needle_washer_mm": lambda word: number(word, what="a washer", units=("mm",), least=0.0, most=3.0),
}

DrawerKind = Literal["main", "pilot", "cutaway"]
DRAWER_KINDS: tuple[DrawerKind, ...] = get_args(DrawerKind)


def drawer_kind(word: str) -> DrawerKind:
    """Read which kind of part goes into the drawer or out of it."""
    asked = word.strip().casefold().removesuffix("s")
    for kind in DRAWER_KINDS:
        if asked in {kind, "slide" if kind == "cutaway" else kind}:
            return kind
    raise NotUnderstoodError(not_known(word, what="a kind of part for the drawer", known=DRAWER_KINDS))


def stamps(words: Iterable[str]) -> tuple[str, ...]:
    """Read one or more stamps."""
    found = tuple(stamp(word) for word in words)
    if not found:
        text = "Say which: floatbowl drawer add main 105 108."
        raise NotUnderstoodError(text)
    return found


def drawer_move(words: Sequence[str]) -> tuple[str, DrawerKind, tuple[str, ...]]:
    """Read ``add main 105 108`` as what to do, with which kind, and which stamps."""
    move, *rest = words
    if move not in {"add", "take"}:
        known = ("add", "take", "from")
        raise NotUnderstoodError(not_known(move, what="a thing to do with the drawer", known=known))
    if not rest:
        text = f"Say which parts: floatbowl drawer {move} main 105 108."
        raise NotUnderstoodError(text)
    return move, drawer_kind(rest[0]), stamps(rest[1:])


def drawer_file(words: Sequence[str]) -> str | None:
    """Read ``from garage.toml`` as the file's name; None when the words say something else."""
    if words[:1] != ("from",):
        return None
    if len(words) != 2:  # noqa: PLR2004  (the word and the file)
        text = "Say which file: floatbowl drawer from garage.toml."
        raise NotUnderstoodError(text)
    return words[1]


# --- what it did, and what was measured ---------------------------------------------------------------------


def said(words: Sequence[str]) -> tuple[Rung | None, Behaviour]:
    """Read ``1/4 bogs``, ``bogs 1/4`` or ``bogs`` alone, where the opening is not known."""
    whole = " ".join(words).casefold()
    if whole in _BEHAVIOUR_WORDS:
        return None, _BEHAVIOUR_WORDS[whole]
    if len(words) == 1:
        return None, behaviour(words[0])
    *first, last = words
    if " ".join(first).casefold() in _BEHAVIOUR_WORDS and last.casefold() in _RUNG_WORDS:
        return rung(last), behaviour(" ".join(first))
    return rung(words[0]), behaviour(" ".join(words[1:]))


_BESIDE_A_REMARK: dict[str, tuple[str, str]] = {
    "snap": ("how", "snap"),
    "snapped": ("how", "snap"),
    "steady": ("how", "steady"),
    "pull": ("how", "pull"),
    "cold": ("engine", "cold"),
    "hot": ("engine", "hot"),
    "once": ("often", "once"),
    "every-time": ("often", "every time"),
}


def remark(text: str) -> dict[str, Any]:
    """Read a whole remark as the fields of a remark, the words that go beside it with or without dashes.

    >>> remark("1/4 bogs snap every time")["how"], remark("hot")["did"]
    ('snap', 'pings')
    """
    words = text.casefold().replace("every time", "every-time").split()
    beside = [word for word in words if word.removeprefix("--") in _BESIDE_A_REMARK]
    rest = [word for word in words if word not in beside]
    if all(word in _RUNG_WORDS for word in rest) and "hot" in beside:
        beside.remove("hot")  # said alone it is what the bike does
        rest.append("hot")
    if not rest:
        raise NotUnderstoodError(_WRITE_REMARK)
    at, did = said(rest)
    return {"at": at, "did": did, **dict(_BESIDE_A_REMARK[word.removeprefix("--")] for word in beside)}


_WRITE_REMARK = "Say where and what it did: 1/4 bogs snap. Or only what it did: drips."


_FILE = re.compile(r".+\.[a-z][a-z0-9]{1,4}", flags=re.IGNORECASE)


def is_file(word: str) -> bool:
    """Say whether a word names a file, not a kind of reading.

    >>> is_file("ride.csv"), is_file("plug"), is_file("1.5")
    (True, False, False)
    """
    return _FILE.fullmatch(word) is not None


@dataclass(frozen=True, slots=True)
class _Beside:
    """What may stand beside a reading, as it was written."""

    rpm: str | None
    choke: str | None
    at: str | None = None


def reading(
    words: Sequence[str], *, rpm_word: str | None, choke_word: str | None, at_word: str | None = None
) -> dict[str, Any]:
    """Read ``plug 1/2 tan`` as the fields of a reading, under their names in a bike file."""
    asked = words[0].casefold().replace("-", "")
    kind = asked if asked in WRITTEN else _KIND_WORDS.get(asked)
    if kind is None:
        raise NotUnderstoodError(not_known(words[0], what="a reading", known=WRITTEN))
    beside = _Beside(rpm_word, choke_word, at_word)
    _refuse_beside(kind, beside)
    if len(words) < _FEWEST_WORDS.get(kind, 2):
        raise NotUnderstoodError(_WRITE_READING[kind])
    return {"kind": kind, **_READ[kind](words[1:], beside)}


_KIND_WORDS = {
    "lam": "lambda",
    "wideband": "lambda",
    "roll": "rollon",
    "idle": "sweep",
    "fuel": "level",
    "exhaust": "gas",
}
_FEWEST_WORDS = {"plug": 3, "lambda": 3, "rollon": 3, "choke": 3, "sweep": 3}
"""The kind itself, the opening where there is one, and at least one value; of a sweep two places."""


def _refuse_beside(kind: str, beside: _Beside) -> None:
    if beside.rpm is not None and kind not in {"lambda", "rollon", "gas"}:
        text = f"--rpm belongs to a lambda, a roll-on or exhaust gas, not to {kind}. {_WRITE_READING[kind]}"
        raise NotUnderstoodError(text)
    if beside.choke is not None and kind != "rollon":
        text = f"--choke belongs to a roll-on, not to {kind}. {_WRITE_READING[kind]}"
        raise NotUnderstoodError(text)

    if beside.at is not None and kind != "gas":
        text = f"--at belongs to exhaust gas, not to {kind}. {_WRITE_READING[kind]}"
        raise NotUnderstoodError(text)


def _no_file(_words: Sequence[str], _beside: _Beside) -> dict[str, Any]:
    raise NotUnderstoodError(_WRITE_READING["log"])


def _plug(words: Sequence[str], _beside: _Beside) -> dict[str, Any]:
    return {"at": rung(words[0]).value, "colour": plug_colour(" ".join(words[1:]))}


def _lambda(words: Sequence[str], beside: _Beside) -> dict[str, Any]:
    value = _the_only(words[1:], lambda_value)
    return {"at": rung(words[0]).value, "value": value, **_counted(beside)}


def _rollon(words: Sequence[str], beside: _Beside) -> dict[str, Any]:
    choke = {} if beside.choke is None else {"choke": choke_use(beside.choke)}
    ways, runs = _ways(words[1:])
    told = {"seconds": runs, **({"ways": ways} if ways else {})}
    return {"from": rung(words[0]).value, **told, **choke, **_counted(beside)}


def _ways(words: Sequence[str]) -> tuple[list[Way], list[float]]:
    """Read ``there=3.9s back=4.1s`` as ways and times; all runs say their way, or none does."""
    split = [word.partition("=") for word in words]
    ways = [way(told) for told, equals, _ in split if equals]
    if ways and len(ways) < len(words):
        text = "Some runs say which way they went, others do not. Write there= or back= before each or none."
        raise NotUnderstoodError(text)
    return ways, [seconds(time if equals else told) for told, equals, time in split]


def way(word: str) -> Way:
    """Read which way a run went."""
    return _word(word, _WAY_WORDS, what="a way to go")


def _gas(words: Sequence[str], beside: _Beside) -> dict[str, Any]:
    at = _RUNG_WORDS.get(words[0].casefold())
    gases = words[1:] if at else words
    if at and beside.at:
        text = "The opening was named twice. Write it once."
        raise NotUnderstoodError(text)
    found = dict(_one_gas(word) for word in gases)
    missing = [gas.name for gas in _GASES.values() if gas.key not in found]
    if missing:
        text = f"{missing[0]} is missing: all four gases are needed. {_WRITE_READING['gas']}"
        raise NotUnderstoodError(text)
    opening = at or rung(beside.at or "shut")
    return {"at": opening.value, **found, **_counted(beside)}


def _one_gas(word: str) -> tuple[str, float]:
    name, equals, value = word.partition("=")
    gas = _GASES.get(name.strip().casefold()) if equals else None
    if gas is None:
        text = f'"{word}" is no gas we know. {_WRITE_READING["gas"]}'
        raise NotUnderstoodError(text)
    shown = number(value, what=gas.name, units=gas.units, least=0.0, most=gas.most)
    return gas.key, shown * gas.times(value)


@dataclass(frozen=True, slots=True)
class _Gas:
    """One gas of four: its field, its name, the units it may come in, and what can be."""

    key: str
    name: str
    units: tuple[str, ...]
    most: float

    def times(self, value: str) -> float:
        """Give what a value is multiplied by: hydrocarbons in per cent become ppm."""
        return 1e4 if self.key == "hc_ppm" and value.endswith("%") else 1.0


_GASES = {
    "co": _Gas("co_pct", "CO", ("%",), 20.0),
    "co2": _Gas("co2_pct", "CO2", ("%",), 20.0),
    "hc": _Gas("hc_ppm", "HC", ("ppm", "%"), 100_000.0),
    "o2": _Gas("o2_pct", "O2", ("%",), 25.0),
}
_WAY_WORDS: dict[str, Way] = {
    "there": "there",
    "back": "back",
    "out": "there",
    "home": "back",
    "up": "there",
    "down": "back",
}


def _counted(beside: _Beside) -> dict[str, float]:
    return {} if beside.rpm is None else {"rpm": rpm(beside.rpm)}


def _choke(words: Sequence[str], _beside: _Beside) -> dict[str, Any]:
    return {"at": rung(words[0]).value, "outcome": choke_outcome(" ".join(words[1:]))}


def choke_outcome(word: str) -> ChokeOutcome:
    """Read what a little choke did."""
    return _word(word, _CHOKE_WORDS, what="what a little choke does")


def _hand(words: Sequence[str], _beside: _Beside) -> dict[str, Any]:
    return {"outcome": hand_outcome(" ".join(words))}


def hand_outcome(word: str) -> HandOutcome:
    """Read what the idle did under the hand."""
    return _word(word, _HAND_WORDS, what="what the idle does under a hand")


def _touched(words: Sequence[str], _beside: _Beside) -> dict[str, Any]:
    return {"part": touched(" ".join(words))}


def touched(word: str) -> Touched:
    """Read what was worked on last."""
    return _word(word, _TOUCHED_WORDS, what="a thing to work on")


_CHOKE_WORDS: dict[str, ChokeOutcome] = {
    **{one: one for one in get_args(ChokeOutcome)},
    "no-change": "no change",
    "none": "no change",
    "nothing": "no change",
    "same": "no change",
    "the same": "no change",
}
_HAND_WORDS: dict[str, HandOutcome] = {
    **{one: one for one in get_args(HandOutcome)},
    "rise": "rises",
    "up": "rises",
    "sink": "sinks",
    "only sinks": "sinks",
    "down": "sinks",
}
_TOUCHED_WORDS: dict[str, Touched] = {
    **{one: one for one in get_args(Touched)},
    "jet": "jets",
    "cleaned": "cleaning",
    "clip": "needle",
    "carb off": "carburettor off",
    "carburettor": "carburettor off",
    "air filter": "filter",
    "airbox": "filter",
    "pipe": "exhaust",
    "hose": "hoses",
    "boot": "hoses",
    "petrol": "fuel",
    "tank": "fuel",
    "throttle": "cable",
    "valve": "valves",
    "none": "nothing",
}


def _word(word: str, known: Mapping[str, _Known], *, what: str) -> _Known:
    """Give what a word stands for, or offer the one most like it."""
    found = known.get(word.strip().casefold())
    if found is None:
        close = nearest(word, known)
        names = tuple(dict.fromkeys(known.values()))
        raise NotUnderstoodError(
            not_known(word, what=what, known=names, close=known[close] if close else None)
        )
    return found


def _sweep(words: Sequence[str], _beside: _Beside) -> dict[str, Any]:
    places = [_place(word) for word in words]
    return {"turns": [turn for turn, _ in places], "rpm": [speed for _, speed in places]}


def _place(word: str) -> tuple[float, float]:
    """Read ``1.5=1450``, or ``2.5=died``, as turns out and idle speed."""
    turn, equals, speed = word.partition("=")
    if not equals:
        text = f'"{word}": write turns out and idle speed with = between, as 1.5=1450, and 2.5=died or 2.5=0.'
        raise NotUnderstoodError(text)
    turns = number(turn, what="the screw, out from lightly seated,", units=("turns",), least=0.0, most=8.0)
    return turns, 0.0 if speed.casefold() in {"died", "dies", "dead"} else _idle_speed(speed)


def place_and_file(word: str) -> tuple[float, str | None]:
    """Read ``1.5=idle.wav``, or ``2.5=died``, as turns out and a recording; None where it died."""
    turn, equals, file = word.partition("=")
    if not equals or not file:
        text = f'"{word}": write turns out and a recording with = between, as 1.5=idle.wav, and 2.5=died.'
        raise NotUnderstoodError(text)
    turns = number(turn, what="the screw, out from lightly seated,", units=("turns",), least=0.0, most=8.0)
    return turns, None if file.casefold() in {"died", "dies", "dead"} else file


def _idle_speed(word: str) -> float:
    return number(word, what="an idle speed", units=("rpm",), least=0.0, most=8000.0)


def _level(words: Sequence[str], _beside: _Beside) -> dict[str, Any]:
    return {"above_mm": above_book(" ".join(words))}


_LEVEL = re.compile(r"(.+?)\s*(above|below|over|under|high|low)", flags=re.IGNORECASE)


def above_book(word: str) -> float:
    """Read ``-1.5``, ``1.5mm below`` or ``right`` as millimetres above the book level."""
    if word.casefold() in {"right", "book", "at book"}:
        return 0.0
    worded = _LEVEL.fullmatch(word)
    amount = worded[1] if worded else word
    value = number(amount, what="the fuel above its book level", units=("mm",), least=-25.0, most=25.0)
    if worded is None:
        return value
    return abs(value) * (1.0 if worded[2].casefold() in {"above", "over", "high"} else -1.0)


_READ: Mapping[str, Callable[[Sequence[str], _Beside], dict[str, Any]]] = {
    "plug": _plug,
    "lambda": _lambda,
    "gas": _gas,
    "log": _no_file,
    "rollon": _rollon,
    "choke": _choke,
    "hand": _hand,
    "sweep": _sweep,
    "level": _level,
    "touched": _touched,
}
_WRITE_READING = {
    "plug": "Say the opening and the colour: floatbowl measured BIKE plug 1/2 tan.",
    "lambda": "Say the opening and the number: floatbowl measured BIKE lambda 1/2 0.92.",
    "log": "Name the file: floatbowl measured BIKE ride.csv.",
    "gas": "Say all four gases: floatbowl measured BIKE gas co=2.1 co2=12.5 hc=250 o2=0.8 --at 1/4.",
    "rollon": "Say the opening and the times: floatbowl measured BIKE rollon 1/4 3.9s 4.0s.",
    "choke": "Say the opening and what it did: floatbowl measured BIKE choke 1/4 better (worse, no change).",
    "hand": "Say what the idle did: floatbowl measured BIKE hand rises (or sinks).",
    "sweep": "Say two places or more, turns out = speed: floatbowl measured BIKE sweep 1.0=1380 1.5=1450.",
    "level": "Say the millimetres, minus below the book level: floatbowl measured BIKE level -1.5.",
    "touched": "Say what was worked on last: floatbowl measured BIKE touched cleaning.",
}


OUTCOMES: dict[str, LookOutcome] = {"found": "found", "yes": "found", "clear": "clear", "no": "clear"}


def looked(words: Sequence[str]) -> tuple[str | None, LookOutcome]:
    """Read ``soap on the joints found``, or ``soap found``, as which look and what it brought.

    ``found`` alone leaves the look open: None.
    """
    *look, outcome = words
    brought = OUTCOMES.get(outcome.casefold())
    if brought is None:
        close = nearest(outcome, OUTCOMES)
        meant = f" Did you mean {OUTCOMES[close]}?" if close else ""
        text = f'"{outcome}" does not say what the look brought.{meant} Write found or clear, at the end.'
        raise NotUnderstoodError(text)
    return _one_of(look, SHOWS, what="a look") if look else None, brought


def fault(words: Sequence[str]) -> str:
    """Read ``air leak``, or ``leak``, as the fault that was mended."""
    return _one_of(words, SUSPECTS, what="a fault")


def _one_of(words: Sequence[str], known: Iterable[str], *, what: str) -> str:
    """Give the one known name that holds all these words; more than one, or none, is trouble."""
    names = tuple(known)
    asked = " ".join(words).casefold()
    if asked in names:
        return asked
    found = [name for name in names if set(asked.split()) <= set(name.split())]
    if len(found) == 1:
        return found[0]
    if found:
        text = f'"{asked}" may be {" or ".join(found)}. Write a word more.'
        raise NotUnderstoodError(text)
    raise NotUnderstoodError(not_known(asked, what=what, known=names, close=_meant(asked.split(), names)))


def _meant(words: Sequence[str], names: Sequence[str]) -> str | None:
    """Give the first name that holds every word as it may have been meant."""
    vocabulary = {word for name in names for word in name.split()}
    meant = {nearest(word, sorted(vocabulary)) for word in words}
    return next((name for name in names if meant <= set(name.split())), None)


def _the_only(values: Sequence[str], read: Callable[[str], float]) -> float:
    if len(values) > 1:
        text = f"{' '.join(values)} is more than one lambda. Write them one at a time."
        raise NotUnderstoodError(text)
    return read(values[0])


# --- the strip sheet ---------------------------------------------------------------------------------------


def strip(words: Sequence[str], *, sheet: Sequence[StripCard]) -> tuple[Part, Answer, dict[str, str | float]]:
    """Read which card of the strip sheet, how the part is, and what it measures, in the card's order."""
    part, rest = _part(words, {card.part.key: card.part for card in sheet})
    size = 2 if [word.casefold() for word in rest[:2]] == ["not", "fine"] else 1
    if not rest:
        text = f"Say how the {part.key} is: fine, not fine or skip."
        raise NotUnderstoodError(text)
    return part, strip_answer(" ".join(rest[:size])), _measures(part, rest[size:])


def strip_answer(words: str) -> Answer:
    """Read how a part is: fine, not fine or skip."""
    said = " ".join(words.split()).casefold()
    if said not in _ANSWERS:
        raise NotUnderstoodError(not_known(words, what="an answer", known=("fine", "not fine", "skip")))
    return _ANSWERS[said]


_ANSWERS: dict[str, Answer] = {
    "fine": "fine",
    "ok": "fine",
    "not fine": "not fine",
    "bad": "not fine",
    "skip": "skipped",
    "skipped": "skipped",
}


def _part(words: Sequence[str], parts: Mapping[str, Part]) -> tuple[Part, Sequence[str]]:
    """Take the longest run of words at the beginning that names a card."""
    for size in range(len(words), 0, -1):
        found = parts.get(" ".join(words[:size]).casefold())
        if found is not None:
            return found, words[size:]
    raise NotUnderstoodError(not_known(words[0], what="a part of the strip sheet", known=parts))


def _measures(part: Part, words: Sequence[str]) -> dict[str, str | float]:
    if len(words) > len(part.asks):
        asked = ", ".join(ask.name for ask in part.asks) or "no measure"
        text = f"{part.title} asks for {asked}, and {len(words)} were given."
        raise NotUnderstoodError(text)
    told = zip(part.asks, words, strict=False)
    return {ask.field: measure(ask, word) for ask, word in told if word != "-"}


def measure(ask: Ask, word: str) -> str | float:
    """Read what a card of the strip sheet asks for, in its unit."""
    if ask.field in _STAMPED:
        return stamp(word)
    if ask.field == "setup.clip_from_top":
        return groove(word)
    return number(word, what=ask.name.casefold(), units=(ask.unit,), least=0.0, most=200.0)


_STAMPED = ("setup.main", "setup.pilot", "setup.cutaway")
