"""The setup card in words: what is fitted, whether it is proven, mains by height, what to mind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from textwrap import shorten
from typing import TYPE_CHECKING

from floatbowl.bike.day import Day
from floatbowl.bike.place import NOT_KNOWN as NO_PLACE
from floatbowl.bike.setup import Setup
from floatbowl.bike.shape import fitted_needle
from floatbowl.jobs import HandOver, Proof
from floatbowl.units import FREEZING, HECTOPASCAL, MILLIMETRE
from floatbowl.words.carry import HILL_STEP, rounded
from floatbowl.words.forms import Form, form, setup_fields
from floatbowl.words.names import as_written, mixture_screw, plural
from floatbowl.words.proving import checked_words

if TYPE_CHECKING:
    from floatbowl.advice.swaps import Band
    from floatbowl.bike.bike import Bike

TITLE = "Setup card"
TRUE_SIZE = "True size at 100 %: lay the part on the paper. Slide shut, air from the left."
PENCILLED = "Dashed: assumed. Grooves count from the blunt end."
MAINS = "Main by height"
MAINS_NOTE = "On a mild day. 10 \N{DEGREE SIGN}C colder: as if 300 m lower."
NO_MAINS = "No other main at hand would be better at any height."
FITTED = "What is fitted"
CHECKS = "Is it proven?"
RIDDEN = "Ridden hot"
BEFORE_YOU_RIDE = "Before you ride"
CODE = "The setup as plain text"
CODE_NOTE = "Any phone reads it. In another garage: floatbowl add, and the text."
BY_HAND = "Since then, by hand"
BY_HAND_HEADS = ("Date", "What was changed", "Where, what air", "How it went")
NOT_KNOWN = "not known"
ASSUMED = "assumed"
MOST_TOLD = 64
"""Letters of what a bike is that fit in one line of a card."""
MISSING = "missing"
NOT_YET = "not yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One line of the list: its number on the drawing (0 where it has none), name, value, ink or pencil."""

    number: int
    name: str
    value: str
    is_assumed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A check: done or missing."""

    words: str
    is_done: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MainBand:
    """One main and the heights in which it is the best bet, m; ``low`` is None down to the sea."""

    stamp: str
    high: float
    low: float
    is_fitted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupCard:
    """All that stands on a setup card, in words."""

    bike: str
    what: str
    status: str
    is_proven: bool
    where: str
    air: str
    items: tuple[Item, ...]
    rungs: tuple[Tick, ...]
    checks: tuple[Tick, ...]
    mains: tuple[MainBand, ...]
    home: float | None
    care: tuple[str, ...]
    text: str
    described: str


def setup_card(told: HandOver) -> SetupCard:
    """Tell what is handed over."""
    bike, setup = told.stand.bike, told.stand.belief.setup
    items, mains = items_of(bike, setup), mains_of(told.mains, setup)
    return SetupCard(
        bike=bike.name,
        what=shorten(bike.what, MOST_TOLD, placeholder="\N{HORIZONTAL ELLIPSIS}"),
        status=status_words(told.proof, setup, told.set_on),
        is_proven=told.proof.is_proven,
        where=where_words(told.set_on),
        air=_air(told.set_on),
        items=items,
        rungs=tuple(
            Tick(words=check.at.value if check.at else "", is_done=check.is_done)
            for check in told.proof.checks
            if check.key == "ride all rungs"
        ),
        checks=tuple(
            Tick(words=_check(checked_words(check)), is_done=check.is_done)
            for check in told.proof.checks
            if check.key != "ride all rungs"
        ),
        mains=mains,
        home=None if told.set_on.place == NO_PLACE else told.set_on.height,
        care=care_of(bike),
        text=told.text,
        described=mains_words(mains),
    )


# --- the head ----------------------------------------------------------------------------------------------


def status_words(proof: Proof, setup: Setup, day: Day) -> str:
    """Say which setup it is, whether it is proven, and when: ``Setup 9, proven 14 Nov 2026``."""
    if proof.is_proven:
        return f"Setup {setup.number}, proven {day_words(day.date)}".rstrip()
    missing = sum(not check.is_done for check in proof.checks)
    return f"Setup {setup.number}, not proven yet: {plural(missing, 'check')} missing"


def day_words(iso: str) -> str:
    """Write a date as one says it: ``14 Nov 2026``; nothing where there is none."""
    if not iso:
        return ""
    day = date.fromisoformat(iso)
    return f"{day.day} {day:%b %Y}"


def where_words(day: Day) -> str:
    """Say where and when it was set."""
    place = "a place not named" if day.place == NO_PLACE else day.place
    when = f", {day_words(day.date)}" if day.date else ""
    return f"Set at {place}, {day.height:,.0f} m{when}"


def _air(day: Day) -> str:
    measures = (day.temperature, day.pressure, day.humidity)
    guess = f", {ASSUMED}" if any(one.is_assumed for one in measures) else ""
    warmth, pressure = day.temperature.value - FREEZING, day.pressure.value / HECTOPASCAL
    damp = f"{100.0 * day.humidity.value:.0f} % damp"
    return f"{warmth:.0f} \N{DEGREE SIGN}C, {pressure:.0f} hPa at the door, {damp}{guess}"


def _check(words: str) -> str:
    """Leave out of a check's line what needs more room than a card has."""
    return words.split(":", 1)[0]


# --- what is fitted ----------------------------------------------------------------------------------------


def items_of(bike: Bike, setup: Setup) -> tuple[Item, ...]:
    """Give every part and setting, as stamped or set, in the order of the numbers on the drawing."""
    needle, carb = fitted_needle(bike, setup), bike.carb
    height = carb.float_height.value / MILLIMETRE if setup.float_height_mm is None else setup.float_height_mm
    told = [
        _stamped(1, "Main jet", setup.main),
        _stamped(2, "Pilot jet", setup.pilot),
        _needle(bike, setup),
        Item(number=4, name="Clip groove", value=f"{setup.clip_from_top} of {needle.grooves}"),
        Item(
            number=5,
            name="Needle jet",
            value=f"{carb.needle_jet_bore.value / MILLIMETRE:.2f}",
            is_assumed=carb.needle_jet_bore.is_assumed,
        ),
        _stamped(6, "Slide cutaway", setup.cutaway),
        Item(
            number=7,
            name=f"{mixture_screw(bike).capitalize()}, out",
            value=plural(setup.screw_turns, "turn"),
        ),
        Item(
            number=8,
            name="Float height",
            value=f"{height:.1f} mm",
            is_assumed=setup.float_height_mm is None and carb.float_height.is_assumed,
        ),
    ]
    if setup.needle_washer_mm:
        told.append(Item(number=9, name="Clip washer", value=f"{setup.needle_washer_mm:g} mm"))
    return (*told, *_besides(bike))


def _stamped(number: int, name: str, stamp: str) -> Item:
    unknown = stamp == "?"
    return Item(number=number, name=name, value=NOT_KNOWN if unknown else stamp, is_assumed=unknown)


def _needle(bike: Bike, setup: Setup) -> Item:
    """Name a needle by its stamp, else by its diameters at both ends of the taper."""
    needle = fitted_needle(bike, setup)
    if needle.stamp != "?":
        return Item(number=3, name="Needle", value=needle.stamp)
    ends = needle.stations[0].diameter, needle.stations[-1].diameter
    thick, thin = (end.value / MILLIMETRE for end in ends)
    return Item(
        number=3,
        name="Needle",
        value=f"{thick:.2f} to {thin:.2f}",
        is_assumed=any(end.is_assumed for end in ends),
    )


def _besides(bike: Bike) -> list[Item]:
    """Give what is set but not drawn: the idle, and the oil in a two-stroke's petrol."""
    idle = bike.engine.idle_rpm
    told = [Item(number=0, name="Idle, hot", value=f"{idle.value:,.0f} rpm", is_assumed=idle.is_assumed)]
    if bike.fuel.oil_ratio:
        told.append(Item(number=0, name="Petrol to oil", value=f"{bike.fuel.oil_ratio:g} to 1"))
    return told


# --- mains by height ---------------------------------------------------------------------------------------


def mains_of(bands: Sequence[Band], setup: Setup) -> tuple[MainBand, ...]:
    """Give the mains from the top of the hill down, the heights to the digit that carry shows."""
    return tuple(
        MainBand(
            stamp=f"{band.stamp}",
            high=rounded(float(band.there[0]), HILL_STEP),
            low=rounded(float(band.there[1]), HILL_STEP),
            is_fitted=band.stamp == setup.main,
        )
        for band in bands
    )


def mains_words(mains: Sequence[MainBand]) -> str:
    """Tell the bands in one line, from the sea up."""
    if not mains:
        return NO_MAINS
    told = [f"{one.stamp} from {one.low:,.0f} to {one.high:,.0f} m" for one in reversed(mains)]
    return "; ".join(told) + "."


# --- what to mind ------------------------------------------------------------------------------------------


def care_of(bike: Bike) -> tuple[str, ...]:
    """Give what to mind before riding it, the most dangerous first."""
    told = [
        "Twist, let go: the slide must snap shut by itself, bars at both locks.",
        "No petrol smell, no drip. Fuel tap off whenever it stands.",
        "New exhaust, filter, fuel or carburettor: this card no longer holds.",
    ]
    if bike.engine.strokes == 2:  # noqa: PLR2004  (two-strokes seize)
        told.insert(2, "Pings, or flat at full: shut it, do not pull on. Short of fuel it seizes in seconds.")
    else:
        told.insert(2, "Pings, runs hot or goes flat at full: shut it, ride home gently, look at the main.")
    return tuple(told)


# --- the card told on a screen -----------------------------------------------------------------------------


def printed_words(file: str) -> str:
    """Say where the paper is, and how it is printed so that it is true."""
    return f"The card is in {file}. Print it at 100 %, not fitted to the page."


def card_form(card: SetupCard, *, file: str | None) -> Form:
    """Give the card as data."""
    return form(
        "card",
        bike=card.bike,
        words=f"{card.status}.",
        is_proven=card.is_proven,
        set_where=card.where,
        set_air=card.air,
        items=[
            {"name": item.name, "value": item.value, "is_assumed": item.is_assumed} for item in card.items
        ],
        checks=[
            {"words": check.words, "is_done": check.is_done}
            for check in (*(replace(one, words=f"Ridden {one.words}") for one in card.rungs), *card.checks)
        ],
        mains=[{"main": one.stamp, "from_m": one.low, "to_m": one.high} for one in card.mains],
        care=list(card.care),
        text=card.text,
        file=file,
    )


# --- the text taken back -----------------------------------------------------------------------------------


def taken_words(bike: str, setup: Setup, *, before: Setup, changes: str) -> str:
    """Say what came of a card: what was fitted, or that it was fitted already."""
    if setup.number == before.number:
        return f"{bike}: setup {setup.number} is as on the card already. Nothing was written down."
    return f"{bike}, setup {setup.number}, as on the card: {changes}."


def taken_form(bike: str, setup: Setup, *, words: str) -> Form:
    """Give what came of a card."""
    return form("card_taken", bike=bike, setup=setup_fields(setup), words=words)


def not_on_a_stand_words(bike: str, alike: Sequence[str]) -> str:
    """Say that the card's bike does not stand here, and what is missing to put it on a stand."""
    if alike:
        return f"The card's bike begins with {bike}, as {' and '.join(alike)} do. Copy the card's text whole."
    return (
        f"No bike called {bike} stands here, and a card tells what is fitted, not the whole bike. Missing:\n"
        "  two or four strokes, the swept volume, and the bore of the carburettor.\n"
        f"Put it on a stand by a bike file, floatbowl add {as_written(bike)}.toml, or on the page New bike; "
        "then take the card in again."
    )
