"""What each part of belief and advice is worth: ``python -m benchmarks.ablation 100 7 --processes 2``.

The numbers are bikes and seed. The rehearsal's evenings are gone through once as they are and once without
each part; the same bikes, riders and dice. Prints the table of docs/validity.md.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from functools import partial
from multiprocessing import get_context
from unittest.mock import patch

os.environ.setdefault("NUMBA_NUM_THREADS", "1")  # told before anything counts them

import numpy as np
from numpy.typing import NDArray

from benchmarks.rehearsal.evening import our_evening
from benchmarks.rehearsal.outcome import Outcome
from benchmarks.rehearsal.setting import invent_case
from benchmarks.rehearsal.shed import open_shed
from floatbowl.advice import advise
from floatbowl.advice.looks import RIDE_AND_SAY
from floatbowl.belief import believe, scene
from floatbowl.bike.rung import RUNGS
from floatbowl.figures import Figure
from floatbowl.signs import behaviour

Array = NDArray[np.float64]

_NONE = Figure(0.0, 0.0, 0.0, "judgement: switched off")


def _no_model_error() -> AbstractContextManager[object]:
    """Let the belief take our flow for the truth."""
    size = len(RUNGS)
    return _all_of(
        patch.object(scene, "model_root", lambda: np.zeros((size, size))),
        patch.object(scene, "MODEL_TILT", _NONE),
    )


def _no_wrong_remarks() -> AbstractContextManager[object]:
    """Let the belief take every remark for meant as it was said."""

    def never(remark: object, *, times: int = 1) -> float:
        del remark, times
        return 0.0

    return patch.object(behaviour, "share_wrong", never)


def _no_faults() -> AbstractContextManager[object]:
    """Let the belief think that nothing is ever broken."""
    honest = believe.fault_odds

    def sound(stage: scene.Stage, *, mended: frozenset[str] = frozenset()) -> Array:
        odds = np.zeros_like(honest(stage, mended=mended))
        odds[-1] = 1.0
        return odds

    return patch.object(believe, "fault_odds", sound)


def _no_next_look() -> AbstractContextManager[object]:
    """Let the advice weigh no look and no test against a change; a stop tag still asks for its own."""
    desk = advise._Desk  # noqa: SLF001  (where both are weighed)
    return _all_of(
        patch.object(desk, "best_look", lambda _desk: (RIDE_AND_SAY, 0.0)),
        patch.object(desk, "best_test", lambda _desk: (None, 0.0)),
    )


@contextmanager
def _all_of(*switches: AbstractContextManager[object]) -> Iterator[None]:
    with ExitStack() as stack:
        for switch in switches:
            stack.enter_context(switch)
        yield


SWITCHES: dict[str, Callable[[], AbstractContextManager[object]]] = {
    "nothing": nullcontext,
    "model error": _no_model_error,
    "wrong remarks": _no_wrong_remarks,
    "faults": _no_faults,
    "next look": _no_next_look,
}
"""What can be switched off, by name."""


def switched_off(name: str) -> AbstractContextManager[object]:
    """Switch one part off for as long as the context lasts; whatever is believed in it must begin in it."""
    return SWITCHES[name]()


def evening_without(number: int, *, name: str, seed: int, has_probe: bool, draws: int) -> Outcome:
    """Give how one evening ends with one part switched off; bike and rider are as ever."""
    case, _ = invent_case(number, seed)
    shed = open_shed(case, seed, 0)
    with switched_off(name):
        return our_evening(shed, has_probe=has_probe, draws=draws)


def main() -> None:
    """Read the words of the command and print."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.ablation", description=__doc__)
    asked.add_argument("bikes", type=int)
    asked.add_argument("seed", type=int)
    asked.add_argument("--probe", action="store_true", help="the shed owns a lambda probe")
    asked.add_argument("--processes", type=int, default=1)
    asked.add_argument("--draws", type=int, default=600)
    words = asked.parse_args()
    print(
        f"{words.bikes} bikes, seed {words.seed}, {'a' if words.probe else 'no'} probe, {words.draws} draws\n"
    )
    print("| switched off | right | fewer right | median changes | median minutes | faults left | danger |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    whole: list[Outcome] = []
    for name in SWITCHES:
        one = partial(evening_without, name=name, seed=words.seed, has_probe=words.probe, draws=words.draws)
        ends = _all(one, words.bikes, processes=words.processes)
        whole = whole or ends
        print(_row(name, ends, whole), flush=True)


def _all(one: Callable[[int], Outcome], bikes: int, *, processes: int) -> list[Outcome]:
    if processes == 1:
        return [one(number) for number in range(bikes)]
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        return list(pool.map(one, range(bikes)))


def _row(name: str, ends: list[Outcome], whole: list[Outcome]) -> str:
    """Give one line: shares, and how many more bikes went wrong than right by the switch, with its error."""
    lost = np.array([ours.is_right() - float(end.is_right()) for ours, end in zip(whole, ends, strict=True)])
    error = lost.std() / np.sqrt(len(lost))
    broke_down = sum(end.ended.startswith("broke down") for end in ends)
    if broke_down:
        print(f"{name}: {broke_down} evenings broke down", file=sys.stderr)
    return (
        f"| {name} | {np.mean([end.is_right() for end in ends]):.0%} | {lost.mean():+.0%} +- {error:.0%} "
        f"| {np.median([end.changes for end in ends]):.0f} | {np.median([end.minutes for end in ends]):.0f} "
        f"| {np.mean([bool(end.faults_left) for end in ends]):.0%} | {sum(end.danger for end in ends)} |"
    )


if __name__ == "__main__":
    main()
