"""What the rehearsal shows, as plain text."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from benchmarks.rehearsal.outcome import Outcome
from benchmarks.rehearsal.setting import RIGHT
from floatbowl.bike.rung import RUNGS


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One bike and how its three evenings ended."""

    number: int
    kind: str
    what: str
    screw: str
    story: str
    broken: tuple[str, ...]
    given_up: int
    start_error: tuple[float, ...]
    ours: Outcome
    textbook: Outcome
    oracle: Outcome
    seconds: float


def report(rows: list[Row], *, seed: int, has_probe: bool, draws: int) -> str:
    """Give the whole report."""
    lines = [
        f"rehearsal: {len(rows)} bikes, seed {seed}, {'a' if has_probe else 'no'} probe, {draws} draws",
        f"{sum(row.given_up for row in rows)} more bikes were given up: nothing ordinary makes them right",
        f"{_share(bool(row.broken) for row in rows)} came with a fault or two",
        "",
        *_whole(rows),
        "",
        *_split(rows),
        "",
        *_failures(rows),
    ]
    return "\n".join(lines)


def _whole(rows: list[Row]) -> Iterable[str]:
    heads = ("right .05", "right .03", "within .08", "in 10 ch.", "changes", "minutes", "faults left")
    yield f"{'':<10}" + "".join(f"{head:>13}" for head in heads)
    for who in ("ours", "textbook", "oracle"):
        ends: list[Outcome] = [getattr(row, who) for row in rows]
        few = [end.is_right() and end.changes <= 10 for end in ends]
        changes, minutes = [end.changes for end in ends], [end.minutes for end in ends]
        told = (
            _share(end.is_right() for end in ends),
            _share(end.is_well for end in ends),
            _share(end.is_right(0.08) for end in ends),
            _share(few),
            _two(changes),
            _two(minutes),
            _share(bool(end.faults_left) for end in ends),
        )
        yield f"{who:<10}" + "".join(f"{one:>13}" for one in told)
    yield "changes and minutes: median, and what nine in ten stay under"
    ours = [row.ours for row in rows]
    yield (
        f"dangerous steps: {sum(end.danger for end in ours)},"
        f" of which the belief knew: {sum(end.danger_known for end in ours)}"
    )
    ended = {end.ended for end in ours}
    yield "ended: " + ", ".join(f"{why} {sum(end.ended == why for end in ours)}" for why in sorted(ended))
    book = np.median([row.textbook.minutes for row in rows])
    yield f"our median minutes over the textbook's: {np.median([end.minutes for end in ours]) / book:.2f}"
    yield f"seconds a bike: {np.mean([row.seconds for row in rows]):.1f}"


def _split(rows: list[Row]) -> Iterable[str]:
    ways: dict[str, Callable[[Row], str]] = {
        "kind": lambda row: row.kind,
        "screw": lambda row: f"{row.screw} screw",
        "story": lambda row: row.story,
        "fault": lambda row: f"{len(row.broken)} faults",
    }
    heads = ("bikes", "ours", "book", "changes", "minutes", "book min")
    yield f"{'by kind and story':<24}" + "".join(f"{head:>9}" for head in heads)
    for way in ways.values():
        for name in sorted({way(row) for row in rows}):
            some = [row for row in rows if way(row) == name]
            told = (
                str(len(some)),
                _share(row.ours.is_right() for row in some),
                _share(row.textbook.is_right() for row in some),
                f"{np.median([row.ours.changes for row in some]):.0f}",
                f"{np.median([row.ours.minutes for row in some]):.0f}",
                f"{np.median([row.textbook.minutes for row in some]):.0f}",
            )
            yield f"{name:<24}" + "".join(f"{one:>9}" for one in told)


def _failures(rows: list[Row]) -> Iterable[str]:
    failed = [row for row in rows if not row.ours.is_right()]
    yield f"where ours fails: {len(failed)} bikes"
    error = np.array([row.ours.error for row in failed]).reshape(-1, len(RUNGS))
    outside = np.abs(error) > RIGHT
    yield "  rung:  " + " ".join(f"{rung.value:>6}" for rung in RUNGS)
    yield "  short: " + " ".join(f"{n:>6}" for n in (outside & (error < 0)).sum(axis=0))
    yield "  much:  " + " ".join(f"{n:>6}" for n in (outside & (error > 0)).sum(axis=0))
    for row in failed:
        told = " ".join(f"{one:+.2f}" for one in row.ours.error)
        yield (
            f"  {row.number:>3} {row.what:<24} {row.story:<15} {', '.join(row.broken) or 'sound':<36}"
            f" {told}  {row.ours.ended}, {row.ours.changes} changes, {row.ours.minutes:.0f} min"
            + (f"; left: {', '.join(row.ours.faults_left)}" if row.ours.faults_left else "")
        )


def _share(these: Iterable[bool]) -> str:
    return f"{np.mean(list(these)):.1%}"


def _two(numbers: Iterable[float]) -> str:
    middle, high = np.quantile(list(numbers), [0.5, 0.9])
    return f"{middle:.0f} / {high:.0f}"
