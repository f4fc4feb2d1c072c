"""Runs the rehearsal, bike by bike."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context

from benchmarks.rehearsal.evening import our_evening
from benchmarks.rehearsal.oracle import by_the_oracle
from benchmarks.rehearsal.report import Row, report
from benchmarks.rehearsal.setting import Case, invent_case
from benchmarks.rehearsal.shed import open_shed
from benchmarks.rehearsal.textbook import by_the_book


def rehearse(  # noqa: PLR0913  (one for each word of the command)
    numbers: Iterable[int],
    *,
    seed: int,
    has_probe: bool,
    draws: int,
    processes: int = 1,
    with_log: bool = False,
) -> str:
    """Give the report on these bikes."""
    rows = run(numbers, seed=seed, has_probe=has_probe, draws=draws, processes=processes, with_log=with_log)
    return report(rows, seed=seed, has_probe=has_probe, draws=draws)


def run(  # noqa: PLR0913  (as rehearse)
    numbers: Iterable[int],
    *,
    seed: int,
    has_probe: bool,
    draws: int,
    processes: int = 1,
    with_log: bool = False,
) -> list[Row]:
    """Give how the evenings on these bikes ended."""
    one = partial(evenings, seed=seed, has_probe=has_probe, draws=draws)
    if processes == 1:
        return [_shown(one(number), with_log=with_log) for number in numbers]
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        return [_shown(row, with_log=with_log) for row in pool.map(one, numbers)]


def evenings(number: int, *, seed: int, has_probe: bool, draws: int) -> Row:
    """Invent one bike and let everybody loose on it."""
    case, given_up = invent_case(number, seed)
    began = time.perf_counter()
    ours = our_evening(open_shed(case, seed, 0), has_probe=has_probe, draws=draws)
    seconds = time.perf_counter() - began
    engine, carb = case.bike.known.engine, case.bike.known.carb
    return Row(
        number=number,
        kind=case.kind,
        what=f"{engine.swept_volume.value * 1e6:.0f} {case.kind} {carb.bore.value * 1e3:.0f}",
        screw=carb.screw,
        story=case.story,
        broken=tuple(one.fault.key for one in case.broken),
        given_up=given_up,
        start_error=_start(case),
        ours=ours,
        textbook=by_the_book(open_shed(case, seed, 1)),
        oracle=by_the_oracle(case),
        seconds=seconds,
    )


def _start(case: Case) -> tuple[float, ...]:
    return tuple(float(one) for one in case.bike.see(case.start, case.day, case.broken).error)


def _shown(row: Row, *, with_log: bool) -> Row:
    """Say on the side how far it has come."""
    end = row.ours
    print(
        f"{row.number:>4} {row.what:<24} {row.story:<15} {'right' if end.is_right() else 'WRONG':<6}"
        f" worst {end.worst:.3f} {end.changes:>2} changes {end.minutes:>4.0f} min {row.seconds:>5.1f} s",
        file=sys.stderr,
        flush=True,
    )
    if with_log:
        print("\n".join(_log(row)), flush=True)
    return row


def _log(row: Row) -> Iterable[str]:
    start = " ".join(f"{one:+.2f}" for one in row.start_error)
    broken = ", ".join(row.broken) or "sound"
    yield f"--- {row.number} {row.what}, {row.story}, {broken}; at the start {start}"
    yield from (f"    {line}" for line in row.ours.log)
    end = " ".join(f"{one:+.2f}" for one in row.ours.error)
    yield f"    {row.ours.ended}: {end}, {row.ours.changes} changes, {row.ours.minutes:.0f} minutes"
    yield ""
