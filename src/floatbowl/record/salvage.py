"""Reading entries out of a record's file page by page, without SQLite and without its leave.

SQLite finds a row by a tree of pages; where one page of the tree is spoilt it finds none of
the rows below. The rows themselves still lie in the leaves. Each leaf is read by itself here,
with what the write-ahead log holds of committed pages laid over. Entries are never changed, so
an old leaf that the tree has given up tells the same as a new one.

The form of the file is that of its published description, "Database File Format" and
"WAL-mode File Format" at the project's own site, from memory, held by tests against SQLite.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

Value = int | float | str | bytes | None
Row = tuple[Value, ...]

MAGIC = b"SQLite format 3\x00"
_USUAL_PAGE = 4096
_LEAF = 0x0D
"""First byte of a page that holds rows of a table."""


@dataclass(frozen=True, slots=True)
class Pages:
    """The pages of a file by their number, counted from one, and their size."""

    size: int
    by_number: Mapping[int, bytes]


def rows_in(file: bytes, log: bytes = b"") -> Iterator[tuple[int, Row]]:
    """Give every row that can be read, with its number: whichever table it is of, in no order."""
    pages = _pages(file, log)
    for number, page in pages.by_number.items():
        start = 100 if number == 1 else 0  # the first page begins with the file's own header
        if len(page) > start and page[start] == _LEAF:
            yield from _rows_of(page, start, pages)


def image(file: bytes, log: bytes) -> bytes:
    """Give a file as it would be with its log brought into it, to be opened where nothing may be written."""
    pages = _pages(file, log)
    whole = bytearray(b"".join(page for _, page in sorted(pages.by_number.items())))
    whole[18:20] = b"\x01\x01"  # its header would ask for a log beside it
    return bytes(whole)


# --- pages -------------------------------------------------------------------------------------------------


def _pages(file: bytes, log: bytes) -> Pages:
    size = _page_size(file, log)
    whole = {k + 1: file[k * size : (k + 1) * size] for k in range(len(file) // size)}
    return Pages(size, {**whole, **_committed(log, size)})


def _page_size(file: bytes, log: bytes) -> int:
    """Give the size of a page by the file's header, else by its log's, else the usual one."""
    told = int.from_bytes(file[16:18], "big") if file.startswith(MAGIC) else 0
    size = {1: 65536}.get(told, told) or int.from_bytes(log[8:12], "big")
    return size if size in {2**power for power in range(9, 17)} else _USUAL_PAGE


def _committed(log: bytes, size: int) -> dict[int, bytes]:
    """Give the pages in the write-ahead log up to its last whole commit."""
    if len(log) < 32 or int.from_bytes(log[:4], "big") | 1 != 0x377F0683:  # noqa: PLR2004  (its header and mark)
        return {}
    order = ">" if log[3] & 1 else "<"
    salt, sums = log[16:24], _sums(log[:24], order, (0, 0))
    if struct.pack(">II", *sums) != log[24:32]:
        return {}
    committed: dict[int, bytes] = {}
    waiting: dict[int, bytes] = {}
    for place in range(32, len(log) - 24 - size + 1, 24 + size):
        head, page = log[place : place + 24], log[place + 24 : place + 24 + size]
        sums = _sums(page, order, _sums(head[:8], order, sums))
        if head[8:16] != salt or struct.pack(">II", *sums) != head[16:24]:
            break  # what was being written when it stopped, or what is left of an earlier round
        number, is_commit = struct.unpack(">II", head[:8])
        waiting[number] = page
        if is_commit:
            committed |= waiting
            waiting = {}
    return committed


def _sums(data: bytes, order: str, before: tuple[int, int]) -> tuple[int, int]:
    """Take the log's checksum on over further bytes."""
    first, second = before
    words = struct.unpack(f"{order}{len(data) // 4}I", data)
    for one, two in zip(words[::2], words[1::2], strict=True):
        first = (first + one + second) & 0xFFFFFFFF
        second = (second + two + first) & 0xFFFFFFFF
    return first, second


# --- rows --------------------------------------------------------------------------------------------------


def _rows_of(page: bytes, start: int, pages: Pages) -> Iterator[tuple[int, Row]]:
    """Give the rows of one leaf; a cell that makes no sense is passed over."""
    count = int.from_bytes(page[start + 3 : start + 5], "big")
    for k in range(min(count, len(page) // 2)):
        at = int.from_bytes(page[start + 8 + 2 * k : start + 10 + 2 * k], "big")
        try:
            yield _cell(page, at, pages)
        except (ValueError, IndexError, KeyError, struct.error):
            continue


def _cell(page: bytes, at: int, pages: Pages) -> tuple[int, Row]:
    length, at = _varint(page, at)
    number, at = _varint(page, at)
    if not 0 < length <= pages.size * len(pages.by_number):
        message = "no row is longer than the file"
        raise ValueError(message)
    return number, _values(_payload(page, at, length, pages))


def _payload(page: bytes, at: int, length: int, pages: Pages) -> bytes:
    """Give the bytes of a row; what does not fit into its leaf goes on in a chain of further pages."""
    most, least = pages.size - 35, (pages.size - 12) * 32 // 255 - 23
    if length <= most:
        return page[at : at + length]
    here = least + (length - least) % (pages.size - 4)
    here = here if here <= most else least
    found = bytearray(page[at : at + here])
    following = int.from_bytes(page[at + here : at + here + 4], "big")
    while len(found) < length:
        further = pages.by_number[following]
        found += further[4 : 4 + length - len(found)]
        following = int.from_bytes(further[:4], "big")
    return bytes(found)


def _values(payload: bytes) -> Row:
    """Take a row apart: the kinds of its values stand first, then the values."""
    end, at = _varint(payload, 0)
    if not 0 < end <= len(payload):
        message = "the head of the row is longer than the row"
        raise ValueError(message)
    values: list[Value] = []
    where = end
    while at < end:
        kind, at = _varint(payload, at)
        wide = _width(kind)
        if where + wide > len(payload):
            message = "the row ends within a value"
            raise ValueError(message)
        values.append(_value(kind, payload[where : where + wide]))
        where += wide
    return tuple(values)


_WIDTHS = (0, 1, 2, 3, 4, 6, 8, 8, 0, 0)
_FLOAT, _NOUGHT, _ONE, _FIRST_BLOB = 7, 8, 9, 12


def _width(kind: int) -> int:
    return (kind - _FIRST_BLOB) // 2 if kind >= _FIRST_BLOB else _WIDTHS[kind]


def _value(kind: int, data: bytes) -> Value:
    if kind >= _FIRST_BLOB:
        return data.decode() if kind % 2 else data
    if kind == 0:
        return None
    if kind == _FLOAT:
        return float(struct.unpack(">d", data)[0])
    return {_NOUGHT: 0, _ONE: 1}.get(kind, int.from_bytes(data, "big", signed=True))


def _varint(data: bytes, at: int) -> tuple[int, int]:
    """Read a whole number of one to nine bytes, and give where it ends."""
    value = 0
    for k in range(8):
        byte = data[at + k]
        value = value << 7 | byte & 0x7F
        if byte < 0x80:  # noqa: PLR2004  (its top bit says that more follow)
            return value, at + k + 1
    return value << 8 | data[at + 8], at + 9
