"""What things are called in front of a person: rungs, parts, behaviours, measures.

Tables first; a word stands here once and is used by the terminal and the pages.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from typing import Any

from floatbowl.bike.aside import Aside
from floatbowl.bike.bike import Bike
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup
from floatbowl.signs.trial import (
    Behaviour,
    ChokeOutcome,
    ChokeReading,
    GasReading,
    HandOutcome,
    HandReading,
    IdleNoteReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    LevelReading,
    LookReading,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    TouchedReading,
)
from floatbowl.words.looks import LOOKS
from floatbowl.words.suspects import SUSPECTS, look_for

AT: dict[Rung, str] = {
    Rung.SHUT: "with the throttle shut",
    Rung.EIGHTH: "at 1/8 open",
    Rung.QUARTER: "at 1/4 open",
    Rung.HALF: "at 1/2 open",
    Rung.THREE_QUARTERS: "at 3/4 open",
    Rung.FULL: "at full opening",
}
"""Where on the throttle, as it stands in the middle of a sentence."""

ALOUD: dict[Rung, str] = {
    Rung.SHUT: "shut",
    Rung.EIGHTH: "an eighth open",
    Rung.QUARTER: "a quarter open",
    Rung.HALF: "half open",
    Rung.THREE_QUARTERS: "three quarters open",
    Rung.FULL: "fully open",
}
"""The same for a screen reader, which would speak 1/4 as a date."""

SAYER: dict[str, str] = {
    "pilot": "the pilot",
    "cutaway": "the slide cutaway",
    "needle": "the needle",
    "main": "the main jet",
}
"""The four that share the say, by the names of ``belief.PARTS``."""

LETTER: dict[str, str] = {"pilot": "P", "cutaway": "C", "needle": "N", "main": "M"}

BEHAVIOURS: dict[Behaviour, str] = {
    "clean": "pulls as it should, nothing to complain of",
    "bogs": "dies away when you open it, then catches",
    "stumbles": "hesitates or misses, then goes on",
    "surges": "speeds up and slows down with a steady hand",
    "thick": "heavy and rough, burbles, slow to clear",
    "flat": "opens, but does not pull",
    "pings": "rattles or runs hot under load",
    "hangs": "revs stay up when you shut it",
    "dies": "stops",
    "spits": "spits back through the carburettor",
    "pops": "pops in the exhaust when you shut it",
    "hard start": "hard to start",
    "drips": "petrol drips",
    "fouls": "fouls its plugs",
    "cuts out": "dies all at once, like a switch",
    "fades": "loses power the longer it is held, or the longer the ride",
    "rest helps": "runs again after a minute's rest",
}
"""Every behaviour a rider can tell, and what is meant by it."""

DID: dict[Behaviour, str] = {
    "clean": "clean",
    "bogs": "bogs",
    "stumbles": "stumbles",
    "surges": "surges",
    "thick": "thick and rough",
    "flat": "flat",
    "pings": "pings or runs hot",
    "hangs": "revs hang",
    "dies": "dies",
    "spits": "spits back",
    "pops": "pops when you shut it",
    "hard start": "hard to start",
    "drips": "drips",
    "fouls": "fouls plugs",
    "cuts out": "cuts out like a switch",
    "fades": "fades the longer it is held",
    "rest helps": "better after a minute's rest",
}
"""A behaviour in a list or at the head of a sentence."""

_HOW = {"snap": "when you snap it", "steady": "at a steady hand", "pull": "on a long pull"}


def gas_words(lam: float, spread: float) -> str:
    """Say the lambda that exhaust gas comes to."""
    return f"Counted by its atoms, dry, that is lambda {lam:.2f}, give or take {2.0 * lam * spread:.2f}."


def complaint_words(did: Behaviour, at: Rung | None) -> str:
    """Give behaviour and place: ``bogs at 1/4 open``."""
    return f"{DID[did]} {AT[at]}" if at else DID[did]


NOT_ON_A_RUNG: tuple[Behaviour, ...] = ("hard start", "drips", "fouls", "cuts out", "fades", "rest helps")
"""What a bike does whatever the opening, so that none is missed where none is told."""


def remark_words(remark: Remark) -> str:
    """Give one remark as a short line: ``bogs at 1/4 open when you snap it, hot, every time``."""
    return f"{DID[remark.did]}{_where(remark)}, {remark.engine}, {remark.often}"


def _where(remark: Remark) -> str:
    how = f" {_HOW[remark.how]}" if remark.how else ""
    if remark.at:
        return f" {AT[remark.at]}{how}"
    return how if remark.did in NOT_ON_A_RUNG else f", opening not known{how}"


CHOKE_DID: dict[ChokeOutcome, str] = {
    "better": "better with a little choke",
    "worse": "worse with a little choke",
    "no change": "no change with a little choke",
}
HAND_DID: dict[HandOutcome, str] = {
    "rises": "the idle rises before it sinks",
    "sinks": "the idle only sinks",
}


def reading_words(reading: Reading) -> str:
    """Give one reading as a short line."""
    return next(words(reading) for noun, words in _READING_WORDS.items() if isinstance(reading, noun))


def _lambda_words(reading: LambdaReading) -> str:
    at_speed = f" and {reading.rpm:.0f} rpm" if reading.rpm is not None else ""
    return f"lambda {reading.value:.2f} {AT[reading.at]}{at_speed}"


def _log_words(reading: LambdaLogReading) -> str:
    rpm: tuple[float | None, ...] = reading.rpm or (None,) * len(reading.at)
    places = zip(reading.at, rpm, reading.value, strict=True)
    told = ", ".join(
        f"{value:.2f} {AT[at]}{'' if speed is None else f' and {speed:.0f} rpm'}"
        for at, speed, value in places
    )
    return f"lambda log: {told}"


def _gases_words(reading: GasReading) -> str:
    burnt = f"CO {reading.co_pct:g} %, CO2 {reading.co2_pct:g} %"
    gases = f"{burnt}, HC {reading.hc_ppm:g} ppm, O2 {reading.o2_pct:g} %"
    at_speed = f" and {reading.rpm:.0f} rpm" if reading.rpm is not None else ""
    return f"exhaust gas {AT[reading.at]}{at_speed}: {gases}"


def _plug_words(reading: PlugReading) -> str:
    return f"plug {reading.colour} after a cut {AT[reading.at]}"


def _rollon_words(reading: RollOnReading) -> str:
    speed = f" from {reading.rpm:.0f} rpm" if reading.rpm is not None else ""
    choke = "" if reading.choke == "off" else f", choke {reading.choke}"
    ways = reading.ways or ("",) * len(reading.seconds)
    digits = 1 if reading.by == "watch" else 2
    runs = zip(reading.seconds, ways, strict=True)
    times = ", ".join(f"{seconds:.{digits}f} {way}".rstrip() for seconds, way in runs)
    return f"roll-on {AT[reading.at]}{speed}{choke}: {times}{' s' if not reading.ways else ', in s'}"


def _choke_words(reading: ChokeReading) -> str:
    return f"choke test {AT[reading.at]}: {CHOKE_DID[reading.outcome]}"


def _hand_words(reading: HandReading) -> str:
    return f"hand over the intake: {HAND_DID[reading.outcome]}"


def _sweep_words(reading: IdleSweepReading) -> str:
    places = zip(reading.turns, reading.rpm, strict=True)
    told = ", ".join(f"{plural(turn, 'turn')} {f'{rpm:.0f} rpm' if rpm else 'died'}" for turn, rpm in places)
    return f"idle sweep: {told}"


def _note_words(reading: IdleNoteReading) -> str:
    hunts = "" if reading.hunts_per_s is None else f", hunts {reading.hunts_per_s:.1f} times a second"
    hangs = "" if reading.hangs_s is None else f", comes down in {reading.hangs_s:.1f} s after a blip"
    sinks = ", sinks and comes back" if reading.after_blip == "sinks" else ""
    return f"idle by ear: {reading.rpm:.0f} rpm, wanders {reading.wander_pct:.1f} %{hunts}{hangs}{sinks}"


def _level_words(reading: LevelReading) -> str:
    if not reading.above_mm:
        return "fuel stands at the book level"
    side = "above" if reading.above_mm > 0 else "below"
    return f"fuel stands {abs(reading.above_mm):g} mm {side} the book level"


def _touched_words(reading: TouchedReading) -> str:
    return f"worked on last: {reading.part}"


def _look_words(reading: LookReading) -> str:
    brought = "found it" if reading.outcome == "found" else "found nothing"
    return f"looked, {brought}: {_lower(LOOKS[reading.look].act)}"


_READING_WORDS: dict[type[Reading], Callable[[Any], str]] = {
    LambdaReading: _lambda_words,
    LambdaLogReading: _log_words,
    GasReading: _gases_words,
    PlugReading: _plug_words,
    RollOnReading: _rollon_words,
    ChokeReading: _choke_words,
    HandReading: _hand_words,
    IdleSweepReading: _sweep_words,
    IdleNoteReading: _note_words,
    LevelReading: _level_words,
    TouchedReading: _touched_words,
    LookReading: _look_words,
}


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def look_words(aside: Aside) -> str:
    """Name a look or test that was set aside, with its rung if it is made at one."""
    at = f", {AT[aside.at]}" if aside.at else ""
    return f"{_lower(look_for(aside.look).act)}{at}"


def mended_words(fault: str) -> str:
    """Say what was mended."""
    return f"mended: {_lower(SUSPECTS[fault].name)}"


def as_written(bike: str) -> str:
    """Give a bike's name as one writes it in a command."""
    return shlex.quote(bike.casefold())


def mixture_screw(bike: Bike) -> str:
    """Give the name of this bike's mixture screw."""
    return f"{bike.carb.screw} screw"


def plural(number: float, one: str, many: str = "") -> str:
    """Give a number with its noun: ``1 groove``, ``2 grooves``."""
    return f"{number:g} {one if number == 1 else many or one + 's'}"


_TURNS = {
    0.25: "a quarter turn",
    0.5: "half a turn",
    0.75: "three quarters of a turn",
    1.0: "one turn",
    1.5: "one and a half turns",
}


def turns(amount: float) -> str:
    """Give an amount of turning as a hand would say it."""
    return _TURNS.get(round(amount, 3), f"{amount:g} turns")


_MEASURES: dict[str, str] = {
    "engine.swept_volume": "the swept volume",
    "engine.stroke_to_bore": "stroke against bore of the engine",
    "engine.rod_to_stroke": "length of the connecting rod",
    "engine.compression_ratio": "the compression",
    "engine.valve_diameter": "size of the inlet",
    "engine.valve_lift": "lift of the inlet valve",
    "engine.inlet_opens_deg": "when the inlet opens",
    "engine.inlet_shuts_deg": "when the inlet shuts",
    "engine.transfer_opens_deg": "when the transfers open",
    "engine.inlet_length": "length of the inlet",
    "engine.port_volume": "room between slide and inlet",
    "engine.idle_rpm": "the idle speed",
    "engine.peak_rpm": "the engine speed of greatest power",
    "carb.bore": "the bore of the carburettor",
    "carb.full_lift": "the full lift of the slide",
    "carb.needle": "the needle's shape",
    "carb.needle_seat": "where the clip sits in the slide",
    "carb.needle_jet_bore": "the bore of the needle jet",
    "carb.needle_jet_rise": "how far the needle jet stands up into the bore",
    "carb.main_jet_top": "how deep the main jet sits",
    "carb.main_air_bore": "the main air jet",
    "carb.bleed_depth": "the bleed holes of the needle jet",
    "carb.pilot_air_bore": "the pilot air jet",
    "carb.pilot_outlet_bore": "the idle outlet",
    "carb.bypass": "the bypass holes",
    "carb.screw_area_per_turn": "what one turn of the mixture screw opens",
    "carb.lip_height": "the height of the needle jet above the fuel",
    "carb.float_height": "the book float height",
    "setup.main": "what the main is stamped",
    "setup.pilot": "what the pilot is stamped",
    "setup.cutaway": "what the slide is stamped",
    "fuel.ethanol_share": "how much ethanol is in the petrol",
    "day.temperature": "the temperature",
    "day.pressure": "the pressure at the door",
    "day.humidity": "how damp the air is",
    "wants": "how much fuel this engine likes",
    "model": "how well our sums fit a real bike",
}


def measure_name(path: str) -> str:
    """Give a measure's name from its path, as ``carb.needle.stations[1].diameter``."""
    bare = re.sub(r"\[\d+\]", "", path)
    while bare not in _MEASURES and "." in bare:
        bare = bare.rpartition(".")[0]
    return _MEASURES.get(bare, path.replace("_", " ").replace(".", ", "))


def assumed_words(paths: tuple[str, ...], *, most: int = 4) -> str:
    """Name what was assumed, each thing once, at most ``most`` of them."""
    names = list(dict.fromkeys(measure_name(path) for path in paths))
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")


def in_line(items: tuple[str, ...]) -> str:
    """Join words as a sentence does: ``a, b and c``."""
    if len(items) < 2:  # noqa: PLR2004  (a list of one needs no comma)
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def setup_words(setup: Setup, bike: Bike) -> tuple[tuple[str, str], ...]:
    """Give a setup as pairs of name and value, in the order they are fitted."""
    rows = [
        ("main", _stamp(setup.main)),
        ("pilot", _stamp(setup.pilot)),
        ("clip", f"groove {setup.clip_from_top} of {_grooves(setup, bike)}, from the blunt end"),
        (mixture_screw(bike), f"{setup.screw_turns:g} turns out"),
        ("slide", f"cutaway {_stamp(setup.cutaway)}"),
    ]
    if setup.needle is not None:
        rows.append(("needle", _stamp(setup.needle.stamp)))
    if setup.needle_washer_mm:
        rows.append(("washer", f"{setup.needle_washer_mm:g} mm under the clip"))
    if setup.float_height_mm is not None:
        rows.append(("float", f"{setup.float_height_mm:g} mm"))
    return tuple(rows)


def _grooves(setup: Setup, bike: Bike) -> int:
    return (setup.needle or bike.carb.needle).grooves


def _stamp(stamp: str) -> str:
    return "not known" if stamp == "?" else stamp


def drawer_words(drawer: Drawer) -> tuple[tuple[str, str], ...]:
    """Give the parts at hand as pairs of kind and stamps."""
    kinds = (
        ("main", drawer.mains),
        ("pilot", drawer.pilots),
        ("cutaway", drawer.cutaways),
        ("needle", tuple(needle.stamp for needle in drawer.needles)),
    )
    held = tuple((kind, ", ".join(stamps)) for kind, stamps in kinds if stamps)
    return held or (("empty", "put parts in: floatbowl drawer add main 105 108"),)
