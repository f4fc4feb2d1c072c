"""``python -m benchmarks.ear N SEED [--alone] [--pyin]``: N recordings of each trouble, 3 N of other sounds.

Prints one table; times are of the processor, in one thread. ``--alone`` leaves the
general-purpose pitch tracker out, ``--pyin`` brings a second one in, slow, whose
library is not in the lock.
"""

from __future__ import annotations

import argparse
import os

for _library in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS"):
    os.environ.setdefault(_library, "1")

import numpy as np  # noqa: E402  (threads are told before anything counts them)

from benchmarks.ear.compare import (  # noqa: E402  (as above)
    Result,
    by_a_pitch_tracker,
    by_our_ear,
    by_pyin,
    cannot_tell,
    recordings,
)
from benchmarks.ear.recordings import HARD  # noqa: E402  (as above)

HEAD = (
    "| listener | sound | median error % | within 3 % | off by a ratio % | within twice its doubt % | told "
    "| s for 10 s |"
)


def main() -> None:
    """Read the words of the command, listen, and print."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.ear")
    parser.add_argument("count", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--alone", action="store_true")
    parser.add_argument("--pyin", action="store_true")
    words = parser.parse_args()
    rng = np.random.default_rng(words.seed)
    results: list[Result] = []
    for recording in recordings(words.count, rng):
        results.append(by_our_ear(recording))
        if not words.alone:
            results.append(by_a_pitch_tracker(recording))
        if words.pyin:
            results.append(by_pyin(recording))
    print(HEAD)
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for listener in dict.fromkeys(result.listener for result in results):
        theirs = [result for result in results if result.listener == listener]
        for hard in (*HARD, *dict.fromkeys(result.kind for result in theirs)):
            print(row(listener, hard, [one for one in theirs if hard in {one.hard, one.kind}]))
        print(row(listener, "all", theirs))
    for name, said in cannot_tell(3 * words.count, rng).items():
        told = {why: said.count(why) for why in dict.fromkeys(said) if why}
        print(f"| ear | {name} | cannot tell: {len(said) - said.count(None)} of {len(said)} | {told} |")


def row(listener: str, name: str, results: list[Result]) -> str:
    """Write one row of the table."""
    error = np.concatenate([one.error for one in results])
    doubt = np.concatenate([one.doubt for one in results])
    inside = f"{100.0 * (np.abs(error) < 2.0 * doubt).mean():.0f}" if doubt.any() else "-"
    good = np.nan_to_num(np.abs(error), nan=np.inf)
    octave = np.average([one.octave for one in results])
    told = sum(one.is_told for one in results)
    seconds = float(np.median([one.seconds for one in results]))
    return (
        f"| {listener} | {name} | {100.0 * np.nanmedian(np.abs(error)):.2f} "
        f"| {100.0 * (good < 0.03).mean():.1f} "
        f"| {100.0 * octave:.2f} | {inside} | {told} of {len(results)} | {seconds:.2f} |"
    )


if __name__ == "__main__":
    main()
