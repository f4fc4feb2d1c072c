"""The logbook in words: one line for each thing that happened, the struck ones marked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from floatbowl.bike.aside import Aside
from floatbowl.bike.rung import Rung
from floatbowl.guide.strip import PARTS
from floatbowl.record.log import LogLine
from floatbowl.record.trial_file import reading_of_facts
from floatbowl.signs.trial import Remark
from floatbowl.words.forms import Form, form
from floatbowl.words.names import look_words, mended_words, reading_words, remark_words
from floatbowl.words.settings import SETTINGS
from floatbowl.words.suspects import SUSPECTS

Facts = Mapping[str, Any]


def entry_words(line: LogLine) -> str:
    """Give what happened in one line."""
    told = _TOLD[line.kind](line.facts)
    return f"{told} ({line.entry})" if line.entry else told


def _setup(facts: Facts) -> str:
    fitted = [f"main {facts['main']}", f"pilot {facts['pilot']}", f"clip {facts['clip_from_top']}"]
    fitted += [f"cutaway {facts['cutaway']}", f"screw {facts['screw_turns']:g}"]
    tag = f"; a stop tag hung there: {_lower(SUSPECTS[facts['tag']].name)}" if "tag" in facts else ""
    return f"setup {facts['number']} fitted: {', '.join(fitted)}{tag}"


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


def _strip(facts: Facts) -> str:
    title = next((part.title for part in PARTS if part.key == facts["card"]), facts["card"])
    return f"strip sheet, {_lower(title)}: {facts['answer']}"


def _aside(facts: Facts) -> str:
    if "part" in facts:
        return f"set aside: {facts['part']} {facts['after']}"
    at = facts.get("at")
    return f"set aside: {look_words(Aside(look=facts['look'], at=Rung(at) if at else None))}"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


_TOLD: dict[str, Callable[[Facts], str]] = {
    "bike": lambda facts: f"{facts['name']} {'told anew' if facts.get('again') else 'came in'}",
    "setup": _setup,
    "day": _day,
    "place": lambda facts: f"{facts['name']} lies at {facts['height_m']:,.0f} m",
    "drawer": _drawer,
    "remark": _remark,
    "reading": _reading,
    "mend": lambda facts: mended_words(facts["fault"]),
    "strip": _strip,
    "aside": _aside,
    "setting": lambda facts: f"set: {SETTINGS[facts['key']]} {facts['value'] or 'none'}",
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
        "can_be_struck": line.can_be_struck,
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
