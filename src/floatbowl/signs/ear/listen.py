"""Listen to a recording of a single: from samples to a line of engine speed with its doubt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.signs.ear import comb, doubt, firing, path, turns
from floatbowl.signs.ear.envelope import ENVELOPE_RATE, loudness, swells_of
from floatbowl.signs.ear.steady import correction
from floatbowl.signs.ear.track import Track

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.signs.ear.track import WhyNot

    Array = NDArray[np.float64]

SHORTEST = 3.0
"""Seconds of sound that are needed."""
SLOWEST, QUICKEST = 650.0, 12500.0
"""Speeds looked for, in rpm."""
_FAINT = 0.3
"""Fit below which the engine was not heard at a moment, and the line only carried on."""
_SHORTEST_PIECE = round(0.6 / comb.HOP)
_TWICE_BELOW = 1000.0
"""Idle speed of a two-stroke below which it more likely fires every second turn of twice the speed."""


@dataclass(frozen=True, slots=True)
class _Piece:
    """A piece of the line without a leap: its moments, and how strong its orders are."""

    moments: slice
    beat: float


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of speed: repetitions a second at each moment, how well they fit, and its pieces."""

    seconds: Array
    repeats: Array
    fit: Array
    places: NDArray[np.int64]
    pieces: tuple[_Piece, ...]
    strong: Array
    """How loud each firing was over the usual one."""


def listen(samples: NDArray[np.float32], rate: float, *, strokes: int) -> Track:
    """Give the speed over time of the engine in a recording.

    ``samples`` (time,) at ``rate`` a second, of any loudness. A four-stroke
    fires every second turn, a two-stroke every turn.
    """
    length = len(samples) / rate
    if length < SHORTEST:
        return _nothing(strokes, length, "too short")
    heard = np.nan_to_num(samples.astype(np.float32), posinf=0.0, neginf=0.0)
    if not np.ptp(heard) > 0.0:
        return _nothing(strokes, length, "silent")
    bands, lows = loudness(heard, rate)
    line = _line(swells_of(bands, lows), strokes)
    looks = doubt.Looks(
        beat=_beat(line),
        rough=doubt.rough(line.places),
        steps=doubt.steps(line.repeats),
        seconds=length,
        swing=doubt.swing(bands[1:4], ENVELOPE_RATE),
    )
    return _track(line, strokes, length, doubt.why_not(looks))


def _nothing(strokes: int, length: float, why: WhyNot) -> Track:
    none = np.zeros(0)
    return Track(
        strokes=strokes,
        length=length,
        seconds=none,
        rpm=none,
        spread=none,
        is_heard=none.astype(bool),
        four_stroking=None,
        missed=0.0,
        is_twice_possible=False,
        why_not=why,
    )


def per_repeat(strokes: int) -> float:
    """Give the rpm of one repetition a second: a four-stroke takes two turns for it."""
    return 30.0 * strokes


def _line(swells: NDArray[np.float32], strokes: int) -> _Line:
    """Draw the line, see for each piece whether it is a half or a third of the truth, and make it exact."""
    fit, at = comb.fits(swells)
    rpm = comb.REPEATS * per_repeat(strokes)
    low, high = np.searchsorted(rpm, (SLOWEST, QUICKEST))
    fit = fit[:, low:high]
    places = path.best_path(fit)
    repeats, best = _between_steps(fit, places, comb.REPEATS[low:high])
    seconds = at / ENVELOPE_RATE
    pieces = []
    for moments in path.pieces(places):
        if moments.stop - moments.start >= _SHORTEST_PIECE:
            repeats[moments], piece = _made_exact(swells, seconds, repeats, moments, strokes)
            pieces.append(piece)
    joined = _joined_up(repeats, path.pieces(places), pieces, strokes)
    strong = firing.strengths(turns.lay_out(swells, seconds, joined))
    return _Line(
        seconds=seconds, repeats=joined, fit=best, places=places, pieces=tuple(pieces), strong=strong
    )


def _joined_up(repeats: Array, cuts: list[slice], pieces: list[_Piece], strokes: int) -> Array:
    """Take back leaps to a half, a third, the double or treble: an engine cannot make them.

    The piece with the strongest orders, weighed by its length, is believed. A
    two-stroke that is found at both a speed and its half fires every second turn
    in between: the quicker is believed.
    """
    if len(cuts) == 1 or not pieces:
        return repeats
    believed = max(pieces, key=lambda piece: piece.beat * (piece.moments.stop - piece.moments.start))
    middle = next(k for k, cut in enumerate(cuts) if cut == believed.moments)
    joined = repeats.copy()
    shares = [
        _bring(joined, cuts[k], at=cuts[k].start - 1, of=cuts[k].start) for k in range(middle + 1, len(cuts))
    ]
    shares += [
        _bring(joined, cuts[k], at=cuts[k].stop, of=cuts[k].stop - 1) for k in range(middle - 1, -1, -1)
    ]
    if strokes == 2 and min(shares) < 0.75:  # noqa: PLR2004  (a two-stroke; a half was taken for the truth)
        joined *= 2.0
    return np.minimum(joined, QUICKEST / per_repeat(strokes))


_LEAPS = np.log(np.array([1.0 / 3.0, 0.5, 2.0, 3.0]))
_NEAR = 0.05
"""How near, as a logarithm, a leap must be to a simple ratio to be taken back."""


def _bring(repeats: Array, cut: slice, *, at: int, of: int) -> float:
    """Bring a piece to where its neighbour ends, if it lies a simple ratio off; give the ratio."""
    leap = float(np.log(repeats[at] / repeats[of]))
    nearest = float(_LEAPS[np.abs(_LEAPS - leap).argmin()])
    if abs(nearest - leap) > _NEAR or not (_stands(repeats, at) and _stands(repeats, of)):
        return 1.0
    share = float(np.exp(nearest))
    repeats[cut] *= share
    return share


def _stands(repeats: Array, at: int) -> bool:
    """Say whether the line stands about still on one side of a moment or the other: no blip rises here."""
    sides = (repeats[max(0, at - _AROUND) : at + 1], repeats[at : at + _AROUND + 1])
    return min(float(np.ptp(np.log(side))) for side in sides if len(side) > _AROUND // 2) < _STILL


_AROUND = 6
_STILL = 0.06


def _between_steps(fit: NDArray[np.float32], places: NDArray[np.int64], grid: Array) -> tuple[Array, Array]:
    """Give a path where the fit is best between the steps of the grid, and the fit there."""
    row, at = np.arange(len(places)), np.clip(places, 1, fit.shape[1] - 2)
    low, top, high = (fit[row, at + by].astype(np.float64) for by in (-1, 0, 1))
    bend = np.minimum(low - 2.0 * top + high, -1e-6)
    return grid[at] * np.exp(comb.STEP * np.clip(0.5 * (low - high) / bend, -1.0, 1.0)), top


def _made_exact(
    swells: NDArray[np.float32], seconds: Array, repeats: Array, moments: slice, strokes: int
) -> tuple[Array, _Piece]:
    times = seconds[moments]
    share, beat = _true_share(swells, times, repeats[moments], strokes)
    rough = repeats[moments] * share
    laid = turns.lay_out(swells, times, rough)
    slow = correction(laid, float(np.median(rough)))
    count = len(slow)
    middles = laid.seconds[np.arange(count) * turns.PER_REPEAT + turns.PER_REPEAT // 2]
    exact = rough * (1.0 - np.interp(times, middles, slow))
    return exact, _Piece(moments=moments, beat=beat)


def _true_share(
    swells: NDArray[np.float32], times: Array, repeats: Array, strokes: int
) -> tuple[float, float]:
    """Give how many times the found repetition the true one is, and how strong its orders are."""
    spectrum = turns.order_spectrum(turns.lay_out(swells, times, repeats))
    if spectrum is None:
        return 1.0, 0.0
    rpm = float(np.median(repeats)) * per_repeat(strokes) * np.array(turns.SHARES)
    fit = turns.share_fits(spectrum)
    can_be = (rpm > SLOWEST) & (rpm < QUICKEST)
    if strokes == 2:  # noqa: PLR2004  (a two-stroke's every second firing may be weak: that is no half speed)
        can_be &= np.array(turns.SHARES) != _HALF
    best = int(np.where(can_be, fit, -np.inf).argmax())
    found = turns.SHARES.index(1.0)
    if fit[best] < _PLAINLY * fit[found] + _MARGIN:
        best = found
    return turns.SHARES[best], float(fit[best])


_HALF = 0.5
_PLAINLY, _MARGIN = 1.3, 0.1
"""How much better another share must fit than the line as it was found."""


def _beat(line: _Line) -> float:
    """Give how strong the orders are over the whole line, its pieces weighed by their length."""
    if not line.pieces:
        return 0.0
    long = [piece.moments.stop - piece.moments.start for piece in line.pieces]
    return float(np.average([piece.beat for piece in line.pieces], weights=long))


def _track(line: _Line, strokes: int, length: float, why_not: WhyNot | None) -> Track:
    two_stroke = strokes == 2  # noqa: PLR2004  (a two-stroke)
    rpm = line.repeats * per_repeat(strokes)
    usual = float(np.median(rpm)) if len(rpm) else 0.0
    return Track(
        strokes=strokes,
        length=length,
        seconds=line.seconds,
        rpm=rpm,
        spread=rpm * _doubt(line),
        is_heard=line.fit > _FAINT,
        four_stroking=firing.four_stroking_share(line.strong) if two_stroke else None,
        missed=firing.missed_share(line.strong),
        is_twice_possible=two_stroke and usual < _TWICE_BELOW,
        why_not=why_not,
    )


def _doubt(line: _Line) -> Array:
    """Give the doubt about each speed, as a share: more where it fits less, and where it changes quickly.

    What counts is the change while a look lasts, about eight firings. Found on
    made-up recordings: ``docs/model/ear.md``.
    """
    change = np.abs(np.gradient(np.log(line.repeats), comb.HOP)) * np.clip(8.0 / line.repeats, 0.25, 1.0)
    return np.asarray(_LEAST_DOUBT + _FAINT_DOUBT / np.maximum(line.fit, 0.2) + _MOVING_DOUBT * change)


_LEAST_DOUBT, _FAINT_DOUBT, _MOVING_DOUBT = 0.0015, 0.002, 0.03
