"""Openings, numbers with their units, and names of which a word or two were written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.words.trouble import NotUnderstoodError, nearest, not_known

RUNG_WORDS: dict[str, Rung] = {
    **{rung.value: rung for rung in RUNGS},
    "0": Rung.SHUT,
    "idle": Rung.SHUT,
    "closed": Rung.SHUT,
    "eighth": Rung.EIGHTH,
    "quarter": Rung.QUARTER,
    "half": Rung.HALF,
    "three-quarters": Rung.THREE_QUARTERS,
    "three quarters": Rung.THREE_QUARTERS,
    "wide open": Rung.FULL,
    "open": Rung.FULL,
    "1": Rung.FULL,
    "1/1": Rung.FULL,
    "\u215b": Rung.EIGHTH,
    "\u00bc": Rung.QUARTER,
    "\u00bd": Rung.HALF,
    "\u00be": Rung.THREE_QUARTERS,
}


def rung(word: str) -> Rung:
    """Read an opening: ``1/4``, ``quarter``, ``shut``, ``full``."""
    found = RUNG_WORDS.get(word.strip().casefold())
    if found is None:
        known = [one.value for one in RUNGS]
        close = nearest(word, RUNG_WORDS)
        meant = f" Did you mean {RUNG_WORDS[close].value}?" if close else ""
        text = f'"{word}" is not an opening.{meant} Write {", ".join(known[:-1])} or {known[-1]}.'
        raise NotUnderstoodError(text)
    return found


_NUMBER = re.compile(r"([+\N{MINUS SIGN}-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(\S*)")


def number_and_unit(word: str) -> tuple[float, str]:
    """Read ``3.9s`` as 3.9 and ``s``; a comma may stand for the point."""
    match = _NUMBER.fullmatch(word.strip())
    if match is None:
        text = f'"{word}" is not a number we can read. Write it like 3.9 or 3.9s.'
        raise NotUnderstoodError(text)
    return float(match[1].replace(",", ".").replace("\N{MINUS SIGN}", "-")), match[2]


def number(word: str, *, what: str, units: Sequence[str], least: float, most: float) -> float:
    """Read a number with or without its unit, within what can be."""
    value, unit = number_and_unit(word)
    if unit and unit.casefold() not in {one.casefold() for one in units}:
        text = f'"{word}": {what} is written in {units[0]}.'
        raise NotUnderstoodError(text)
    if not least <= value <= most:
        text = f'"{word}": {what} lies between {least:g} and {most:g} {units[0]}'.rstrip() + "."
        raise NotUnderstoodError(text)
    return value


def seconds(word: str) -> float:
    """Read one timed run."""
    return number(word, what="a roll-on time", units=("s", "sec"), least=0.2, most=120.0)


def lambda_value(word: str) -> float:
    """Read a lambda; whether it can be one is for the record to say."""
    return number(word, what="lambda", units=("", "lambda"), least=0.0, most=1000.0)


def rpm(word: str) -> float:
    """Read an engine speed."""
    return number(word, what="an engine speed", units=("rpm",), least=300.0, most=20000.0)


def one_of(words: Sequence[str], known: Iterable[str], *, what: str) -> str:
    """Give the one known name that holds all these words; more than one, or none, is trouble."""
    names = tuple(known)
    asked = " ".join(words).casefold()
    if asked in names:
        return asked
    found = [name for name in names if set(asked.split()) <= set(name.split())]
    if len(found) == 1:
        return found[0]
    if found:
        text = f'"{asked}" may be {" or ".join(found)}. Write a word more.'
        raise NotUnderstoodError(text)
    raise NotUnderstoodError(not_known(asked, what=what, known=names, close=_meant(asked.split(), names)))


def _meant(words: Sequence[str], names: Sequence[str]) -> str | None:
    """Give the first name that holds every word as it may have been meant."""
    vocabulary = {word for name in names for word in name.split()}
    meant = {nearest(word, sorted(vocabulary)) for word in words}
    return next((name for name in names if meant <= set(name.split())), None)
