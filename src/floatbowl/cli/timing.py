"""Roll-ons of two setups held against each other."""

from __future__ import annotations

import click

from floatbowl.cli.door import Desk, job
from floatbowl.cli.paper import text_line
from floatbowl.cli.telling import pairs, paragraphs
from floatbowl.words.trouble import NotUnderstoodError


@job("rollons")
@click.argument("bike")
@click.argument("setups", nargs=-1, metavar="[BEFORE AFTER]")
def rollons(desk: Desk, *, bike: str, setups: tuple[str, ...]) -> None:
    """Say whether a change made it faster: rollons magpie 8 9.

    The timed roll-ons of two setups, by their numbers, are held against their own
    scatter; without numbers, the last two that were timed. Nothing is written down.
    """
    from floatbowl.words import roll_ons as words

    before, after = _numbers(setups)
    with desk.garage() as garage:
        held = garage.hold_roll_ons(bike, before, after)
    head = text_line(f"{held.bike}, setup {held.before.number} against setup {held.after.number}", "head")
    lines = [head, *paragraphs(words.held_words(held), desk)]
    for pair in held.pairs:
        runs = ((held.before, pair.before), (held.after, pair.after))
        lines += pairs([(f"setup {setup.number}", words.times_words(timed)) for setup, timed in runs])
    desk.answer(words.held_form(held), lines)


def _numbers(setups: tuple[str, ...]) -> tuple[int | None, int | None]:
    """Read two numbers of setups, or none."""
    if not setups:
        return None, None
    if len(setups) != 2 or not all(one.isdecimal() for one in setups):  # noqa: PLR2004  (a pair)
        text = "Name two setups by their numbers, the earlier first: floatbowl rollons magpie 8 9."
        raise NotUnderstoodError(text)
    return int(setups[0]), int(setups[1])
