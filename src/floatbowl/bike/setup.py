"""What is fitted and set now."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.bike.carb import Needle

PART_FIELDS = {
    "main": "main",
    "pilot": "pilot",
    "needle": "needle",
    "clip": "clip_from_top",
    "washer": "needle_washer_mm",
    "cutaway": "cutaway",
    "screw": "screw_turns",
    "float": "float_height_mm",
}
"""The field of a setup in which each part stands that can be changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """All that can be swapped or turned by hand. Stamps stay text, as stamped.

    ``clip_from_top`` counts grooves from the blunt end, from 1. ``screw_turns``
    counts out from lightly seated. ``needle`` is None while the carburettor's
    own needle is fitted. ``main`` and ``pilot`` may be ``"?"``: not known.
    """

    number: int
    main: str
    pilot: str
    clip_from_top: int
    cutaway: str
    screw_turns: float
    float_height_mm: float | None = None
    needle: Needle | None = None
    needle_washer_mm: float = 0.0
