"""What it did at an opening: bogs, surges, thick and the rest, as evidence about the fuel there.

A rider picks one word out of eleven. How often each word is picked for a given
error of the fuel is written as bells: a word such as *bogs* has one on the
short side and a smaller one on the other, because riders mix the two up. A
share of all remarks is plainly wrong and could have been any word.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import Behaviour, Remark

    Array = NDArray[np.float64]

QUESTION = "Where on the throttle, and what did it do?"

WRONG = Figure(0.10, 0.05, 0.20, "judgement: about one remark in ten is plainly wrong")
"""Share of remarks that could have been any word, when it does so every time."""
WRONG_ONCE = Figure(0.30, 0.15, 0.50, "judgement: what happened once may have had any cause")
"""The same for what happened once."""
COLD_SHORTAGE = Figure(0.12, 0.05, 0.25, "judgement: a cold engine vaporises less of its fuel")
"""How much shorter of fuel a cold engine behaves, as a logarithm."""
SNAP_SHORTAGE = Figure(
    0.04, 0.0, 0.10, "judgement: fuel wets the walls and lags behind when the throttle is snapped"
)
"""How much shorter of fuel the engine behaves on a snap, as a logarithm."""


AIR_HANGS = Figure(1.5, 0.5, 4.0, "judgement: how readily extra air at idle is told as revs that hang")
AIR_FELT = Figure(0.20, 0.10, 0.35, "judgement: extra air at idle, as a share, that keeps the revs up")


@dataclass(frozen=True, slots=True)
class Bell:
    """How readily a word is picked around an error: height, centre and width in ln(fuel over want).

    ``goes_on`` keeps the height beyond the centre, away from zero error: what
    hangs at a little too lean hangs at far too lean as well.
    """

    height: float
    centre: float
    width: float
    goes_on: bool = False

    def at(self, error: Array) -> Array:
        """Give the height at each error."""
        off = error - self.centre
        if self.goes_on:
            off = np.where(off * self.centre > 0.0, 0.0, off)
        return np.asarray(self.height * np.exp(-0.5 * (off / self.width) ** 2))


BELLS: dict[Behaviour, tuple[Bell, ...]] = {
    "clean": (Bell(1.00, 0.00, 0.055),),
    "bogs": (Bell(0.80, -0.15, 0.08), Bell(0.22, 0.22, 0.09)),
    "stumbles": (Bell(0.45, -0.12, 0.08), Bell(0.45, 0.17, 0.09)),
    "surges": (Bell(0.70, -0.16, 0.08, goes_on=True),),
    "thick": (Bell(0.95, 0.19, 0.09, goes_on=True),),
    "flat": (Bell(0.55, -0.13, 0.08), Bell(0.20, 0.15, 0.08)),
    "pings": (Bell(0.45, -0.17, 0.07),),
    "hangs": (Bell(0.30, -0.20, 0.10, goes_on=True),),
    "dies": (Bell(0.40, -0.30, 0.12, goes_on=True), Bell(0.25, 0.30, 0.12, goes_on=True)),
    "spits": (Bell(0.35, -0.22, 0.09),),
    "pops": (Bell(0.45, -0.15, 0.10, goes_on=True),),
}
"""Word by word. Source: judgement, from what lean and rich feel like; makers' own lists overlap."""
ON_A_RUNG = tuple(BELLS)
_BACKGROUND = 0.004
"""What is left of every word far from its bells, so that none is ever impossible."""
_RARE = 0.03
_ONLY_HIGH = ("pings",)
_ONLY_SHUT = ("hangs", "pops")


def word_shares(error: Array, *, rung: Rung, extra_air: Array) -> Array:
    """Give how often each word of ``ON_A_RUNG`` is picked: (draw, word), adding to 1.

    ``extra_air`` (draw,) matters for revs that hang at idle: a shortage alone
    makes an engine die as often as hang, more air than the stop lets in keeps
    it up. It is not looked at on any other rung.
    """
    columns = []
    for word, bells in BELLS.items():
        pull = sum(bell.at(error) for bell in bells)
        if word == "hangs" and rung is Rung.SHUT:
            pull = pull + AIR_HANGS.value / (
                1.0 + np.exp(-np.clip((extra_air - AIR_FELT.value) / 0.05, -60, 60))
            )
        columns.append((pull + _BACKGROUND) * _fits(word, rung))
    table = np.stack(columns, axis=-1)
    return np.asarray(table / table.sum(axis=-1, keepdims=True))


def _fits(word: Behaviour, rung: Rung) -> float:
    """Give how much rarer a word is at a rung where it hardly belongs."""
    if word in _ONLY_SHUT:
        return 1.0 if rung is Rung.SHUT else _RARE
    if word in _ONLY_HIGH:
        return 1.0 if rung.opening >= 0.5 else _RARE  # noqa: PLR2004  (half open and above)
    return 1.0


def felt_error(remark: Remark, error: Array) -> Array:
    """Give the error as the engine feels it: a cold engine and a snap ask for more."""
    felt = error
    if remark.engine == "cold":
        felt = felt - COLD_SHORTAGE.value
    if remark.how == "snap":
        felt = felt - SNAP_SHORTAGE.value
    return felt


def share_wrong(remark: Remark, *, times: int = 1) -> float:
    """Give the share of such remarks that could have been any word; said again, it is less likely a slip."""
    return (WRONG_ONCE.value if remark.often == "once" else WRONG.value) / times


def log_likelihood(remark: Remark, seen: Seen, *, times: int = 1) -> Array:
    """Give the logarithm of how probable the remark is for each draw, (draw,).

    With the opening not known, every rung is as likely as another. The same
    word said ``times`` times of one setup on one day is one perception made
    surer, not so many pieces of evidence.
    """
    rungs = RUNGS if remark.at is None else (remark.at,)
    right = np.mean([_right(remark, seen, rung) for rung in rungs], axis=0)
    wrong = share_wrong(remark, times=times)
    return np.asarray(np.log((1.0 - wrong) * right + wrong / len(ON_A_RUNG)))


def _right(remark: Remark, seen: Seen, rung: Rung) -> Array:
    felt = felt_error(remark, seen.error_at(rung))
    return np.asarray(word_shares(felt, rung=rung, extra_air=seen.extra_air)[:, ON_A_RUNG.index(remark.did)])


def chance_wrong(remark: Remark, seen: Seen) -> Array:
    """Give for each draw the chance that the remark was one of the plainly wrong ones, (draw,)."""
    wrong = share_wrong(remark)
    return np.asarray(wrong / len(ON_A_RUNG) / np.exp(log_likelihood(remark, seen)))


def draw(remark: Remark, seen: Seen, rng: Generator) -> NDArray[np.int64]:
    """Draw the word that would be picked in place of the remark's, as a place in ``ON_A_RUNG``, (draw,)."""
    draws = seen.error.shape[0]
    rungs = RUNGS if remark.at is None else (remark.at,)
    air = seen.extra_air
    shares = np.mean(
        [word_shares(felt_error(remark, seen.error_at(r)), rung=r, extra_air=air) for r in rungs], axis=0
    )
    wrong = share_wrong(remark)
    shares = (1.0 - wrong) * shares + wrong / len(ON_A_RUNG)
    picked = (np.cumsum(shares, axis=1) < rng.random((draws, 1))).sum(axis=1)
    return np.asarray(np.minimum(picked, len(ON_A_RUNG) - 1))
