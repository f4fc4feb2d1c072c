"""The shape of a text file of rows: its encoding, what parts its columns, its head, its first rows.

No format is expected: whatever wrote the file, rows of numbers show through.
"""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass
from pathlib import Path

from floatbowl.record.trouble import RecordTrouble

HEAD = 1 << 18
"""Bytes that are looked at to find the shape."""
LONGEST_LINE = 1 << 16
FEWEST_ROWS = 3
_SEPARATORS = (";", "\t", ",", "|", " ")
_MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_OTHER_FILES = {
    b"PK\x03\x04": "a spreadsheet's own file or an archive",
    b"\xd0\xcf\x11\xe0": "a spreadsheet's own file",
    b"RIFF": "a sound or a film",
    b"OggS": "a sound",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"%PDF": "a document to print",
    b"\x1f\x8b": "a packed file",
    b"SQLite": "a data base",
}
"""How other kinds of file begin."""
NOTHING = frozenset(
    {"-", "--", "---", "n/a", "na", "null", "none", "nan", "#n/a", "inf", "-inf", "err", "err."}
) | {""}
"""What stands for a number that was not there, in small letters."""
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)*|[.,]\d+)([eE][+-]?\d+)?")
_CLOCK = re.compile(
    r"(.*?[T ])?(\d{1,3}):(\d{2}(?:[.,]\d*)?)(?::(\d{2}(?:[.,]\d*)?))?\s*([ap]m)?", flags=re.IGNORECASE
)
_SHARE = re.compile(r"(\d)/(\d)")
_UNITS = re.compile(
    r"[\[(<]?(s|sec|seconds?|ms|min|h|rpm|1/min|min-1|u/min|r/min|%|pct|deg|v|volts?|mv|"
    r"°?[ckf]|km/h|kmh|mph|m/s|bar|kpa|hpa|mbar|psi|lambda|λ|afr|-|ppm|g/s|hh:mm:ss.*)?[\])>]?",
    flags=re.IGNORECASE,
)
DAY = 86400.0


class LogFileTrouble(RecordTrouble):
    """A file of rows that cannot be used; ``str()`` is the sentence to show."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogText:
    """A text file of rows. ``begins`` is the byte at which the first row of numbers stands.

    ``names`` and ``units`` are as long as a row; empty texts where there are none.
    ``rows`` are some of the first, as written.
    """

    path: Path
    encoding: str
    separator: str
    is_decimal_comma: bool
    names: tuple[str, ...]
    units: tuple[str, ...]
    begins: int
    size: int
    rows: tuple[tuple[str, ...], ...]

    @property
    def width(self) -> int:
        """Give the number of columns."""
        return len(self.names)

    def fields(self, line: str) -> list[str]:
        """Give a line's fields, as written."""
        return split(line, self.separator)

    def number(self, field: str) -> float:
        """Give what a field says, nan where it says no number: see ``number``."""
        return number(field, is_decimal_comma=self.is_decimal_comma)


def open_log(path: Path) -> LogText:
    """Find the shape of a log. Raises ``LogFileTrouble`` with the sentence to show."""
    raw, size = _read(path)
    encoding, mark = _encoding(raw)
    text = raw[mark:].decode(encoding, errors="replace")
    lines = _lines(text, is_whole=size <= HEAD)
    separator = _separator(lines)
    width, first = _first_row(lines, separator)
    if not width:
        what = f"{path.name} holds no rows of numbers that we can see"
        do = "Save it as text, one row a line, with a name above each column."
        raise _trouble(what, do)
    rows = tuple(
        tuple(row) for row in (split(line, separator) for line in lines[first:]) if len(row) == width
    )
    names, units = _head(lines[:first], separator, width)
    return LogText(
        path=path,
        encoding=encoding,
        separator=separator,
        is_decimal_comma=_has_decimal_comma(rows[:500], separator),
        names=names,
        units=units,
        begins=mark + len(_up_to(text, first).encode(encoding)),
        size=size,
        rows=rows[:2000],
    )


def _trouble(what: str, do: str) -> LogFileTrouble:
    return LogFileTrouble(f"{what}. {do} Nothing was written down.")


def _read(path: Path) -> tuple[bytes, int]:
    try:
        with path.open("rb") as file:
            raw = file.read(HEAD)
        size = path.stat().st_size
    except FileNotFoundError:
        text = f"There is no file {path}. Look at its name, and where you are."
        raise LogFileTrouble(text) from None
    except OSError as error:
        text = f"{path.name} cannot be read: {error.strerror or error}."
        raise LogFileTrouble(text) from error
    if not raw.strip(b"\0 \t\r\n"):
        what = f"{path.name} is empty" if size == 0 else f"{path.name} holds nothing that can be read"
        raise _trouble(what, "Save the log once more, and look how large the file is.")
    for begins, kind in _OTHER_FILES.items():
        if raw.startswith(begins):
            what = f"{path.name} is {kind}, not text"
            raise _trouble(what, "Save the rows as text (CSV), then name that file.")
    return raw, size


def _encoding(raw: bytes) -> tuple[str, int]:
    """Give the encoding, and how many bytes of a mark stand before the text."""
    for mark, name in _MARKS:
        if raw.startswith(mark):
            return name, len(mark)
    zeros = raw[:2000].count(0)
    if zeros > len(raw[:2000]) // 4:
        return ("utf-16-le" if raw[1:2] == b"\0" else "utf-16-be"), 0
    try:
        raw[: HEAD - 4].decode("utf-8")
    except UnicodeDecodeError as error:
        return ("latin-1", 0) if error.start < len(raw) - 8 else ("utf-8", 0)
    return "utf-8", 0


def _lines(text: str, *, is_whole: bool) -> list[str]:
    """Give the lines; the last one of a piece may be cut, and is left out."""
    lines = text.replace("\0", "").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    lines = lines if is_whole else lines[:-1]
    if any(len(line) > LONGEST_LINE for line in lines) or not lines:
        what = "The file has a line longer than any row"
        raise _trouble(what, "Save the rows one a line.")
    return lines


def _up_to(text: str, line: int) -> str:
    """Give the text before a line, as it is written."""
    place = 0
    for _ in range(line):
        ends = re.compile(r"\r\n|\r|\n").search(text, place)
        place = len(text) if ends is None else ends.end()
    return text[:place]


def split(line: str, separator: str) -> list[str]:
    """Give a line's fields without quotes and spaces around them."""
    parts = line.split() if separator == " " else line.rstrip("\n").split(separator)
    return [part.strip().strip('"').strip() for part in parts]


def is_like_a_number(field: str) -> bool:
    """Say whether a field is a number, a clock, or what stands for none."""
    return bool(_NUMBER.fullmatch(field) or _CLOCK.fullmatch(field)) or field.casefold() in NOTHING


def number(field: str, *, is_decimal_comma: bool) -> float:
    """Give what a field says: a number, a clock in seconds, a rung as a share; nan where it says none.

    >>> number("1.234,5", is_decimal_comma=True), number("00:01:02.5", is_decimal_comma=False)
    (1234.5, 62.5)
    """
    plain = field.replace(".", "").replace(",", ".") if is_decimal_comma else field
    try:
        return float(plain)
    except ValueError:
        return _worded(field)


def _worded(field: str) -> float:
    clock = _CLOCK.fullmatch(field)
    if clock:
        return _seconds(clock)
    share = _SHARE.fullmatch(field)
    if share and share[2] != "0":
        return int(share[1]) / int(share[2])
    return {"shut": 0.0, "full": 1.0}.get(field.casefold(), float("nan"))


def _seconds(clock: re.Match[str]) -> float:
    """Give a clock's seconds: hours, minutes, seconds; or minutes and seconds where there are but two."""
    date, first, second, third, half = clock.groups()
    later = float(second.replace(",", "."))
    if third is None:
        return (60.0 * int(first) + later) * (60.0 if date else 1.0)
    hours = int(first) % 12 + 12 * (half.casefold() == "pm") if half else int(first)
    return 3600.0 * hours + 60.0 * later + float(third.replace(",", "."))


def _separator(lines: list[str]) -> str:
    """Give what parts the columns: with it most of the later lines are equally wide, and numbers."""
    later = [line for line in lines[-400:] if line.strip()]
    return max(_SEPARATORS, key=lambda one: _fits(later, one))


def _fits(lines: list[str], separator: str) -> tuple[float, int]:
    rows = [split(line, separator) for line in lines]
    width = _usual_width(rows)
    if width < 2:  # noqa: PLR2004  (one column holds no time and no lambda)
        return 0.0, width
    good = sum(len(row) == width for row in rows) / len(rows)
    told = [field for row in rows if len(row) == width for field in row]
    return round(good * sum(map(is_like_a_number, told)) / len(told), 2), width


def _usual_width(rows: list[list[str]]) -> int:
    widths = [len(row) for row in rows]
    return max(set(widths), key=widths.count) if widths else 0


def _first_row(lines: list[str], separator: str) -> tuple[int, int]:
    """Give how wide a row is and which line is the first of them; 0 wide where there are none."""
    rows = [split(line, separator) for line in lines]
    width = _usual_width([row for row in rows[-400:] if any(row)])
    like = [len(row) == width > 1 and _is_numbers(row) for row in rows]
    for place, is_row in enumerate(like):
        if is_row and sum(like[place : place + 20]) >= min(FEWEST_ROWS, len(like) - place):
            return (width, place) if sum(like[place:]) >= FEWEST_ROWS else (0, 0)
    return 0, 0


def _is_numbers(row: list[str]) -> bool:
    numbers = sum(is_like_a_number(field) for field in row)
    real = sum(bool(_NUMBER.fullmatch(field) or _CLOCK.fullmatch(field)) for field in row)
    return real > 0 and 2 * numbers > len(row)


def _head(lines: list[str], separator: str, width: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Give names and units from the lines above the first row."""
    wide = [row for row in (split(line, separator) for line in lines) if len(row) == width and any(row)]
    units = [""] * width
    if wide and all(_UNITS.fullmatch(field) for field in wide[-1]):
        units = wide.pop()
    names = wide[-1] if wide else [""] * width
    return tuple(names), tuple(units)


def _has_decimal_comma(rows: tuple[tuple[str, ...], ...], separator: str) -> bool:
    if separator == ",":
        return False
    fields = [field for row in rows for field in row]
    commas = sum(bool(re.fullmatch(r"[+-]?[\d.]*,\d+", field)) for field in fields)
    points = sum(bool(re.fullmatch(r"[+-]?\d*\.\d+", field)) for field in fields)
    return commas > points
