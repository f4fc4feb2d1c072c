"""Lines of the logbook as pages show them: words, time, and what strikes them out or brings them back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from floatbowl.bike.setup import Setup
from floatbowl.jobs import Garage, LogLine
from floatbowl.words.logbook import entry_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One line. ``strike`` is the number that strikes it out, or where it is struck brings it back."""

    id: int
    words: str
    entry: str
    when: str
    clock: str
    day: str
    bike: str
    is_struck: bool
    strike: int | None


def told_lines(lines: Sequence[LogLine]) -> tuple[Told, ...]:
    """Give lines of the logbook, in their order, as a page shows them."""
    by_id: dict[int, LogLine] = {line.id: line for line in lines}
    strikes: dict[int, int] = {
        line.facts["strikes"]: line.id for line in lines if line.kind == "strike" and not line.struck
    }
    return tuple(_told(line, by_id, strikes) for line in lines)


def _told(line: LogLine, by_id: Mapping[int, LogLine], strikes: Mapping[int, int]) -> Told:
    here = line.when.astimezone()
    is_strike = line.kind == "strike"
    return Told(
        id=line.id,
        words=_strike_words(line, by_id) if is_strike else _words(line),
        entry=line.entry,
        when=line.when.isoformat(timespec="minutes"),
        clock=f"{here:%H:%M}",
        day=f"{here.day} {here:%B %Y}",
        bike=line.bike,
        is_struck=line.struck and not is_strike,
        strike=None if is_strike else strikes.get(line.id) if line.struck else _may_strike(line),
    )


def _words(line: LogLine) -> str:
    """Give the words of a line without the name of its entry, which stands apart."""
    words = entry_words(line).removesuffix(f" ({line.entry})")
    return words[:1].upper() + words[1:]


def _may_strike(line: LogLine) -> int | None:
    return line.id if line.can_be_struck else None


def _strike_words(line: LogLine, by_id: Mapping[int, LogLine]) -> str:
    struck = by_id.get(line.facts["strikes"])
    what = _words(struck) if struck else f"entry {line.facts['strikes']}"
    return f"Struck out{', and brought back' if line.struck else ''}: {what}"


def newest_first_by_day(lines: Iterable[Told]) -> list[tuple[str, list[Told]]]:
    """Give lines, which come newest first, under their days."""
    return [(day, list(those)) for day, those in groupby(lines, key=lambda line: line.day)]


def told_on(garage: Garage, bike: str, setup: Setup) -> tuple[Told, ...]:
    """Give what was said, measured and mended with this setup, newest first, the struck lines among it."""
    log = garage.log(bike)
    began = max((line.id for line in log if _is_fitting(line, setup)), default=0)
    kinds = {"remark", "reading", "mend"}
    told = zip(log, told_lines(log), strict=True)
    return tuple(one for line, one in reversed(list(told)) if line.id > began and line.kind in kinds)


def _is_fitting(line: LogLine, setup: Setup) -> bool:
    return line.kind == "setup" and not line.struck and line.facts["number"] == setup.number
