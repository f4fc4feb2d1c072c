"""Commands that ask for an answer: these load the sums."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from floatbowl.cli.door import Desk, job
from floatbowl.cli.paper import BLANK, Line, Span, cells, text_line, wrapped
from floatbowl.words import heard

if TYPE_CHECKING:
    from floatbowl.jobs import BareStand, Garage, Stand


@contextmanager
def working(sentence: str) -> Iterator[None]:
    """Say on a terminal that work is going on, and wipe it away when it is done."""
    if not sys.stderr.isatty():
        yield
        return
    click.echo(f"{sentence} ...", nl=False, err=True)
    try:
        yield
    finally:
        click.echo("\r\x1b[K", nl=False, err=True)


def paragraph(text: str, desk: Desk, ink: str = "") -> list[Line]:
    """Set a text within the paper's width."""
    return [text_line(line, ink) for line in wrapped(text, desk.paper.width)]


def headed(name: str, what: str, desk: Desk) -> list[Line]:
    """Set a bike's name with a remark behind it, or under it where the paper is narrow."""
    if cells(name) + 2 + cells(what) <= desk.paper.width:
        return [(Span(name, "head"), Span(f"  {what}", "faint"))]
    return [text_line(name, "head"), *paragraph(what, desk, "faint")]


@job("garage")
def garage_(desk: Desk) -> None:
    """Show every bike: a sentence, and the next step."""
    from floatbowl.words.garage import garage_form, stand_words

    with desk.garage() as garage:
        stands, day = list(thought_about(garage)), garage.air()
    lines: list[Line] = []
    for stand in stands:
        sentence, step = stand_words(stand)
        lines += headed(stand.bike.name, stand.bike.what, desk)
        lines += [*paragraph(sentence, desk), *paragraph(step, desk, "faint"), BLANK]
    if not stands:
        lines = paragraph(
            "The garage is empty. Add a bike file: floatbowl add FILE. Or look round: floatbowl demo.", desk
        )
    desk.answer(garage_form(stands, day=day), lines)


def thought_about(garage: Garage) -> Iterator[Stand | BareStand]:
    """Go round the garage and say at each bike that we are thinking."""
    round_ = garage.look_round()
    for name in garage.bikes():
        with working(f"Thinking about {name}"):
            stand = next(round_)
        yield stand


@job("bench")
@click.argument("bike")
@click.option("--at", "place", metavar="AT", help="One opening only: shut, 1/8, 1/4, 1/2, 3/4 or full.")
def bench(desk: Desk, *, bike: str, place: str | None) -> None:
    """Show a bike rung by rung: who has the say, is it short.

    Each stroke is one of twenty likely bikes, which all fit what is known.
    """
    from floatbowl.cli import pictures
    from floatbowl.words import answers
    from floatbowl.words import bench as words
    from floatbowl.words.air import air_line
    from floatbowl.words.narrowing import narrows_words

    at = None if place is None else heard.rung(place)
    with desk.garage() as garage:
        with working(f"Thinking about {bike}"):
            belief, narrows = garage.look_at_bench(bike), garage.next_measure(bike)
        trials = garage.trials(bike)
    rows = [row for row in words.ladder(belief, trials) if at in {None, row.at}]
    sentence = words.bench_sentence(belief, at=at or words.worst_rung(belief))
    lines = [
        *headed(belief.bike.name, belief.bike.what, desk),
        *paragraph(sentence, desk),
        *paragraph(f"Setup {belief.setup.number}, air at {air_line(belief.day)}.", desk, "faint"),
        BLANK,
        *pictures.ladder(rows, desk.paper),
        *pictures.legend(desk.paper),
        *pictures.foot(belief, desk.paper),
        *pictures.foot_note(narrows_words(narrows) if narrows else "", desk.paper),
    ]
    desk.answer(answers.bench_form(belief, trials=trials, rows=rows, measure_next=narrows), lines)


@job("next")
@click.argument("bike")
def next_(desk: Desk, *, bike: str) -> None:
    """Say the next thing to do, why, and how sure we are.

    It is one change, one look, or a stop tag when something is more likely broken.
    """
    from floatbowl.cli import pictures
    from floatbowl.words import answers
    from floatbowl.words.card import card

    with desk.garage() as garage:
        with working(f"Thinking about {bike}"):
            advice = garage.advise_next(bike)
        known, trials = garage.bike(bike), garage.trials(bike)
    told = card(advice, bike=known, trials=trials)
    desk.answer(
        answers.advice_form(advice, bike=known, trials=trials),
        pictures.card_picture(told, bike=known.name, paper=desk.paper),
    )


@job("dryfit")
@click.argument("bike")
@click.argument("parts", nargs=-1, required=True, metavar="PART=STAMP...")
def dryfit(desk: Desk, *, bike: str, parts: tuple[str, ...]) -> None:
    """Try parts on paper: dryfit magpie clip=4 main=108. The record does not change."""
    from floatbowl.cli import pictures
    from floatbowl.words import answers
    from floatbowl.words import dry_fit as words

    with desk.garage() as garage, working(f"Trying it on {bike}"):
        belief, tried = garage.dry_fit(bike, **heard.changes(parts))
    rows = words.ladder_after(belief, tried)
    lines = [
        *headed(belief.bike.name, "on paper only; nothing is written down", desk),
        *paragraph(words.dry_fit_sentence(belief, tried), desk),
        BLANK,
        *pictures.ladder(rows, desk.paper),
        *pictures.legend(desk.paper),
    ]
    desk.answer(answers.dry_fit_form(belief, tried, rows=rows), lines)


@job("sides")
@click.argument("bike")
@click.argument("first", type=click.IntRange(min=1), metavar="SETUP")
@click.argument("second", type=click.IntRange(min=1), metavar="SETUP")
def sides(desk: Desk, *, bike: str, first: int, second: int) -> None:
    """Lay two setups side by side: sides magpie 8 9.

    The numbers are those that fitted and log show. Both stand on what we think now.
    """
    from floatbowl.cli import pictures
    from floatbowl.words import sides as words

    with desk.garage() as garage, working(f"Thinking about {bike}"):
        two = garage.sides(bike, first, second)
    lines = [
        *headed(two.belief.bike.name, words.differs_words(two), desk),
        *paragraph(words.sides_words(two), desk),
        BLANK,
        *pictures.two_ladders(words.side_rows(two), numbers=(first, second), paper=desk.paper),
        *pictures.legend(desk.paper),
    ]
    desk.answer(words.sides_form(two), lines)


@job("prove")
@click.argument("bike")
def prove(desk: Desk, *, bike: str) -> None:
    """Say which checks are missing before what is fitted is proven.

    Proven is what was ridden at every opening, measured at idle and at full, and has no
    suspect. Nothing is written down.
    """
    from floatbowl.words.forms import proof_form

    with desk.garage() as garage:
        with working(f"Thinking about {bike}"):
            proof = garage.proof(bike)
        name, fitted = garage.bike(bike).name, garage.fitted(bike)
    form = proof_form(proof, bike=name, setup=fitted)
    lines = paragraph(form["words"], desk, "head")
    for check in form["missing"]:
        lines += [BLANK, *paragraph(check["words"], desk), *paragraph(check["write"], desk, "faint")]
    desk.answer(form, lines)


@job("log")
@click.argument("bike", required=False)
@click.option("--suspects", "is_suspects", is_flag=True, help="Show the faults still possible instead.")
def log(desk: Desk, *, bike: str | None, is_suspects: bool) -> None:
    """Show all that happened, in order.

    What was struck out stays, and is marked.
    """
    from floatbowl.cli.book import logbook
    from floatbowl.words.logbook import log_form

    if is_suspects:
        _suspects(desk, bike)
        return
    with desk.garage() as garage:
        lines = garage.log(bike)
    desk.answer(log_form(lines), logbook(lines, desk.paper))


def _suspects(desk: Desk, bike: str | None) -> None:
    from floatbowl.cli import pictures
    from floatbowl.words.answers import suspects_form
    from floatbowl.words.trouble import NotUnderstoodError

    if bike is None:
        text = "Say which bike: floatbowl log BIKE --suspects."
        raise NotUnderstoodError(text)
    with desk.garage() as garage, working(f"Thinking about {bike}"):
        belief = garage.look_at_bench(bike)
    desk.answer(suspects_form(belief), pictures.suspects(belief, desk.paper))
