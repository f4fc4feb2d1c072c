"""On which line each key of a TOML text stands.

The standard library reads TOML without telling where a value stood. This walks
over a text that is already known to be good TOML and notes the line of every
key and of every item of a list, so that a trouble can say where to look.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_SCALAR = re.compile(r"[^,\]}#\r\n]+")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"""(?!")|'  # the last three quotes end it: two more may stand before them
    r"'''.*?'''(?!')|"
    r'"(?:[^"\\\n]|\\.)*"|'
    r"'[^'\n]*'",
    re.DOTALL,
)


def find_lines(text: str) -> dict[Path, int]:
    r"""Give the line of every key and list item of a good TOML text, counted from 1.

    Items of a list stand at their place in it, counted from 0.

    >>> lines = find_lines("[carb]\nbore_mm = 26\n\n[[trial]]\nsaid = [\n {did = 'bogs'} ]")
    >>> lines["carb", "bore_mm"], lines["trial", 0], lines["trial", 0, "said", 0, "did"]
    (2, 4, 6)
    """
    walk = _Walk(text)
    walk.document()
    return walk.lines


class _Walk:
    """A reading finger on the text. ``at`` is where it is; ``table`` is the path of the table it is in."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.table: Path = ()
        self.lines: dict[Path, int] = {}
        self._table_lists: dict[Path, int] = {}
        """How many tables each list of tables has so far."""
        self._line_ends = [match.start() for match in re.finditer("\n", text)]

    def document(self) -> None:
        """Walk to the end of the text."""
        self._take(_BLANK)
        while self.at < len(self.text):
            if self._next() == "[":
                self._header()
            else:
                self._pair(self.table)
            self._take(_BLANK)

    def _header(self) -> None:
        line = self._line()
        is_list = self.text.startswith("[[", self.at)
        self.at += 2 if is_list else 1
        path = self._placed(self._key(), is_list=is_list)
        self.at += 2 if is_list else 1
        self.table = path
        self.lines.setdefault(path, line)

    def _placed(self, key: Path, *, is_list: bool) -> Path:
        """Put into a header's path the place of every list of tables it runs through."""
        path: Path = ()
        for depth, part in enumerate(key, start=1):
            path = (*path, part)
            self.lines.setdefault(path, self._line())
            if is_list and depth == len(key):
                self._table_lists[path] = self._table_lists.get(path, 0) + 1
            if path in self._table_lists:
                path = (*path, self._table_lists[path] - 1)
        return path

    def _pair(self, table: Path) -> None:
        line = self._line()
        path = table
        for part in self._key():
            path = (*path, part)
            self.lines.setdefault(path, line)
        self.at += 1  # the sign between key and value
        self._take(_SPACE)
        self._value(path)

    def _key(self) -> Path:
        parts: list[str] = []
        while True:
            self._take(_SPACE)
            parts.append(self._key_part())
            self._take(_SPACE)
            if self._next() != ".":
                return tuple(parts)
            self.at += 1

    def _key_part(self) -> str:
        if self._next() not in "\"'":
            return self._take(_BARE_KEY)
        quoted = self._take(_STRING)
        return str(tomllib.loads(f"key = {quoted}")["key"])

    def _value(self, path: Path) -> None:
        match self._next():
            case "[":
                self._list(path)
            case "{":
                self._inline_table(path)
            case '"' | "'":
                self._take(_STRING)
            case _:
                self._take(_SCALAR)

    def _list(self, path: Path) -> None:
        self.at += 1
        self._take(_BLANK)
        place = 0
        while self._next() != "]":
            self.lines[*path, place] = self._line()
            self._value((*path, place))
            place += 1
            self._take(_BLANK)
            if self._next() == ",":
                self.at += 1
                self._take(_BLANK)
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        self._take(_BLANK)
        while self._next() != "}":
            self._pair(path)
            self._take(_BLANK)
            if self._next() == ",":
                self.at += 1
                self._take(_BLANK)
        self.at += 1

    def _next(self) -> str:
        return self.text[self.at]

    def _take(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        if match is None:
            text = f"not TOML at line {self._line()}"
            raise ValueError(text)
        self.at = match.end()
        return match.group()

    def _line(self) -> int:
        return bisect_right(self._line_ends, self.at - 1) + 1 if self.at else 1
