"""A new bike: which one stands there, then five answers; each may be "do not know".

The answers so far stand in the address, so that going back loses nothing and
nothing is written down before the last one. The drawing is of the bike so far:
what was answered is inked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.behaviours import behaviour_sketch
from floatbowl.jobs import FirstAnswers, NotOnAStandError, bike_on_paper
from floatbowl.web.addresses import bike_address
from floatbowl.web.asked import Asked
from floatbowl.web.drawings import standing_cutaway
from floatbowl.web.page import page
from floatbowl.web.uploads import laid_down
from floatbowl.words import heard, on_forms
from floatbowl.words.files import notes
from floatbowl.words.names import DID
from floatbowl.words.setup_card import not_on_a_stand_words
from floatbowl.words.trouble import NotUnderstoodError

FILE_LIMIT = 512 * 1024
"""Bytes of a bike file: years of riding."""
LONGEST_NAME = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One question: what it asks for, and what is said where nobody knows."""

    key: str
    ask: str
    fields: tuple[str, ...]


STEPS: tuple[Step, ...] = (
    Step(key="bike", ask="Which bike is in front of you?", fields=("name",)),
    Step(key="engine", ask="Two-stroke or four-stroke, and how large?", fields=("strokes", "cc")),
    Step(key="bore", ask="How wide is the carburettor's bore?", fields=("bore",)),
    Step(key="main", ask="What is stamped on the main jet?", fields=("main",)),
    Step(key="place", ask="Where are you, and how high above the sea?", fields=("place", "height")),
    Step(key="did", ask="What does it do?", fields=("did", "at")),
)


def _strokes(typed: str) -> int:
    if typed not in {"2", "4"}:
        raise NotUnderstoodError(on_forms.TWO_OR_FOUR)
    return int(typed)


def _cc(typed: str) -> float:
    return heard.number(typed, what="the swept volume", units=("cc", "ccm"), least=20.0, most=1200.0)


def _bore(typed: str) -> float:
    return heard.number(typed, what="the bore of the carburettor", units=("mm",), least=8.0, most=60.0)


def _name(typed: str) -> str:
    if len(typed) > LONGEST_NAME or not typed.isprintable():
        raise NotUnderstoodError(on_forms.name_too_long(LONGEST_NAME))
    return typed


_READERS: Mapping[str, Callable[[str], Any]] = {
    "name": _name,
    "strokes": _strokes,
    "cc": _cc,
    "bore": _bore,
    "main": heard.stamp,
    "place": _name,
    "height": heard.height,
    "did": heard.behaviour,
    "at": lambda typed: heard.rung(typed).value,
}


# --- looking -----------------------------------------------------------------------------------------------


def show(asked: Asked) -> Response:
    """Show the next question, beside the bike so far."""
    typed = _typed(asked)
    place, known = _how_far(asked, typed)
    return asked.page(
        "first_run.html",
        steps=STEPS,
        words=on_forms,
        place=place,
        step=STEPS[place],
        typed=typed,
        carried=[(name, typed[name]) for name in _carried(place) if typed[name]],
        told=_told(known),
        places=asked.garage.places(),
        pictures=standing_cutaway(*bike_on_paper(_answers(known))),
        did=[(one, words.capitalize(), behaviour_sketch(one)) for one, words in DID.items()],
        openings=[*((at.value, _at_words(at)) for at in reversed(RUNGS)), ("", "Not known")],
        is_first=not asked.garage.bikes(),
    )


def _typed(asked: Asked) -> dict[str, str]:
    """Give every answer so far as it was typed: from what was sent, else from the address."""
    source = asked.form if asked.request.method == "POST" else asked.request.query_params
    skipped = source.get("skip", "")
    typed = {name: str(source.get(name, "")).strip() for name in _READERS}
    left_out = next((step.fields for step in STEPS if step.key == skipped), ())
    return {name: "" if name in left_out else value for name, value in typed.items()}


def _how_far(asked: Asked, typed: Mapping[str, str]) -> tuple[int, dict[str, Any]]:
    """Give the place of the question to ask, and what is known: a slip is asked for again."""
    known: dict[str, Any] = {}
    for place, step in enumerate(STEPS):
        try:
            known |= _read(asked, step, typed)
        except NotUnderstoodError as trouble:
            asked.trouble = asked.trouble or str(trouble)
            return place, known
    asked_for = _number(asked.query("step"))
    return (asked_for if typed["name"] else 0), known


def _number(said: str) -> int:
    return min(int(said), len(STEPS) - 1) if said.isdecimal() and len(said) == 1 else 0


def _read(asked: Asked, step: Step, typed: Mapping[str, str]) -> dict[str, Any]:
    found = {}
    for name in step.fields:
        if not typed[name]:
            continue
        try:
            found[name] = _READERS[name](typed[name])
        except NotUnderstoodError:
            asked.wrong = name
            raise
    _refuse_twin(asked, found.get("name", ""))
    return found


def _refuse_twin(asked: Asked, name: str) -> None:
    if name.casefold() in {bike.casefold() for bike in asked.garage.bikes()} and not asked.form.get("once"):
        asked.wrong = "name"
        raise NotUnderstoodError(on_forms.name_taken(name))


def _carried(place: int) -> tuple[str, ...]:
    """Name the answers that the question at this place carries along unseen."""
    here = STEPS[place].fields
    return tuple(name for name in _READERS if name not in here)


def _told(known: Mapping[str, Any]) -> list[tuple[str, str, bool]]:
    """Give the answers so far as name, words, and whether they are known: ink or pencil."""
    engine = [f"{known['cc']:g} cc" if "cc" in known else "", _STROKES.get(known.get("strokes", 0), "")]
    place = [known.get("place", ""), f"{known['height']:,.0f} m" if "height" in known else ""]
    rows = {
        "Engine": " ".join(word for word in engine if word),
        "Bore": f"{known['bore']:g} mm" if "bore" in known else "",
        "Main jet": known.get("main", ""),
        "Place": ", ".join(word for word in place if word),
        "What it does": DID[known["did"]] if "did" in known else "",
    }
    return [(name, value or "not known yet", bool(value)) for name, value in rows.items()]


_STROKES = {2: "two-stroke", 4: "four-stroke"}


def _at_words(at: Rung) -> str:
    return {Rung.SHUT: "Shut", Rung.FULL: "Full"}.get(at, at.value)


def _answers(known: Mapping[str, Any]) -> FirstAnswers:
    return FirstAnswers(
        name=known.get("name", "?"),
        strokes=known.get("strokes"),
        swept_cc=known.get("cc"),
        bore_mm=known.get("bore"),
        main=known.get("main"),
        place=known.get("place"),
        height=known.get("height"),
        did=known.get("did"),
        at=known.get("at"),
    )


# --- taking it down ----------------------------------------------------------------------------------------


def take(asked: Asked) -> Response:
    """Put the bike on a stand: by its answers, by a bike file, or fit what a setup card tells."""
    if "file" in asked.form:
        return _take_file(asked)
    if "card" in asked.form:
        return _take_card(asked)
    typed = _typed(asked)
    if not typed["name"]:
        asked.wrong = "name"
        raise NotUnderstoodError(on_forms.NAME_FIRST)
    known: dict[str, Any] = {}
    for step in STEPS:
        known |= _read(asked, step, typed)
    bike = asked.garage.new_bike(_answers(known))
    return asked.go(bike_address(bike.name))


def _take_file(asked: Asked) -> Response:
    with laid_down(asked, "file", usual="bike.toml", missing=on_forms.NO_FILE) as path:
        read = asked.garage.add_bike(path)
    told = notes(read)
    if not told:
        return asked.go(bike_address(read.name))
    return asked.page("first_file.html", name=read.name, notes=told)


def _take_card(asked: Asked) -> Response:
    """Fit what the text of a setup card tells to the bike of its name."""
    asked.wrong = "card"
    try:
        bike, _ = asked.garage.take_card(asked.field("card"))
    except NotOnAStandError as trouble:
        raise NotUnderstoodError(not_on_a_stand_words(trouble.bike, trouble.alike)) from trouble
    return asked.go(bike_address(bike.name) + "/setup")


routes: list[Route] = [page("/bikes/new", show, take=take, body_limit=FILE_LIMIT)]
