"""Listen to many made-up recordings, with our ear and with a general-purpose pitch tracker."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.ear.not_engines import music, noise, speech
from benchmarks.ear.recordings import HARD, RATE, Recording, invent
from benchmarks.ear.surroundings import phone
from floatbowl.signs.ear.listen import listen, per_repeat

Array = NDArray[np.float64]

KINDS = ("idle", "hunting", "held", "blip", "pull")
OTHERS: dict[str, Callable[[float, float, Generator], Array]] = {
    "noise": noise,
    "speech": speech,
    "music": music,
}
TIMES_OFF = (0.25, 1.0 / 3.0, 0.5, 2.0 / 3.0, 1.5, 2.0, 3.0, 4.0)
NEAR = 0.03
"""What counts as right, and as wrong by a simple ratio: within three per cent of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """How one listener did on one recording: the error at each moment, nan where it told none."""

    listener: str
    kind: str
    hard: str
    error: Array
    doubt: Array
    seconds: float
    is_told: bool

    @property
    def octave(self) -> float:
        """Give the share of moments that are off by a simple ratio."""
        ratio = np.log1p(self.error)
        return (
            float(
                np.mean(
                    [
                        np.nanmax([abs(one - np.log(k)) < NEAR for k in TIMES_OFF])
                        for one in ratio
                        if np.isfinite(one)
                    ]
                )
            )
            if np.isfinite(ratio).any()
            else 0.0
        )


def recordings(count: int, rng: Generator) -> Iterator[Recording]:
    """Make up ``count`` recordings of every kind of trouble, with the kinds of ride and strokes in turn."""
    for hard in HARD:
        for number in range(count):
            kind = KINDS[number % len(KINDS)]
            yield invent(rng, kind=kind, hard=hard, strokes=4 if (number // len(KINDS)) % 2 == 0 else 2)


def by_our_ear(recording: Recording) -> Result:
    """Let our ear listen."""
    start = time.process_time()
    track = listen(recording.samples.astype(np.float32), recording.rate, strokes=recording.strokes)
    took = time.process_time() - start
    truth = _truth(recording, track.seconds)
    return Result(
        listener="ear",
        kind=recording.kind,
        hard=recording.hard,
        error=track.rpm / truth - 1.0,
        doubt=track.spread / track.rpm,
        seconds=took,
        is_told=track.is_told,
    )


def by_a_pitch_tracker(recording: Recording) -> Result:
    """Let the usual pitch tracker of phonetics listen, told the range to look in."""
    import parselmouth  # noqa: PLC0415  (only when it is compared)

    low, high = (rpm / per_repeat(recording.strokes) for rpm in (650.0, 12500.0))
    start = time.process_time()
    sound = parselmouth.Sound(recording.samples, recording.rate)
    pitch = sound.to_pitch_ac(time_step=0.025, pitch_floor=low, pitch_ceiling=high)
    took = time.process_time() - start
    hertz = pitch.selected_array["frequency"]
    rpm = np.where(hertz > 0.0, hertz, np.nan) * per_repeat(recording.strokes)
    error = rpm / _truth(recording, pitch.xs()) - 1.0
    return Result(
        listener="pitch tracker",
        kind=recording.kind,
        hard=recording.hard,
        error=error,
        doubt=np.zeros(len(error)),
        seconds=took,
        is_told=bool(np.isfinite(error).any()),
    )


def by_pyin(recording: Recording) -> Result:
    """Let the usual pitch tracker of music listen, where its library is at hand; it is not in the lock."""
    import librosa  # noqa: PLC0415  # type: ignore[import-not-found, unused-ignore]

    low, high = (rpm / per_repeat(recording.strokes) for rpm in (650.0, 12500.0))
    start = time.process_time()
    hertz, _, _ = librosa.pyin(
        recording.samples, fmin=low, fmax=high, sr=recording.rate, frame_length=16384, hop_length=1102
    )
    took = time.process_time() - start
    seconds = np.arange(len(hertz)) * 1102 / recording.rate
    error = hertz * per_repeat(recording.strokes) / _truth(recording, seconds) - 1.0
    return Result(
        listener="probabilistic YIN",
        kind=recording.kind,
        hard=recording.hard,
        error=error,
        doubt=np.zeros(len(error)),
        seconds=took,
        is_told=bool(np.isfinite(error).any()),
    )


def _truth(recording: Recording, seconds: Array) -> Array:
    return np.asarray(np.interp(seconds, np.arange(len(recording.rpm)) / recording.rate, recording.rpm))


def cannot_tell(count: int, rng: Generator) -> dict[str, list[str | None]]:
    """Give what our ear says to sounds that are no engine: why not, or None where it fell for one."""
    found: dict[str, list[str | None]] = {}
    for name, make in OTHERS.items():
        for number in range(count):
            bare = make(10.0, RATE, rng)
            high_pass, clip, evened = rng.uniform(30.0, 200.0), rng.uniform(0.5, 1.5), rng.uniform(0.0, 1.0)
            samples = phone(bare, RATE, high_pass=high_pass, clip=clip, gain_control=evened)
            track = listen(samples.astype(np.float32), RATE, strokes=4 if number % 2 == 0 else 2)
            found.setdefault(name, []).append(track.why_not)
    return found
