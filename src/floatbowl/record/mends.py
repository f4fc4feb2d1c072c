"""What was mended, and when: a trial knows all that was mended since, a file tells each mend once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from floatbowl.signs.trial import Trial


def mended_after(trials: Sequence[Trial]) -> tuple[tuple[str, ...], ...]:
    """Give what was mended between each trial and the next, in order, for trials that know all since."""
    later: list[tuple[str, ...]] = [*(trial.mended for trial in trials[1:]), ()]
    return tuple(_first_of(trial.mended, rest) for trial, rest in zip(trials, later, strict=False))


def _first_of(mended: tuple[str, ...], later: tuple[str, ...]) -> tuple[str, ...]:
    """Give what of ``mended`` is not in ``later``; one fault may have been mended twice."""
    left = Counter(later)
    first: list[str] = []
    for fault in reversed(mended):
        left[fault] -= 1
        if left[fault] < 0:
            first.insert(0, fault)
    return tuple(first)


def with_all_since(trials: Sequence[Trial]) -> tuple[Trial, ...]:
    """Let every trial know all that was mended since; each comes with what was mended right after it.

    >>> from floatbowl.bike.place import assume_day
    >>> from floatbowl.bike.setup import Setup
    >>> setup = Setup(number=1, main="110", pilot="40", clip_from_top=3, cutaway="2.5", screw_turns=1.5)
    >>> first = Trial(setup=setup, day=assume_day(), mended=("air leak",))
    >>> second = replace(first, mended=("choke not off",))
    >>> [trial.mended for trial in with_all_since((first, second))]
    [('air leak', 'choke not off'), ('choke not off',)]
    """
    told: list[Trial] = []
    since: tuple[str, ...] = ()
    for trial in reversed(trials):
        since = (*trial.mended, *since)
        told.insert(0, replace(trial, mended=since))
    return tuple(told)
