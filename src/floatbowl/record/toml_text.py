"""A file a person wrote, from its bytes to plain data with the line of every key.

Whatever stands in the file, the outcome is data or a trouble told in a sentence.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from floatbowl.record import toml_lines
from floatbowl.record.trouble import Trouble, Troubles

LARGEST_FILE = 500_000
"""Bytes. A bike with ten years of trials needs a fifth of it."""
LONGEST_TEXT = 400
LONGEST_SHOWN = 40

_MOST_DOTS = 16
_LONG_DOTTED_KEY = re.compile(rf"(?:[^\s.#=\[\]{{}},]{{1,200}}[ \t]*\.[ \t]*){{{_MOST_DOTS}}}")
"""A key of hundreds of parts makes the reader of the standard library slow and hungry."""
_LINE_OF_ERROR = re.compile(r"\(at line (\d+), column \d+\)")


@dataclass(frozen=True, slots=True)
class Written:
    """What a file says: its text, its data, and the line of every key and list item."""

    text: str
    data: Mapping[str, Any]
    lines: Mapping[toml_lines.Path, int]


def read_bytes(path: Path, *, trouble: type[Troubles]) -> bytes:
    """Read a file, but never more than one byte past the limit."""
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise _one(trouble, path.name, "there is no such file", "Look at the name and the folder") from None
    except IsADirectoryError:
        raise _one(trouble, path.name, "this is a folder, not a file", "Name the file in it") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise _one(trouble, path.name, f"the file cannot be read ({why})", "See who may read it") from None


def text_of(data: bytes, *, source_name: str, trouble: type[Troubles]) -> str:
    """Give the text in the bytes of a file, or say what is wrong with them."""
    if len(data) > LARGEST_FILE:
        raise _too_large(trouble, source_name)
    if b"\x00" in data:
        raise _one(
            trouble, source_name, "this is not a text file", "Give the plain text file with the bike in it"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        what = "there is a letter here that is not in UTF-8"
        raise trouble([Trouble(line, what, "Save the file as UTF-8 text")], source_name=source_name) from None


def parse(text: str, *, source_name: str, trouble: type[Troubles]) -> Written:
    """Read a text as TOML, or say on which line it stops being that."""
    text = text.replace("\r\n", "\n")
    if len(text) > LARGEST_FILE:
        raise _too_large(trouble, source_name)
    for line, written in enumerate(text.split("\n"), start=1):
        if written.count(".") >= _MOST_DOTS and _LONG_DOTTED_KEY.search(written):
            what = "a name with that many dots means nothing to us"
            raise trouble(
                [Trouble(line, what, "Write one name and one value in a line")], source_name=source_name
            )
    try:
        data = tomllib.loads(text)
        return Written(text, data, toml_lines.find_lines(text))
    except RecursionError:
        raise _one(trouble, source_name, "lists within lists go too deep", "Write them flat") from None
    except ValueError as error:
        raise trouble([_syntax(error, text)], source_name=source_name) from None


def _one(trouble: type[Troubles], source_name: str, what: str, do: str) -> Troubles:
    return trouble([Trouble(None, what, do)], source_name=source_name)


def _too_large(trouble: type[Troubles], source_name: str) -> Troubles:
    what = f"the file is larger than {LARGEST_FILE // 1000} kB, so it cannot be what it should be"
    return _one(trouble, source_name, what, "Give the plain text file")


def _syntax(error: ValueError, text: str) -> Trouble:
    """Turn the complaint of the standard library's reader into ours."""
    said = str(error)
    found = _LINE_OF_ERROR.search(said)
    line = int(found.group(1)) if found else text.rstrip("\n").count("\n") + 1
    for part, what, do in _SYNTAX:
        if part in said:
            return Trouble(line, what, do)
    return Trouble(line, "this is not written as TOML", 'Write name = value, with text in "quotes"')


_SYNTAX = (
    ("Cannot overwrite a value", "this name stands twice", "Keep one of them"),
    ("Cannot declare", "this section stands twice", "Put both into one"),
    ("Cannot mutate", "this adds to something that is already closed", "Write it in one place"),
    ("Duplicate inline table key", "this name stands twice between the same braces", "Keep one of them"),
    ("Exceeds the limit", "a number has far too many digits", "Write it shorter"),
    (
        "Invalid value",
        "this value is not written so that we can read it",
        'Put text in "quotes"; write numbers plain',
    ),
    ("Unclosed", "something is opened here and not closed", "Look for a missing bracket or brace"),
    ("Unterminated string", "a text is opened here and not closed", 'Look for a missing quote "'),
    ("Illegal character", "a character stands here that cannot be seen", "Write the line again"),
    ("Expected '='", "there is no = after the name", 'Write name = value, with text in "quotes"'),
)


def shown(value: object) -> str:
    r"""Show a value that somebody wrote, in one short line without anything unprintable.

    >>> shown("a" * 50), shown([1, 2]), shown("no\x07ise")
    ("'aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa...", '[1, 2]', "'no\\x07ise'")
    """
    try:
        text = ascii(value) if isinstance(value, str) and not value.isprintable() else repr(value)
    except (RecursionError, ValueError):  # nested too deep to show; a number of thousands of digits
        return "something very large"
    return text if len(text) <= LONGEST_SHOWN else f"{text[: LONGEST_SHOWN - 1]}..."
