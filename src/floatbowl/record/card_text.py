"""The text on a setup card: a bike's name and its setup in one line that every phone reads.

It keeps to the compact alphabet of the printed code, so that 195 signs fit a
code 27 mm wide; ``docs/formats/card-text.md`` tells the form. Written and read
here; nothing is kept.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NoReturn
from urllib.parse import unquote

from floatbowl.bike.day import Day
from floatbowl.bike.setup import Setup
from floatbowl.record.trouble import RecordTrouble
from floatbowl.units import FREEZING, HECTOPASCAL

FORM = "FLOATBOWL/1"
ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
LONGEST = 195
"""Signs that fit the code at its size and care for damage (QR version 10, level Q, holds 213)."""

NOT_KNOWN = "?"
_PLAIN = frozenset(ALPHABET) - frozenset(" $%*+")
"""What stands for itself: the rest of the alphabet has a meaning here."""
_OPEN = "*"
"""Alone: not known. Behind something: it goes on, but there was no room."""
_LEAST_NAME = 8
"""Signs of a long name that are kept at least: enough to tell the bikes of one garage apart."""

_SETUP = {
    "MAIN": "main",
    "PILOT": "pilot",
    "CLIP": "clip_from_top",
    "CUTAWAY": "cutaway",
    "SCREW": "screw_turns",
}
"""What every card tells; a setup lacks none of them."""
_EXTRA = {"FLOAT": "float_height_mm", "WASHER": "needle_washer_mm", "NEEDLE": "needle"}
"""What a card tells only where it is not as the carburettor came."""
_ABOUT = ("SETUP", "PROVEN", "SET", "AT", "AIR")
"""What is told for the reader; it changes nothing."""
_NUMBERS: Mapping[str, Callable[[str], float]] = {
    "clip_from_top": int,
    "screw_turns": float,
    "float_height_mm": float,
    "needle_washer_mm": float,
}


class CardTrouble(RecordTrouble):
    """A card's text that cannot be used as it stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardText:
    """What a card tells: the bike's name, as far as it stands there, and its setup.

    ``setup`` holds the fields of a setup but the needle, of which there is the
    stamp; None is the carburettor's own. ``is_cut`` says that the name went on.
    """

    name: str
    is_cut: bool
    setup: Mapping[str, Any]
    needle: str | None
    is_needle_cut: bool
    about: Mapping[str, str]

    def is_of(self, bike: str) -> bool:
        """Say whether this is the card of a bike so called; capital letters make no difference."""
        told, name = self.name.casefold(), bike.casefold()
        return name.startswith(told) if self.is_cut else name == told

    def is_with(self, stamp: str) -> bool:
        """Say whether a needle so stamped is the one of this card."""
        return stamp.startswith(self.needle or "") if self.is_needle_cut else stamp == self.needle


def is_card(text: str) -> bool:
    """Say whether a text is that of a card, and no bike file.

    >>> is_card(" floatbowl/1 magpie main 105"), is_card('name = "Magpie"')
    (True, False)
    """
    return text.lstrip().upper().startswith(FORM)


# --- writing -----------------------------------------------------------------------------------------------


def write_card(bike: str, setup: Setup, *, day: Day | None = None, is_proven: bool | None = None) -> str:
    """Write a card's text, at most ``LONGEST`` signs: what is only for the reader goes first, then the name.

    >>> from floatbowl.bike.setup import Setup
    >>> fitted = Setup(number=9, main="105", pilot="40", clip_from_top=4, cutaway="2.5", screw_turns=1.5)
    >>> write_card("Magpie", fitted, is_proven=True)
    'FLOATBOWL/1 MAGPIE MAIN 105 PILOT 40 CLIP 4 CUTAWAY 2.5 SCREW 1.5 SETUP 9 PROVEN YES'
    """
    needed, about = _needed(setup), _told_about(setup, day, is_proven)
    name = _name_signs(bike)
    while about and len(_line(name, needed + about)) > LONGEST:
        about.pop()
    room = LONGEST - len(_line([], needed))
    return _line(_cut(name, max(room, _LEAST_NAME)), needed + about)


def _line(name: list[str], words: list[str]) -> str:
    return " ".join([FORM, "".join(name), *words])


def _needed(setup: Setup) -> list[str]:
    words = [f"{key} {_value(getattr(setup, field))}" for key, field in _SETUP.items()]
    if setup.float_height_mm is not None:
        words.append(f"FLOAT {_value(setup.float_height_mm)}")
    if setup.needle_washer_mm:
        words.append(f"WASHER {_value(setup.needle_washer_mm)}")
    if setup.needle is not None:
        stamp = [_sign(char) for char in setup.needle.stamp]
        words.append(f"NEEDLE {_OPEN if setup.needle.stamp == NOT_KNOWN else ''.join(_cut(stamp, 24))}")
    return words


def _told_about(setup: Setup, day: Day | None, is_proven: bool | None) -> list[str]:  # noqa: FBT001  (may be None: nobody asked)
    words = [f"SETUP {setup.number}"]
    if is_proven is not None:
        words.append(f"PROVEN {'YES' if is_proven else 'NO'}")
    if day is not None:
        air = f"{day.temperature.value - FREEZING:.0f}C/{day.pressure.value / HECTOPASCAL:.0f}HPA"
        words += [f"SET {day.date}"] if day.date else []
        words += [f"AIR {air}", f"AT {''.join(_name_signs(day.place))}/{day.height:.0f}M"]
    return words


def _value(value: str | float) -> str:
    """Write a stamp or a number; a number as short as it still gives the same one again."""
    if isinstance(value, str):
        return _OPEN if value == NOT_KNOWN else "".join(_sign(char) for char in value)
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _sign(char: str) -> str:
    """Write one letter as it stands, a space as ``+``, and what the alphabet lacks by its bytes."""
    if char in _PLAIN:
        return char
    return "+" if char == " " else "".join(f"%{byte:02X}" for byte in char.encode())


def _name_signs(name: str) -> list[str]:
    """Write a name letter by letter, large letters for small where that is the same name."""
    return [_sign(char.upper() if char.upper().casefold() == char.casefold() else char) for char in name]


def _cut(signs: list[str], room: int) -> list[str]:
    """Keep as many whole letters as there is room for, with a star behind where some are left out."""
    if sum(map(len, signs)) <= room:
        return signs
    kept = list(signs)
    while sum(map(len, kept)) > room - 1:
        kept.pop()
    return [*kept, _OPEN]


# --- reading -----------------------------------------------------------------------------------------------


def read_card(text: str) -> CardText:
    """Read a card's text as it was typed, pasted or scanned; line ends and small letters make no difference.

    Raises ``CardTrouble``.

    >>> read_card("floatbowl/1 magpie main 105 pilot 40 clip 4 cutaway 2.5 screw 1.5").setup["main"]
    '105'
    """
    first, *words = text.upper().split() or [""]
    if first != FORM:
        _refuse(f"A card's text begins with {FORM}, this one with {first or 'nothing'}")
    if not words:
        _refuse("The card names no bike. The bike's name stands second")
    name, told = words[0], _pairs(words[1:])
    missing = [key for key in _SETUP if key not in told]
    if missing:
        _refuse(f"The card says nothing of {', '.join(missing).lower()}. Copy it whole")
    setup = {field: _read(key, told[key], field) for key, field in _SETUP.items()}
    needle = told.get("NEEDLE")
    return CardText(
        name=_plain_text(name.removesuffix(_OPEN)),
        is_cut=name.endswith(_OPEN),
        setup={**setup, **_extra(told)},
        needle=needle and str(_read("NEEDLE", needle, "needle")),
        is_needle_cut=needle not in {None, _OPEN} and str(needle).endswith(_OPEN),
        about={key: _plain_text(told[key]) for key in _ABOUT if key in told},
    )


def _pairs(words: list[str]) -> dict[str, str]:
    if len(words) % 2:
        _refuse(f"Behind {words[-1]} something is missing. Each word is followed by its value")
    told: dict[str, str] = {}
    for key, value in zip(words[::2], words[1::2], strict=True):
        if key not in {*_SETUP, *_EXTRA, *_ABOUT}:
            _refuse(f"{key} means nothing on a card. Known: {', '.join((*_SETUP, *_EXTRA, *_ABOUT))}")
        if key in told:
            _refuse(f"{key} stands there twice. Copy the card anew")
        told[key] = value
    return told


def _extra(told: Mapping[str, str]) -> dict[str, Any]:
    """Read what a card leaves out where there is nothing to tell."""
    return {
        "float_height_mm": _read("FLOAT", told["FLOAT"], "float_height_mm") if "FLOAT" in told else None,
        "needle_washer_mm": _read("WASHER", told["WASHER"], "needle_washer_mm") if "WASHER" in told else 0.0,
    }


def _read(key: str, value: str, field: str) -> str | float | int:
    if field not in _NUMBERS:
        return NOT_KNOWN if value == _OPEN else _plain_text(value.removesuffix(_OPEN))
    if re.fullmatch(r"\d{1,6}(\.\d{1,6})?", value) is None:
        _refuse(f"{key} is {value}, which is no number")
    try:
        return _NUMBERS[field](value)
    except ValueError:
        _refuse(f"{key} is {value}, which is no whole number")


def _plain_text(value: str) -> str:
    return unquote(value.replace("+", " "), errors="replace")


def _refuse(what: str) -> NoReturn:
    text = f"{what}. Nothing was written down."
    raise CardTrouble(text)
