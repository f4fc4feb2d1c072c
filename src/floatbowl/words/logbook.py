"""The logbook in words: one line for each thing that happened, the struck ones marked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from floatbowl.bike.rung import Rung
from floatbowl.record.log import LogLine
from floatbowl.record.trial_file import reading_of_facts
from floatbowl.signs.trial import Remark
from floatbowl.words.forms import Form, form
from floatbowl.words.names import mended_words, reading_words, remark_words

Facts = Mapping[str, Any]


def entry_words(line: LogLine) -> str:
    """Give what happened in one line."""
    told = _TOLD[line.kind](line.facts)
    return f"{told} ({line.entry})" if line.entry else told


def _setup(facts: Facts) -> str:
    fitted = [f"main {facts['main']}", f"pilot {facts['pilot']}", f"clip {facts['clip_from_top']}"]
    fitted += [f"cutaway {facts['cutaway']}", f"screw {facts['screw_turns']:g}"]
    return f"setup {facts['number']} fitted: {', '.join(fitted)}"


def _day(facts: Facts) -> str:
    read = facts.get("air", {})
    units = {"temperature_c": "\u00b0C", "pressure_hpa_at_door": "hPa at the door", "humidity_pct": "% damp"}
    told = [f"{read[key]:g} {unit}" for key, unit in units.items() if key in read]
    return f"air at {facts.get('place', 'a place not named')}: {', '.join(told) or 'assumed, a mild day'}"


def _drawer(facts: Facts) -> str:
    move = "into the drawer" if facts["move"] == "in" else "out of the drawer"
    return f"{move}: {facts['part']} {', '.join(facts['stamps'])}"


def _remark(facts: Facts) -> str:
    at = facts.get("at")
    told = {**facts, "at": Rung(at) if at else None}
    return remark_words(Remark(entry="", **told))


def _reading(facts: Facts) -> str:
    return reading_words(reading_of_facts(facts))


_TOLD: dict[str, Callable[[Facts], str]] = {
    "bike": lambda facts: f"{facts['name']} came in",
    "setup": _setup,
    "day": _day,
    "place": lambda facts: f"{facts['name']} lies at {facts['height_m']:,.0f} m",
    "drawer": _drawer,
    "remark": _remark,
    "reading": _reading,
    "mend": lambda facts: mended_words(facts["fault"]),
    "card": lambda facts: str(facts["text"]),
    "strike": lambda facts: f"entry {facts['strikes']} struck out",
}


def log_form(lines: Iterable[LogLine]) -> Form:
    """Give the logbook."""
    return form("log", lines=[_line_fields(line) for line in lines])


def _line_fields(line: LogLine) -> Form:
    return {
        "id": line.id,
        "entry": line.entry or None,
        "when": line.when.isoformat(timespec="seconds"),
        "bike": line.bike or None,
        "kind": line.kind,
        "struck": line.struck,
        "words": entry_words(line),
        "facts": dict(line.facts),
    }


def struck_form(line: LogLine | None) -> Form:
    """Give what was struck out, if anything was."""
    return form("struck", line=_line_fields(line) if line else None)


def struck_words(line: LogLine | None) -> str:
    """Say what was struck out."""
    if line is None:
        return "Nothing was struck out: what is left came in with the bike, and stays with it."
    return f"Struck out: {entry_words(line)}."
