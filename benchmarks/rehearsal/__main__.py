"""``python -m benchmarks.rehearsal BIKES SEED [--probe] [--processes 2] [--draws N] [--log]``.

Invents the bikes, lets our mechanic, the textbook's and the oracle loose on each, and prints the report.
The same numbers give the same report, on one process or more.
"""

from __future__ import annotations

import argparse
import os

os.environ.setdefault("NUMBA_NUM_THREADS", "1")
for _library in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_library, "1")

from benchmarks.rehearsal.run import rehearse  # noqa: E402  (threads are told before anything counts them)


def main() -> None:
    """Read the words of the command and print."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.rehearsal")
    parser.add_argument("bikes", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--probe", action="store_true", help="the shed owns a lambda probe")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--draws", type=int, default=600)
    parser.add_argument("--first", type=int, default=0, help="number of the first bike")
    parser.add_argument("--log", action="store_true", help="print every act of every evening too")
    words = parser.parse_args()
    print(
        rehearse(
            range(words.first, words.first + words.bikes),
            seed=words.seed,
            has_probe=words.probe,
            draws=words.draws,
            processes=words.processes,
            with_log=words.log,
        )
    )


if __name__ == "__main__":
    main()
