"""The bench: the carburettor of one bike, its ladder, and what the drawer would make of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from starlette.responses import Response
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.bike.rung import Rung
from floatbowl.draw.bench import bench_picture
from floatbowl.draw.cutaway import cutaway
from floatbowl.draw.insets import bore_inset, ring_inset
from floatbowl.draw.moving import Travel
from floatbowl.draw.rungs import rung_row
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Svg
from floatbowl.draw.tally import tally
from floatbowl.guide.strip import cards_for
from floatbowl.web.asked import Asked, StillThinkingError
from floatbowl.web.page import page
from floatbowl.web.trying import FIRST, address, changes_between, choices, fields_tried
from floatbowl.words import contradictions, dry_fit, heard, on_page
from floatbowl.words.bench import Row, ladder, trust_words, worst_rung
from floatbowl.words.garage import card_of
from floatbowl.words.ladder import ladder_table
from floatbowl.words.names import ALOUD, in_line, measure_name
from floatbowl.words.narrowing import narrows_words
from floatbowl.words.steps import step_brief
from floatbowl.words.waiting import thinking_words

if TYPE_CHECKING:
    from floatbowl.bike.bike import Bike
    from floatbowl.bike.setup import Setup
    from floatbowl.jobs import Stand
    from floatbowl.web.thinking import Thought


@dataclass(frozen=True, slots=True, kw_only=True)
class RungTold:
    """One rung as the page shows it: where the slide stands then, what is said of it, and its picture."""

    at: Rung
    lift: float
    aloud: str
    address: str
    is_here: bool
    spoken: on_page.Spoken
    tally: Svg | None
    picture: Svg
    heard: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """A measure that nobody took: its name, and the card of the strip sheet on which it is taken."""

    name: str
    card: str


def show(asked: Asked) -> Response:
    """Show the bench, at the rung asked for or else at the one that is furthest off."""
    try:
        known = asked.thought()
    except StillThinkingError:
        return _not_thought_yet(asked)
    stand = known.stand
    setup = _tried(asked, stand)
    at = heard.rung(asked.query("at")) if asked.query("at") else worst_rung(stand.belief)
    return asked.page(
        "bench.html",
        bike=asked.bike,
        known=stand.bike,
        on_page=on_page,
        card=card_of(stand),
        over=on_page.over_words(card_of(stand)),
        doubts=() if stand.belief.trust.is_good else (trust_words(stand.belief.trust.why),),
        **_drawn(asked, known, setup, at),
        **_offered(asked, stand, setup, at),
        **_pencilled(asked, stand),
    )


def _not_thought_yet(asked: Asked) -> Response:
    """Show the carburettor as far as it needs no thought; the rest comes by itself."""
    bike, setup = asked.garage.bike(asked.bike), asked.garage.fitted(asked.bike)
    return asked.page(
        "bench_waiting.html",
        bike=asked.bike,
        known=bike,
        words=thinking_words(asked.bike),
        whole=cutaway(bike, setup),
        narrow=cutaway(bike, setup, crop="phone"),
    )


def _tried(asked: Asked, stand: Stand) -> Setup:
    """Give the setup that is tried on paper; without a question it is the one that is fitted."""
    tries = asked.queries("try")
    if not tries:
        return stand.belief.setup
    return asked.garage.changed(asked.bike, **fields_tried(tries, bike=stand.bike))


def _drawn(asked: Asked, known: Thought, setup: Setup, at: Rung) -> dict[str, Any]:
    """Draw everything that stands at the slide's lift."""
    stand, belief = known.stand, known.stand.belief
    rows = ladder(belief, stand.trials)
    tried = asked.try_on_paper(known, setup) if setup != belief.setup else None
    after = dry_fit.ladder_after(belief, tried) if tried else None
    shown = setup if tried else belief.setup
    section, travel = set_out(belief.bike, shown, belief=belief)
    lift = travel.at(at.opening)
    steps = address(at.value, changes_between(belief.setup, setup))
    return {
        "rungs": _rungs(rows, after, travel, at=at, steps=steps),
        "wide": bench_picture(belief, rows, lift_mm=lift, tried=after, setup=shown),
        "narrow": cutaway(belief.bike, shown, lift_mm=lift, belief=belief, crop="phone"),
        "insets": (
            bore_inset(belief.bike, shown, lift_mm=lift, belief=belief),
            ring_inset(belief.bike, shown, lift_mm=lift, belief=belief),
        ),
        "table": ladder_table(rows if after is None else after),
        "troubles": contradictions.contradiction_words(section.troubles),
        "kept": contradictions.KEPT,
        "says": None if tried is None else dry_fit.dry_fit_sentence(belief, tried),
    }


def _rungs(
    rows: tuple[Row, ...], after: tuple[Row, ...] | None, travel: Travel, *, at: Rung, steps: str
) -> list[RungTold]:
    shown = rows if after is None else after
    return [
        RungTold(
            at=row.at,
            lift=travel.at(row.at.opening),
            aloud=ALOUD[row.at],
            address=re.sub(r"at=[^&]*", f"at={row.at.value}", steps),
            is_here=row.at is at,
            spoken=(told := on_page.spoken(row)),
            tally=None if told.count is None else tally(told.count),
            picture=rung_row(row, before=None if after is None else now),
            heard=now.heard,
        )
        for row, now in zip(shown, rows, strict=True)
    ]


def _offered(asked: Asked, stand: Stand, setup: Setup, at: Rung) -> dict[str, Any]:
    """Give the dry fits of the drawer, and what is on now."""
    fitted, drawer = stand.belief.setup, asked.garage.drawer()
    offered = choices(fitted, setup, bike=stand.bike, drawer=drawer, advice=stand.advice, at=at.value)
    on = changes_between(fitted, setup)
    return {
        "first": offered[:FIRST],
        "more": offered[FIRST:],
        "on": in_line(tuple(step_brief(step, stand.bike) for step in on)),
        "off": address(at.value, ()),
        "is_drawer_empty": drawer.is_empty,
    }


def _pencilled(asked: Asked, stand: Stand) -> dict[str, Any]:
    """Give what was assumed, where it can be measured, and which measure would tell most."""
    belief = stand.belief
    narrows = asked.think(("narrows", belief.bike.name, id(belief)), lambda: jobs.narrows_most(belief))
    names = dict.fromkeys(_assumed(path, stand.bike) for path in belief.leaned_on)
    return {
        "assumed": tuple(names),
        "narrows": None if narrows is None else narrows_words(narrows),
        "narrows_card": "" if narrows is None else _card_of(narrows.path, stand.bike),
    }


def _assumed(path: str, bike: Bike) -> Assumed:
    return Assumed(name=measure_name(path), card=_card_of(path, bike))


def _card_of(path: str, bike: Bike) -> str:
    """Name the card of the strip sheet that asks for a measure; empty where none does."""
    wanted = _bare(path)
    return next((part.key for part in cards_for(bike) for ask in part.asks if _bare(ask.field) == wanted), "")


def _bare(path: str) -> str:
    """Give a measure's place without the unit, as nouns and files name it: ``carb.pilot_outlet``."""
    if path.startswith("carb.needle."):
        return "carb.needle"
    return re.sub(r"\[\d+\]|_mm$|_bore$", "", re.sub(r"_mm$", "", path))


routes: list[Route] = [page("/bikes/{bike}", show)]
