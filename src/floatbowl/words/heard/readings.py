"""What was measured: each reading as it is written, with what may stand beside it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar, get_args

from floatbowl.signs.trial import (
    ChokeOutcome,
    ChokeUse,
    HandOutcome,
    PlugColour,
    Touched,
    Way,
)
from floatbowl.words.heard.plain import RUNG_WORDS, lambda_value, number, rpm, rung, seconds
from floatbowl.words.measuring import WRITTEN
from floatbowl.words.trouble import NotUnderstoodError, nearest, not_known

_Known = TypeVar("_Known", bound=str)


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
    at = RUNG_WORDS.get(words[0].casefold())
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


def _the_only(values: Sequence[str], read: Callable[[str], float]) -> float:
    if len(values) > 1:
        text = f"{' '.join(values)} is more than one lambda. Write them one at a time."
        raise NotUnderstoodError(text)
    return read(values[0])
