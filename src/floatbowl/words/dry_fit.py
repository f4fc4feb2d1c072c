"""A dry fit in words: what would be if this were fitted, against what is now."""

from __future__ import annotations

from typing import Any

from floatbowl.advice.dry_fit import DryFit
from floatbowl.belief.belief import OF, PARTS, Belief
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.words.bench import Row, off_percents, percent, say_percents
from floatbowl.words.names import AT

NOTICED = 2
"""Fewer of the twenty than this, gained or lost, are not worth a sentence."""


def ladder_after(belief: Belief, tried: DryFit) -> tuple[Row, ...]:
    """Give the six rungs as they would be, from full down to shut."""
    return tuple(_row(belief, tried, at=at) for at in reversed(RUNGS))


def _row(belief: Belief, tried: DryFit, *, at: Rung) -> Row:
    place = RUNGS.index(at)
    short, right, too_much = tried.counts_at(at)
    right_before = belief.counts_at(at)[1]
    return Row(
        at=at,
        say_pct=say_percents(tried.say[place]),
        off_pct=off_percents(tried.error[:, place]),
        close_pct=percent(float(belief.close_enough[place])),
        short=short,
        right=right,
        too_much=too_much,
        heard=(),
        sentence=f"{_upper(AT[at])}, {right} in {OF} would be about right; now it is {right_before}.",
        right_before=right_before,
    )


def rung_fields(row: Row) -> dict[str, Any]:
    """Give one rung of a ladder that is tried on paper, as plain data."""
    return {
        "at": row.at.value,
        "words": row.sentence,
        "say_pct": dict(zip(PARTS, row.say_pct, strict=True)),
        "off_pct": list(row.off_pct),
        "close_enough_pct": row.close_pct,
        "short": row.short,
        "right": row.right,
        "too_much": row.too_much,
    }


def dry_fit_sentence(belief: Belief, tried: DryFit) -> str:
    """Say where it would help most, and where it would do harm."""
    gained = {at: tried.counts_at(at)[1] - belief.counts_at(at)[1] for at in RUNGS}
    best, worst = max(RUNGS, key=gained.__getitem__), min(RUNGS, key=gained.__getitem__)
    told = [_told(belief, tried, at=at) for at in (best,) if gained[at] >= NOTICED]
    told += [_told(belief, tried, at=at) for at in (worst,) if gained[at] <= -NOTICED]
    return " ".join(told) or "On paper it changes nothing that a rider would feel."


def _told(belief: Belief, tried: DryFit, *, at: Rung) -> str:
    before, after = belief.counts_at(at)[1], tried.counts_at(at)[1]
    return f"{_upper(AT[at])} {after} of the {OF} likely bikes would be about right, instead of {before}."


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
