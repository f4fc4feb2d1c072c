"""The ladder in words: the table that says all that the picture shows, and the names of its columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from floatbowl.belief.belief import OF, PARTS
from floatbowl.words.bench import Row
from floatbowl.words.names import ALOUD, SAYER, in_line

OPENING, SAY, FUEL, DID_HERE = "opening", "who has the say", "fuel against what it wants", "what it did"
SHORT_SIDE, MUCH_SIDE = "short of fuel", "too much"
BORE_SCALE = "the bore's own scale"


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderTable:
    """The ladder as a table: heads of the columns, and for each rung, from full down, its cells.

    The first cell of a row is its head.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def ladder_table(rows: Sequence[Row]) -> LadderTable:
    """Give the ladder's cells as words for those who read a table better than a picture."""
    return LadderTable(
        title="The ladder, from fully open down to shut",
        heads=(OPENING, SAY, FUEL, DID_HERE),
        rows=tuple((ALOUD[row.at], say_words(row), fuel_words(row), did_words(row)) for row in rows),
    )


def say_words(row: Row) -> str:
    """Give the parts that have a say at a rung, the most first: ``the needle 58 %, the pilot 15 %``."""
    shares = sorted(zip(row.say_pct, PARTS, strict=True), key=lambda share: -share[0])
    return ", ".join(f"{SAYER[part]} {pct} %" for pct, part in shares if pct)


def fuel_words(row: Row) -> str:
    """Give the counts of a rung, with what they were before it on a dry fit."""
    counts = ((row.short, "short"), (row.right, "about right"), (row.too_much, "too much"))
    told = in_line(tuple(f"{count} {words}" for count, words in counts if count))
    was = "" if row.right_before is None else f"; now {row.right_before} are about right"
    return f"of {OF}: {told}{was}"


def did_words(row: Row) -> str:
    """Give what was said at a rung."""
    return "; ".join(row.heard) or "nothing said yet"


def ladder_description(rows: Sequence[Row]) -> str:
    """Describe the whole ladder in sentences, rung by rung."""
    return " ".join(row.sentence for row in rows)


def rung_words(row: Row) -> str:
    """Describe one rung for those who do not see its picture."""
    return f"{say_words(row)}. {fuel_words(row)}"
