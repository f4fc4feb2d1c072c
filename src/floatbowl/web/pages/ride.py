"""The ride note: where on the throttle, what it did, how; four taps a remark."""

from __future__ import annotations

from typing import Any, get_args
from urllib.parse import quote

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.behaviours import behaviour_sketch
from floatbowl.draw.openings import opening_sketch
from floatbowl.draw.svg import Svg
from floatbowl.jobs import LogLine
from floatbowl.signs.trial import Behaviour, How, Often, Remark, TouchedReading, Trial, Warmth
from floatbowl.web.asked import Asked
from floatbowl.web.lines import told_lines, told_on
from floatbowl.web.page import page
from floatbowl.words import asked_back, heard, on_forms
from floatbowl.words.names import DID, NOT_ON_A_RUNG
from floatbowl.words.trouble import NotUnderstoodError

NOT_KNOWN = "not known"
"""Stands on the box for an opening that nobody can name."""


def show(asked: Asked) -> Response:
    """Show the note, with what was said so far on what is fitted now."""
    setup, trials = asked.garage.fitted(asked.bike), asked.garage.trials(asked.bike)
    remarks = [remark for trial in trials for remark in trial.remarks]
    just_said = _line_named(asked, asked.query("said"))
    return asked.page(
        "ride.html",
        bike=asked.bike,
        setup=setup,
        asking=asked_back,
        words=on_forms,
        asks_what_was_touched=not remarks and not _was_touched_told(trials),
        asks_how_it_died=just_said is not None and just_said.facts.get("did") == "dies",
        just_said=told_lines([just_said])[0] if just_said else None,
        openings=_openings(),
        on_a_rung=_behaviours(on_a_rung=True),
        elsewhere=_behaviours(on_a_rung=False),
        told=told_on(asked.garage, asked.bike, setup),
        **_as_last_time(remarks),
    )


def _as_last_time(remarks: list[Remark]) -> dict[str, Any]:
    """Leave the engine as warm as it was at the last remark; how often is said anew."""
    return {"engine": remarks[-1].engine if remarks else "hot", "often": "every time"}


def _was_touched_told(trials: tuple[Trial, ...]) -> bool:
    return any(isinstance(reading, TouchedReading) for trial in trials for reading in trial.readings)


def _line_named(asked: Asked, entry: str) -> LogLine | None:
    """Give the line of the logbook of an entry that still stands."""
    if not entry:
        return None
    log = asked.garage.log(asked.bike)
    return next((line for line in log if line.entry == entry and not line.struck), None)


def _openings() -> list[tuple[str, str, Svg]]:
    labels = {Rung.SHUT: "Shut", Rung.FULL: "Full"}
    rungs = [(at.value, labels.get(at, at.value), opening_sketch(at)) for at in reversed(RUNGS)]
    return [*rungs, (NOT_KNOWN, "Not known", opening_sketch(None))]


def _behaviours(*, on_a_rung: bool) -> list[tuple[Behaviour, str, Svg]]:
    known = [did for did in DID if (did not in NOT_ON_A_RUNG) is on_a_rung]
    return [(did, DID[did].capitalize(), behaviour_sketch(did)) for did in known]


# --- taking it down ----------------------------------------------------------------------------------------


def take(asked: Asked) -> Response:
    """Write down a remark, chosen or in words, or an answer to what was asked back."""
    if asked.field("touched"):
        return _take_touched(asked)
    if asked.field("look"):
        reading = asked.garage.record_look(asked.bike, "found", look=asked.field("look"))
        return _go_on(asked, reading.entry)
    remark = asked.garage.record_remark(asked.bike, **_fields(asked))
    return _go_on(asked, remark.entry)


def _go_on(asked: Asked, entry: str) -> Response:
    return asked.go_to_bike(f"/ride?said={quote(entry)}")


def _fields(asked: Asked) -> dict[str, Any]:
    if "words" in asked.form:
        return asked.read("words", heard.remark) or _refuse(asked, "words", on_forms.SAY_WHAT)
    if asked.field("died"):
        did = heard.behaviour(asked.field("died"))
        return {"did": did, "engine": _one_of(asked.field("engine"), get_args(Warmth), "hot")}
    return _chosen(asked)


def _chosen(asked: Asked) -> dict[str, Any]:
    at, did = asked.field("at"), asked.field("did")
    if not did:
        _refuse(asked, "did", on_forms.SAY_WHAT)
    behaviour = heard.behaviour(did)
    if not at and behaviour not in NOT_ON_A_RUNG:
        _refuse(asked, "at", on_forms.SAY_WHERE)
    return {
        "did": behaviour,
        "at": heard.rung(at) if at not in {"", NOT_KNOWN} else None,
        "how": _one_of(asked.field("how"), get_args(How), None),
        "engine": _one_of(asked.field("engine"), get_args(Warmth), "hot"),
        "often": _one_of(asked.field("often"), get_args(Often), "every time"),
    }


def _one_of(said: str, known: tuple[str, ...], usual: str | None) -> str | None:
    return said if said in known else usual


def _refuse(asked: Asked, name: str, sentence: str) -> dict[str, Any]:
    asked.wrong = name
    raise NotUnderstoodError(sentence)


def _take_touched(asked: Asked) -> Response:
    """Write down what was worked on last, and where it was cleaned, what of it was seen."""
    part = heard.touched(asked.field("touched"))
    reading = asked.garage.record_reading(asked.bike, kind="touched", part=part)
    if part == "cleaning":
        _, looks = asked_back.CLEANED.get(asked.field("cleaned"), ("", ()))
        for look in looks:
            asked.garage.record_look(asked.bike, "clear", look=look)
    return _go_on(asked, reading.entry)


routes: list[Route] = [page("/bikes/{bike}/ride", show, take=take)]
