"""Logs at the command line: what the columns are taken for is shown and asked, then the rows are read."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from floatbowl.cli.door import Desk
from floatbowl.cli.paper import BLANK, Line, text_line, wrapped
from floatbowl.cli.telling import pairs, paragraphs
from floatbowl.words import heard_log
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.jobs import LogGuess
    from floatbowl.words.heard_log import Runs, ToldColumns

    Lacks = Callable[[LogGuess], tuple[str, ...]]


def measured_files(  # noqa: PLR0913  (what can stand beside a file)
    desk: Desk,
    bike: str,
    words: Sequence[str],
    *,
    columns: str | None,
    held: Sequence[str],
    between: str | None,
) -> None:
    """Read a log of lambda, or logs of roll-ons, whichever the words name."""
    if len(words) > 1:
        measured_runs(desk, bike, heard_log.runs(words), columns=columns, between=between)
    else:
        measured_log(desk, bike, Path(words[0]), columns=columns, held=held)


def measured_runs(desk: Desk, bike: str, runs: Runs, *, columns: str | None, between: str | None) -> None:
    """Time roll-ons from logs of the engine speed, all of one kind, and write the times down."""
    from floatbowl.jobs import time_runs
    from floatbowl.words.forms import reading_form
    from floatbowl.words.lambda_log import run_lacks
    from floatbowl.words.names import reading_words

    low, high = heard_log.speeds(between)
    told = None if columns is None else heard_log.columns(columns)
    with desk.garage() as garage:
        name = garage.bike(bike).name
        guess = garage.guess_log(bike, Path(runs.files[0]))
        agreed = _put_right(guess, told) if told else _asked(desk, guess, name, lacks=run_lacks)
        if agreed is None:
            return
        for lack in run_lacks(agreed):
            raise NotUnderstoodError(lack)
        seconds = [time_runs(agreed, Path(file), low=low, high=high) for file in runs.files]
        _refuse_short(runs.files, seconds, low=low, high=high)
        fields = {"kind": "rollon", "from": runs.at.value, "seconds": seconds, "rpm": low, "by": "trace"}
        ways = {"ways": list(runs.ways)} if runs.ways else {}
        reading = garage.record_reading(bike, **fields, **ways)
    lines = [text_line(f"{name}: {reading_words(reading)}.", "head")]
    desk.answer(reading_form(reading, bike=name), [*lines, text_line(f"Saved as {reading.entry}.", "faint")])


def _refuse_short(files: Sequence[str], seconds: Sequence[float | None], *, low: float, high: float) -> None:
    for file, took in zip(files, seconds, strict=True):
        if took is None:
            text = (
                f"{file} does not go from {low:.0f} to {high:.0f} rpm. Name speeds that every run goes "
                f"through, as --between 4000-6500. Nothing was written down."
            )
            raise NotUnderstoodError(text)


def measured_log(desk: Desk, bike: str, file: Path, *, columns: str | None, held: Sequence[str]) -> None:
    """Read a log of lambda and write down what it came to, once its columns are agreed."""
    from floatbowl.jobs import read_log
    from floatbowl.words import lambda_log as words

    told = None if columns is None else heard_log.columns(columns)
    notes = heard_log.held(held)
    with desk.garage() as garage:
        name = garage.bike(bike).name
        guess = garage.guess_log(bike, file)
        agreed = _put_right(guess, told) if told else _asked(desk, guess, name, lacks=words.guess_lacks)
        if agreed is None:
            return
        with _bar(agreed.text.size - agreed.text.begins) as progress:
            came = read_log(agreed, held=notes, progress=progress)
        if not came.came.places:
            raise NotUnderstoodError(words.tells_nothing(came))
        reading = garage.record_log(bike, came)
    head = text_line(f"{name}: a log of {file.name}, {len(reading.at)} places.", "head")
    lines = [head, *paragraphs(words.came_lines(reading), desk), *paragraphs([words.late_words(came)], desk)]
    aside = [text_line(line, "faint") for line in words.aside_lines(came)]
    saved = text_line(f"Saved as {reading.entry}.", "faint")
    desk.answer(words.came_form(reading, came, bike=name), [*lines, *aside, saved])


def _put_right(guess: LogGuess, told: ToldColumns) -> LogGuess:
    """Take the columns as a person named them; those not named stay as guessed."""
    from dataclasses import replace

    from floatbowl.jobs import put_right

    for role, one in told.columns.items():
        guess = put_right(guess, role, one.column, low=one.low, high=one.high, at_one=one.at_one)  # type: ignore[arg-type]
    return replace(guess, rows_apart=told.step or guess.rows_apart)


def _asked(desk: Desk, guess: LogGuess, bike: str, *, lacks: Lacks) -> LogGuess | None:
    """Show what the columns are taken for and ask; without anyone to ask, only show.

    ``lacks`` says what is missing for what the log is read for.
    """
    from floatbowl.jobs import RecordTrouble
    from floatbowl.words import lambda_log as words

    if desk.is_json or not sys.stdin.isatty():
        right = f"--columns {words.as_columns(guess)}"
        again = f"Nothing was written down. If that is right, write it again with {right}"
        lines = [*_guess_lines(desk, guess, lacks), *_set(desk, again)]
        desk.answer(words.guess_form(guess, bike=bike, notes=lacks(guess)), lines)
        return None
    while True:
        desk.say(_guess_lines(desk, guess, lacks))
        said = click.prompt("Is that right? y, n, or what is otherwise, as throttle=3", default="y").strip()
        if said.casefold() in {"y", "yes"}:
            return guess
        if said.casefold() in {"n", "no"}:
            desk.say([text_line("Nothing was written down.")])
            return None
        try:
            guess = _put_right(guess, heard_log.columns(said))
        except (NotUnderstoodError, RecordTrouble) as trouble:
            desk.say(_set(desk, str(trouble)))


def _guess_lines(desk: Desk, guess: LogGuess, lacks: Lacks) -> list[Line]:
    from floatbowl.words import lambda_log as words

    head = text_line(f"{guess.text.path.name} is taken for:", "head")
    notes = [line for note in lacks(guess) for line in _set(desk, note)]
    return [head, *pairs(words.guess_rows(guess)), *notes, BLANK]


def _set(desk: Desk, text: str) -> list[Line]:
    return [text_line(line) for line in wrapped(text, desk.paper.width)]


@contextmanager
def _bar(size: int) -> Iterator[Callable[[int], None]]:
    """Show how far a log is read, where someone looks on."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    with click.progressbar(length=size, label="Reading", file=sys.stderr) as bar:
        yield cast("Callable[[int], None]", bar.update)
