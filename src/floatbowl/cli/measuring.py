"""Readings at the command line: one that was typed, or one out of a file."""

from __future__ import annotations

from typing import Any

import click

from floatbowl.cli.door import Desk, job
from floatbowl.cli.paper import BLANK, Line, Span, text_line
from floatbowl.cli.rows import measured_files
from floatbowl.cli.telling import paragraphs, saved
from floatbowl.words import heard
from floatbowl.words.trouble import NotUnderstoodError


@job("measured", has_signed_numbers=True)
@click.argument("bike", required=False)
@click.argument("words", nargs=-1, metavar="KIND VALUE...")
@click.option("--rpm", metavar="RPM", help="Engine speed of a lambda, or that a roll-on began at.")
@click.option("--choke", metavar="off|half|on", help="How far the choke was on during a roll-on.")
@click.option("--at", metavar="AT", help="Opening at which the exhaust gas was read.")
@click.option(
    "--columns", metavar="time=1,lambda=4", help="Which column of a log is which; nothing is asked."
)
@click.option("--held", multiple=True, metavar="1/4=35-60", help="What was held when, in seconds of a log.")
@click.option("--between", metavar="4000-7000", help="Engine speeds between which logged roll-ons are timed.")
@click.option("--list", "is_list", is_flag=True, help="Show how each reading is taken and written, and end.")
def measured(  # noqa: PLR0913  (one for each thing that can stand beside a reading)
    desk: Desk,
    *,
    bike: str | None,
    words: tuple[str, ...],
    rpm: str | None,
    choke: str | None,
    at: str | None,
    columns: str | None,
    held: tuple[str, ...],
    between: str | None,
    is_list: bool,
) -> None:
    """Write down a reading: measured magpie plug 1/2 tan.

    \b
    plug 1/2 tan             colour of the plug after a clean cut
    rollon 1/4 3.9s 4.0s     every run, not the mean; --choke half
    gas co=2.1 co2=12.5 hc=250 o2=0.8   exhaust gas; --at 1/4
    ride.csv                 a log with lambda in it, whatever wrote it
    lambda 1/2 0.92          at a steady hand; --rpm 5200
    choke 1/4 better         what a little choke did: better, worse, no change
    hand rises               the idle under a slow hand: rises, or sinks
    sweep 1.0=1380 1.5=1450  idle speed at turns of the screw; 2.5=died
    level -1.5               mm above the book level; minus is below
    touched cleaning         what was worked on last; or nothing
    """  # noqa: D301  (the backspace tells click to leave the lines below it as they are)
    from floatbowl.signs.trial import GasReading, IdleSweepReading
    from floatbowl.words.ear import best_fields, best_idle_words
    from floatbowl.words.forms import gas_fields, reading_form, readings_form
    from floatbowl.words.names import gas_words, reading_words

    if is_list:
        form = readings_form()
        desk.answer(form, [line for one in form["readings"] for line in _how_taken(one, desk)])
        return
    if bike is None or not words:
        text = "Say which bike, and what was measured: floatbowl measured magpie plug 1/2 tan."
        raise NotUnderstoodError(text)
    if any(heard.is_file(word.rpartition("=")[2]) for word in words):
        measured_files(desk, bike, words, columns=columns, held=held, between=between)
        return
    fields = heard.reading(words, rpm_word=rpm, choke_word=choke, at_word=at)
    with desk.garage() as garage:
        reading = garage.record_reading(bike, **fields)
        name = garage.bike(bike).name
        gas = garage.lambda_of_gas(bike, reading) if isinstance(reading, GasReading) else None
        best = garage.best_idle(bike, reading) if isinstance(reading, IdleSweepReading) else None
        stands = garage.bike(bike)
    desk.answer(
        {
            **reading_form(reading, bike=name),
            **(gas_fields(*gas) if gas else {}),
            **(best_fields(best) if best else {}),
        },
        [
            text_line(f"{name}: {reading_words(reading)}.", "head"),
            *(paragraphs([gas_words(*gas)], desk) if gas else []),
            *(paragraphs([best_idle_words(best, bike=stands)], desk) if best else []),
            saved(reading.entry),
        ],
    )


def _how_taken(reading: dict[str, Any], desk: Desk) -> list[Line]:
    head = (Span(f"{reading['kind']:<8}", "head"), Span(reading["words"]))
    write = f"Write: floatbowl measured BIKE {reading['write']}"
    return [head, *paragraphs(reading["how"], desk), *paragraphs([write], desk), BLANK]
