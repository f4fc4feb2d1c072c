"""The rows of a log, read piece by piece: however long the file is, only one piece is held.

A piece is read the quick way, as a table of plain numbers. Where it holds
something else (a gap, a clock, a torn line), it is read field by field.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.record.log_columns import Column, Columns, Role
from floatbowl.record.log_text import LogFileTrouble, LogText
from floatbowl.signs.lambda_log.samples import Samples

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

PIECE = 1 << 22
"""Bytes of a piece."""
_FIRST_PIECES, _MORE_PIECES = 1, 7
_GAP = 10.0
"""Seconds that are put between two rows where time ran backwards: another log began."""
_FIELDS: dict[Role, str] = {
    "time": "time",
    "rpm": "rpm",
    "throttle": "throttle",
    "lambda": "lam",
    "afr": "lam",
    "speed": "speed",
    "temperature": "warmth",
}
"""The column of ``Samples`` that each kind of column becomes; of pressure none is made."""


@dataclass(slots=True)
class Torn:
    """How many lines could not be read as rows."""

    lines: int = 0


def stretches(
    text: LogText, columns: Columns, *, air_per_fuel: float, rows_apart: float = 0.0
) -> list[Samples]:
    """Give the beginning of a log and a few pieces spread over the rest of it, to look at.

    ``air_per_fuel`` is what an air to fuel ratio is divided by, ``rows_apart`` the
    time from row to row where no column tells the time.
    """
    piece = PIECE // 4
    last = max(text.begins, text.size - piece)
    places = np.linspace(text.begins, last, _FIRST_PIECES + _MORE_PIECES).astype(np.int64).tolist()
    if text.size - text.begins <= piece * len(places):
        return [_whole(text, columns, air_per_fuel, rows_apart)]
    found = []
    with text.path.open("rb") as file:
        for place in places:
            file.seek(place - (place - text.begins) % _wide(text))
            raw = file.read(piece)
            table = _table(_cut(raw, text, is_first=place == text.begins), text, columns, Torn())
            found.append(_samples(_Clock(rows_apart), table, columns, air_per_fuel))
    return [one for one in found if len(one) > 1]


def _whole(text: LogText, columns: Columns, air_per_fuel: float, rows_apart: float) -> Samples:
    from_all = list(pieces(text, columns, air_per_fuel=air_per_fuel, rows_apart=rows_apart))
    if not from_all:
        told = f"{text.path.name} holds no rows that can be read. Nothing was written down."
        raise LogFileTrouble(told)
    names = [name for name, one in from_all[0].columns() if one is not None]
    return Samples(**{name: np.concatenate([getattr(one, name) for one in from_all]) for name in names})


def pieces(  # noqa: PLR0913  (what is read, and who wants to know of it)
    text: LogText,
    columns: Columns,
    *,
    air_per_fuel: float,
    rows_apart: float = 0.0,
    torn: Torn | None = None,
    progress: Callable[[int], None] = lambda _: None,
) -> Iterator[Samples]:
    """Read a log from end to end, piece by piece, in SI; ``progress`` is told the bytes of each.

    Time never falls: where it runs backwards, another log is taken to begin.
    """
    clock, count = _Clock(rows_apart), torn or Torn()
    with text.path.open("rb") as file:
        file.seek(text.begins)
        rest = b""
        while raw := file.read(PIECE):
            whole, rest = _lines_of(rest + raw, text)
            progress(len(raw))
            table = _table(whole, text, columns, count)
            if len(table):
                yield _samples(clock, table, columns, air_per_fuel)
        table = _table(rest, text, columns, count)
        if len(table):
            yield _samples(clock, table, columns, air_per_fuel)


def _wide(text: LogText) -> int:
    return 2 if text.encoding.startswith("utf-16") else 1


def _lines_of(raw: bytes, text: LogText) -> tuple[bytes, bytes]:
    """Give the whole lines of some bytes, and what is left of the last."""
    if _wide(text) == 1:
        end = max(raw.rfind(b"\n"), raw.rfind(b"\r") if b"\n" not in raw else -1) + 1
    else:
        even = len(raw) - len(raw) % 2
        ends = raw[:even].rfind("\n".encode(text.encoding))
        end = ends + 2 - ends % 2 if ends >= 0 else 0
    if not end and len(raw) > 2 * PIECE:
        told = f"{text.path.name} has a line longer than any row. Save the rows one a line."
        raise LogFileTrouble(told)
    return raw[:end], raw[end:]


def _cut(raw: bytes, text: LogText, *, is_first: bool) -> bytes:
    """Give the whole lines of a piece out of the middle: what stands before the first line's end is cut."""
    whole, _ = _lines_of(raw, text)
    if is_first:
        return whole
    ends = "\n".encode(text.encoding)
    start = whole.find(ends)
    return whole[start + len(ends) :] if start >= 0 else b""


def _table(raw: bytes, text: LogText, columns: Columns, torn: Torn) -> Array:
    """Give the wanted columns of some lines, (row, column), in the order of ``columns``."""
    plain = (
        raw if _wide(text) == 1 else raw.decode(text.encoding, errors="replace").encode("latin-1", "replace")
    )
    plain = plain.replace(b"\r\n", b"\n").replace(b"\r", b"\n").replace(b"\0", b"")
    if not plain.strip():
        return np.empty((0, len(columns)))
    wanted = [one.number - 1 for one in columns.values()]
    try:
        return _quick_table(plain, text, wanted)
    except (ValueError, IndexError):
        return _slow_table(plain, text, wanted, torn)


def _quick_table(plain: bytes, text: LogText, wanted: list[int]) -> Array:
    """Read lines as plain numbers; raises ``ValueError`` where one is none, or a line is torn."""
    separator = text.separator.encode()
    plain = plain.replace(b'"', b"")
    if text.is_decimal_comma:
        plain = plain.replace(b".", b"").replace(b",", b".")
    if text.separator != " ":
        hole, filled = separator + separator, separator + b"nan" + separator
        plain = (
            plain.replace(hole, filled).replace(hole, filled).replace(separator + b"\n", separator + b"nan\n")
        )
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        table = np.loadtxt(
            io.BytesIO(plain),
            delimiter=None if text.separator == " " else text.separator,
            usecols=wanted,
            ndmin=2,
            comments=None,
            encoding="latin-1",
        )
    return np.asarray(table, dtype=np.float64)


def _slow_table(plain: bytes, text: LogText, wanted: list[int], torn: Torn) -> Array:
    rows = []
    for line in plain.decode("latin-1").split("\n"):
        fields = text.fields(line)
        if len(fields) == text.width:
            rows.append([text.number(fields[place]) for place in wanted])
        elif line.strip():
            torn.lines += 1
    return np.array(rows, dtype=np.float64).reshape(len(rows), len(wanted))


class _Clock:
    """Lets time go on across pieces, and across logs that were put one behind the other."""

    def __init__(self, rows_apart: float) -> None:
        self._rows_apart = rows_apart
        self._last = -np.inf
        self._added = 0.0
        self._row = 0

    def run(self, time: Array | None, rows: int) -> Array:
        """Give a time that never falls for rows whose own time may, or who have none."""
        if time is None:
            own = np.asarray((self._row + np.arange(rows)) * self._rows_apart)
            self._row += rows
            return own
        time = _without_holes(time)
        step = np.diff(time, prepend=self._last - self._added if np.isfinite(self._last) else time[0])
        back = step < 0.0
        added = self._added + np.cumsum(np.where(back, _GAP - step, 0.0))
        told = time + added
        self._added, self._last = float(added[-1]), float(told[-1])
        return np.asarray(told)


def _without_holes(time: Array) -> Array:
    """Give a time without holes: a row without one lies between its neighbours."""
    good = np.isfinite(time)
    if good.all() or not good.any():
        return np.asarray(np.nan_to_num(time))
    places = np.arange(len(time))
    return np.asarray(np.interp(places, places[good], time[good]))


def _samples(clock: _Clock, table: Array, columns: Columns, air_per_fuel: float) -> Samples:
    told: dict[str, Array] = {}
    for place, (role, one) in enumerate(columns.items()):
        if role in _FIELDS:
            told[_FIELDS[role]] = _in_si(table[:, place], role, one, air_per_fuel)
    told["time"] = clock.run(told.get("time"), len(table))
    return Samples(**told)


def _in_si(values: Array, role: Role, one: Column, air_per_fuel: float) -> Array:
    scaled = values * one.times + one.plus
    return np.asarray(scaled / air_per_fuel if role == "afr" else scaled)
