"""Whether a belief is to be trusted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from floatbowl.belief.belief import Trust

if TYPE_CHECKING:
    from floatbowl.belief.sample import Crowd

FEWEST_EFFECTIVE = 100.0
"""Effective draws below which the crowd does not stand for the belief (judgement: counting to 20)."""
LEAST_MOVED = 0.03
"""Share of moves below which the crowd has stuck (judgement)."""
MOST_UNEXPLAINED = 0.5
"""Share of remarks that may stand unexplained before we say that it does not fit together (judgement)."""


def trust(crowd: Crowd, *, remarks: int, unexplained: tuple[str, ...]) -> Trust:
    """Say whether the belief may be spoken from, and if not, why."""
    why = "good"
    if not crowd.arrived or crowd.effective < FEWEST_EFFECTIVE or crowd.moved < LEAST_MOVED:
        why = "too few draws"
    elif remarks and len(unexplained) > MOST_UNEXPLAINED * remarks:
        why = "unexplained"
    return Trust(is_good=why == "good", why=why, effective_draws=crowd.effective, unexplained=unexplained)
