"""The bench in words: the sentence above the ladder, and the ladder's rows as plain data.

Terminal, pages and JSON draw the same rows, so that they say the same.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from floatbowl.belief.belief import OF, PARTS, Belief
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import Remark, Trial
from floatbowl.words.names import AT, DID, SAYER, complaint_words, in_line

CLEAR_SAY = 0.40
"""A part with less say than this is not called the one that rules (decided with the design of the ladder)."""

MOST = OF // 2
"""More than this many of the twenty make a sentence; fewer leave it open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One rung of the ladder.

    ``say_pct`` is in the order of ``PARTS`` and adds to 100. ``off_pct`` is the
    fuel of each of the twenty against what is wanted, short below zero, in the
    steady order of the twenty; within ``close_pct`` of nothing is close enough.
    """

    at: Rung
    say_pct: tuple[int, ...]
    off_pct: tuple[float, ...]
    close_pct: float
    short: int
    right: int
    too_much: int
    heard: tuple[str, ...]
    sentence: str
    right_before: int | None = None
    """On a dry fit: how many were about right before it."""


def ladder(belief: Belief, trials: Iterable[Trial] = ()) -> tuple[Row, ...]:
    """Give the six rungs from full down to shut, with what the rider said on this setup."""
    remarks = remarks_on(belief.setup.number, trials)
    return tuple(_row(belief, at=at, remarks=remarks) for at in reversed(RUNGS))


def _row(belief: Belief, *, at: Rung, remarks: tuple[Remark, ...]) -> Row:
    short, right, too_much = belief.counts_at(at)
    place = RUNGS.index(at)
    return Row(
        at=at,
        say_pct=say_percents(belief.say[place]),
        off_pct=off_percents(belief.twenty_at(at)),
        close_pct=percent(float(belief.close_enough[place])),
        short=short,
        right=right,
        too_much=too_much,
        heard=heard_at(remarks, at),
        sentence=bench_sentence(belief, at=at),
    )


def say_percents(say: NDArray[np.float64]) -> tuple[int, ...]:
    """Give the say of the four parts at one rung in whole per cents."""
    return whole_percents(tuple(float(share) for share in say))


def off_percents(errors: NDArray[np.float64]) -> tuple[float, ...]:
    """Give the twenty at one rung as per cents short (below zero) or too much."""
    return tuple(percent(float(error)) for error in errors)


def percent(log_ratio: float) -> float:
    """Give a logarithm of fuel over fuel wanted as per cent too much."""
    return round(100.0 * math.expm1(log_ratio), 1)


def whole_percents(shares: tuple[float, ...]) -> tuple[int, ...]:
    """Round shares to whole per cents that still add to 100 (largest remainders get the rest)."""
    exact = [100.0 * share / sum(shares) for share in shares]
    floors = [math.floor(x) for x in exact]
    order = sorted(range(len(exact)), key=lambda i: floors[i] - exact[i])
    for i in order[: 100 - sum(floors)]:
        floors[i] += 1
    return tuple(floors)


def remarks_on(setup_number: int, trials: Iterable[Trial]) -> tuple[Remark, ...]:
    """Give what was said while this setup was fitted, and since the last mending."""
    rides = (trial for trial in trials if trial.setup.number == setup_number and not trial.mended)
    return tuple(remark for trial in rides for remark in trial.remarks)


def heard_at(remarks: Iterable[Remark], at: Rung | None) -> tuple[str, ...]:
    """Give what was said at one rung, the same thing once with how many times."""
    counted = Counter((DID[remark.did], remark.engine) for remark in remarks if remark.at == at)
    return tuple(f"{did}, {engine}{f', {n} times' if n > 1 else ''}" for (did, engine), n in counted.items())


def bench_sentence(belief: Belief, *, at: Rung) -> str:
    """Say in one breath who has the say at a rung and what the twenty think of it."""
    return f"{_upper(AT[at])}, {who_has_the_say(belief, at=at)}. {_count_words(belief, at=at)}"


def who_has_the_say(belief: Belief, *, at: Rung) -> str:
    """Name the part with most say at a rung, or say that none has a clear one."""
    say = belief.say[RUNGS.index(at)]
    most = int(say.argmax())
    if say[most] < CLEAR_SAY:
        return "no part has a clear say"
    return f"{SAYER[PARTS[most]]} has most say"


def _count_words(belief: Belief, *, at: Rung) -> str:
    short, right, too_much = belief.counts_at(at)
    if short > MOST:
        return f"{_of(short)} are short of fuel here."
    if too_much > MOST:
        return f"{_of(too_much)} get too much fuel here."
    if right > MOST:
        return f"{_of(right)} are about right here."
    spread = f"{short} are short of fuel here, {right} about right, {too_much} get too much"
    return f"We do not know yet: of the {OF} likely bikes {spread}."


def _of(count: int) -> str:
    return f"All {OF} likely bikes" if count == OF else f"{count} of the {OF} likely bikes"


def worst_rung(belief: Belief) -> Rung:
    """Give the rung at which most of the twenty are off; of equals, the lower one."""
    return max(RUNGS, key=lambda at: max(belief.counts_at(at)[0], belief.counts_at(at)[2]))


def bike_sentence(belief: Belief, trials: Iterable[Trial] = ()) -> str:
    """Say what the whole bike does and where it is off, for the garage."""
    did = _chief_complaint(remarks_on(belief.setup.number, trials))
    return f"{did}{_where_off(belief)}"


def _chief_complaint(remarks: tuple[Remark, ...]) -> str:
    complaints = Counter((remark.did, remark.at) for remark in remarks if remark.did != "clean")
    if not complaints:
        return "Runs clean, the rider says. " if remarks else ""
    (did, at), _ = complaints.most_common(1)[0]
    return f"{_upper(complaint_words(did, at))}. "


def _where_off(belief: Belief) -> str:
    counts = [belief.counts_at(at) for at in RUNGS]
    told = [
        _stretches("short of fuel", [short for short, _, _ in counts]),
        _stretches("too much fuel", [too_much for _, _, too_much in counts]),
    ]
    parts = [part for part in told if part]
    if parts:
        return f"{_upper('; '.join(parts))}."
    fewest = min(right for _, right, _ in counts)
    if fewest > MOST:
        return f"Right at every opening, {fewest} in {OF} or better."
    return "We do not know yet where it is off."


def _stretches(what: str, counts: list[int]) -> str:
    """Join neighbouring rungs where more than half of the twenty agree, each stretch with its least count."""
    found: list[list[int]] = []
    for place, count in enumerate(counts):
        if count > MOST:
            if found and found[-1][-1] == place - 1:
                found[-1].append(place)
            else:
                found.append([place])
    told = tuple(f"{_from_to(run)} ({_all_along([counts[i] for i in run])})" for run in found)
    return f"{what} {in_line(told)}" if told else ""


def _all_along(counts: list[int]) -> str:
    """Say the count of a stretch: the least of it, so that no rung is told surer than it is."""
    more = " or more" if min(counts) < max(counts) else ""
    return f"{min(counts)} in {OF}{more}"


def _from_to(run: list[int]) -> str:
    first, last = RUNGS[run[0]], RUNGS[run[-1]]
    if len(run) == len(RUNGS):
        return "at every opening"
    if first == last:
        return "when shut" if first is Rung.SHUT else f"at {first.value}"
    return f"from {first.value} to {last.value}"


def two_faults_count(belief: Belief) -> int:
    """Count those of the twenty that have two faults at once."""
    return int(np.count_nonzero((belief.fault[belief.twenty] >= 0).all(axis=1)))


def two_faults_words(belief: Belief) -> str:
    """Say how many have two faults, where some have: the suspects' counts then add to more than twenty."""
    count = two_faults_count(belief)
    return f"{count} of the {OF} {'has' if count == 1 else 'have'} two of these at once." if count else ""


TRUST: dict[str, str] = {
    "too few draws": "We are not sure of this: few likely bikes fit what was said.",
    "unexplained": "We are not sure of this: some of what was said does not fit any bike we can think of.",
}
"""Why a belief is not to be leaned on, by the key it gives."""


def trust_words(why: str) -> str:
    """Say why a belief is not to be leaned on."""
    return TRUST[why]


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
