"""What is fitted, and what is set aside."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from floatbowl.bike.aside import Aside
from floatbowl.bike.setup import Setup
from floatbowl.jobs.nouns import NothingAskedError
from floatbowl.jobs.thinking import advise_next, changed_setup, facts_of, think
from floatbowl.record import history
from floatbowl.record.store import Record

if TYPE_CHECKING:
    from floatbowl.advice.advice import Advice


def fit(  # noqa: PLR0913  (what, when, and what hung there)
    record: Record,
    name: str,
    changes: Mapping[str, Any],
    *,
    now: datetime,
    tag: str | None = None,
    uid: str | None = None,
) -> Setup:
    """Write down what was fitted: only the fields of the setup that changed.

    ``tag`` is the fault of the stop tag that hung there, see ``tag_on``; the logbook notes it.
    """
    return record.fit(name, changed_setup(record, name, changes), now=now, tag=tag or "", uid=uid)


def tag_on(record: Record, name: str) -> str | None:
    """Name the fault of the stop tag that hangs on a bike now; None where none hangs."""
    return think(facts_of(record, name, None), record.drawer()).tag


def set_aside(
    record: Record, name: str, *, advice: Advice | None = None, now: datetime, uid: str | None = None
) -> Aside:
    """Set aside what a card advised, else what one advises now, while the setup stands."""
    from floatbowl.advice.advice import aside_of

    sent = record.sent(uid)
    if sent is not None:
        return history.aside_of_facts(sent.facts)
    aside = aside_of(advice or advise_next(record, name))
    if aside is None:
        raise NothingAskedError(record.bike(name).name, "aside")
    return record.set_aside(name, aside, now=now, uid=uid)
