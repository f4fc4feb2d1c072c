"""The drawer: the parts at hand, by kind; add and take."""

from __future__ import annotations

import re
from typing import cast

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.bike.drawer import Drawer
from floatbowl.web.asked import Asked
from floatbowl.web.lines import Told, told_lines
from floatbowl.web.page import page
from floatbowl.words import heard, on_forms
from floatbowl.words.trouble import NotUnderstoodError

KINDS: tuple[tuple[str, str, str], ...] = (
    ("main", "Main jets", "One or more, as stamped: 105 108"),
    ("pilot", "Pilot jets", "One or more, as stamped: 40 42"),
    ("cutaway", "Slides, by cutaway", "One or more, as stamped: 2.0 2.5"),
)
"""What goes in by its stamp: the kind, its name, and how it is written."""


def show(asked: Asked) -> Response:
    """Show the parts at hand."""
    drawer = asked.garage.drawer()
    held = {"main": drawer.mains, "pilot": drawer.pilots, "cutaway": drawer.cutaways}
    return asked.page(
        "drawer.html",
        kinds=[(kind, name, hint, held[kind]) for kind, name, hint in KINDS],
        needles=[one.stamp for one in drawer.needles],
        is_empty=drawer.is_empty,
        count=_count(drawer),
        last=_last(asked),
        words=on_forms,
    )


def _count(drawer: Drawer) -> int:
    return sum(map(len, (drawer.mains, drawer.pilots, drawer.cutaways, drawer.needles)))


def _last(asked: Asked) -> Told | None:
    """Give the last thing that went in or out, so that it can be taken back."""
    if not asked.query("moved"):
        return None
    log = asked.garage.log()
    moves = [line for line in log if line.kind == "drawer" and not line.struck]
    return told_lines(moves[-1:])[0] if moves else None


def take(asked: Asked) -> Response:
    """Put parts in, or take one out."""
    if asked.field("take"):
        kind, _, stamp = asked.field("take").partition(" ")
        asked.garage.take_from_drawer(heard.drawer_kind(kind), [stamp])
    else:
        kind = asked.field("kind")
        stamps = asked.read(f"add-{kind}", _stamps)
        if stamps is None:
            asked.wrong = f"add-{kind}"
            raise NotUnderstoodError(on_forms.STAMP_FIRST)
        asked.garage.put_in_drawer(heard.drawer_kind(kind), stamps)
    return asked.go("/drawer?moved=1")


def _stamps(typed: str) -> tuple[str, ...]:
    """Read stamps with blanks, commas or semicolons between; a comma within a number belongs to it."""
    return heard.stamps(cast("list[str]", [one for one in re.split(r"[;\s]+|,(?!\d)", typed) if one]))


routes: list[Route] = [page("/drawer", show, take=take)]
