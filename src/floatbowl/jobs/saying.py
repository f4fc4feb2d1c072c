"""What it did, what a look brought, and what was mended."""

from __future__ import annotations

from datetime import datetime
from typing import cast

from floatbowl.bike.rung import Rung
from floatbowl.jobs.nouns import NothingAskedError
from floatbowl.jobs.thinking import advise_next
from floatbowl.record.store import Record
from floatbowl.record.trial_file import reading_of_facts
from floatbowl.signs.trial import (
    SHOWS,
    Behaviour,
    How,
    LookOutcome,
    LookReading,
    Often,
    Remark,
    Warmth,
)


def record_remark(  # noqa: PLR0913  (one for each thing a rider can say)
    record: Record,
    name: str,
    *,
    did: Behaviour,
    at: Rung | None = None,
    how: How | None = None,
    engine: Warmth = "hot",
    often: Often = "every time",
    now: datetime,
    uid: str | None = None,
) -> Remark:
    """Write down what it did, with what is fitted now."""
    told = {"did": did, "at": at.value if at else None, "how": how, "engine": engine, "often": often}
    fields = {key: value for key, value in told.items() if value is not None}
    return record.say(name, fields, now=now, uid=uid)


def record_look(  # noqa: PLR0913  (what was looked at, what it brought, and when)
    record: Record,
    name: str,
    outcome: LookOutcome,
    *,
    look: str | None = None,
    now: datetime,
    uid: str | None = None,
) -> LookReading:
    """Write down what a look brought; where none is named it is the one that is asked for now."""
    sent = record.sent(uid)
    if sent is not None:
        return cast("LookReading", reading_of_facts(sent.facts, entry=sent.entry))
    fields = {"kind": "look", "look": look or _look_asked(record, name), "outcome": outcome}
    return cast("LookReading", record.read(name, fields, now=now, uid=uid))


def _look_asked(record: Record, name: str) -> str:
    look = advise_next(record, name).look
    if look not in SHOWS:
        raise NothingAskedError(record.bike(name).name, "look")
    return look


def mend(
    record: Record, name: str, fault: str | None = None, *, now: datetime, uid: str | None = None
) -> str:
    """Write down that a fault was put right; where none is named it is the one on the tag."""
    sent = record.sent(uid)
    if sent is not None:
        return str(sent.facts["fault"])
    return record.mend(name, fault or _fault_tagged(record, name), now=now, uid=uid)


def _fault_tagged(record: Record, name: str) -> str:
    """Give the fault that a stop tag is about, or else the only one that a look found."""
    from floatbowl.advice.looks import faults_found

    tagged = advise_next(record, name).suspect
    faults = (tagged,) if tagged else faults_found(record.trials(name))
    if len(faults) != 1:
        raise NothingAskedError(record.bike(name).name, "mend")
    return faults[0]
