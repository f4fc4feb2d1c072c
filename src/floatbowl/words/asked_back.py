# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What is asked back after a remark: the questions a good workmate has on his tongue."""

from __future__ import annotations

from floatbowl.signs.trial import Remark
from floatbowl.words.names import as_written

TOUCHED_LAST = "What was worked on last, before the trouble began? floatbowl measured BIKE touched cleaning (or nothing; all: --list)."
HOW_IT_DIED = (
    "How did it die? Like a switch: floatbowl said BIKE cuts out. Slowly: floatbowl said BIKE fades.",
    "And did it run again after a minute's rest? floatbowl said BIKE rest helps.",
)


def ask_after(remark: Remark, *, bike: str) -> tuple[str, ...]:
    """Ask what goes with a remark: at the first one what was touched last, at a death how it died."""
    first = (TOUCHED_LAST,) if remark.entry == "ride-1" else ()
    died = HOW_IT_DIED if remark.did == "dies" else ()
    return tuple(text.replace("BIKE", as_written(bike)) for text in (*first, *died))
