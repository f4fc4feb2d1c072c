"""Made-up recordings whose speed is known, and sounds that are no engine; ``benchmarks/ear`` has many."""

import time
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from benchmarks.ear import ride
from benchmarks.ear.compare import by_a_pitch_tracker, by_our_ear
from benchmarks.ear.engine_sound import Engine, engine_sound
from benchmarks.ear.not_engines import music, noise, speech
from benchmarks.ear.recordings import HARD, RATE, Recording, invent
from benchmarks.ear.surroundings import coloured, phone
from floatbowl.signs.ear.listen import listen

Array = NDArray[np.float64]
TIMES = np.arange(int(6.0 * RATE)) / RATE


@cache
def recordings(seed: int) -> tuple[Recording, ...]:
    """Give one recording of each kind of trouble, kinds of ride and strokes in turn."""
    rng = np.random.default_rng(seed)
    kinds = ("idle", "held", "pull", "blip")
    return tuple(
        invent(rng, kind=kinds[k % 4], hard=hard, strokes=4 if k % 3 else 2) for k, hard in enumerate(HARD)
    )


def errors(recording: Recording) -> Array:
    """Give the error of our ear at every moment."""
    return by_our_ear(recording).error


def heard(rpm: Array, engine: Engine, rng: np.random.Generator) -> Array:
    """Give what a phone makes of an engine nearby."""
    sound = engine_sound(rpm, RATE, engine, rng) + 0.1 * coloured(len(rpm), RATE, rng, slope=1.0)
    return phone(sound, RATE, high_pass=120.0, clip=0.9, gain_control=0.5)


@pytest.mark.slow
def test_the_middle_error_is_below_half_a_per_cent(seed: int) -> None:
    """In wind, noise, clipping, beside another engine, half of all moments are that exact."""
    every = np.concatenate([errors(one) for one in recordings(seed)])
    assert np.median(np.abs(every)) < 0.005


@pytest.mark.slow
def test_a_general_pitch_tracker_does_worse(seed: int) -> None:
    """Of the same sounds the pitch tracker of phonetics tells fewer moments rightly, range given."""
    ours, theirs = 0.0, 0.0
    for one in recordings(seed):
        ours += float((np.abs(errors(one)) < 0.03).mean())
        theirs += float((np.nan_to_num(np.abs(by_a_pitch_tracker(one).error), nan=1.0) < 0.03).mean())
    assert ours > theirs + 0.2 * len(HARD)


def test_ten_seconds_are_heard_within_one(rng: np.random.Generator) -> None:
    """A recording of 10 s costs the processor less than 1 s."""
    recording = invent(rng, kind="blip", hard="phone", strokes=4)
    samples = recording.samples.astype(np.float32)
    listen(samples, recording.rate, strokes=4)
    start = time.process_time()
    listen(samples, recording.rate, strokes=4)
    assert time.process_time() - start < 1.0


@pytest.mark.parametrize("make", [noise, speech, music])
def test_what_is_no_engine_is_not_told(make: object, rng: np.random.Generator) -> None:
    """Noise, speech and music get a reason instead of a speed, nearly always: of three, two at least."""
    assert callable(make)
    tracks = [listen(make(10.0, RATE, rng).astype(np.float32), RATE, strokes=4) for _ in range(3)]
    assert sum(track.is_told for track in tracks) <= 1


@pytest.mark.parametrize(("strokes", "rpm"), [(4, 820.0), (4, 10_900.0), (2, 1300.0), (2, 10_900.0)])
def test_the_ends_of_the_range(strokes: int, rpm: float, rng: np.random.Generator) -> None:
    """The slowest idle and the quickest pull are told, of either kind of engine."""
    track = listen(
        heard(ride.steady(rpm, TIMES, rng), Engine(strokes=strokes), rng).astype(np.float32),
        RATE,
        strokes=strokes,
    )
    assert track.is_told
    assert float(np.median(track.rpm)) == pytest.approx(rpm, rel=0.03)


def test_a_four_stroke_taken_for_a_two_stroke_turns_half_as_fast(rng: np.random.Generator) -> None:
    """The strokes decide what a firing means: the same sound of a two-stroke is half the speed."""
    sound = heard(ride.steady(4000.0, TIMES, rng), Engine(strokes=4), rng).astype(np.float32)
    four, two = (listen(sound, RATE, strokes=strokes) for strokes in (4, 2))
    assert float(np.median(two.rpm)) == pytest.approx(0.5 * float(np.median(four.rpm)), rel=0.01)


def test_four_stroking_does_not_halve_the_speed(rng: np.random.Generator) -> None:
    """A two-stroke that fires every second turn in spells keeps its speed, and the spells are counted."""
    engine = Engine(strokes=2, four_stroking=0.5)
    track = listen(heard(ride.idle(1500.0, TIMES, rng), engine, rng).astype(np.float32), RATE, strokes=2)
    assert float(np.median(track.rpm)) == pytest.approx(1500.0, rel=0.03)
    clean = listen(
        heard(ride.idle(1500.0, TIMES, rng), Engine(strokes=2), rng).astype(np.float32), RATE, strokes=2
    )
    assert track.four_stroking is not None
    assert clean.four_stroking is not None
    assert track.four_stroking > 0.1 + clean.four_stroking


def test_missed_firings_are_counted(rng: np.random.Generator) -> None:
    """More missed firings are heard of an engine that misses more."""
    shares = [
        listen(
            heard(ride.idle(1500.0, TIMES, rng), Engine(strokes=4, missed=missed), rng).astype(np.float32),
            RATE,
            strokes=4,
        ).missed
        for missed in (0.0, 0.15)
    ]
    assert shares[0] < 0.05 < shares[1]


def test_too_short_and_silent_are_told_apart() -> None:
    """Under 3 s is too short; one value all along is silence; neither gives a moment."""
    assert listen(np.ones(22_050, dtype=np.float32), 44_100.0, strokes=4).why_not == "too short"
    silent = listen(np.full(200_000, 0.25, dtype=np.float32), 44_100.0, strokes=4)
    assert silent.why_not == "silent"
    assert len(silent.rpm) == 0


def test_nan_and_infinity_in_a_recording_do_no_harm(rng: np.random.Generator) -> None:
    """Samples that are no numbers count as silence."""
    sound = heard(ride.idle(1500.0, TIMES, rng), Engine(strokes=4), rng).astype(np.float32)
    sound[1000:1100] = np.nan
    sound[5000] = np.inf
    track = listen(sound, RATE, strokes=4)
    assert float(np.median(track.rpm)) == pytest.approx(1500.0, rel=0.03)


@pytest.mark.parametrize("rate", [8_000.0, 16_000.0, 48_000.0])
def test_any_rate_will_do(rate: float, rng: np.random.Generator) -> None:
    """From the rate of an old telephone to that of a studio the speed is the same."""
    times = np.arange(int(6.0 * rate)) / rate
    sound = engine_sound(ride.steady(2400.0, times, rng), rate, Engine(strokes=4), rng)
    track = listen(sound.astype(np.float32), rate, strokes=4)
    assert float(np.median(track.rpm)) == pytest.approx(2400.0, rel=0.03)
