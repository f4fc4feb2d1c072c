"""Which measure to take next, in words."""

from __future__ import annotations

from floatbowl.advice.narrow import NextMeasure
from floatbowl.words.names import measure_name

_SHARES = (
    (0.85, "nearly all of"),
    (0.6, "most of"),
    (0.45, "about half of"),
    (0.28, "about a third of"),
    (0.18, "about a fifth of"),
    (0.08, "about a tenth of"),
    (0.0, "a little of"),
)


def narrows_words(measure: NextMeasure) -> str:
    """Say which measure would draw the twenty together most, and about how much."""
    share = next(words for least, words in _SHARES if measure.share >= least)
    return (
        f"Of all that nobody has measured, {measure_name(measure.path)} would tell most: "
        f"{share} what the twenty differ by goes with it."
    )
