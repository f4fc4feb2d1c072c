"""How honest the belief is: ``python -m benchmarks.calibration 1000 1000 7 --processes 2 --write``.

The numbers are bikes, draws and seed. Makes bikes from before the signs, lets them tell what the signs draw,
and holds the belief and its advice against the truth. Prints the tables of docs/validity.md; with ``--write``
puts them there and draws the pictures beside it.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from multiprocessing import get_context
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from benchmarks.plots import counts_against, rank_histograms
from tests.belief.calibrated import (
    BIKES,
    RUNG_NAMES,
    Case,
    Plan,
    Told,
    all_cards,
    all_counts,
    boast,
    boast_error,
    case,
    counts_table,
    ranks_of,
)

Array = NDArray[np.float64]

PAGE = Path(__file__).parent.parent / "docs" / "validity.md"
PICTURES = PAGE.parent / "calibration"
BY_RUNG = ("error", "lambda", "error after a change", "lambda wanted")
WHOLE = ("a fault present", "how many faults")
HONEST = 1.0 / 3.0
FLAT = 0.01
"""Chance that an honest belief is called uneven at all, over all its histograms."""
EACH, FEW = [(n, n) for n in range(21)], [(0, 3), (4, 8), (9, 12), (13, 16), (17, 20)]


def main() -> None:
    """Make the bikes, print the tables, and write them down if asked to."""
    asked = argparse.ArgumentParser(description=__doc__)
    for name in ("bikes", "draws", "seed"):
        asked.add_argument(name, type=int)
    asked.add_argument("--processes", type=int, default=1)
    asked.add_argument("--write", action="store_true", help="into docs/validity.md, with the pictures")
    words = asked.parse_args()
    began = time.perf_counter()
    plan = Plan(draws=words.draws, seed=words.seed)
    fewer = max(words.bikes // 4, len(BIKES))
    make = partial(many, processes=words.processes)
    made = make(words.bikes, plan)
    bare = Plan(draws=words.draws, seed=words.seed, with_advice=False)
    others = {
        "the truth looked up": make(fewer, replace(bare, is_looked_up=True)),
        "control: every sign counted twice": make(fewer, replace(bare, counted=2.0)),
        "control: the truth twice as wide": make(fewer, replace(bare, wider=2.0)),
    }
    text = "\n".join(_report(made, others, plan))
    print(text)
    print(f"{time.perf_counter() - began:.0f} s", file=sys.stderr)
    if words.write:
        _write(made, text)


def many(bikes: int, plan: Plan, *, processes: int) -> list[Case]:
    """Make so many bikes, on one process or several; the same bikes either way."""
    one = partial(case, plan=plan)
    if processes == 1:
        return [_shown(one(number)) for number in range(bikes)]
    os.environ["NUMBA_NUM_THREADS"] = "1"  # the cores are taken by the processes
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        return [_shown(made) for made in pool.map(one, range(bikes), chunksize=5)]


def _shown(made: Case) -> Case:
    if made.number % 50 == 49:
        print(f"{made.number + 1} bikes", file=sys.stderr, flush=True)
    return made


# --- the tables --------------------------------------------------------------------------------------------


def _report(made: list[Case], others: dict[str, list[Case]], plan: Plan) -> Iterator[str]:
    trusted = np.mean([one.is_trusted for one in made])
    yield f"{len(made)} bikes, {plan.draws} draws each, seed {plan.seed}; {trusted:.0%} of the beliefs were"
    yield f"let speak. {bins_for(len(made))} bars to a histogram; p is of the chi-square test for even ranks."
    yield ""
    yield from _rank_table(made)
    yield ""
    yield from _verdicts(made, others)
    yield ""
    yield "Share of true lambdas inside the band that holds 16 in 20 of the likely bikes:"
    yield ""
    yield from _coverage({"as ridden": made, **others})
    yield ""
    yield from _counts(made)
    yield ""
    yield from _faults(made)
    yield ""
    yield from _by_told(made)
    yield ""
    yield from _between_seeds(made)


def bins_for(cases: int) -> int:
    """Give how many bars a histogram of so many ranks should have: a dozen ranks in each, 20 bars at most."""
    return int(np.clip(cases // 12, 4, 20))


def uneven(ranks: Array) -> float:
    """Give the chance that even ranks would look at least as uneven, by the chi-square test."""
    bins = bins_for(len(ranks))
    counts = np.histogram(ranks, bins=bins, range=(0.0, 1.0))[0]
    even = len(ranks) / bins
    return float(chi2.sf(((counts - even) ** 2 / even).sum(), bins - 1))


def every_p(made: list[Case]) -> dict[str, float]:
    """Give p of every quantity, by name."""
    return {name: uneven(np.array([one.rank[name] for one in made])) for name in made[0].rank}


def _rank_table(made: list[Case]) -> Iterator[str]:
    p = every_p(made)
    yield f"| p of even ranks | {' | '.join(RUNG_NAMES)} | spread over honest |"
    yield f"| --- |{' --- |' * (len(RUNG_NAMES) + 1)}"
    for of in BY_RUNG:
        shown = " | ".join(f"{p[f'{of}, {rung}']:.3f}" for rung in RUNG_NAMES)
        spread, error = boast(made, of=of) / HONEST, boast_error(made, of=of) / HONEST
        yield f"| {of} | {shown} | {spread:.2f} +- {error:.2f} |"
    for of in BY_RUNG:
        means = ranks_of(made, of).mean(axis=0)
        yield f"| {of}: mean rank | {' | '.join(f'{mean:.3f}' for mean in means)} | |"
    for of in WHOLE:
        ranks = np.array([one.rank[of] for one in made])
        yield f"| {of} | {p[of]:.3f} |{' |' * (len(RUNG_NAMES) - 1)} mean rank {ranks.mean():.3f} |"


def _verdicts(made: list[Case], others: dict[str, list[Case]]) -> Iterator[str]:
    yield "| bikes | how many | smallest p | limit | verdict | spread of the error's ranks over honest |"
    yield "| --- | --- | --- | --- | --- | --- |"
    for name, some in {"as ridden": made, **others}.items():
        smallest, limit = min(every_p(some).values()), FLAT / len(some[0].rank)
        verdict = "flat" if smallest > limit else "not flat"
        spread, error = boast(some) / HONEST, boast_error(some) / HONEST
        least = f"{smallest:.2g} | {limit:.1g} | {verdict}"
        yield f"| {name} | {len(some)} | {least} | {spread:.2f} +- {error:.2f} |"


def _coverage(sets: dict[str, list[Case]]) -> Iterator[str]:
    yield f"| | {' | '.join(RUNG_NAMES)} | one standard error |"
    yield f"| --- |{' --- |' * (len(RUNG_NAMES) + 1)}"
    for name, made in sets.items():
        inside = np.array([one.inside for one in made]).mean(axis=0)
        error = np.sqrt(0.8 * 0.2 / len(made))
        yield f"| {name} | {' | '.join(f'{share:.2f}' for share in inside)} | {error:.3f} |"


def _counts(made: list[Case]) -> Iterator[str]:
    yield "| in 20 | counts at a rung | told | came true | cards of a change | told | came true |"
    yield "| --- | --- | --- | --- | --- | --- | --- |"
    rows = {(row.low, row.high): row for row in _of_cards(made, FEW)}
    for row in _of_counts(made, FEW):
        card = rows.get((row.low, row.high))
        beside = f"{card.many} | {card.told:.1f} | {_came(card)} |" if card else "0 | | |"
        yield f"| {row.low} to {row.high} | {row.many} | {row.told:.1f} | {_came(row)} | {beside}"
    for name, each in (("counts", _of_counts(made, EACH)), ("cards", _of_cards(made, EACH))):
        often = [row for row in each if row.many >= _OFTEN]
        off = [row for row in often if abs(row.came - row.told) > _NEAR]
        names = ", ".join(map(_number, off)) or "none"
        yield ""
        yield f"Of {len(often)} numbers told in {name} {_OFTEN} times or more, {len(off)} came true more than"
        yield f"{_NEAR:g} in 20 off: {names}."


_OFTEN, _NEAR = 30, 2.0


def _of_counts(made: list[Case], groups: list[tuple[int, int]]) -> list[Told]:
    return counts_table(*all_counts(made), groups)


def _of_cards(made: list[Case], groups: list[tuple[int, int]]) -> list[Told]:
    return counts_table(*all_cards(made), groups)


def _came(row: Told) -> str:
    return f"{row.came:.1f} +- {row.error:.1f}"


def _number(row: Told) -> str:
    return f"{row.low} ({_came(row)}, {row.many} times)"


def _faults(made: list[Case]) -> Iterator[str]:
    broken = np.array([one.broken for one in made], dtype=np.float64)
    yield "| chance of a fault | bikes | believed | true |"
    yield "| --- | --- | --- | --- |"
    yield from _reliability(broken, ((0.0, 0.2), (0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 1.01)))
    each = np.concatenate([one.suspects for one in made])
    yield "| of one fault | | | |"
    yield from _reliability(each, ((0.0, 0.02), (0.02, 0.05), (0.05, 0.15), (0.15, 0.4), (0.4, 1.01)))
    named = [one.first_is_right for one in made if one.first_is_right is not None]
    yield ""
    yield f"Of {len(named)} broken bikes the first suspect is there in {np.mean(named):.0%}."


def _reliability(pairs: Array, groups: tuple[tuple[float, float], ...]) -> Iterator[str]:
    for low, high in groups:
        here = pairs[(pairs[:, 0] >= low) & (pairs[:, 0] < high)]
        if len(here):
            believed, true = here.mean(axis=0)
            error = np.sqrt(max(believed * (1.0 - believed), 1e-6) / len(here))
            name = f"{low:.2f} to {min(high, 1.0):.2f}"
            yield f"| {name} | {len(here)} | {believed:.3f} | {true:.3f} +- {error:.3f} |"


def _by_told(made: list[Case]) -> Iterator[str]:
    yield "| told besides words | bikes | spread of the error's ranks | mean rank | inside 16 in 20 |"
    yield "| --- | --- | --- | --- | --- |"
    for name in dict.fromkeys(one.told for one in made):
        some = [one for one in made if one.told == name]
        inside = np.mean([one.inside for one in some])
        spread, error = boast(some) / HONEST, boast_error(some) / HONEST
        mean = ranks_of(some, "error").mean()
        yield f"| {name} | {len(some)} | {spread:.2f} +- {error:.2f} | {mean:.3f} | {inside:.2f} |"


def _between_seeds(made: list[Case]) -> Iterator[str]:
    apart = [one.counts - one.again for one in made if one.again is not None]
    if not apart:
        return
    one_run = float(np.sqrt((np.array(apart) ** 2).mean() / 2.0))
    yield f"Believed twice with other dice, {len(apart)} bikes: a count of the twenty errs by {one_run:.2f}"
    yield f"in 20 (standard deviation); two runs were {np.abs(apart).max()} apart at worst."


def _write(made: list[Case], text: str) -> None:
    bins = bins_for(len(made))
    rows = [(of, RUNG_NAMES, ranks_of(made, of)) for of in BY_RUNG]
    whole = np.array([[one.rank[of] for of in WHOLE] for one in made])
    counts = ("counts of the twenty at a rung", _of_counts(made, EACH))
    cards = ("cards of a change", _of_cards(made, FEW))
    PICTURES.mkdir(exist_ok=True)
    ranks = rank_histograms([*rows, ("faults", WHOLE, whole)], bins=bins)
    (PICTURES / "ranks.svg").write_text(ranks, encoding="utf-8")
    (PICTURES / "counts.svg").write_text(counts_against([counts, cards]), encoding="utf-8")
    page = PAGE.read_text(encoding="utf-8")
    before, rest = page.split(_START, maxsplit=1)
    after = rest.split(_END, maxsplit=1)[1]
    PAGE.write_text(f"{before}{_START}\n\n{text}\n\n{_END}{after}", encoding="utf-8")


_START, _END = "<!-- made by benchmarks/calibration.py -->", "<!-- end of what it made -->"

if __name__ == "__main__":
    main()
