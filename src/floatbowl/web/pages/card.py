"""What comes next on one bike: the job card, the next look, the stop tag, or nothing to do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from starlette.responses import Response
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.advice.advice import Advice, Step, aside_of
from floatbowl.draw.looks import look_picture
from floatbowl.draw.parts import after_step, part_picture
from floatbowl.draw.svg import Svg
from floatbowl.draw.tally import tally
from floatbowl.jobs import NothingAskedError
from floatbowl.web.asked import Asked
from floatbowl.web.page import act, page
from floatbowl.web.trying import address, changes_between, fields_tried, written
from floatbowl.words import heard, on_page
from floatbowl.words.bench import two_faults_words
from floatbowl.words.card import Card, all_steps
from floatbowl.words.care import CARE
from floatbowl.words.garage import card_of
from floatbowl.words.looks import LOOKS, Look
from floatbowl.words.measuring import WRITTEN
from floatbowl.words.names import AT, setup_words
from floatbowl.words.proving import checked_words
from floatbowl.words.suspects import look_for
from floatbowl.words.tag import suspect_tallies
from floatbowl.words.tally import tally_words
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.bike.aside import Aside
    from floatbowl.jobs import Stand


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """Words, and of the twenty how many they hold for: a drawing, and the same as a number."""

    words: str
    count: str
    drawn: Svg


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a look may bring: its key, what stands on its button, and what it means."""

    key: str
    button: str
    means: str


def show(asked: Asked) -> Response:
    """Show what comes next. While that is thought anew, the last card stays, without its buttons."""
    known = asked.thought()
    stand = known.stand
    told, advice = card_of(stand), stand.advice
    fitted = asked.garage.fitted(asked.bike)
    return asked.page(
        "card.html",
        bike=asked.bike,
        known=stand.bike,
        kind=told.kind,
        card=told,
        over=on_page.over_words(told),
        words=on_page,
        can_act=known.is_fresh and not asked.garage.only_read_because,
        is_just_fitted=fitted.number != stand.belief.setup.number,
        seen=fitted.number,
        fitted=setup_words(fitted, stand.bike),
        why=told.line("why"),
        evidence=_evidence(told),
        at=AT[advice.expect.at] if advice.expect else "",
        expect=[_counted(odds.words, odds.count) for odds in told.odds],
        care=[text for text in _lines(told, "care") if text != CARE["slide out"]],
        **_of_kind(asked, stand, told),
    )


def _lines(card: Card, label: str) -> list[str]:
    return [text for name, text in card.lines if name == label]


def _evidence(card: Card) -> list[tuple[str, str, str]]:
    """Give what speaks for it and what against, in this order, each with the entries that say it."""
    return [
        (side, *on_page.evidence_parts(text)) for side in ("for", "against") for text in _lines(card, side)
    ]


def _counted(words: str, count: int) -> Counted:
    return Counted(words=words, count=tally_words(count), drawn=tally(count, of_what=words))


def _of_kind(asked: Asked, stand: Stand, card: Card) -> dict[str, Any]:
    """Give what only a card of this kind shows."""
    advice = stand.advice
    more = {
        "change": lambda: _change(asked, stand, card),
        "look": lambda: _look(advice),
        "stop": lambda: {**_look(advice), **_stop(stand)},
        "done": lambda: _done(stand),
    }
    return {"aside": _aside_key(aside_of(advice)), **more[card.kind]()}


def _aside_key(aside: Aside | None) -> str:
    """Name what would be set aside, so that the button means what the card showed; empty where nothing is."""
    if aside is None:
        return ""
    if aside.part:
        return f"{aside.part}:{aside.after}"
    return f"look:{aside.look}{f' {aside.at.value}' if aside.at else ''}"


def _change(asked: Asked, stand: Stand, card: Card) -> dict[str, Any]:
    advice, steps = stand.advice, all_steps(stand.advice)
    at = advice.expect.at if advice.expect else advice.why.at
    return {
        "pictures": _pictures(asked, stand, steps),
        "steps": [written(step) for step in steps],
        "try_it": address(at.value, steps),
        "snap": CARE["slide out"] if needs_snap([written(step) for step in steps]) else "",
        "runners_up": [on_page.runner_parts(text) for text in _lines(card, "not")],
    }


def _pictures(asked: Asked, stand: Stand, steps: tuple[Step, ...]) -> list[Svg]:
    """Draw each part before and after, each from what the one before it made."""
    drawn, setup, needles = [], stand.belief.setup, asked.garage.drawer().needles
    for step in steps:
        drawn.append(part_picture(step, bike=stand.bike, before=setup, needles=needles))
        setup = after_step(setup, step, needles=needles)
    return drawn


_SLIDE_OUT = ("clip", "washer", "needle", "cutaway")
"""Parts for which slide and cable come out."""


def needs_snap(tries: list[str]) -> bool:
    """Say whether the slide was out, so that it must be seen to snap shut."""
    return any(one.partition(":")[0] in _SLIDE_OUT for one in tries)


def _look(advice: Advice) -> dict[str, Any]:
    key = advice.look or advice.suspect or ""
    look = look_for(key)
    is_look = look in LOOKS.values()
    name = next((name for name, one in LOOKS.items() if one == look), key)
    return {
        "look": name,
        "look_drawn": look_picture(name),
        "how": look.how,
        "outcomes": _outcomes(look) if is_look else [],
        "write_in": "" if is_look and not look.measure else _form_of(name, advice),
        "is_ride": key == "ride and say",
    }


def _outcomes(look: Look) -> list[Outcome]:
    told = (("found", look.found), ("clear", look.not_found))
    return [
        Outcome(key=key, button=button, means=means)
        for key, (button, means) in ((key, on_page.outcome_button(text)) for key, text in told)
    ]


def _form_of(look: str, advice: Advice) -> str:
    """Give the page on which what a test brings is written down, below the bike's own address."""
    kind = next((kind for kind, (key, _) in WRITTEN.items() if key == look), "")
    at = advice.why.at.value
    return f"/reading?kind={kind}&at={at}" if kind else f"/ride?at={at}"


def _stop(stand: Stand) -> dict[str, Any]:
    advice, belief = stand.advice, stand.belief
    return {
        "suspects": [_counted(one.words, one.count) for one in suspect_tallies(belief)],
        "two_at_once": two_faults_words(belief),
        "is_found": advice.why.key == "found",
        "fault": advice.suspect,
        "mend": [on_page.without_command(text) for text in _lines(card_of(stand), "how")],
    }


def _done(stand: Stand) -> dict[str, Any]:
    proof = jobs.proof_of(stand)
    return {
        "is_proven": proof.is_proven,
        "checks": [(check.is_done, checked_words(check), ", ".join(check.entries)) for check in proof.checks],
    }


# --- what is written down ----------------------------------------------------------------------------------


def take_did(asked: Asked) -> Response:
    """Write down that the steps of the card were done, if it was of the setup that is fitted still."""
    tries, fitted = asked.fields("fit"), asked.garage.fitted(asked.bike)
    fields = fields_tried(tries, bike=asked.garage.bike(asked.bike))
    if not changes_between(fitted, asked.garage.changed(asked.bike, **fields)):
        return asked.go_to_bike("/next")
    if asked.field("seen") != str(fitted.number):
        raise NotUnderstoodError(on_page.changed_under_you(asked.field("seen"), fitted))
    if needs_snap(tries) and not asked.field("snapped"):
        raise NotUnderstoodError(on_page.TICK_FIRST)
    asked.garage.fit(asked.bike, **fields)
    return asked.go_to_bike("/next")


def take_aside(asked: Asked) -> Response:
    """Set aside what the card showed; when something else is advised by now, nothing is set aside."""
    key, advice = asked.field("aside"), asked.thought().stand.advice
    if key in map(_aside_key, asked.garage.facts(asked.bike).aside):
        return asked.go_to_bike("/next")
    if key != _aside_key(aside_of(advice)):
        raise NotUnderstoodError(on_page.CARD_GONE)
    asked.garage.set_aside(asked.bike, advice=advice)
    return asked.go_to_bike("/next")


def take_looked(asked: Asked) -> Response:
    """Write down what a look brought. The form names the look: to work it out would be to think here."""
    look = asked.field("look")
    _, outcome = heard.looked([asked.field("outcome")])
    if not look:
        raise NothingAskedError(asked.bike, "look")
    asked.garage.record_look(asked.bike, outcome, look=look)
    return asked.go_to_bike("/next")


def take_mended(asked: Asked) -> Response:
    """Write down that a fault was put right. The form names the fault, as for a look."""
    fault = asked.field("fault")
    if not fault:
        raise NothingAskedError(asked.bike, "mend")
    asked.garage.mend(asked.bike, fault)
    return asked.go_to_bike("/next")


routes: list[Route] = [
    page("/bikes/{bike}/next", show),
    act("/bikes/{bike}/did", take_did, back=show),
    act("/bikes/{bike}/aside", take_aside, back=show),
    act("/bikes/{bike}/looked", take_looked, back=show),
    act("/bikes/{bike}/mended", take_mended, back=show),
]
