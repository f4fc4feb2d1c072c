"""Bikes to try things on: one whose every measure was taken, and any that hypothesis can think of."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from floatbowl.bike.assume import assume_bike
from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup

MM = 1e-3

MEASURED_CARB: dict[str, Any] = {
    "bore": 26.0 * MM,
    "full_lift": 26.0 * MM,
    "needle_seat": 8.0 * MM,
    "needle_jet_bore": 2.60 * MM,
    "needle_jet_rise": 2.8 * MM,
    "main_jet_top": 28.6 * MM,
}
MEASURED_NEEDLE: dict[str, Any] = {
    "top": 2.51 * MM,
    "straight": 13.0 * MM,
    "tip": 1.90 * MM,
    "length": 38.0 * MM,
    "grooves": 5,
    "first_groove": 1.2 * MM,
    "groove_pitch": 1.0 * MM,
}
"""The drawn sample: every height of it can be checked on paper."""


def bike_with(*, needle: dict[str, Any] | None = None, **carb: Any) -> Bike:  # noqa: ANN401  (fields of Carb)
    """Give the measured bike with some measures changed; None leaves a measure to be assumed."""
    shape = {**MEASURED_NEEDLE, **(needle or {})}
    known = {
        **MEASURED_CARB,
        **carb,
        "needle": {key: value for key, value in shape.items() if value is not None},
    }
    return bare_bike(**{key: value for key, value in known.items() if value is not None})


def bare_bike(**carb: Any) -> Bike:  # noqa: ANN401  (fields of Carb)
    """Give a bike of which only these measures of the carburettor are known."""
    return assume_bike(
        name="Magpie",
        what="",
        engine={"strokes": 4, "swept_volume": 124e-6},
        carb={"bore": 0.026, **carb},
        fuel={},
    )


def setup_with(**settings: Any) -> Setup:  # noqa: ANN401  (fields of Setup)
    """Give a plain setup with some settings changed."""
    usual = {
        "number": 1,
        "main": "110",
        "pilot": "40",
        "clip_from_top": 3,
        "cutaway": "2.5",
        "screw_turns": 1.5,
    }
    return Setup(**{**usual, **settings})


BORES = st.floats(0.012, 0.045)
LIFTS = st.floats(0.0, 0.045)
