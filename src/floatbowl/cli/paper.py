"""The terminal as paper: how wide it is, what ink it takes, and what it must never be sent.

Everything shown goes through ``Paper.put``. Text may come from a file that
somebody mailed, so no control character in it reaches the terminal.
"""

from __future__ import annotations

import os
import shutil
import sys
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TextIO

import click

NARROWEST = 44
WIDEST = 120
"""Longer lines are hard to follow with a finger."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of text in one ink."""

    text: str
    ink: str = ""


Line = tuple[Span, ...]

Rgb = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Ink:
    """How an ink is laid on where the terminal takes colour; letters carry the meaning without it."""

    fg: Rgb | None = None
    bg: Rgb | None = None
    bold: bool = False
    dim: bool = False


_PAPER: Rgb = (0xFF, 0xFD, 0xF9)
_INK: Rgb = (0x18, 0x24, 0x2E)

INKS: Mapping[str, Ink] = {
    "pilot": Ink(fg=(0x1F, 0x5F, 0xA8), bg=(0xB3, 0xCF, 0xEE)),
    "cutaway": Ink(fg=(0x3E, 0x85, 0x78), bg=(0xF1, 0xF6, 0xF0)),
    "needle": Ink(fg=(0xB9, 0x53, 0x0F), bg=(0xF3, 0xCF, 0xA0)),
    "main": Ink(fg=_PAPER, bg=(0x2E, 0x21, 0x40)),
    "band": Ink(fg=_INK, bg=(0xE9, 0xE3, 0xD3)),
    "tag": Ink(fg=_INK, bg=(0xF5, 0xE3, 0xBC), bold=True),
    "care": Ink(bold=True),
    "head": Ink(bold=True),
    "faint": Ink(dim=True),
}


@dataclass(frozen=True, slots=True)
class Marks:
    """What pictures are drawn with."""

    strokes: str
    """One, two, three, and four or more of the twenty in one place."""
    beyond: tuple[str, str]
    tally: tuple[str, str]
    band: str
    middle: str
    yes: str
    no: str
    sharp: str
    """Frame of a job card: four corners from top left, across, down, tee left, tee right."""
    soft: str
    heavy: str
    stripe: str
    hole: str
    warn: str


UNICODE = Marks(
    strokes="\u2577\u2502\u2503\u2588",
    beyond=("\u2039", "\u203a"),
    tally=("\u2503", "\u250a"),
    band="\u2591",
    middle="\u250a",
    yes="\u2713",
    no="\u2717",
    sharp="\u250c\u2510\u2514\u2518\u2500\u2502\u251c\u2524",
    soft="\u256d\u256e\u2570\u256f\u2500\u2502\u251c\u2524",
    heavy="\u2554\u2557\u255a\u255d\u2550\u2551\u2560\u2563",
    stripe="\u259e",
    hole="\u25cb",
    warn="\u26a0",
)
ASCII = Marks(
    strokes="'!|#",
    beyond=("<", ">"),
    tally=("|", ":"),
    band=".",
    middle=":",
    yes="+",
    no="x",
    sharp="++++-|++",
    soft="....-|++",
    heavy="####=#==",
    stripe="/",
    hole="o",
    warn="!",
)

_PLAIN = str.maketrans(
    {"\u00b0": "", "\u00d7": "x", "\u00b2": "2", "\u00b3": "3", "\u2013": "-", "\u2026": "..."}
)
"""The few signs our own sentences use beyond ASCII."""

_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


@dataclass(frozen=True, slots=True)
class Paper:
    """Where the answer is written."""

    width: int
    marks: Marks
    has_colour: bool = False
    has_many_colours: bool = False

    def put(self, lines: Iterable[Line]) -> None:
        """Write lines to stdout, each character of them harmless."""
        for line in lines:
            click.echo("".join(self._laid_on(span) for span in line).rstrip(), color=self.has_colour)

    def _laid_on(self, span: Span) -> str:
        text = self.calm(span.text)
        ink = INKS.get(span.ink)
        if ink is None or not self.has_colour:
            return text
        if ink.bg is not None:  # the field shows what the shading stands for
            text = text.replace(self.marks.band, " ")
        fg, bg = self._colour(ink.fg), self._colour(ink.bg)
        return click.style(text, fg=fg, bg=bg, bold=ink.bold or None, dim=ink.dim or None)

    def calm(self, text: str) -> str:
        """Put a plain mark for every character that would steer the terminal instead of showing."""
        if self.marks is ASCII:
            text = text.translate(_PLAIN)
            return "".join(char if " " <= char <= "~" else "?" for char in text)
        return "".join("\ufffd" if unicodedata.category(char) in _UNSEEN else char for char in text)

    def _colour(self, rgb: Rgb | None) -> Rgb | int | None:
        return rgb if rgb is None or self.has_many_colours else in_cube(rgb)


def in_cube(rgb: Rgb) -> int:
    """Give the nearest of a terminal's 6 x 6 x 6 colours."""
    red, green, blue = (round(one / 255 * 5) for one in rgb)
    return 16 + 36 * red + 6 * green + blue


def paper_here() -> Paper:
    """Look at stdout and the environment, and say what can be shown there."""
    stream = sys.stdout
    is_terminal = stream.isatty()
    colour = is_terminal and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    return Paper(
        width=_width(is_terminal=is_terminal),
        marks=UNICODE if _takes(stream, UNICODE) else ASCII,
        has_colour=colour,
        has_many_colours=os.environ.get("COLORTERM") in {"truecolor", "24bit"},
    )


def _width(*, is_terminal: bool) -> int:
    asked = os.environ.get("COLUMNS", "")
    columns = shutil.get_terminal_size((80, 24)).columns if is_terminal or asked.isdigit() else 80
    return max(NARROWEST, min(WIDEST, columns))


def _takes(stream: TextIO, marks: Marks) -> bool:
    try:
        f"{marks.strokes}{marks.tally}{marks.heavy}{marks.warn}".encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def cells(text: str) -> int:
    """Give how many columns a text takes."""
    return sum(_cell(char) for char in text)


def _cell(char: str) -> int:
    if unicodedata.combining(char):
        return 0
    return 2 if unicodedata.east_asian_width(char) in {"W", "F"} else 1


def width_of(line: Line) -> int:
    """Give how many columns a line takes."""
    return sum(cells(span.text) for span in line)


def text_line(text: str, ink: str = "") -> Line:
    """Make a line of one ink."""
    return (Span(text, ink),)


BLANK: Line = ()


def wrapped(text: str, width: int) -> list[str]:
    """Break a text between words into lines that fit; a word longer than the line is cut."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        for piece in _pieces(word, width):
            joined = f"{line} {piece}" if line else piece
            if cells(joined) <= width:
                line = joined
            else:
                lines.append(line)
                line = piece
    return [*lines, line]


def _pieces(word: str, width: int) -> list[str]:
    if cells(word) <= width:
        return [word]
    size = max(1, width // 2)
    return [word[i : i + size] for i in range(0, len(word), size)]


def tell(sentence: str) -> None:
    """Say something beside the answer, on stderr, so that a pipe carries the answer alone."""
    paper = Paper(width=WIDEST, marks=_marks_for(sys.stderr))
    for line in sentence.splitlines():
        click.echo(paper.calm(line), err=True)


def _marks_for(stream: TextIO) -> Marks:
    return UNICODE if _takes(stream, UNICODE) else ASCII
