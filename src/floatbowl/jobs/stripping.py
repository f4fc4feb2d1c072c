"""The strip sheet: one part after the other, with what was found and measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from floatbowl.guide.strip import Answer, Ask, Happening, Part, cards_for, state_of
from floatbowl.jobs.fitting import fit
from floatbowl.jobs.nouns import NotThereError, StripCard, entry_uid
from floatbowl.jobs.standing import remeasure
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.log import LogLine
from floatbowl.record.store import Record


def strip_sheet(record: Record, name: str) -> tuple[StripCard, ...]:
    """Give the cards of the strip sheet that fit this bike, and how each stands."""
    happenings = _happenings(record.log(name))
    file = record.bike_file(name)
    return tuple(
        StripCard(part=part, state=state_of(part, happenings), measured=_measured(file, part))
        for part in cards_for(record.bike(name))
    )


def _happenings(lines: Sequence[LogLine]) -> tuple[Happening, ...]:
    told = []
    for line in lines:
        facts = line.facts
        if line.struck:
            continue
        if line.kind == "strip":
            told.append(Happening("strip", facts["card"], facts["answer"]))
        elif line.kind == "reading" and facts["kind"] == "look":
            told.append(Happening("look", facts["look"], facts["outcome"]))
        elif line.kind == "mend":
            told.append(Happening("mend", facts["fault"]))
    return tuple(told)


def _measured(file: BikeFile, part: Part) -> dict[str, str | float]:
    known = {ask.field: _known(file, ask) for ask in part.asks}
    return {field: value for field, value in known.items() if value is not None}


def _known(file: BikeFile, ask: Ask) -> str | float | None:
    """Give what is known of a measure; None where nobody told it."""
    first, *inner = ask.field.split(".")
    if first == "setup":
        value = getattr(file.setup, inner[0])
        return None if value == "?" else value
    value = getattr(file, first)
    for key in inner:
        value = value.get(key, {}) if isinstance(value, Mapping) else {}
    return None if value == {} else value


def record_strip(  # noqa: PLR0913  (which part, how it is, what it measures)
    record: Record,
    name: str,
    card: str,
    answer: Answer,
    measures: Mapping[str, str | float] | None = None,
    *,
    now: datetime,
    uid: str | None = None,
) -> StripCard:
    """Write down what came of one card of the strip sheet, and what was measured on the way.

    ``measures`` are told by their fields, see ``Ask``. A card that is a look for a fault keeps fine and not
    fine as that look, clear and found, so that it counts for the belief.
    """
    part = _card(record, name, card)
    told = dict(measures or {})
    _refuse_unasked(record.bike(name).name, part, told)
    settings = {field.removeprefix("setup."): told.pop(field) for field in list(told) if "setup." in field}
    if told:
        remeasure(record, name, told, now=now, uid=entry_uid(uid, "measures"))
    if settings:
        fit(record, name, settings, now=now, uid=entry_uid(uid, "setup"))
    if part.look and answer != "skipped":
        outcome = "clear" if answer == "fine" else "found"
        record.read(name, {"kind": "look", "look": part.look, "outcome": outcome}, now=now, uid=uid)
    else:
        record.strip(name, part.key, answer, now=now, uid=uid)
    return next(one for one in strip_sheet(record, name) if one.part.key == part.key)


def _card(record: Record, name: str, card: str) -> Part:
    cards = {part.key: part for part in cards_for(record.bike(name))}
    if card.casefold() not in cards:
        raise NotThereError(record.bike(name).name, "card", asked=card, known=tuple(cards))
    return cards[card.casefold()]


def _refuse_unasked(bike: str, part: Part, measures: Mapping[str, str | float]) -> None:
    known = tuple(ask.field for ask in part.asks)
    for field in measures:
        if field not in known:
            raise NotThereError(bike, "measure", asked=field, known=known)
