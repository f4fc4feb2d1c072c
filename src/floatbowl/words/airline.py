"""How thick the air is, in words, for the line with pins."""

from __future__ import annotations

TITLE = "How thick is the air?"
THIN_SIDE, THICK_SIDE = "thin air", "thick air, kg in each m\u00b3"


def pin_words(name: str, density: float, low: float | None = None, high: float | None = None) -> str:
    """Read one pin: ``now: 1.03 kg in each cubic metre.``, a forecast with its range.

    >>> pin_words("Saturday", 1.124, 1.11, 1.14)
    'Saturday: 1.12 kg in each cubic metre, 16 in 20 between 1.11 and 1.14.'
    """
    doubt = "" if low is None or high is None else f", 16 in 20 between {low:.2f} and {high:.2f}"
    return f"{name}: {density:.2f} kg in each cubic metre{doubt}."
