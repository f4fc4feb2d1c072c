"""Parts: what is fitted, what goes into the drawer and out of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Literal, get_args

from floatbowl.words.heard.plain import number
from floatbowl.words.trouble import NotUnderstoodError, nearest, not_known

_PART_WORDS: dict[str, str] = {
    "main": "main",
    "pilot": "pilot",
    "clip": "clip_from_top",
    "groove": "clip_from_top",
    "screw": "screw_turns",
    "turns": "screw_turns",
    "cutaway": "cutaway",
    "slide": "cutaway",
    "float": "float_height_mm",
    "washer": "needle_washer_mm",
    "needle": "needle",
}
_WRITE_PARTS = "main=108, pilot=40, clip=4, screw=1.5, cutaway=2.5, float=18, washer=0.5, needle=STAMP"
_STAMP = re.compile(r"[0-9A-Za-z?][0-9A-Za-z .,/+#*-]{0,15}")


def changes(words: Iterable[str]) -> dict[str, Any]:
    """Read ``main=108 clip=4`` as fields of a setup."""
    found: dict[str, str | int | float] = {}
    for word in words:
        name, equals, value = word.partition("=")
        field = _PART_WORDS.get(name.strip().casefold())
        if not equals or field is None:
            close = nearest(name, _PART_WORDS)
            meant = f" Did you mean {close}=...?" if close else ""
            text = f'"{word}" is not a part we can fit.{meant} Write it like {_WRITE_PARTS}.'
            raise NotUnderstoodError(text)
        if field in found:
            text = f'"{word}": that part was named twice. Write it once.'
            raise NotUnderstoodError(text)
        found[field] = _PART_READER.get(field, stamp)(value)
    return found


def stamp(word: str) -> str:
    """Read what is stamped on a part, as stamped; ``?`` is not known."""
    if _STAMP.fullmatch(word.strip()) is None:
        text = (
            f'"{word}" does not look like a stamp. Write what stands on the part, or ? if nobody can read it.'
        )
        raise NotUnderstoodError(text)
    return word.strip()


def groove(word: str) -> int:
    """Read a clip's groove, counted from the blunt end."""
    value = number(word, what="the clip's groove, counted from the blunt end,", units=("",), least=1, most=12)
    if value != int(value):
        text = f'"{word}": grooves are whole. A washer under the clip makes a half: washer=0.5.'
        raise NotUnderstoodError(text)
    return int(value)


_PART_READER: Mapping[str, Callable[[str], str | int | float]] = {
    "clip_from_top": groove,
    "screw_turns": lambda word: number(
        word, what="the mixture screw, out from lightly seated,", units=("turns",), least=0.0, most=8.0
    ),
    "float_height_mm": lambda word: number(
        word, what="the float height", units=("mm",), least=2.0, most=40.0
    ),
    "needle_washer_mm": lambda word: number(word, what="a washer", units=("mm",), least=0.0, most=3.0),
}
DrawerKind = Literal["main", "pilot", "cutaway"]
DRAWER_KINDS: tuple[DrawerKind, ...] = get_args(DrawerKind)


def drawer_kind(word: str) -> DrawerKind:
    """Read which kind of part goes into the drawer or out of it."""
    asked = word.strip().casefold().removesuffix("s")
    for kind in DRAWER_KINDS:
        if asked in {kind, "slide" if kind == "cutaway" else kind}:
            return kind
    raise NotUnderstoodError(not_known(word, what="a kind of part for the drawer", known=DRAWER_KINDS))


def stamps(words: Iterable[str]) -> tuple[str, ...]:
    """Read one or more stamps."""
    found = tuple(stamp(word) for word in words)
    if not found:
        text = "Say which: floatbowl drawer add main 105 108."
        raise NotUnderstoodError(text)
    return found


def drawer_move(words: Sequence[str]) -> tuple[str, DrawerKind, tuple[str, ...]]:
    """Read ``add main 105 108`` as what to do, with which kind, and which stamps."""
    move, *rest = words
    if move not in {"add", "take"}:
        known = ("add", "take", "from")
        raise NotUnderstoodError(not_known(move, what="a thing to do with the drawer", known=known))
    if not rest:
        text = f"Say which parts: floatbowl drawer {move} main 105 108."
        raise NotUnderstoodError(text)
    return move, drawer_kind(rest[0]), stamps(rest[1:])


def drawer_file(words: Sequence[str]) -> str | None:
    """Read ``from garage.toml`` as the file's name; None when the words say something else."""
    if words[:1] != ("from",):
        return None
    if len(words) != 2:  # noqa: PLR2004  (the word and the file)
        text = "Say which file: floatbowl drawer from garage.toml."
        raise NotUnderstoodError(text)
    return words[1]
