"""The logbook for the terminal."""

from __future__ import annotations

from collections.abc import Iterable

from floatbowl.cli.paper import Line, Paper, Span, text_line, wrapped
from floatbowl.jobs import LogLine
from floatbowl.words.logbook import entry_words


def logbook(lines: Iterable[LogLine], paper: Paper) -> list[Line]:
    """Set the logbook: when, which bike, what; a struck line is crossed at its side and says so."""
    told = list(lines)
    if not told:
        return [text_line("Nothing happened yet. Ride, then say what it did.")]
    name = min(max(len(line.bike) for line in told), 12)
    return [part for line in told for part in _line(line, name, paper)]


def _line(line: LogLine, name: int, paper: Paper) -> list[Line]:
    when = line.when.astimezone().strftime("%d %b %H:%M")
    lead = f"{paper.marks.no if line.struck else ' '} {when}  {line.bike[:name]:<{name}}  "
    text = entry_words(line) + (", struck out" if line.struck else "")
    first, *rest = wrapped(text, max(paper.width - len(lead), 20))
    ink = "faint" if line.struck else ""
    return [
        (Span(lead, "faint"), Span(first, ink)),
        *(text_line(" " * len(lead) + more, ink) for more in rest),
    ]
