"""What it did at an opening: bogs, surges, thick and the rest, as evidence about the fuel there.

A rider first notices something or nothing: how often *clean* is said falls with
the error. What is noticed gets one word out of ten. How often each is picked for
a given error is written as bells: a word such as *bogs* has one on the short
side and a smaller one on the other, because riders mix the two up. What is not
the mixture, a weak spark or extra air at idle, has words of its own for a share
of the remarks. Another share is plainly wrong and could have been any word.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.figures import Figure
from floatbowl.signs.rises import rises

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.bike.faults import Ailment
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
"""How much shorter of fuel the engine behaves on a snap, as a logarithm, where no snap was worked out."""

CLEAN = Figure(0.88, 0.75, 0.95, "judgement: a well set bike is called clean four times in five")
"""Share of remarks that say clean of the right mixture, but for the plainly wrong ones."""
RICH_UNNOTICED = Figure(1.25, 1.0, 1.6, "judgement: a little too rich goes unnoticed longer than too lean")
"""How much larger an error must be to be noticed on the rich side."""
CLEAN_WITHIN = Figure(0.108, 0.07, 0.16, "judgement: half notice an error of 0.05, nine in ten one of 0.12")
"""Error, as a logarithm, at which one in eight of them is left."""

MISPLACED = Figure(0.05, 0.02, 0.12, "judgement: riders mix up openings, and openings with speeds")
"""Share of remarks that were true of another opening than the one named; of that one they say nothing."""
SNAP_UNKNOWN = Figure(
    0.02, -0.04, 0.08, "judgement: film, lag and hand differ from one bike and rider to the next, ln(fuel)"
)
"""How much shorter of fuel a snap is felt than worked out."""
RIDER_BIAS = Figure(0.0, -0.03, 0.03, "judgement: some riders feel rich what others feel right, ln(fuel)")
RIDER_SCALE = Figure(1.0, 0.55, 1.8, "judgement: what one rider calls clean, another calls thick")
"""How large an error must be for one rider, over what it must be for most."""

AIR_HANGS = Figure(0.55, 0.30, 0.80, "judgement: how readily extra air at idle is told as revs that hang")
AIR_FELT = Figure(0.20, 0.10, 0.35, "judgement: extra air at idle, as a share, that keeps the revs up")
RICH_IDLE = Figure(0.10, 0.05, 0.20, "judgement: error at idle from which a weak spark misses its strokes")


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


BELLS: dict[Behaviour, tuple[Bell, ...]] = {
    "bogs": (Bell(0.80, -0.15, 0.08, goes_on=True), Bell(0.22, 0.22, 0.09)),
    "stumbles": (Bell(0.45, -0.12, 0.08), Bell(0.45, 0.17, 0.09)),
    "surges": (Bell(0.70, -0.16, 0.08, goes_on=True),),
    "thick": (Bell(0.95, 0.19, 0.09, goes_on=True),),
    "flat": (Bell(0.55, -0.13, 0.08, goes_on=True), Bell(0.20, 0.15, 0.08)),
    "pings": (Bell(0.45, -0.17, 0.07),),
    "hangs": (Bell(0.30, -0.20, 0.10, goes_on=True),),
    "dies": (Bell(0.40, -0.30, 0.12, goes_on=True), Bell(0.25, 0.30, 0.12, goes_on=True)),
    "spits": (Bell(0.35, -0.22, 0.09),),
    "pops": (Bell(0.45, -0.15, 0.10, goes_on=True),),
}
"""Word by word. Source: judgement, from what lean and rich feel like; makers' own lists overlap."""
ON_A_RUNG: tuple[Behaviour, ...] = ("clean", *BELLS)
_BACKGROUND = 0.004
"""What is left of every word far from its bells, so that none is ever impossible."""
_RARE = 0.03
_ONLY_HIGH = ("pings",)
_ONLY_SHUT = ("hangs", "pops")


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """How an ailment is told: the share of remarks it takes at its worst rung, and in which words.

    ``by_rung`` scales the share from shut to full (judgement); ``rich_idle`` is
    what an idle that is too rich adds to it at shut.
    """

    share: Figure
    by_rung: tuple[float, float, float, float, float, float]
    words: Mapping[Behaviour, float]
    rich_idle: float = 0.0


AILING: dict[Ailment, Telling] = {
    "weak spark": Telling(
        share=Figure(
            0.75, 0.50, 0.90, "judgement: a weak spark fires where the charge is thin and well mixed"
        ),
        by_rung=(0.35, 0.25, 0.30, 0.50, 0.90, 1.00),
        words={
            "stumbles": 0.32,
            "flat": 0.18,
            "pops": 0.14,
            "spits": 0.12,
            "dies": 0.10,
            "thick": 0.10,
            "bogs": 0.04,
        },
        rich_idle=0.50,
    ),
    "cuts out": Telling(
        share=Figure(0.50, 0.30, 0.75, "judgement: it comes and goes, most of the ride is as ever"),
        by_rung=(0.80, 0.80, 0.90, 1.00, 1.00, 1.00),
        words={"dies": 0.70, "stumbles": 0.30},
    ),
    "stale fuel": Telling(
        share=Figure(0.55, 0.30, 0.75, "judgement: water lies in the bowl and comes by the small jets first"),
        by_rung=(1.00, 0.90, 0.75, 0.50, 0.45, 0.45),
        words={"stumbles": 0.30, "dies": 0.22, "spits": 0.20, "bogs": 0.18, "flat": 0.10},
    ),
    "tight valve": Telling(
        share=Figure(0.55, 0.30, 0.75, "judgement: a valve that does not close loses an idle first"),
        by_rung=(1.00, 0.70, 0.50, 0.30, 0.20, 0.20),
        words={"spits": 0.35, "dies": 0.30, "surges": 0.20, "stumbles": 0.10, "pops": 0.05},
    ),
    "leaking exhaust": Telling(
        share=Figure(0.70, 0.45, 0.90, "judgement: air drawn in at a joint burns in the pipe on closing"),
        by_rung=(1.00, 0.10, 0.05, 0.00, 0.00, 0.00),
        words={"pops": 1.0},
    ),
    "sticking slide": Telling(
        share=Figure(
            0.65, 0.40, 0.85, "judgement: a slide that does not come home is told as revs that hang"
        ),
        by_rung=(1.00, 0.30, 0.10, 0.00, 0.00, 0.00),
        words={"hangs": 1.0},
    ),
}
"""What is not the mixture, and how it is told; what drips is told away from any opening."""


def word_shares(felt: Array, *, rung: Rung, seen: Seen, words: slice = slice(None)) -> Array:
    """Give how often each word of ``ON_A_RUNG`` is picked: (draw, word), adding to 1; or only ``words``.

    ``felt`` (draw,) is the error as the engine feels it. Extra air matters for
    revs that hang at idle: a shortage alone makes an engine die as often as
    hang, more air than the stop lets in keeps it up. It is not looked at on any
    other rung.
    """
    shares = _of_the_mixture(felt, rung)[:, words]
    for ailment, amount in seen.ailing.items():
        if ailment in AILING and AILING[ailment].by_rung[RUNGS.index(rung)]:
            share = amount * _share_at(AILING[ailment], rung, felt)
            shares = _taken(shares, share, _WORDS_OF[ailment][words])
    if rung is Rung.SHUT:
        hangs = AIR_HANGS.value * rises(seen.extra_air - AIR_FELT.value, width=0.05)
        shares = _taken(shares, hangs, _HANGS[words])
    return shares


def _of_the_mixture(felt: Array, rung: Rung) -> Array:
    """Give the words' shares where nothing but the mixture speaks, (draw, word)."""
    off = np.where(felt > 0.0, felt / RICH_UNNOTICED.value, felt)
    clean = CLEAN.value * (1.0 + (off / CLEAN_WITHIN.value) ** 2) ** -3.0
    pulls = (_pulls(felt) + _BACKGROUND) * _FITS[rung]
    others = pulls * ((1.0 - clean) / pulls.sum(axis=1))[:, None]
    return np.concatenate([clean[:, None], others], axis=1)


def _taken(shares: Array, share: Array, words: Array) -> Array:
    """Give the shares after a cause of its own has taken a share (draw,) of all remarks for its words."""
    return shares + share[:, None] * (words - shares)


def _share_at(telling: Telling, rung: Rung, felt: Array) -> Array | float:
    scale = telling.by_rung[RUNGS.index(rung)]
    if rung is Rung.SHUT and telling.rich_idle:
        return telling.share.value * (scale + telling.rich_idle * rises(felt - RICH_IDLE.value, width=0.03))
    return telling.share.value * scale


_EVERY = [(place, bell) for place, bells in enumerate(BELLS.values()) for bell in bells]
_HEIGHT = np.array([bell.height for _, bell in _EVERY])
_CENTRE = np.array([bell.centre for _, bell in _EVERY])
_WIDTH = np.array([bell.width for _, bell in _EVERY])
_LEAST = np.array([0.0 if bell.goes_on and bell.centre < 0.0 else -np.inf for _, bell in _EVERY])
_MOST = np.array([0.0 if bell.goes_on and bell.centre > 0.0 else np.inf for _, bell in _EVERY])
"""Bounds on the distance from a centre: a bell that goes on is as high as at its centre."""
_OF_WORD = np.eye(len(BELLS))[[place for place, _ in _EVERY]]


def _pulls(felt: Array) -> Array:
    """Give the sum of each word's bells at each error, (draw, word of ``BELLS``)."""
    off = np.clip(felt[:, None] - _CENTRE, _LEAST, _MOST)
    return np.asarray((_HEIGHT * np.exp(-0.5 * (off / _WIDTH) ** 2)) @ _OF_WORD)


def _fits(word: Behaviour, rung: Rung) -> float:
    """Give how much rarer a word is at a rung where it hardly belongs."""
    if word in _ONLY_SHUT:
        return 1.0 if rung is Rung.SHUT else _RARE
    if word in _ONLY_HIGH:
        return 1.0 if rung.opening >= 0.5 else _RARE  # noqa: PLR2004  (half open and above)
    return 1.0


def _row(words: Mapping[Behaviour, float]) -> Array:
    return np.array([words.get(word, 0.0) for word in ON_A_RUNG])


_FITS = {rung: np.array([_fits(word, rung) for word in BELLS]) for rung in RUNGS}
_WORDS_OF = {ailment: _row(telling.words) for ailment, telling in AILING.items()}
_HANGS = _row({"hangs": 1.0})


def felt_error(remark: Remark, seen: Seen, rung: Rung) -> Array:
    """Give the error as the engine feels it at a rung, and its rider, (draw,).

    A cold engine and a snap ask for more fuel; an opening that is held gets less
    of it where the bowl runs down. A remark that does not say how it was ridden
    counts as held.
    """
    felt = seen.held_error_at(rung)
    if remark.how == "snap":
        felt = _snapped(seen, rung) - SNAP_UNKNOWN.value - SNAP_UNKNOWN.spread * seen.habit("snap")
    felt = felt - COLD_SHORTAGE.value if remark.engine == "cold" else felt
    bias = RIDER_BIAS.spread * seen.habit("rider bias")
    return np.asarray((felt - bias) * np.exp(-RIDER_SCALE.log_spread * seen.habit("rider scale")))


def _snapped(seen: Seen, rung: Rung) -> Array:
    """Give the error as felt on a snap, (draw,): worked out where it was, else the usual shortage."""
    usual = seen.error_at(rung) - SNAP_SHORTAGE.value
    worked_out = seen.snap_at(rung)
    return usual if worked_out is None else np.where(np.isnan(worked_out), usual, worked_out)


def share_wrong(remark: Remark, *, times: int = 1) -> float:
    """Give the share of such remarks that could have been any word; said again, it is less likely a slip."""
    wrong = (WRONG_ONCE.value if remark.often == "once" else WRONG.value) / times
    return wrong if remark.at is None else wrong + MISPLACED.value * (1.0 - wrong)


def log_likelihood(remark: Remark, seen: Seen, *, times: int = 1) -> Array:
    """Give the logarithm of how probable the remark is for each draw, (draw,).

    With the opening not known, every rung is as likely as another. The same
    word said ``times`` times of one setup on one day is one perception made
    surer, not so many pieces of evidence.
    """
    place = ON_A_RUNG.index(remark.did)
    right = _right(remark, seen, slice(place, place + 1))[:, 0]
    wrong = share_wrong(remark, times=times)
    return np.asarray(np.log((1.0 - wrong) * right + wrong / len(ON_A_RUNG)))


def _right(remark: Remark, seen: Seen, words: slice = slice(None)) -> Array:
    """Give how often each word is picked when the remark is not plainly wrong, (draw, word)."""
    rungs = RUNGS if remark.at is None else (remark.at,)
    return np.asarray(
        sum(word_shares(felt_error(remark, seen, rung), rung=rung, seen=seen, words=words) for rung in rungs)
        / len(rungs)
    )


def chance_wrong(remark: Remark, seen: Seen) -> Array:
    """Give for each draw the chance that the remark was one of the plainly wrong ones, (draw,)."""
    wrong = share_wrong(remark)
    return np.asarray(wrong / len(ON_A_RUNG) / np.exp(log_likelihood(remark, seen)))


def draw(remark: Remark, seen: Seen, rng: Generator) -> NDArray[np.int64]:
    """Draw the word that would be picked in place of the remark's, as a place in ``ON_A_RUNG``, (draw,)."""
    wrong = share_wrong(remark)
    shares = (1.0 - wrong) * _right(remark, seen) + wrong / len(ON_A_RUNG)
    picked = (np.cumsum(shares, axis=1) < rng.random((len(shares), 1))).sum(axis=1)
    return np.asarray(np.minimum(picked, len(ON_A_RUNG) - 1))
