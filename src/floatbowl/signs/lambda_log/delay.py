"""How late a probe is, found from the log itself: dead time in the pipe, then a sensor that lags.

What the engine gets is taken as a function of throttle and engine speed that
nobody knows, each bent freely. A first look finds the shift at which such a
function explains the probe best: a cross-correlation with the best function
instead of one that was chosen. Then dead time and lag are told apart by a model
of first order. A probe's slow rise is what tells them apart, so the throttle has to
move quickly now and then.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.figures import Figure
from floatbowl.signs.lambda_log.samples import usual_step

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

USUAL = Figure(
    0.6, 0.2, 1.2, "judgement: gas on its way through a small engine's pipe, and a probe's electronics"
)
"""Dead time, in seconds, where the log does not tell."""
USUAL_LAG = Figure(0.15, 0.05, 0.4, "judgement: wideband probes rise to two thirds in that time")
"""Lag of the sensor, in seconds, where the log does not tell."""
LONGEST = 3.0
"""The longest dead time looked for, in seconds."""
TELLS = 12.0
"""Logarithm of the odds, against a probe that nothing moves, from which it counts as found (judgement)."""
DRIFT = 2.0
"""Seconds over which a change counts as drift and is left out (judgement)."""
_EARLY = 0.1
_FINEST, _COARSEST = 0.01, 0.05
_LAGS = (0.02, 0.05, 0.1, 0.15, 0.22, 0.32, 0.47, 0.7)
_KNOTS = 7
_MOST_ROWS = 24_000
_QUICK: tuple[int, ...] = tuple(odd * 2**power for power in range(8, 17) for odd in (4, 5, 6, 7))


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of a log: ``response`` (row,) is what follows, ``drivers`` (row, driver) what moves it."""

    time: Array
    response: Array
    drivers: Array


@dataclass(frozen=True, slots=True)
class Delay:
    """Dead time and lag, in seconds, with the standard deviation of the dead time; found, or only usual."""

    dead: float
    lag: float
    spread: float
    is_found: bool

    @property
    def whole(self) -> float:
        """Give the mean delay of the response: dead time and lag together."""
        return self.dead + self.lag


@dataclass(frozen=True, slots=True)
class _Piece:
    """One stretch on an even grid: the response with its weight, and what drives it.

    The drivers are bent into basis functions; ``spectrum`` (function, frequency) is theirs.
    """

    response: Array
    weight: Array
    spectrum: NDArray[np.complex128]


USUALLY = Delay(USUAL.value, USUAL_LAG.value, USUAL.spread, is_found=False)


def estimate(stretches: Sequence[Stretch]) -> Delay:
    """Give dead time and lag of a response behind what drives it; the usual ones where nothing tells.

    Source: own derivation, least squares over a first-order model with dead time.
    """
    grid, pieces = _pieces(stretches)
    if not pieces:
        return USUALLY
    shifts = np.arange(0.0, LONGEST, 2.0 * grid)
    misfit = np.array([_misfit(pieces, grid, shift, 0.0) for shift in shifts])
    first = float(shifts[misfit.argmin()])
    starts = [
        (max(0.0, first - lag + more), lag)
        for lag in _LAGS
        for more in (-0.06, 0.0, 0.06)
        if first > lag - _EARLY
    ]
    dead, lag = min(starts, key=lambda one: _misfit(pieces, grid, *one))
    dead, lag, best = _downhill(pieces, grid, dead, lag)
    count = _independent(pieces, grid, dead, lag)
    odds = 0.5 * count * np.log(_misfit(pieces, grid, None, 0.0) / best)
    if odds < TELLS:
        return USUALLY
    return Delay(dead, lag, _spread(pieces, grid, dead, lag, count=count), is_found=True)


def by_correlation(stretches: Sequence[Stretch], *, longest: float = LONGEST) -> tuple[float, float]:
    """Give the shift, in seconds, at which the response follows the first driver, and how well it does.

    The plain cross-correlation of changes over half a second, for a driver that
    the response follows up or down: the largest correlation by size, with its sign.

    Source: [oppenheim-schafer], from memory.
    """
    grid = float(np.clip(usual_step(stretches[0].time), _FINEST, 0.1))
    over = max(1, round(_CHANGE / grid))
    total = np.zeros((round(longest / grid) + 1, 3))
    for one in stretches:
        time = np.arange(one.time[0], one.time[-1] + 0.5 * grid, grid)
        driver, response = (np.interp(time, one.time, column) for column in (one.drivers[:, 0], one.response))
        x, y = driver[over:] - driver[:-over], response[over:] - response[:-over]
        for k in range(min(len(total), len(x) - 1)):
            early, late = x[: len(x) - k], y[k:]
            total[k] += early @ late, early @ early, late @ late
    found = total[:, 0] / np.sqrt(total[:, 1] * total[:, 2])
    best = int(np.abs(found).argmax())
    return float(best * grid), float(found[best])


_CHANGE = 0.5


def _pieces(stretches: Sequence[Stretch]) -> tuple[float, list[_Piece]]:
    """Set every stretch on one even grid, and bend the drivers; none where nothing moves."""
    long = [one for one in stretches if np.isfinite(one.response).sum() > _KNOTS]
    if not long:
        return _COARSEST, []
    step = float(np.median([usual_step(one.time) for one in long]))
    grid = float(np.clip(step / 2.0, _FINEST, _COARSEST))
    knots = [
        _knots(np.concatenate([one.drivers[:, k] for one in long])) for k in range(long[0].drivers.shape[1])
    ]
    if all(len(one) < 2 for one in knots):  # noqa: PLR2004  (a bend needs two ends)
        return grid, []
    left, pieces = _MOST_ROWS, []
    for one in long:
        piece = _piece(one, knots, grid=grid, step=step, most=left)
        left -= len(piece.response)
        pieces.append(piece)
        if left <= 0:
            break
    return grid, [piece for piece in pieces if len(piece.response)]


def _knots(values: Array) -> Array:
    """Give the places at which a driver's effect may bend: even shares of where it was."""
    finite = values[np.isfinite(values)]
    if not len(finite):
        return np.zeros(0)
    low, high = np.quantile(finite, (0.005, 0.995))
    inner = np.quantile(finite, np.linspace(0.0, 1.0, _KNOTS)[1:-1])
    even = np.linspace(low, high, _KNOTS)
    spaced = 0.5 * (even + np.concatenate([[low], inner, [high]]))
    return np.asarray(np.unique(np.round(spaced, 6))) if high > low else np.zeros(0)


def _piece(one: Stretch, knots: list[Array], *, grid: float, step: float, most: int) -> _Piece:
    time = np.arange(one.time[0], one.time[-1], grid)[:most]
    good = np.isfinite(one.response)
    response = _without_drift(np.interp(time, one.time[good], one.response[good]), grid)
    near = np.searchsorted(one.time[good], time).clip(1, int(good.sum()) - 1)
    gap = one.time[good][near] - one.time[good][near - 1]
    known = np.isfinite(one.drivers).all(axis=1)
    drivers = [np.interp(time, one.time[known], column) for column in one.drivers[known].T]
    bent = [_hats(column, places) for column, places in zip(drivers, knots, strict=True) if len(places) > 1]
    basis = np.concatenate(bent)
    tail = np.repeat(basis[:, :1], _length(len(time), grid) - len(time), axis=1)
    return _Piece(
        response=response,
        weight=(gap < 2.5 * step).astype(np.float64),
        spectrum=np.fft.rfft(np.concatenate([basis, tail], axis=1)) * _quick_part(basis.shape[1], grid),
    )


def _without_drift(response: Array, grid: float) -> Array:
    """Give the quick changes of a response: what drifts over many seconds hangs on other things."""
    length = _length(len(response), grid)
    whole = np.concatenate([response, np.repeat(response[:1], length - len(response))])
    return np.fft.irfft(np.fft.rfft(whole) * _quick_part(len(response), grid), length)[: len(response)]


def _quick_part(rows: int, grid: float) -> NDArray[np.complex128]:
    """Give how much of each frequency is kept; response and drivers are treated alike."""
    turn = 2j * np.pi * np.fft.rfftfreq(_length(rows, grid), grid) * DRIFT
    return np.asarray(turn / (1.0 + turn))


def _length(rows: int, grid: float) -> int:
    """Give a length that is quickly transformed, with room for what wraps around the end to die away.

    The room is filled with the first value, so that nothing jumps at the start.
    """
    least = rows + round((LONGEST + 6.0 * _LAGS[-1]) / grid)
    return next(size for size in _QUICK if size >= least)


def _hats(values: Array, knots: Array) -> Array:
    """Give the hat functions (knot but the first, row) that add up to any line bent at the knots."""
    eye = np.eye(len(knots))
    return np.stack([np.interp(values, knots, eye[k]) for k in range(1, len(knots))])


def _misfit(pieces: Sequence[_Piece], grid: float, dead: float | None, lag: float) -> float:
    """Give the mean squared error that is left, for a dead time and a lag; with None, no driver counts."""
    gram, side, size, weight = _sums(pieces, grid, dead, lag)
    slope = np.linalg.lstsq(gram, side, rcond=1e-10)[0]
    return float((size - side @ slope) / weight)


def _sums(
    pieces: Sequence[_Piece], grid: float, dead: float | None, lag: float
) -> tuple[Array, Array, float, float]:
    """Give the sums of a weighted least-squares fit over all pieces."""
    first = _design(pieces[0], grid, dead, lag)
    gram, side, size, weight = np.zeros((len(first), len(first))), np.zeros(len(first)), 0.0, 0.0
    for piece in pieces:
        x = _design(piece, grid, dead, lag)
        scaled = x * piece.weight
        gram += scaled @ x.T
        side += scaled @ piece.response
        size += float(piece.weight @ piece.response**2)
        weight += float(piece.weight.sum())
    return gram, side, size, weight


def _design(piece: _Piece, grid: float, dead: float | None, lag: float) -> Array:
    """Give what the probe would see of a constant and of each basis function, (function, row)."""
    rows = len(piece.response)
    one = np.ones((1, rows))
    if dead is None:
        return one
    length = _length(rows, grid)
    turn = 2j * np.pi * np.fft.rfftfreq(length, grid)
    late = np.exp(-turn * dead) / (1.0 + turn * lag)
    return np.concatenate([one, np.fft.irfft(piece.spectrum * late, length)[:, :rows]])


def _downhill(pieces: Sequence[_Piece], grid: float, dead: float, lag: float) -> tuple[float, float, float]:
    """Go down from a start in ever smaller steps of dead time, of lag, and of one against the other."""
    best = _misfit(pieces, grid, dead, lag)
    step = 0.03
    while step > 0.002:  # noqa: PLR2004  (seconds: far below what any log tells)
        tries = [
            (max(0.0, dead + a * step), max(0.005, lag + b * step))
            for a, b in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, -1), (-1, 1))
        ]
        misfit, where = min((_misfit(pieces, grid, *one), one) for one in tries)
        if misfit < best:
            best, (dead, lag) = misfit, where
        else:
            step *= 0.5
    return dead, lag, best


def _independent(pieces: Sequence[_Piece], grid: float, dead: float, lag: float) -> float:
    """Give how many independent rows the grid is worth: what is left over hangs together for a while."""
    gram, side, _, _ = _sums(pieces, grid, dead, lag)
    slope = np.linalg.lstsq(gram, side, rcond=1e-10)[0]
    near, size, rows = 0.0, 0.0, 0.0
    for piece in pieces:
        rest = (piece.response - slope @ _design(piece, grid, dead, lag)) * piece.weight
        near += float(rest[1:] @ rest[:-1])
        size += float(rest @ rest)
        rows += float(piece.weight.sum())
    alike = min(0.999, max(0.0, near / size))
    return rows * (1.0 - alike) / (1.0 + alike)


def _spread(pieces: Sequence[_Piece], grid: float, dead: float, lag: float, *, count: float) -> float:
    """Give the standard deviation of the dead time from how sharply the misfit rises, the lag let go."""
    step = 0.02
    here = np.log(_misfit(pieces, grid, dead, lag))

    def rise(a: float, b: float) -> float:
        moved = [(dead + s * a * step, lag + s * b * step) for s in (1, -1)]
        return float(sum(np.log(_misfit(pieces, grid, max(0.0, x), max(0.0, y))) - here for x, y in moved))

    along, across, both = rise(1, 0), rise(0, 1), rise(1, 1)
    curve = 0.5 * count / step**2 * np.array([[along, 0.5 * (both - along - across)], [0.0, across]])
    curve[1, 0] = curve[0, 1]
    if np.linalg.det(curve) <= 0.0 or curve[0, 0] <= 0.0:
        return USUAL.spread
    return float(np.sqrt(np.linalg.inv(curve)[0, 0]))
