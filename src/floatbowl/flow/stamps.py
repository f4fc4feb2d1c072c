"""What the numbers stamped on jets and slides mean in metres, and how far to trust them.

Two families of jets carry the same numbers and mean different holes: one
counts hundredths of a millimetre of bore, the other what flows through in a
minute. Which family a carburettor takes is part of the ``Carb``.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal

import numpy as np

from floatbowl.figures import Figure
from floatbowl.flow.holes import round_diameter
from floatbowl.units import (
    CUBIC_CENTIMETRE,
    GRAVITY,
    MILLIMETRE,
    MINUTE,
    CubicMetrePerSecond,
    Metre,
    Ratio,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from floatbowl.bike.setup import Setup

Make = Literal["genuine", "copy", "reamed"]

NOT_KNOWN = "?"

TEST_HEAD = Figure(0.45, 0.36, 0.56, "judgement: set so that the two families agree near number 95")
"""Height of the test liquid over a jet whose number counts flow, m. No maker's sheet was seen."""
TEST_DISCHARGE = Figure(0.75, 0.70, 0.80, "judgement: a main jet in the liquid it is tested with")
"""Discharge coefficient of a jet on that test."""

BORE_SPREAD: dict[Make, Figure] = {
    "genuine": Figure(0.007, 0.004, 0.012, "from memory"),
    "copy": Figure(0.02, 0.01, 0.04, "from memory; repair kits differ from their stamp by common practice"),
    "reamed": Figure(0.03, 0.015, 0.06, "from memory: drilled, or cleaned with a wire"),
}
"""Standard deviation of a jet's bore about its stamp, as a share of the bore, by who made or mended it.

A reamed jet is never smaller than its stamp: its deviation runs upwards only.
"""

_NUMBER = re.compile(r"#?\s*(\d{1,6}(?:[.,]\d{1,4})?)", re.ASCII)
_MOST_SHOWN = 20
"""Letters of a stamp that a sentence repeats."""
_LEAST_JET, _MOST_JET = 10.0, 400.0
_LEAST_CUTAWAY, _MOST_CUTAWAY = 0.5, 8.0
_LEAST_NEEDLE_JET, _MOST_NEEDLE_JET = 1.5, 4.5


class UnreadableStamp(ValueError):  # noqa: N818  (a stamp that cannot be read is not the program's error)
    """A stamp that is no number we can use. The text says what was read and what to write instead."""


def jet_number(stamp: str, *, part: str) -> Ratio | None:
    """Give the number stamped on a jet, or None where it is not known.

    Takes ``112.5``, ``112,5``, ``#38``, spaces round it, and ``?`` for not
    known. ``part`` names the jet in the sentence of ``UnreadableStamp``.

    Source: common practice.

    >>> jet_number(" #38 ", part="pilot jet")
    38.0
    """
    number = _read(stamp, part=part, such_as="112.5")
    if number is not None and not _LEAST_JET <= number <= _MOST_JET:
        wrong = f"and jets run from {_LEAST_JET:.0f} to {_MOST_JET:.0f}"
        raise UnreadableStamp(_sentence(stamp, part=part, wrong=wrong, such_as="112.5"))
    return number


def bore_by_bore(number: Ratio) -> Metre:
    """Give the bore of a jet whose number counts hundredths of a millimetre.

    Source: common practice.

    >>> float(round(bore_by_bore(112.5) * 1e3, 4))
    1.125
    """
    return number * (0.01 * MILLIMETRE)


def bore_of_flow(flow: CubicMetrePerSecond, *, head: Metre, discharge: Ratio) -> Metre:
    """Give the bore that passes this much liquid under a standing height of the same liquid.

    Source: [keswani] chapter 9, example 9.1, solved for the bore; the liquid's density falls out.

    >>> float(round(bore_of_flow(1.6667e-6, head=0.45, discharge=0.75) * 1e3, 3))
    0.976
    """
    speed = discharge * np.sqrt(2.0 * GRAVITY * head)
    return round_diameter(flow / speed)


def bore_by_flow(number: Ratio) -> Metre:
    """Give the bore of a jet whose number counts cubic centimetres in a minute.

    The test's head is not known well: every number of this family shares one
    error, ``flow_family_spread``, on top of the jet's own.

    Source: common practice for what the number counts; judgement for the head.

    >>> float(round(bore_by_flow(100.0) * 1e3, 3))
    0.976
    """
    flow = number * (CUBIC_CENTIMETRE / MINUTE)
    return bore_of_flow(flow, head=TEST_HEAD.value, discharge=TEST_DISCHARGE.value)


def flow_family_spread() -> Ratio:
    """Give the standard deviation of a bore read off a flow number, as a share of the bore.

    It is shared by all jets of the family: between two such jets it cancels.

    Source: own derivation from the figures ``TEST_HEAD`` and ``TEST_DISCHARGE``, through ``bore_of_flow``.

    >>> round(flow_family_spread(), 3)
    0.032
    """
    return float(np.hypot(TEST_HEAD.log_spread / 4.0, TEST_DISCHARGE.log_spread / 2.0))


def cutaway_height(stamp: str) -> Metre | None:
    """Give how much of the slide is cut away on the air filter's side, or None where it is not known.

    The stamp counts millimetres.

    Source: common practice.

    >>> cutaway_height("2.5")
    0.0025
    """
    number = _read(stamp, part="cutaway", such_as="2.5")
    if number is None:
        return None
    if not _LEAST_CUTAWAY <= number <= _MOST_CUTAWAY:
        wrong = f"and cutaways run from {_LEAST_CUTAWAY} to {_MOST_CUTAWAY} mm"
        raise UnreadableStamp(_sentence(stamp, part="cutaway", wrong=wrong, such_as="2.5"))
    return number * MILLIMETRE


def unreadable(setup: Setup) -> tuple[str, ...]:
    """Name the stamped parts of a setup whose stamps are neither a size we can use nor ``?``.

    Source: own derivation from ``jet_number`` and ``cutaway_height``.

    >>> from floatbowl.bike.setup import Setup
    >>> unreadable(Setup(number=1, main="900", pilot="?", clip_from_top=3, cutaway="2.5", screw_turns=1.5))
    ('main',)
    """
    readers = {
        "main": lambda: jet_number(setup.main, part="main jet"),
        "pilot": lambda: jet_number(setup.pilot, part="pilot jet"),
        "cutaway": lambda: cutaway_height(setup.cutaway),
    }
    return tuple(part for part, read in readers.items() if not _can(read))


def _can(read: Callable[[], object]) -> bool:
    try:
        read()
    except UnreadableStamp:
        return False
    return True


def needle_jet_bore(stamp: str) -> Metre | None:
    """Give the bore of a needle jet from its stamp, or None where it is not known.

    Takes millimetres (``2.60``) or hundredths of them (``260``). Letters stand
    for a size in some maker's own list and are refused: measure instead.

    Source: common practice.

    >>> round(needle_jet_bore("260") * 1e3, 6)
    2.6
    """
    number = _read(stamp, part="needle jet", such_as="2.60")
    if number is None:
        return None
    millimetres = number / 100.0 if number > 100.0 * _LEAST_NEEDLE_JET else number
    if not _LEAST_NEEDLE_JET <= millimetres <= _MOST_NEEDLE_JET:
        wrong = f"and needle jets run from {_LEAST_NEEDLE_JET} to {_MOST_NEEDLE_JET} mm"
        raise UnreadableStamp(_sentence(stamp, part="needle jet", wrong=wrong, such_as="2.60"))
    return millimetres * MILLIMETRE


def _read(stamp: str, *, part: str, such_as: str) -> float | None:
    text = stamp.strip()
    if text == NOT_KNOWN:
        return None
    found = _NUMBER.fullmatch(text)
    if found is None:
        raise UnreadableStamp(_sentence(text, part=part, wrong="which is not a number", such_as=such_as))
    return float(found[1].replace(",", "."))


def _sentence(stamp: str, *, part: str, wrong: str, such_as: str) -> str:
    read = "".join(letter for letter in stamp.strip()[:_MOST_SHOWN] if letter.isprintable())
    return (
        f'The {part} reads "{read}", {wrong}. Write {such_as} or the like, or {NOT_KNOWN} if it is not known.'
    )
