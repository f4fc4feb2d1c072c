"""A setup and a needle as they are written in a file: into nouns and back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from floatbowl.bike.assume import assume_carb
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.measure import Measure
from floatbowl.bike.setup import Setup
from floatbowl.bike.shape import stamped_number
from floatbowl.record import fields as f
from floatbowl.record.checking import Table
from floatbowl.record.toml_lines import Path
from floatbowl.record.toml_text import shown
from floatbowl.record.trial_file import shortest
from floatbowl.units import MILLIMETRE

NOT_KNOWN = "?"
LONGEST_STAMP = 16
FEWEST_STATIONS = 2
MOST_STATIONS = 12
USUAL_TURNS = 1.5
"""Turns out of a mixture screw nobody has counted (common practice)."""
USUAL_CUTAWAY_OF_BORE = 0.096
"""Cutaway nobody has read, as a share of the bore (judgement: 2.5 on a bore of 26)."""

_STAMPS = {
    "main": f.Number("main", "main", 1.0, 20.0, 400.0),
    "pilot": f.Number("pilot", "pilot", 1.0, 10.0, 300.0),
    "cutaway": f.Number("cutaway", "cutaway", 1.0, 0.5, 8.0),
}


def read_setup(table: Table, *, bike: Bike, number: int) -> tuple[Setup, tuple[str, ...]]:
    """Read what is fitted and set, and name what nobody told. ``number`` is used where none is written."""
    needle = read_needle(table.table("needle"))
    fitted = _needle_noun(needle, bike) if needle else None
    told = {
        "main": stamp(table, "main"),
        "pilot": stamp(table, "pilot"),
        "cutaway": stamp(table, "cutaway"),
        "clip_from_top": _whole(table.number(f.CLIP, needed=True)),
        "screw_turns": table.number(f.TURNS),
    }
    usual = _usual(bike, (fitted or bike.carb.needle).grooves)
    setup = Setup(
        number=_whole(table.number(f.SETUP_NUMBER, needed=True)) or number,
        **{key: usual[key] if value is None else value for key, value in told.items()},  # type: ignore[arg-type]
        float_height_mm=table.number(f.SET_FLOAT_HEIGHT),
        needle=fitted,
        needle_washer_mm=table.number(f.WASHER) or 0.0,
    )
    table.report_unknown()
    return setup, tuple(key for key, value in told.items() if value is None and table.get(key) != NOT_KNOWN)


def _whole(value: float | None) -> int | None:
    return None if value is None else int(value)


def _usual(bike: Bike, grooves: int) -> dict[str, str | int | float]:
    half_millimetres = round(2.0 * USUAL_CUTAWAY_OF_BORE * bike.carb.bore.value / MILLIMETRE)
    return {
        "main": NOT_KNOWN,
        "pilot": NOT_KNOWN,
        "cutaway": f"{half_millimetres / 2.0:g}",
        "clip_from_top": (grooves + 1) // 2,
        "screw_turns": USUAL_TURNS,
    }


def stamp(table: Table, key: str) -> str | None:
    """Read a stamp: the number on the part, as text or plain; None for ``"?"`` and where there is none."""
    value = table.get(key)
    return (
        None if value is None or value == NOT_KNOWN else stamp_of(table, key, value, path=(*table.path, key))
    )


def stamp_of(table: Table, part: str, value: object, *, path: Path) -> str | None:
    """Read what stands for a stamp; ``path`` is its place in the file."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return checked_stamp(table, part, shown(value), path=path)
    if isinstance(value, str):
        return checked_stamp(table, part, value.strip(), path=path)
    table.notes.trouble(
        path, f"{part} is {shown(value)}, which is no stamp", 'Write it in quotes, like "110"'
    )
    return None


def checked_stamp(table: Table, part: str, text: str, *, path: Path = ()) -> str | None:
    """Give the stamp back if the part's number can be read off it and is plausible."""
    number = stamped_number(text)
    if number is None or len(text) > LONGEST_STAMP:
        digits = re.search(r"[0-9]+(?:\.[0-9]+)?", text)
        meant = f'Did you mean "{digits.group()}"? ' if digits and len(text) <= LONGEST_STAMP else ""
        what = f"{part} is {shown(text)}, which is no number stamped on a part"
        table.notes.trouble(
            path, what, f'{meant}Write the number alone, in quotes, or "?" if you do not know it'
        )
        return None
    return None if table.checked(number, _STAMPS[part], needed=False, path=path) is None else text


def setup_written(setup: Setup) -> dict[str, Any]:
    """Give a setup as it is written in a file."""
    return {
        "number": setup.number,
        "main": setup.main,
        "pilot": setup.pilot,
        "clip_from_top": setup.clip_from_top,
        "cutaway": setup.cutaway,
        "screw_turns": setup.screw_turns,
        **({} if setup.float_height_mm is None else {"float_height_mm": setup.float_height_mm}),
        **({} if setup.needle_washer_mm == 0.0 else {"needle_washer_mm": setup.needle_washer_mm}),
        **({} if setup.needle is None else {"needle": needle_written(setup.needle)}),
    }


def read_needle(table: Table) -> dict[str, Any]:
    """Read what is known of a needle, under the names and in the units of the file."""
    known: dict[str, Any] = {
        number.key: table.number(number, needed=number.is_whole) for number in f.NEEDLE_NUMBERS
    }
    known["stamp"] = table.text("stamp", longest=LONGEST_STAMP)
    known["stations"] = _stations(table) if "stations" in table else None
    table.report_unknown()
    shaped = [key for key in ("top_mm", "straight_mm", "tip_mm") if known[key] is not None]
    if known["stations"] and shaped:
        what = f"the needle has both stations and {shaped[0]}"
        table.trouble("stations", what, "Keep one of the two ways to write it")
    return {key: value for key, value in known.items() if value is not None}


def _stations(table: Table) -> list[list[float]] | None:
    items = table.items("stations")
    if not FEWEST_STATIONS <= len(items) <= MOST_STATIONS:
        what = f"stations has {len(items)} places"
        table.trouble(
            "stations",
            what,
            f"Give {FEWEST_STATIONS} to {MOST_STATIONS} pairs: [from the blunt end, diameter]",
        )
        return None
    pairs = [_station(table, item, place) for place, item in enumerate(items)]
    return None if None in pairs else [pair for pair in pairs if pair is not None]


def _station(table: Table, item: object, place: int) -> list[float] | None:
    if not isinstance(item, list) or len(item) != 2:  # noqa: PLR2004  (a distance and a diameter)
        what = f"station {place + 1} is {shown(item)}"
        table.notes.trouble(
            (*table.path, "stations", place), what, "Write it as [millimetres from the blunt end, diameter]"
        )
        return None
    pair = Table(
        {f.STATION_ALONG.key: item[0], f.STATION_ACROSS.key: item[1]},
        path=(*table.path, "stations", place),
        notes=table.notes,
    )
    along, across = pair.number(f.STATION_ALONG, needed=True), pair.number(f.STATION_ACROSS, needed=True)
    return None if along is None or across is None else [along, across]


def needle_known(facts: Mapping[str, Any]) -> dict[str, Any]:
    """Give what is known of a needle in SI, as ``assume_needle`` takes it."""
    known: dict[str, Any] = f.in_si(f.NEEDLE_NUMBERS, facts)
    if "stamp" in facts:
        known["stamp"] = facts["stamp"]
    if "stations" in facts:
        known["stations"] = [(along * MILLIMETRE, across * MILLIMETRE) for along, across in facts["stations"]]
    return known


def _needle_noun(facts: Mapping[str, Any], bike: Bike) -> Needle:
    """Fill a needle as this carburettor's own would be filled."""
    own = {
        "bore": bike.carb.bore,
        "needle_jet_bore": bike.carb.needle_jet_bore,
        "needle": needle_known(facts),
    }
    return assume_carb(own, engine=bike.engine).needle


def needle_written(needle: Needle) -> dict[str, Any]:
    """Give a needle as it is written in a file; only what somebody measured."""
    measured = {
        "length_mm": needle.length,
        "groove_pitch_mm": needle.groove_pitch,
        "first_groove_mm": needle.first_groove,
    }
    return {
        **({} if needle.stamp == NOT_KNOWN else {"stamp": needle.stamp}),
        **_shape_written(needle),
        "grooves": needle.grooves,
        **{key: _mm(measure) for key, measure in measured.items() if not measure.is_assumed},
    }


def _shape_written(needle: Needle) -> dict[str, Any]:
    straight, tip = needle.stations[0], needle.stations[-1]
    if len(needle.stations) == FEWEST_STATIONS and tip.distance == needle.length:
        parts = {"top_mm": straight.diameter, "straight_mm": straight.distance, "tip_mm": tip.diameter}
        return {key: _mm(measure) for key, measure in parts.items() if not measure.is_assumed}
    return {"stations": [[_mm(place.distance), _mm(place.diameter)] for place in needle.stations]}


def _mm(measure: Measure) -> float:
    return shortest(measure.value, unit=MILLIMETRE)
