"""How well complaints with a known cause are solved: ``python -m benchmarks.complaints 1000 7``.

The numbers are draws and seed. Prints every story with its cause, the place the cause got, the first three
suspects with their counts of the twenty, and the advice; last the shares of docs/validity.md. The stories and
how they are scored: tests/stories/complaints.py.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

from tests.stories.complaints import SET_WRONG, Outcome, complaints, heard, score


def main(draws: int, seed: int) -> None:
    """Tell all stories and print."""
    print(f"{draws} draws, seed {seed}")
    run = []
    for story in complaints():
        run.append(heard(story, draws=draws, seed=seed))
        print(*_lines(run[-1]), sep="\n", flush=True)
    for name, share in _shares(run):
        print(f"{name:<58} {share:.2f}")


def _lines(outcome: Outcome) -> Iterator[str]:
    story, advice = outcome.story, outcome.advice
    doubt = "" if outcome.is_trusted else "  (no belief to speak from)"
    yield f"{story.name} [{story.bike.name}]: {story.truth}{doubt}"
    first = ", ".join(f"{one.name} {one.count}" for one in outcome.suspects[:3])
    side = "" if story.is_broken or outcome.leans_right else ", errs elsewhere"
    yield f"    place {outcome.place} ({outcome.place_of_all} of all{side}): {first}"
    what = advice.look or ", ".join(f"{step.part} {step.before} to {step.after}" for step in advice.steps)
    about = f" ({advice.suspect})" if advice.suspect else ""
    yield f"    {'' if outcome.is_advised_well else 'WRONG '}{advice.kind}: {what}{about}"


def _shares(run: list[Outcome]) -> Iterator[tuple[str, float]]:
    broken = [outcome for outcome in run if outcome.story.is_broken]
    shares = score(run)
    yield "true suspect first", shares.first
    yield "true suspect in the first three", shares.in_three
    yield f"first, {SET_WRONG} in the way of faults too", shares.first_of_all
    yield f"in the first three, {SET_WRONG} in the way of faults too", shares.in_three_of_all
    yield "fault stories alone: first", sum(one.place == 1 for one in broken) / len(broken)
    yield "fault stories alone: in the first three", sum(one.place <= 3 for one in broken) / len(broken)
    yield "stop or look against setting, balanced", shares.balanced
    yield "the same, any look on the one side", shares.balanced_strictly


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:3]))
