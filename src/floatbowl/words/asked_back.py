# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What is asked back after a remark: the questions a good workmate has on his tongue."""

from __future__ import annotations

from floatbowl.signs.trial import Behaviour, Remark, Touched
from floatbowl.words.names import as_written

TOUCHED_QUESTION = "What was worked on last, before the trouble began?"
TOUCHED_LAST = f"{TOUCHED_QUESTION} floatbowl measured BIKE touched cleaning (or nothing; all: --list)."
TOUCHED_WHY = "The last job done is often the cause."
TOUCHED: dict[Touched, str] = {
    "jets": "Jets",
    "needle": "Needle or clip",
    "cleaning": "Cleaned it",
    "carburettor off": "Carburettor off and on",
    "float": "Float or its valve",
    "filter": "Air filter",
    "exhaust": "Exhaust",
    "hoses": "Hoses, rubbers, clamps",
    "plug": "Spark plug",
    "fuel": "Fuel or tank",
    "cable": "Throttle cable",
    "valves": "Valves",
    "nothing": "Nothing, it just stood or ran",
}
"""What may have been worked on last, as it stands on a button."""

CLEANED_HOW = "How was it cleaned?"
CLEANED: dict[str, tuple[str, tuple[str, ...]]] = {
    "spray": ("By spray", ("cleaned by spray",)),
    "hand": ("By hand", ("cleaned by hand",)),
    "bath": ("In a bath, ultrasonic", ("cleaned in a bath",)),
    "seen": (
        "Every passage seen open",
        (
            "light through the pilot jet",
            "spray through the pilot air jet",
            "spray from the bypass holes",
            "light through the main jet",
            "light through the main air jet",
        ),
    ),
}
"""How a carburettor was cleaned, and the looks that this amounts to; the trouble came or stayed, so they found nothing."""

DIED_HOW = "How did it die?"
DIED_SO: dict[Behaviour, str] = {
    "cuts out": "All at once, like a switch",
    "fades": "Slowly, it faded",
    "rest helps": "It ran again after a minute's rest",
}
DIED_CAP = ("tank cap opened", "It ran again with the tank cap open")
"""The look that this amounts to, and what stands on its button."""

TAPE_HINT = (
    "Not sure where the throttle was? A strip of tape on the grip, marked at 1/4, 1/2 and 3/4, tells you."
)
HOW_IT_DIED = (
    "How did it die? Like a switch: floatbowl said BIKE cuts out. Slowly: floatbowl said BIKE fades.",
    "And did it run again after a minute's rest? floatbowl said BIKE rest helps.",
)


def ask_after(remark: Remark, *, bike: str) -> tuple[str, ...]:
    """Ask what goes with a remark: at the first one what was touched last, at a death how it died."""
    first = (TOUCHED_LAST,) if remark.entry == "ride-1" else ()
    died = HOW_IT_DIED if remark.did == "dies" else ()
    return tuple(text.replace("BIKE", as_written(bike)) for text in (*first, *died))
