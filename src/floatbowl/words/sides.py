"""Two setups side by side, in words."""

from __future__ import annotations

from dataclasses import replace

from floatbowl.belief.belief import OF
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.jobs import Sides
from floatbowl.words.bench import Row
from floatbowl.words.dry_fit import ladder_after, rung_fields
from floatbowl.words.forms import Form, form, setup_fields
from floatbowl.words.names import AT, in_line
from floatbowl.words.steps import step_brief


def side_rows(sides: Sides) -> tuple[tuple[Row, Row], ...]:
    """Give the six rungs from full down to shut, each as the first setup makes it and as the second does."""
    first, second = (ladder_after(sides.belief, one) for one in (sides.first, sides.second))
    return tuple(
        (
            replace(one, right_before=None, sentence=_sentence(sides, one.at)),
            replace(other, right_before=None, sentence=_sentence(sides, other.at)),
        )
        for one, other in zip(first, second, strict=True)
    )


def _sentence(sides: Sides, at: Rung) -> str:
    one, other = sides.first, sides.second
    return (
        f"{_upper(AT[at])}, {one.counts_at(at)[1]} in {OF} are about right with setup {one.setup.number}, "
        f"{other.counts_at(at)[1]} with setup {other.setup.number}."
    )


def differs_words(sides: Sides) -> str:
    """Say what differs between the two: ``Setup 8 to 9: clip in groove 4``."""
    names = tuple(step_brief(step, sides.belief.bike) for step in sides.steps)
    one, other = sides.first.setup.number, sides.second.setup.number
    if not names:
        return f"Setups {one} and {other} have the same parts."
    return f"From setup {one} to setup {other}: {in_line(names)}."


def sides_words(sides: Sides) -> str:
    """Say where the second setup helps most and where it harms most."""
    gained = {at: sides.second.counts_at(at)[1] - sides.first.counts_at(at)[1] for at in RUNGS}
    best, worst = max(RUNGS, key=gained.__getitem__), min(RUNGS, key=gained.__getitem__)
    told = [_sentence(sides, at) for at in dict.fromkeys((best, worst)) if abs(gained[at]) >= _NOTICED]
    return " ".join(told) or "A rider would hardly feel the difference."


_NOTICED = 2
"""Fewer of the twenty than this, gained or lost, are not worth a sentence."""


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def sides_form(sides: Sides) -> Form:
    """Give both setups, rung by rung, and the parts in which they differ."""
    rows = side_rows(sides)
    return form(
        "sides",
        bike=sides.belief.bike.name,
        words=sides_words(sides),
        of=OF,
        differs=[{"part": step.part, "from": step.before, "to": step.after} for step in sides.steps],
        first=setup_fields(sides.first.setup),
        second=setup_fields(sides.second.setup),
        rungs=[
            {"at": one.at.value, "first": rung_fields(one), "second": rung_fields(other)}
            for one, other in rows
        ],
    )
