"""After a look and after a mend: what the hand does next, in words."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.bike.bike import Bike
from floatbowl.bike.faults import faults_for
from floatbowl.signs.trial import SHOWS, LookReading, Trial
from floatbowl.words.looks import LOOKS
from floatbowl.words.names import as_written, in_line
from floatbowl.words.suspects import SUSPECTS

AFTER_MENDING = "Then ride it once before any jet, and say what it did."


def say_mended(bike: str, fault: str = "") -> str:
    """Say how to write down that a fault is mended; without its key it is the one on the tag."""
    return f"Mended? Write it down: {_mended(bike, fault)}."


def _mended(bike: str, fault: str) -> str:
    return f"floatbowl mended {as_written(bike)} {fault}".rstrip()


def mend_lines(fault: str, *, bike: str) -> tuple[str, ...]:
    """Say in two lines how a fault is mended."""
    return tuple(text.replace("BIKE", as_written(bike)) for text in SUSPECTS[fault].mend)


def after_look(reading: LookReading, *, bike: Bike) -> tuple[str, ...]:
    """Say what comes after a look: how to mend what it found, or to ask what is next."""
    faults = _shown_on(bike, reading.look) if reading.outcome == "found" else ()
    if len(faults) != 1:
        return (*_which(faults, bike=bike.name), f"What next: floatbowl next {as_written(bike.name)}.")
    (fault,) = faults
    if LOOKS[reading.look].mends:
        return (say_mended(bike.name, fault),)
    return (f"{SUSPECTS[fault].act}:", *mend_lines(fault, bike=bike.name), say_mended(bike.name))


def _shown_on(bike: Bike, look: str) -> tuple[str, ...]:
    """Give the faults that a look shows and that a bike of this kind can have."""
    possible = {fault.key for fault in faults_for(strokes=bike.engine.strokes, choke=bike.carb.choke)}
    return tuple(fault for fault in SHOWS[look] if fault in possible)


def _which(faults: tuple[str, ...], *, bike: str) -> tuple[str, ...]:
    """Say how to name the one that was mended, where a look shows several."""
    if not faults:
        return ()
    return (f"Mended what it found? Write down which: {_mended(bike, faults[0])}, or what it was.",)


def after_mend(*, bike: str) -> tuple[str, ...]:
    """Say what comes after a mend."""
    return (
        "What was said before counts as said of the broken bike.",
        f"Ride it once before any jet, and say what it does: floatbowl said {as_written(bike)} shut clean.",
    )


def off_words(trials: Sequence[Trial]) -> str:
    """Say that a tag came off, after the first ride since a fault was mended; nothing at any other time."""
    mended = dict.fromkeys(SUSPECTS[fault].name for trial in trials for fault in trial.mended)
    ridden = [trial for trial in trials if trial.remarks and not trial.mended]
    if not mended or len(ridden) != 1:
        return ""
    return f"The stop tag is off: {in_line(tuple(mended)).lower()} mended, and ridden since."
