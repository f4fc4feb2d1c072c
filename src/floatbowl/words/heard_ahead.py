"""What a person types of a day ahead: the forecast's pressure, and a time of day."""

from __future__ import annotations

import re

from floatbowl.units import HECTOPASCAL
from floatbowl.words import heard
from floatbowl.words.trouble import NotUnderstoodError

_LEAST, _MOST = 870.0, 1090.0
"""Hectopascal at sea level: the lowest and the highest ever read are inside."""
_TIME = re.compile(r"([01]?\d|2[0-3])(?:[:.h]([0-5]\d))?h?")


def sea_level(word: str, *, unit: str = "hPa") -> float:
    """Read a forecast's pressure at sea level, in pascal; without a unit it is in ``unit``.

    >>> round(sea_level("1021"), 6)
    102100.0
    """
    pressure = heard.air_of(word, field="pressure", unit=unit)
    if not _LEAST <= pressure / HECTOPASCAL <= _MOST:
        text = (
            f'"{word}" is not a pressure at sea level: those lie between {_LEAST:g} and {_MOST:g} hPa. '
            "If a barometer read it at the door, write it as the pressure at the door."
        )
        raise NotUnderstoodError(text)
    return pressure


def minute(word: str) -> int:
    """Read a time of day as minutes since midnight: ``9:30``, ``09.30``, ``9``.

    >>> minute("9:30"), minute("14")
    (570, 840)
    """
    match = _TIME.fullmatch(word.strip())
    if match is None:
        text = f'"{word}" is not a time of day. Write it like 9:30.'
        raise NotUnderstoodError(text)
    return 60 * int(match[1]) + int(match[2] or 0)
