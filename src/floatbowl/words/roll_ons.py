"""Roll-ons of two setups held against each other, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from floatbowl.words.forms import Form, form
from floatbowl.words.names import AT
from floatbowl.words.tally import tally_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from floatbowl.jobs import RollOnPair, RollOnsHeld
    from floatbowl.signs.roll_on_runs import Difference, Timed


def held_words(held: RollOnsHeld) -> list[str]:
    """Say, rung by rung, whether the later setup is faster."""
    if not held.pairs:
        both = f"Setups {held.before.number} and {held.after.number}"
        text = f"{both} have no roll-ons from the same opening and speed. Time both alike, from mark to mark."
        return [text]
    return [pair_words(held, pair) for pair in held.pairs]


def pair_words(held: RollOnsHeld, pair: RollOnPair) -> str:
    """Say of one rung whether the later setup is faster, how sure we are, and how to be surer."""
    at = AT[pair.at] if pair.rpm is None else f"{AT[pair.at]}, from {pair.rpm:.0f} rpm"
    where = at[0].upper() + at[1:]
    if pair.difference is None:
        return f"{where}: too few runs to say. Time three of each, better four."
    found = pair.difference
    said = {
        "faster": f"setup {held.after.number} is faster, {tally_words(found.count)}: {_by(found)}.",
        "slower": f"setup {held.after.number} is slower, {tally_words(20 - found.count)}: {_by(found)}.",
        "cannot tell": f"cannot tell. Setup {held.after.number} is faster in {found.count} of 20. "
        f"{_more(found)}",
    }
    return f"{where}: {said[found.verdict]}"


def _by(found: Difference) -> str:
    time, give = 100.0 * abs(found.gain), 200.0 * found.spread
    return f"{time:.1f} % in time, give or take {give:.1f}, about {100.0 * abs(found.pull):.0f} % in pull"


def _more(found: Difference) -> str:
    if found.needed is None:
        return "These runs scatter too much, or lie on different days: time both on one evening, by turns."
    return f"To show a difference of 3 % takes about {found.needed} runs of each that scatter as these do."


def times_words(timed: Sequence[Timed]) -> str:
    """Give every run of a setup."""
    told = []
    for one in timed:
        ways = one.ways or ("",) * len(one.seconds)
        digits = 1 if one.by == "watch" else 2
        told += [f"{second:.{digits}f} {way}".rstrip() for second, way in zip(one.seconds, ways, strict=True)]
    return ", ".join(told)


def held_form(held: RollOnsHeld) -> Form:
    """Give the roll-ons of two setups and how they differ."""
    return form(
        "rollons",
        bike=held.bike,
        before=held.before.number,
        after=held.after.number,
        pairs=[_pair_fields(held, pair) for pair in held.pairs],
        words=" ".join(held_words(held)),
    )


def _pair_fields(held: RollOnsHeld, pair: RollOnPair) -> Form:
    found = pair.difference
    return {
        "at": pair.at.value,
        "rpm": pair.rpm,
        "before_s": [second for one in pair.before for second in one.seconds],
        "after_s": [second for one in pair.after for second in one.seconds],
        "verdict": None if found is None else found.verdict,
        "faster": None if found is None else found.count,
        "of": 20,
        "gain_pct": None if found is None else round(100.0 * found.gain, 2),
        "spread_pct": None if found is None else round(100.0 * found.spread, 2),
        "pull_pct": None if found is None else round(100.0 * found.pull, 1),
        "runs_needed": None if found is None else found.needed,
        "words": pair_words(held, pair),
    }
