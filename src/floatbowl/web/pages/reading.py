"""Readings: what was measured, one form for each kind, with how it is taken and what to mind."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal, get_args
from urllib.parse import quote

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import ChokeOutcome, ChokeUse, HandOutcome, PlugColour
from floatbowl.web.asked import Asked
from floatbowl.web.lines import told_lines, told_on
from floatbowl.web.page import page
from floatbowl.words import heard, on_forms
from floatbowl.words.asked_back import TOUCHED
from floatbowl.words.care import care_lines
from floatbowl.words.measuring import WRITTEN, how_taken
from floatbowl.words.names import CHOKE_DID, HAND_DID
from floatbowl.words.trouble import NotUnderstoodError

RUNS = 6
"""Timed runs, and places of the screw, that a form has room for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One thing a form asks for: a word of a few, a number, timed runs, or pairs of numbers."""

    name: str
    label: str
    shape: Literal["choice", "number", "runs", "pairs", "words"]
    options: tuple[tuple[str, str], ...] = ()
    unit: str = ""
    hint: str = ""
    usual: str = ""


def _pairs(words: Sequence[str]) -> tuple[tuple[str, str], ...]:
    return tuple((word, word[:1].upper() + word[1:]) for word in words)


_LABELS = {Rung.SHUT: "Shut", Rung.FULL: "Full"}
AT = Field(
    name="at",
    label="At which opening?",
    shape="choice",
    options=tuple((at.value, _LABELS.get(at, at.value)) for at in reversed(RUNGS)),
)
_RPM = Field(
    name="rpm", label="Engine speed", shape="number", unit="rpm", hint="Leave it empty if nobody counted."
)

FORMS: dict[str, tuple[Field, ...]] = {
    "plug": (AT, Field(name="value", label="Colour", shape="choice", options=_pairs(get_args(PlugColour)))),
    "lambda": (AT, Field(name="value", label="Lambda", shape="number", hint="As 0.92."), _RPM),
    "gas": (
        AT,
        Field(name="co", label="CO", shape="number", unit="%"),
        Field(name="co2", label="CO2", shape="number", unit="%"),
        Field(name="hc", label="HC", shape="number", unit="ppm"),
        Field(name="o2", label="O2", shape="number", unit="%"),
        _RPM,
    ),
    "rollon": (
        AT,
        Field(
            name="value",
            label="Each run",
            shape="runs",
            unit="s",
            hint="Every run by itself, not the mean, and which way it went: all of them or none.",
        ),
        Field(name="choke", label="Choke", shape="choice", options=_pairs(get_args(ChokeUse)), usual="off"),
        _RPM,
    ),
    "choke": (
        AT,
        Field(
            name="value",
            label="With a little choke it was",
            shape="choice",
            options=tuple(
                (word, CHOKE_DID[word].partition(" with")[0].capitalize()) for word in get_args(ChokeOutcome)
            ),
        ),
    ),
    "hand": (
        Field(
            name="value",
            label="Under the hand",
            shape="choice",
            options=tuple((word, HAND_DID[word].capitalize()) for word in get_args(HandOutcome)),
        ),
    ),
    "sweep": (
        Field(
            name="value",
            label="Turns out, and the idle speed there",
            shape="pairs",
            unit="rpm",
            hint="Two places or more; 0 rpm where it died.",
        ),
    ),
    "level": (
        Field(
            name="value",
            label="Fuel above the book level",
            shape="number",
            unit="mm",
            hint="Below it is minus: -1.5. Right on it is 0.",
        ),
    ),
    "touched": (Field(name="value", label="Worked on last", shape="choice", options=tuple(TOUCHED.items())),),
}
"""What the form of each kind asks for. A kind that is not here is written in words, as at the command."""
FROM_A_FILE = ("log",)
"""Kinds that nobody types: they are read out of a file, on a page of their own."""
TYPED = tuple(kind for kind in WRITTEN if kind not in FROM_A_FILE)
IN_WORDS = (Field(name="words", label="What was measured", shape="words"),)


def show(asked: Asked) -> Response:
    """Show the kinds of reading, and the form of the one that was chosen."""
    kind = asked.field("kind") or asked.query("kind")
    chosen = kind if kind in TYPED else ""
    look = how_taken(chosen) if chosen else None
    return asked.page(
        "reading.html",
        bike=asked.bike,
        words=on_forms,
        kinds=[(one, how_taken(one).act) for one in TYPED],
        kind=chosen,
        look=look,
        care=care_lines(look.care) if look else (),
        fields=FORMS.get(chosen, IN_WORDS),
        written=WRITTEN[chosen][1] if chosen else "",
        at=asked.query("at"),
        room=range(RUNS),
        just_said=_just_said(asked),
        told=told_on(asked.garage, asked.bike, asked.garage.fitted(asked.bike)),
    )


def _just_said(asked: Asked) -> object:
    entry = asked.query("said")
    log = [line for line in asked.garage.log(asked.bike) if entry and line.entry == entry and not line.struck]
    return told_lines(log)[0] if log else None


def take(asked: Asked) -> Response:
    """Write a reading down, as its words would be taken at the command."""
    kind = asked.field("kind")
    words = _WORDS.get(kind, _in_words)(asked)
    rpm = asked.field("rpm") or None
    choke = asked.field("choke") or None
    told = heard.reading([kind, *words], rpm_word=rpm, choke_word=None if choke == "off" else choke)
    reading = asked.garage.record_reading(asked.bike, **told)
    return asked.go_to_bike(f"/reading?kind={quote(kind)}&said={quote(reading.entry)}")


def _in_words(asked: Asked) -> list[str]:
    return asked.field("words").split()


def _chosen(asked: Asked, name: str, sentence: str) -> str:
    value = asked.field(name)
    if not value:
        asked.wrong = name
        raise NotUnderstoodError(sentence)
    return value


def _at(asked: Asked) -> str:
    return _chosen(asked, "at", on_forms.SAY_OPENING)


def _value(asked: Asked) -> str:
    return _chosen(asked, "value", on_forms.SAY_VALUE)


def _runs(asked: Asked) -> list[str]:
    ways = [*asked.fields("way"), *[""] * RUNS]
    runs = [(way, run) for way, run in zip(ways, asked.fields("value"), strict=False) if run]
    if not runs:
        asked.wrong = "value"
        raise NotUnderstoodError(on_forms.ONE_RUN)
    return [f"{way}={run}" if way else run for way, run in runs]


def _gases(asked: Asked) -> list[str]:
    names = ("co", "co2", "hc", "o2")
    return [f"{name}={_chosen(asked, name, on_forms.ALL_GASES)}" for name in names]


def _places(asked: Asked) -> list[str]:
    places = zip(asked.fields("turns"), asked.fields("value"), strict=False)
    told = [f"{turn}={speed}" for turn, speed in places if turn and speed]
    if len(told) < 2:  # noqa: PLR2004  (a single place compares with nothing)
        asked.wrong = "value"
        raise NotUnderstoodError(on_forms.TWO_PLACES)
    return told


_WORDS: dict[str, Callable[[Asked], list[Any]]] = {
    "plug": lambda asked: [_at(asked), _value(asked)],
    "lambda": lambda asked: [_at(asked), _value(asked)],
    "gas": lambda asked: [_at(asked), *_gases(asked)],
    "rollon": lambda asked: [_at(asked), *_runs(asked)],
    "choke": lambda asked: [_at(asked), _value(asked)],
    "hand": lambda asked: [_value(asked)],
    "sweep": _places,
    "level": lambda asked: [_value(asked)],
    "touched": lambda asked: [_value(asked)],
}

routes: list[Route] = [page("/bikes/{bike}/reading", show, take=take)]
