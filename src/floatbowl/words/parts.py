"""Words on the drawings of parts: what they are now, what they are then, and by how much."""

from __future__ import annotations

from floatbowl.words.names import turns

NOW, THEN = "now", "then"
ASSUMED = "assumed"
FROM_THE_BLUNT_END = "from the blunt end"
AIR_SIDE, ENGINE_SIDE = "air side", "engine side"
JOINT_FACE = "joint face, held upside down"
BOTH_HOLES = "both holes"
NOT_STAMPED = "?"
DOTTED_IS_NOW = "dotted: now"


def measure_words(millimetres: float, *, is_assumed: bool = False) -> str:
    """Write a measure under a drawing: ``1.02 mm``, with what nobody measured called assumed.

    >>> measure_words(1.02), measure_words(18.0, is_assumed=True)
    ('1.02 mm', '18 mm, assumed')
    """
    told = f"{round(millimetres, 2):g} mm"
    return f"{told}, {ASSUMED}" if is_assumed else told


def turned_words(before: float, after: float) -> str:
    """Say which way a screw is turned and how far: ``half a turn out``.

    >>> turned_words(1.5, 2.0), turned_words(2.0, 1.75)
    ('half a turn out', 'a quarter turn in')
    """
    return f"{turns(abs(after - before))} {'out' if after > before else 'in'}"


def thicker_words(times: float) -> str:
    """Say that a drawing is not to one scale."""
    return f"drawn {times:g} times as thick"


def turns_out_words(amount: float) -> str:
    """Say where a mixture screw stands."""
    return f"{amount:g} out"


_ALONE: dict[str, str] = {
    "body": "its body and bowl",
    "inlet": "the rubber behind it",
    "vent": "a vent of its bowl",
    "bypass": "the passage to the idle outlet",
    "screw": "its mixture screw",
    "crankcase": "the engine's side behind it",
}


def alone_words(part: str) -> str:
    """Say what a card of the strip sheet shows: ``The carburettor in section: the float in ink.``."""
    return f"The carburettor in section: {_ALONE.get(part, f'the {part}')} in ink."
