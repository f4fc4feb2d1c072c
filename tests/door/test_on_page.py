"""Sentences on pages: the same as anywhere, less the commands that buttons stand for."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from floatbowl.belief.belief import OF
from floatbowl.bike.rung import Rung
from floatbowl.words import on_page
from floatbowl.words.bench import Row
from floatbowl.words.looks import LOOKS
from floatbowl.words.suspects import SUSPECTS


def told_with_commands() -> Iterator[str]:
    """Give every sentence of mending and looking that may end in a command."""
    for suspect in SUSPECTS.values():
        yield from suspect.mend
    for look in LOOKS.values():
        yield from (*look.how, look.found, look.not_found, look.measure)


@pytest.mark.parametrize("text", sorted({text for text in told_with_commands() if text}))
def test_no_command_is_left_and_nothing_else_is_lost(text: str) -> None:
    """What stands before a command stays and ends as a sentence; what has none is left alone."""
    bare = on_page.without_command(text)
    assert "floatbowl" not in bare
    told, command, _ = text.partition("floatbowl")
    assert bare == (told.rstrip(": ").removesuffix(".") + "." if command else text)


def row(short: int, too_much: int, sentence: str, *, right_before: int | None = None) -> Row:
    """Make a rung with so many of the twenty short and with too much."""
    return Row(
        at=Rung.QUARTER,
        say_pct=(10, 20, 60, 10),
        off_pct=(0.0,) * OF,
        close_pct=5.0,
        short=short,
        right=OF - short - too_much,
        too_much=too_much,
        heard=(),
        sentence=sentence,
        right_before=right_before,
    )


SPOKEN = (
    (row(18, 0, "Shut, the pilot has most say. 18 of the 20 likely bikes are short."), 18, "18 of the 20"),
    (row(0, 20, "At 1/4 open, no part has a clear say. All 20 likely bikes get too much."), 20, "All 20"),
    (row(5, 6, "At 1/4 open, the pilot has most say. We do not know yet: 5 are short."), None, ""),
    (row(5, 6, "At 1/4 open, 9 in 20 would be right; now it is 3.", right_before=3), 9, "9 in 20"),
)


@pytest.mark.parametrize(("rung", "count", "bold"), SPOKEN)
def test_a_sentence_in_breaths_is_the_sentence(rung: Row, count: int | None, bold: str) -> None:
    """Beside the tally stands the count that the sentence tells, and the breaths joined are the sentence."""
    told = on_page.spoken(rung)
    assert (told.count, told.bold) == (count, bold)
    assert " ".join(part for part in (told.say, told.bold, told.rest) if part) == rung.sentence
