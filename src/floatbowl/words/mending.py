"""After a look and after a mend: what the hand does next, in words."""

from __future__ import annotations

from floatbowl.signs.trial import SHOWS, LookReading
from floatbowl.words.looks import SUSPECTS
from floatbowl.words.names import as_written

AFTER_MENDING = "Then ride it once before any jet, and say what it did."


def say_mended(bike: str) -> str:
    """Say how to write down that the fault on the tag is mended."""
    return f"Mended? Write it down: floatbowl mended {as_written(bike)}."


def mend_lines(fault: str, *, bike: str) -> tuple[str, ...]:
    """Say in two lines how a fault is mended."""
    return tuple(text.replace("BIKE", as_written(bike)) for text in SUSPECTS[fault].mend)


def after_look(reading: LookReading, *, bike: str) -> tuple[str, ...]:
    """Say what comes after a look: how to mend what it found, or to ask what is next."""
    shows = SHOWS[reading.look]
    if reading.outcome == "clear" or len(shows) > 1:
        return (f"What next: floatbowl next {as_written(bike)}.",)
    (fault,) = shows
    return (f"{SUSPECTS[fault].act}:", *mend_lines(fault, bike=bike), say_mended(bike))


def after_mend(*, bike: str) -> tuple[str, ...]:
    """Say what comes after a mend."""
    return (
        "What was said before counts as said of the broken bike.",
        f"Ride it once before any jet, and say what it does: floatbowl said {as_written(bike)} shut clean.",
    )
