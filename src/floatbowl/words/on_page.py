# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""The same sentences where buttons stand in the place of commands, and the few that only a page needs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup
from floatbowl.signs.trial import Trial
from floatbowl.words.bench import MOST, Row, heard_at, remarks_on
from floatbowl.words.card import Card
from floatbowl.words.mending import AFTER_MENDING as AFTER_MENDING  # noqa: PLC0414  (the pages name it from here)
from floatbowl.words.names import in_line, plural

NOTHING_CHANGED = "Nothing is changed until you tell the logbook."
DASHED_IS_TRIED = "Blue dashed lines are the twenty likely bikes with it."
TAG_MAY_HANG = "You may still change jets. The logbook notes that the tag was hanging."
ONE_STROKE = "each stroke: one likely bike"
MEASURE_NEXT = "Measured is inked. What is pencilled was assumed from bikes of its kind."
EMPTY_GARAGE = "No bike stands here yet. Which bike is in front of you?"
EMPTY_DRAWER = "The drawer is empty, so only what is on the bike can be tried: clip, washer and screw."
NOT_TRIED_YET = "Working it out on paper."
CARD_GONE = "The card has changed since it was shown, so nothing was set aside. Here is what we would do now."
TICK_FIRST = "Nothing was written down. Twist, let go, and see that it snaps shut; then tick it, and press the button again."
FITTED = "Fitted, and written down. Now ride it, and say what it did."
NOW_HERE = "now"
SAY_IS_B = "Who has the say is drawn as it is with B."
ONE_SETUP = "There is only one setup of this bike so far. When you have fitted another, they can be laid side by side."


def ridden_words(bike: str) -> str:
    """Name the pin of the air in which a bike was ridden last."""
    return f"{bike} last ridden"


def mild_words(place: str) -> str:
    """Name the pin of another place, whose air is only guessed from its height."""
    return f"{place} on a mild day"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """A rung's sentence in its breaths: who has the say, a count of the twenty in bold, and what it counts."""

    say: str
    count: int | None
    bold: str
    rest: str


def spoken(row: Row) -> Spoken:
    """Take a rung's sentence apart, so that its count can stand beside a tally.

    Joined with blanks the breaths are the sentence again.
    """
    is_tried = row.right_before is not None
    say, stop, fuel = row.sentence.partition(", " if is_tried else ". ")
    most = next((count for count in (row.short, row.too_much, row.right) if count > MOST), None)
    count = row.right if is_tried else most
    counted = re.match(r"(\d+ of the \d+|\d+ in \d+|All \d+) ", fuel)
    bold = counted[1] if counted and count is not None else ""
    return Spoken(say=say + stop.strip(), count=count, bold=bold, rest=fuel.removeprefix(bold).strip())


def without_command(text: str) -> str:
    """Take the command off the end of a sentence: on a page a button stands in its place.

    >>> without_command("Measure again, and write the float height down: floatbowl fitted otter float=18.5.")
    'Measure again, and write the float height down.'
    """
    told, command, _ = text.partition("floatbowl ")
    return told.rstrip(" .:") + "." if command else text


def over_words(card: Card) -> str:
    """Say over a card what it costs: ``Job, about 15 minutes, nothing to buy``."""
    kind = card.over.capitalize()
    minutes = f"about {plural(card.minutes, 'minute')}" if card.minutes else ""
    buy = f"to buy: {card.to_buy}" if card.to_buy else "nothing to buy" if card.kind == "change" else ""
    return ", ".join(part for part in (kind, minutes, buy) if part)


def outcome_button(outcome: str) -> tuple[str, str]:
    """Give an outcome of a look as what stands on its button, and what it means.

    >>> outcome_button("Bubbles: the leak is there.")
    ('Bubbles', 'The leak is there.')
    """
    seen, _, means = outcome.partition(": ")
    return seen.rstrip("."), upper(means)


def evidence_parts(line: str) -> tuple[str, str]:
    """Give a piece of evidence, and the entries that say it.

    >>> evidence_parts("bogs at 1/4 open, hot (ride-3, ride-4)")
    ('Bogs at 1/4 open, hot', 'ride-3, ride-4')
    """
    told, _, entries = line.removesuffix(")").rpartition(" (")
    return upper(told), entries


def runner_parts(line: str) -> tuple[str, str]:
    """Give a change that was not advised first, and why not.

    >>> runner_parts("main 98: has less say where it is wrong.")
    ('Main 98', 'Has less say where it is wrong.')
    """
    names, _, why = line.partition(": ")
    return upper(names), upper(why)


def too_little_words(bike: str, missing: Sequence[str]) -> str:
    """Say that a bike cannot be thought about yet, and what was not written down.

    >>> too_little_words("Wren", ("main", "pilot"))
    'Too little is known of Wren to say anything yet. Not written down: main and pilot.'
    """
    return f"Too little is known of {bike} to say anything yet. Not written down: {in_line(tuple(missing))}."


def changed_under_you(shown: str, now: Setup) -> str:
    """Say that another setup was fitted since the card was shown."""
    return (
        f"Setup {now.number} has been fitted since this was shown; then it was setup {shown}. Nothing was written down. "
        "Read again what is fitted and what we would do now, and go on from there."
    )


def heard_with_both(trials: Sequence[Trial], numbers: tuple[int, int], at: Rung) -> tuple[str, ...]:
    """Give what was said at a rung with the one setup, A, and with the other, B."""
    pairs = zip("AB", numbers, strict=True)
    return tuple(
        f"{letter}: {one}" for letter, number in pairs for one in heard_at(remarks_on(number, trials), at)
    )


def setup_choice(setup: Setup, *, is_fitted: bool) -> str:
    """Name a setup in a list to choose from."""
    parts = f"main {setup.main}, pilot {setup.pilot}, clip {setup.clip_from_top}, {setup.screw_turns:g} turns"
    return f"Setup {setup.number}{', fitted now' if is_fitted else ''}: {parts}"


def upper(text: str) -> str:
    """Begin a sentence with a capital."""
    return text[:1].upper() + text[1:]


def stands_words(names: Sequence[str], *, ready: Sequence[str], tagged: Sequence[str]) -> str:
    """Say in one breath how the garage stands.

    >>> stands_words(("Magpie", "Thistle", "Otter"), ready=("Magpie",), tagged=("Thistle",))
    'Three bikes on stands. Magpie has a job ready. Thistle must not be jetted yet.'
    """
    told = [f"{_counted(len(names))} on stands."]
    if ready:
        told.append(f"{in_line(tuple(ready))} {'has' if len(ready) == 1 else 'have'} a job ready.")
    if tagged:
        told.append(f"{in_line(tuple(tagged))} must not be jetted yet.")
    return " ".join(told)


_NUMBERS = (
    "No",
    "One",
    "Two",
    "Three",
    "Four",
    "Five",
    "Six",
    "Seven",
    "Eight",
    "Nine",
    "Ten",
    "Eleven",
    "Twelve",
)


def _counted(number: int) -> str:
    word = _NUMBERS[number] if number < len(_NUMBERS) else str(number)
    return f"{word} {'bike' if number == 1 else 'bikes'}"
