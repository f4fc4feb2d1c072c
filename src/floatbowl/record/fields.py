"""What may be written of a bike: every number with its unit, its place in the noun, and what is plausible.

A number outside its plausible range is kept and reported but not used, so the
ranges are wide: they catch a slip of the pen or of the unit, not an odd bike.
All ranges are judgement.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from floatbowl.units import CUBIC_CENTIMETRE, MILLIMETRE, SQUARE_MILLIMETRE

PER_CENT = 0.01
PLAIN = 1.0


@dataclass(frozen=True, slots=True)
class Number:
    """A number: its name in the file, the noun's field, its unit in SI, what is plausible in that unit."""

    key: str
    into: str
    unit: float
    low: float
    high: float
    is_whole: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One word out of a few."""

    key: str
    into: str
    words: tuple[str, ...]


ENGINE_NUMBERS = (
    Number("idle_rpm", "idle_rpm", PLAIN, 500.0, 4000.0),
    Number("peak_rpm", "peak_rpm", PLAIN, 2500.0, 16000.0),
    Number("valve_diameter_mm", "valve_diameter", MILLIMETRE, 8.0, 60.0),
    Number("valve_lift_mm", "valve_lift", MILLIMETRE, 2.0, 20.0),
    Number("inlet_opens_deg", "inlet_opens_deg", PLAIN, 0.0, 120.0),
    Number("inlet_shuts_deg", "inlet_shuts_deg", PLAIN, 0.0, 120.0),
    Number("transfer_opens_deg", "transfer_opens_deg", PLAIN, 90.0, 150.0),
    Number("inlet_length_mm", "inlet_length", MILLIMETRE, 30.0, 600.0),
    Number("port_volume_cc", "port_volume", CUBIC_CENTIMETRE, 2.0, 600.0),
)
SWEPT = Number("swept_cc", "swept_volume", CUBIC_CENTIMETRE, 20.0, 1200.0)
CYLINDER_BORE = Number("bore_mm", "bore", MILLIMETRE, 25.0, 120.0)
STROKE = Number("stroke_mm", "stroke", MILLIMETRE, 20.0, 120.0)
ROD = Number("rod_mm", "rod", MILLIMETRE, 40.0, 250.0)
COMPRESSION = {
    4: Number("compression_ratio", "compression_ratio", PLAIN, 5.0, 16.0),
    2: Number("compression_ratio", "compression_ratio", PLAIN, 1.1, 2.2),
}
INLETS = {4: ("valve",), 2: ("reed", "piston port")}
COOLING = Choice("cooling", "cooling", ("air", "liquid"))
ENGINE_TEXTS = ("exhaust", "air_filter")

CARB_NUMBERS = (
    Number("full_lift_mm", "full_lift", MILLIMETRE, 6.0, 65.0),
    Number("needle_seat_mm", "needle_seat", MILLIMETRE, 1.0, 40.0),
    Number("needle_jet_bore_mm", "needle_jet_bore", MILLIMETRE, 1.2, 5.0),
    Number("needle_jet_rise_mm", "needle_jet_rise", MILLIMETRE, 0.0, 40.0),
    Number("main_jet_top_mm", "main_jet_top", MILLIMETRE, 8.0, 90.0),
    Number("main_air_mm", "main_air_bore", MILLIMETRE, 0.2, 5.0),
    Number("bleed_depth_mm", "bleed_depth", MILLIMETRE, 0.0, 40.0),
    Number("pilot_air_mm", "pilot_air_bore", MILLIMETRE, 0.2, 4.0),
    Number("pilot_outlet_mm", "pilot_outlet_bore", MILLIMETRE, 0.1, 10.0),
    Number("screw_area_per_turn_mm2", "screw_area_per_turn", SQUARE_MILLIMETRE, 0.01, 2.0),
    Number("fuel_below_jet_mm", "lip_height", MILLIMETRE, 2.0, 60.0),
    Number("float_height_mm", "float_height", MILLIMETRE, 2.0, 50.0),
)
CARB_BORE = Number("bore_mm", "bore", MILLIMETRE, 8.0, 60.0)
CARB_CHOICES = (
    Choice("slide", "slide", ("round", "flat")),
    Choice("needle_jet_kind", "needle_jet_kind", ("bleed", "primary")),
    Choice("mixture_screw", "screw", ("air", "fuel")),
    Choice("main_stamp", "main_scale", ("bore", "flow")),
    Choice("pilot_stamp", "pilot_scale", ("bore", "flow")),
    Choice("vent", "vent", ("open", "airbox")),
    Choice("choke", "choke", ("plunger", "flap", "none")),
)

NEEDLE_NUMBERS = (
    Number("top_mm", "top", MILLIMETRE, 1.0, 5.0),
    Number("straight_mm", "straight", MILLIMETRE, 0.0, 80.0),
    Number("tip_mm", "tip", MILLIMETRE, 0.2, 5.0),
    Number("length_mm", "length", MILLIMETRE, 12.0, 110.0),
    Number("grooves", "grooves", PLAIN, 1.0, 9.0, is_whole=True),
    Number("groove_pitch_mm", "groove_pitch", MILLIMETRE, 0.3, 3.0),
    Number("first_groove_mm", "first_groove", MILLIMETRE, 0.2, 10.0),
)
STATION_ALONG = Number("from_blunt_end_mm", "distance", MILLIMETRE, 0.0, 110.0)
STATION_ACROSS = Number("diameter_mm", "diameter", MILLIMETRE, 0.2, 5.0)
HOLE_ACROSS = Number("diameter_mm", "diameter", MILLIMETRE, 0.1, 10.0)
HOLE_UNCOVERED = Number("uncovered_at_lift_mm", "uncovered_at", MILLIMETRE, 0.0, 60.0)

ETHANOL = Number("ethanol_pct", "ethanol_share", PER_CENT, 0.0, 100.0)
OIL_RATIO = Number("oil_ratio", "oil_ratio", PLAIN, 0.0, 200.0)

SETUP_NUMBER = Number("number", "number", PLAIN, 1.0, 100_000.0, is_whole=True)
CLIP = Number("clip_from_top", "clip_from_top", PLAIN, 1.0, 100.0, is_whole=True)
TURNS = Number("screw_turns", "screw_turns", PLAIN, 0.0, 8.0)
SET_FLOAT_HEIGHT = Number("float_height_mm", "float_height_mm", PLAIN, 2.0, 50.0)
WASHER = Number("needle_washer_mm", "needle_washer_mm", PLAIN, 0.0, 5.0)

TEMPERATURE = Number("temperature_c", "temperature", PLAIN, -40.0, 55.0)
PRESSURE = Number("pressure_hpa_at_door", "pressure", 100.0, 500.0, 1090.0)
HUMIDITY = Number("humidity_pct", "humidity", PER_CENT, 0.0, 100.0)
HEIGHT = Number("height_m", "height", PLAIN, -420.0, 5600.0)

LAMBDA = Number("value", "value", PLAIN, 0.4, 2.0)
LOGGED_SPREAD = Number("spread", "spread", PLAIN, 0.0, 0.5)
CO = Number("co_pct", "co_pct", PLAIN, 0.0, 15.0)
CO2 = Number("co2_pct", "co2_pct", PLAIN, 1.0, 17.0)
HC = Number("hc_ppm", "hc_ppm", PLAIN, 0.0, 30_000.0)
O2 = Number("o2_pct", "o2_pct", PLAIN, 0.0, 18.0)
RPM = Number("rpm", "rpm", PLAIN, 300.0, 20000.0)
SECONDS = Number("seconds", "seconds", PLAIN, 0.3, 60.0)
SWEEP_TURNS = Number("turns", "turns", PLAIN, 0.0, 8.0)
SWEEP_RPM = Number("rpm", "rpm", PLAIN, 0.0, 8000.0)
"""On a sweep 0 rpm is an engine that died."""
SPREAD_RPM = Number("spread_rpm", "spread_rpm", PLAIN, 0.0, 2000.0)
WANDER = Number("wander_pct", "wander_pct", PLAIN, 0.0, 50.0)
HUNTS = Number("hunts_per_s", "hunts_per_s", PLAIN, 0.05, 5.0)
HANGS = Number("hangs_s", "hangs_s", PLAIN, 0.0, 60.0)
ABOVE_BOOK = Number("above_mm", "above_mm", PLAIN, -25.0, 25.0)

STORIES = ("fresh replacement", "stood for months", "just worked on")


def in_si(numbers: tuple[Number, ...], written: Mapping[str, Any]) -> dict[str, float]:
    """Give those numbers that were written, in SI units and under the noun's names.

    >>> in_si(CARB_NUMBERS, {"full_lift_mm": 25.0, "slide": "round"})
    {'full_lift': 0.025}
    """
    return {
        number.into: written[number.key] * (1 if number.is_whole else number.unit)
        for number in numbers
        if number.key in written
    }


def unit_word(key: str) -> str:
    """Name the unit that a key spells.

    >>> unit_word("bore_mm"), unit_word("idle_rpm"), unit_word("screw_turns"), unit_word("grooves")
    ('millimetres', 'turns a minute', 'turns', '')
    """
    ending = key.rsplit("_", maxsplit=1)[-1]
    return _UNIT_WORD.get(ending, _UNIT_WORD["hpa"] if "_hpa_" in key else "")


_UNIT_WORD = {
    "mm": "millimetres",
    "mm2": "square millimetres",
    "cc": "cubic centimetres",
    "m": "metres",
    "c": "degrees Celsius",
    "hpa": "hectopascal",
    "pct": "per cent",
    "deg": "degrees of the crank",
    "rpm": "turns a minute",
    "turns": "turns",
    "seconds": "seconds",
}
