"""Side by side: two setups of one bike on one ladder, and what differs between them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from starlette.responses import Response
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.draw.ladder import ladder_picture
from floatbowl.draw.rungs import rung_row
from floatbowl.draw.stops import set_out
from floatbowl.web.asked import Asked, StillThinkingError
from floatbowl.web.page import page
from floatbowl.words import on_page
from floatbowl.words.sides import differs_words, side_rows, sides_words
from floatbowl.words.steps import step_words
from floatbowl.words.trouble import NotUnderstoodError, not_known

if TYPE_CHECKING:
    from floatbowl.bike.setup import Setup
    from floatbowl.jobs import Sides, Stand
    from floatbowl.words.bench import Row


def show(asked: Asked) -> Response:
    """Show two setups on one ladder: those asked for, or else the one fitted now and the one before it."""
    stand = asked.thought().stand
    setups = {str(setup.number): setup for setup in asked.garage.setups(asked.bike)}
    numbers = list(setups)
    one = _chosen(asked.query("a") or numbers[-2:][0], setups)
    other = _chosen(asked.query("b") or numbers[-1], setups)
    choices = [
        (setup.number, on_page.setup_choice(setup, is_fitted=number == numbers[-1]))
        for number, setup in sorted(setups.items(), key=lambda pair: pair[1].number)
    ]
    shown = {} if len(setups) == 1 else _laid(asked, stand, one, other)
    return asked.page(
        "sides.html",
        bike=asked.bike,
        known=stand.bike,
        words=on_page,
        choices=choices,
        first=one.number,
        second=other.number,
        is_shown=bool(shown),
        **shown,
    )


def _chosen(number: str, setups: dict[str, Setup]) -> Setup:
    if number not in setups:
        raise NotUnderstoodError(not_known(number, what="a setup of this bike", known=setups))
    return setups[number]


def _laid(asked: Asked, stand: Stand, one: Setup, other: Setup) -> dict[str, Any]:
    """Lay the two side by side in the thinking thread; while it is busy the page comes again by itself."""
    key = ("sides", asked.bike, one, other)
    sides = asked.think(key, lambda: jobs.lay_side_by_side(stand.belief, one, other))
    if sides is None:
        raise StillThinkingError(asked.bike)
    rows = [_with_heard(pair, stand, one, other) for pair in side_rows(sides)]
    _, travel = set_out(stand.bike, one, belief=stand.belief)
    first, second = [row for row, _ in rows], [row for _, row in rows]
    return {
        "differs": differs_words(sides),
        "says": sides_words(sides),
        "steps": _steps(sides),
        "wide": ladder_picture(first, travel=travel, tried=second),
        "rows": [(row, rung_row(row, before=was)) for was, row in rows],
    }


def _with_heard(pair: tuple[Row, Row], stand: Stand, one: Setup, other: Setup) -> tuple[Row, Row]:
    """Put to a rung what was said there with either setup."""
    heard = on_page.heard_with_both(stand.trials, (one.number, other.number), pair[0].at)
    return replace(pair[0], heard=heard), replace(pair[1], heard=heard)


def _steps(sides: Sides) -> list[str]:
    """Say what differs, part by part, from the first setup to the second."""
    return [on_page.upper(step_words(step, sides.belief.bike)) for step in sides.steps]


routes: list[Route] = [page("/bikes/{bike}/sides", show)]
