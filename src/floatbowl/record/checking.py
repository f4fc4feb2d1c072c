"""Reading a table somebody wrote, key by key, gathering all that is wrong instead of stopping at the first.

A ``Table`` remembers which keys it was asked for; those left over are unknown
and are reported, not dropped. A number that cannot be a number is trouble; one
that is merely implausible is doubtful: kept in the file, not used.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from floatbowl.record.fields import Choice, Number, unit_word
from floatbowl.record.toml_lines import Path
from floatbowl.record.toml_text import LONGEST_TEXT, shown
from floatbowl.record.trouble import Trouble


@dataclass(frozen=True, slots=True, kw_only=True)
class UnknownKey:
    """A key that means nothing to us. It is kept; ``near`` is the known key it may have been meant for."""

    line: int | None = field(compare=False)
    key: str
    value: str
    near: str = field(default="", compare=False)

    def sentence(self) -> str:
        """Tell it in full."""
        hint = f" Did you mean {self.near}?" if self.near else ""
        return f"{_line(self.line)}{self.key} means nothing to us. Kept, not used.{hint}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A number too odd to be used. It is kept; ``meant`` is what may have been meant, if we can guess."""

    line: int | None = field(compare=False)
    key: str
    value: str
    low: float
    high: float
    meant: float | None

    def sentence(self) -> str:
        """Tell it in full.

        >>> Doubt(line=21, key="float_height_mm", value="81", low=2.0, high=50.0, meant=18.0).sentence()
        'Line 21: float_height_mm is 81? Kept, not used. Did you mean 18?'
        """
        return f"{_line(self.line)}{self.key} is {self.value}? Kept, not used. {self.hint}"

    @property
    def hint(self) -> str:
        """Say what may have been meant, or what would be used."""
        if self.meant is None:
            return f"Values from {self.low:g} to {self.high:g} are used."
        return f"Did you mean {self.meant:g}?"


def _line(line: int | None) -> str:
    return "" if line is None else f"Line {line}: "


@dataclass(slots=True)
class Notes:
    """All that was noted while reading one file."""

    lines: Mapping[Path, int] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    unknown: list[UnknownKey] = field(default_factory=list)

    def line(self, path: Path) -> int | None:
        """Give the line of a key, or of the nearest thing around it."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return None

    def trouble(self, path: Path, what: str, do: str) -> None:
        """Note something wrong at a place in the file."""
        self.troubles.append(Trouble(self.line(path), what, do))


class Table:
    """One table of the file, with what was asked of it so far."""

    def __init__(self, data: object, *, path: Path, notes: Notes) -> None:
        """Take a value that should be a table; anything else is trouble, and then it counts as empty."""
        self.path = path
        self.notes = notes
        self.asked: set[str] = set()
        self.data: Mapping[str, Any] = data if isinstance(data, dict) else {}
        if not isinstance(data, dict):
            what = f"{_name(path)} is {shown(data)}, but it has parts of its own"
            notes.trouble(path, what, "Write its parts between braces: { ... }")

    def __contains__(self, key: str) -> bool:
        """Say whether the key was written."""
        return key in self.data

    def get(self, key: str) -> object:
        """Give what was written, as it is, or None."""
        self.asked.add(key)
        return self.data.get(key)

    def trouble(self, key: str, what: str, do: str) -> None:
        """Note something wrong with one key."""
        self.notes.trouble((*self.path, key), what, do)

    def table(self, key: str) -> Table:
        """Give a table within this one; empty when it is not there."""
        return Table({} if key not in self.data else self.get(key), path=(*self.path, key), notes=self.notes)

    def items(self, key: str) -> list[object]:
        """Give a list; empty when it is not there."""
        value = self.get(key)
        if value is None or isinstance(value, list):
            return value or []
        self.trouble(
            key, f"{key} is {shown(value)}, but there may be several", f"Write it as {key} = [ ... ]"
        )
        return []

    def tables(self, key: str) -> list[Table]:
        """Give the tables in a list."""
        items = self.items(key)
        tables = [
            Table(item, path=(*self.path, key, place), notes=self.notes) for place, item in enumerate(items)
        ]
        return [table for table, item in zip(tables, items, strict=True) if isinstance(item, dict)]

    def text(self, key: str, *, longest: int = LONGEST_TEXT) -> str | None:
        """Give a line of text: printable and not too long."""
        value = self.get(key)
        if value is None:
            return None
        if not isinstance(value, str):
            self.trouble(
                key, f"{key} is {shown(value)}, which is not text", f'Write it in quotes: {key} = "..."'
            )
            return None
        return self._plain_text(key, value, longest=longest)

    def _plain_text(self, key: str, value: str, *, longest: int) -> str | None:
        if len(value) > longest:
            self.trouble(key, f"{key} is {len(value)} letters long", f"Keep it to {longest}")
            return None
        if not value.isprintable():
            self.trouble(
                key,
                f"{key} is {shown(value)}, with characters that cannot be seen",
                "Write it in one plain line",
            )
            return None
        return value.strip()

    def choice(self, choice: Choice) -> str | None:
        """Give one word out of a few."""
        value = self.get(choice.key)
        return None if value is None else self.checked_choice(value, choice)

    def checked_choice(self, value: object, choice: Choice) -> str | None:
        """Give a value as the word it should be."""
        if isinstance(value, str) and value in choice.words:
            return value
        near = difflib.get_close_matches(str(value), choice.words, n=1) if isinstance(value, str) else []
        words = ", ".join(f'"{word}"' for word in choice.words)
        what = f"{choice.key} is {shown(value)}, which we do not know"
        meant = f'Did you mean "{near[0]}"? ' if near else ""
        self.trouble(choice.key, what, f"{meant}Write {'one of ' if len(choice.words) > 1 else ''}{words}")
        return None

    def number(self, number: Number, *, needed: bool = False) -> float | None:
        """Give a number in the key's own unit, or None when it is not there or not to be used."""
        value = self.get(number.key)
        if value is None:
            return None
        return self.checked(value, number, needed=needed, path=(*self.path, number.key))

    def checked(self, value: object, number: Number, *, needed: bool, path: Path) -> float | None:
        """Give a value as the number it should be; ``path`` is its place in the file."""
        wrong = _not_a_number(value, number)
        if wrong:
            self.notes.trouble(path, f"{number.key} is {shown(value)}, {wrong}", _write_number(number))
            return None
        found = float(value)  # type: ignore[arg-type]  # _not_a_number has let only int and float pass
        if number.low <= found <= number.high:
            return int(found) if number.is_whole else found
        self._implausible(found, number, path=path, needed=needed)
        return None

    def _implausible(self, found: float, number: Number, *, path: Path, needed: bool) -> None:
        meant = likely_meant(found, number)
        if not needed and not (found < 0.0 <= number.low):
            doubt = Doubt(
                line=self.notes.line(path),
                key=number.key,
                value=f"{found:g}",
                low=number.low,
                high=number.high,
                meant=meant,
            )
            self.notes.doubts.append(doubt)
            return
        what = f"{number.key} is {found:g}, {_why_implausible(found, number, meant=meant)}"
        write = _write_number(number) if meant is None else f"Write {meant:g}, if that is what you meant"
        self.notes.trouble(path, what, write)

    def check_form(self, form: str) -> None:
        """See that the file, where it says its form, is of the form we read."""
        told = self.text("form")
        if told is not None and told != form:
            self.trouble(
                "form", f"form is {told!r}, which this floatbowl does not read", f'Write form = "{form}"'
            )

    def report_unknown(self) -> None:
        """Report every key that nobody asked for."""
        for key, value in self.data.items():
            if key not in self.asked:
                near = difflib.get_close_matches(key, self.asked, n=1)
                path = (*self.path, key)
                self.notes.unknown.append(
                    UnknownKey(
                        line=self.notes.line(path),
                        key=_name(path),
                        value=shown(value),
                        near=near[0] if near else "",
                    )
                )


def _name(path: Path) -> str:
    """Name a place in the file: ``carb.needle.top_mm``, ``trial 2 said 1 did``."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f" {part + 1}"
        else:
            joint = "" if not text else (" " if text[-1].isdigit() else ".")
            text += joint + (part if part.isprintable() else ascii(part))
    return text if len(text) <= LONGEST_TEXT else f"{text[:LONGEST_TEXT]}..."


def _not_a_number(value: object, number: Number) -> str:
    """Say why a value is no number of this kind; empty when it is one."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return "which is not a number"
    if isinstance(value, int) and abs(value) > 10**15:
        return "which is far too large"
    if not math.isfinite(value):
        return "which is not a number one can measure"
    if number.is_whole and value != int(value):
        return "but it counts things and must be whole"
    return ""


def _write_number(number: Number) -> str:
    unit = unit_word(number.key)
    named = f"{unit}, " if unit else ""
    return f"Write {named}from {number.low:g} to {number.high:g}, as a plain number"


def _why_implausible(found: float, number: Number, *, meant: float | None) -> str:
    if meant is not None and number.key.endswith("_mm"):
        if math.isclose(meant, found * 1000.0, rel_tol=_ROUNDING):
            return "which looks like metres"
        if math.isclose(meant, found * _INCH, rel_tol=_ROUNDING):
            return "which looks like inches"
    if found < 0.0:
        return "below nothing"
    return "which cannot be"


_INCH = 25.4
_ROUNDING = 0.01


def likely_meant(found: float, number: Number) -> float | None:
    """Guess the number behind a slip: metres, inches, two digits swapped, a point misplaced.

    >>> bore = Number("bore_mm", "bore", 1e-3, 8.0, 60.0)
    >>> likely_meant(0.026, bore), likely_meant(81.0, bore), likely_meant(1e9, bore)
    (26.0, 18.0, None)
    """
    slips = [found * 1000.0, found * _INCH] if number.key.endswith("_mm") else []
    if found == int(found) and 10 <= found <= 99:  # noqa: PLR2004  (a number of two digits)
        slips.append(float(str(int(found))[::-1]))
    slips += [found / 10.0, found * 10.0, found / 100.0, found * 100.0, -found]
    rounded = (float(f"{slip:.3g}") for slip in slips)
    fitting = (slip for slip in rounded if number.low <= slip <= number.high)
    return next((slip for slip in fitting if slip == int(slip) or not number.is_whole), None)
