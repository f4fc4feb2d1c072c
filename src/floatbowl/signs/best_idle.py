"""Where on the mixture screw the idle is at its best, and whether that says the pilot is a size out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from floatbowl.figures import Figure

if TYPE_CHECKING:
    from collections.abc import Sequence

    from floatbowl.bike.carb import ScrewKind
    from floatbowl.signs.trial import IdleSweepReading

Verdict = Literal["right", "pilot too big", "pilot too small", "cannot tell"]

FEWEST_TURNS = Figure(1.0, 0.75, 1.25, "common practice: best inside of this, the pilot is a size out")
MOST_TURNS = Figure(2.5, 2.0, 3.0, "common practice: best outside of this, the pilot is a size out")
LEAST_RISE = Figure(0.02, 0.01, 0.04, "judgement: less than this is the scatter of a counted idle")
"""How far the idle must lie above the rest of the sweep, as a share, to have a best place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BestIdle:
    """The best place of the screw, in turns out, its speed, and what that says of the pilot."""

    turns: float
    rpm: float
    verdict: Verdict
    is_at_end: bool
    """Whether the best lies at the first or the last place that was tried: it may lie further still."""


def best_idle(reading: IdleSweepReading, *, screw: ScrewKind) -> BestIdle:
    """Give where the idle is quickest; ``screw`` says which way it richens.

    Through the three places around the quickest one a parabola is laid. A sweep
    without a rise tells nothing; neither does one whose best place lies at the end
    of what was tried, unless that end is already outside of what is usual.

    Source: common practice: highest idle is best; outside 1 to 2.5 turns, change
    the pilot by one size.
    """
    ran = sorted((turn, rpm) for turn, rpm in zip(reading.turns, reading.rpm, strict=True) if rpm > 0.0)
    if not ran:
        return BestIdle(turns=reading.turns[0], rpm=0.0, verdict="cannot tell", is_at_end=True)
    turns, rpm = [turn for turn, _ in ran], [speed for _, speed in ran]
    top = rpm.index(max(rpm))
    best, speed = _peak(turns, rpm, top)
    is_at_end = turns[top] in {min(reading.turns), max(reading.turns)}
    has_rise = min(reading.rpm) < (1.0 - LEAST_RISE.value) * speed
    verdict = _verdict(best, screw) if has_rise else "cannot tell"
    if is_at_end and verdict == "right":
        verdict = "cannot tell"
    return BestIdle(turns=best, rpm=speed, verdict=verdict, is_at_end=is_at_end)


def _peak(turns: Sequence[float], rpm: Sequence[float], top: int) -> tuple[float, float]:
    """Give the top of the parabola through the highest place and its neighbours; at an end, that place."""
    if not 0 < top < len(turns) - 1:
        return turns[top], rpm[top]
    before, after = turns[top - 1] - turns[top], turns[top + 1] - turns[top]
    down, up = (rpm[top - 1] - rpm[top]) / before, (rpm[top + 1] - rpm[top]) / after
    bend = (up - down) / (after - before)
    slope = down - bend * before
    off = min(max(-0.5 * slope / bend, before), after) if bend < 0.0 else 0.0
    return turns[top] + off, rpm[top] + slope * off + bend * off**2


def _verdict(best: float, screw: ScrewKind) -> Verdict:
    """Say what the place says: far out, an air screw thins a big pilot, a fuel screw helps a small one."""
    if FEWEST_TURNS.value <= best <= MOST_TURNS.value:
        return "right"
    is_far_out = best > MOST_TURNS.value
    return "pilot too big" if is_far_out == (screw == "air") else "pilot too small"
