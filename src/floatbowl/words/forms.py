"""The answers as plain data for other programs: stable keys, units in names, chances as counts.

Every form names itself and its version. A key is never renamed or dropped within
a version; new keys may be added.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from floatbowl.bike.bike import Bike
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.measure import Measure
from floatbowl.bike.setup import Setup
from floatbowl.record.trial_file import facts_of_reading
from floatbowl.signs.trial import GasReading, LambdaLogReading, LambdaReading, Reading, Remark, RollOnReading
from floatbowl.units import FREEZING, HECTOPASCAL
from floatbowl.words.measuring import WRITTEN, how_taken
from floatbowl.words.names import BEHAVIOURS, DID, mended_words, reading_words, remark_words
from floatbowl.words.proving import check_lines, checked_words, proof_words

if TYPE_CHECKING:
    from floatbowl.advice.prove import Check
    from floatbowl.jobs import Proof

Form = dict[str, Any]


def form(name: str, **fields: object) -> Form:
    """Make a form of version 1."""
    return {"form": f"floatbowl.{name}/1", **fields}


def setup_fields(setup: Setup) -> Form:
    """Give a setup, stamps as text."""
    return {
        "number": setup.number,
        "main": setup.main,
        "pilot": setup.pilot,
        "clip_from_top": setup.clip_from_top,
        "cutaway": setup.cutaway,
        "screw_turns": setup.screw_turns,
        "float_height_mm": setup.float_height_mm,
        "needle": setup.needle.stamp if setup.needle else None,
        "needle_washer_mm": setup.needle_washer_mm,
    }


def setup_form(setup: Setup, *, bike: Bike) -> Form:
    """Give what is fitted."""
    return form("setup", bike=bike.name, mixture_screw=bike.carb.screw, **setup_fields(setup))


def drawer_form(drawer: Drawer) -> Form:
    """Give the parts at hand."""
    return form(
        "drawer",
        main=list(drawer.mains),
        pilot=list(drawer.pilots),
        cutaway=list(drawer.cutaways),
        needle=[needle.stamp for needle in drawer.needles],
    )


def air_fields(day: Day) -> Form:
    """Give the air of a day, with what of it was assumed."""
    measures = {"temperature": day.temperature, "pressure": day.pressure, "humidity": day.humidity}
    return {
        "place": day.place,
        "height_m": day.height,
        "date": day.date,
        "temperature_c": _rounded(day.temperature, less=FREEZING),
        "pressure_hpa_at_door": _rounded(day.pressure, unit=HECTOPASCAL),
        "humidity_pct": _rounded(day.humidity, unit=0.01),
        "assumed": [name for name, measure in measures.items() if measure.is_assumed],
    }


def _rounded(measure: Measure, *, unit: float = 1.0, less: float = 0.0) -> float:
    return round((measure.value - less) / unit, 1)


def remark_form(remark: Remark, *, bike: str) -> Form:
    """Give one remark."""
    return form(
        "remark",
        bike=bike,
        entry=remark.entry,
        at=remark.at.value if remark.at else None,
        did=remark.did,
        how=remark.how,
        engine=remark.engine,
        often=remark.often,
        words=remark_words(remark),
    )


def reading_form(reading: Reading, *, bike: str) -> Form:
    """Give one reading."""
    return form(
        "reading",
        bike=bike,
        entry=reading.entry,
        **_reading_fields(reading),
        words=reading_words(reading),
    )


def _reading_fields(reading: Reading) -> Form:
    """Give a reading's facts as in a bike file, but for a few names, and with what was not told as null."""
    facts = facts_of_reading(reading)
    if isinstance(reading, LambdaReading):
        return {"kind": "lambda", "at": facts["at"], "lambda": reading.value, "rpm": reading.rpm}
    if isinstance(reading, RollOnReading):
        told = {"seconds": facts["seconds"], "choke": reading.choke, "rpm": reading.rpm}
        return {"kind": "rollon", "at": facts["from"], **told, "ways": list(reading.ways), "by": reading.by}
    if isinstance(reading, LambdaLogReading):
        return {"kind": "log", "places": _places(reading)}
    if isinstance(reading, GasReading):
        return {**facts, "rpm": reading.rpm}
    return facts


def gas_fields(lam: float, spread: float) -> Form:
    """Give the lambda that exhaust gas comes to."""
    return {"lambda": round(lam, 3), "spread": round(lam * spread, 3)}


def _places(reading: LambdaLogReading) -> list[Form]:
    rpm: tuple[float | None, ...] = reading.rpm or (None,) * len(reading.at)
    told = zip(reading.at, rpm, reading.value, reading.spread, strict=True)
    return [
        {"at": at.value, "rpm": speed, "lambda": value, "spread": spread} for at, speed, value, spread in told
    ]


def mended_form(fault: str, *, bike: str) -> Form:
    """Give what was mended."""
    return form("mended", bike=bike, fault=fault, words=mended_words(fault))


def behaviours_form() -> Form:
    """Give every behaviour with what is meant by it."""
    return form(
        "behaviours",
        behaviours=[{"did": did, "words": DID[did], "means": BEHAVIOURS[did]} for did in BEHAVIOURS],
    )


def readings_form() -> Form:
    """Give every kind of reading with how it is taken, and how it is written down."""
    return form("readings", readings=[_taken_fields(kind) for kind in WRITTEN])


def _taken_fields(kind: str) -> Form:
    look, (_, written) = how_taken(kind), WRITTEN[kind]
    return {"kind": kind, "words": look.act, "how": list(look.how), "write": written}


def proof_form(proof: Proof, *, bike: str, setup: Setup) -> Form:
    """Give every check of a setup, and how to make those that it has still to pass before it is proven."""
    missing = tuple(dict.fromkeys(check.key for check in proof.checks if not check.is_done))
    return form(
        "proof",
        bike=bike,
        setup=setup_fields(setup),
        proven=proof.is_proven,
        checks=[_checked_fields(check) for check in proof.checks],
        missing=[_check_fields(key, bike, is_all_done=proof.is_all_done) for key in missing],
        words=proof_words(missing, bike=bike, setup=setup.number),
    )


def _checked_fields(check: Check) -> Form:
    return {
        "check": check.key,
        "at": check.at.value if check.at else None,
        "done": check.is_done,
        "entries": list(check.entries),
        "words": checked_words(check),
    }


def _check_fields(key: str, bike: str, *, is_all_done: bool) -> Form:
    do, write = check_lines(key, bike=bike, is_all_done=is_all_done)
    return {"check": key, "words": do, "write": write}


def trouble_form(words: str, *, exit_code: int, missing: Iterable[str] = ()) -> Form:
    """Give a trouble: its sentence, the exit code, and what is missing where too little is known."""
    return form("trouble", words=words, exit=exit_code, missing=list(missing))
