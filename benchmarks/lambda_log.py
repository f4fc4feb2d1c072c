"""How long a large log takes, and how much memory: ``python -m benchmarks.lambda_log ROWS FOLDER``."""

from __future__ import annotations

import resource
import sys
import time
from pathlib import Path

import numpy as np

from benchmarks.made_logs import Probe, made, write
from floatbowl.jobs import LogGuess, read_log
from floatbowl.record.log_columns import guess
from floatbowl.record.log_text import open_log

ROWS_MADE = 20_000
MEGABYTE = 1024.0


def main(rows: int, folder: Path) -> None:
    """Make a log of at least so many rows, read it, and print time and peak memory."""
    path = folder / "large.csv"
    rng = np.random.default_rng(1)
    log = made(Probe(dead=0.6, lag=0.15), rng, seconds=ROWS_MADE / 20.0)
    count = write(path, log, times=-(-rows // len(log.time)))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / MEGABYTE
    start, busy = time.perf_counter(), time.process_time()
    text = open_log(path)
    came = read_log(LogGuess(text=text, columns=guess(text), air_per_fuel=14.7))
    took, worked = time.perf_counter() - start, time.process_time() - busy
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / MEGABYTE
    late = came.known.delay
    print(
        f"{count:,} rows, {path.stat().st_size / 1e6:.0f} MB: {took:.1f} s, of the processor {worked:.1f} s"
    )
    print(f"memory: {before:.0f} MB before, {peak:.0f} MB at the most")
    print(f"{came.came.used:,} rows tell; delay {late.dead:.3f} s, lag {late.lag:.3f} s")
    path.unlink()


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]))
