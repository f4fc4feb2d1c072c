"""Setup: what is fitted and set now, written down as it stands; and the bike's file to take along."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any
from urllib.parse import quote

from starlette.datastructures import FormData
from starlette.responses import Response
from starlette.routing import Route

from floatbowl.bike.bike import Bike
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.setup import Setup
from floatbowl.units import MILLIMETRE
from floatbowl.web.asked import Asked
from floatbowl.web.drawings import standing_cutaway
from floatbowl.web.page import page
from floatbowl.web.thinking import Thought
from floatbowl.words import heard, on_forms
from floatbowl.words.care import care_lines
from floatbowl.words.names import mixture_screw, setup_words
from floatbowl.words.setups import fitted_meanwhile_words, nothing_differs_words, setup_changes
from floatbowl.words.trouble import NotUnderstoodError


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing that is fitted or set: the word it is written with, and what a tap on - or + makes of it."""

    part: str
    field: str
    label: str
    hint: str = ""
    unit: str = ""
    stamps: tuple[str, ...] = ()
    step: float = 0.0
    least: float = 0.0
    assumed: str = ""
    """What is taken for it where nobody measured it."""


def rows_of(bike: Bike, setup: Setup, drawer: Drawer) -> tuple[Row, ...]:
    """Give all that is written down of a setup, in the order the hand comes to it."""
    needle = setup.needle or bike.carb.needle
    needles = tuple(one.stamp for one in (bike.carb.needle, *drawer.needles))
    own = (Row(part="needle", field="needle", label="Needle", stamps=needles),) if len(needles) > 1 else ()
    return (
        Row(part="main", field="main", label="Main jet", stamps=_in_order(drawer.mains)),
        Row(part="pilot", field="pilot", label="Pilot jet", stamps=_in_order(drawer.pilots)),
        *own,
        Row(
            part="clip",
            field="clip_from_top",
            label="Clip, groove",
            hint=f"Counted from the blunt end, 1 to {needle.grooves}.",
            step=1,
            least=1,
        ),
        Row(
            part="screw",
            field="screw_turns",
            label=mixture_screw(bike).capitalize(),
            hint="Turns out from lightly seated.",
            unit="turns",
            step=0.25,
        ),
        Row(part="cutaway", field="cutaway", label="Slide cutaway", stamps=_in_order(drawer.cutaways)),
        Row(
            part="float",
            field="float_height_mm",
            label="Float height",
            unit="mm",
            step=0.5,
            least=2,
            assumed=f"{bike.carb.float_height.value / MILLIMETRE:g}",
        ),
        Row(part="washer", field="needle_washer_mm", label="Washer under the clip", unit="mm", step=0.5),
    )


def _in_order(stamps: Sequence[str]) -> tuple[str, ...]:
    return tuple(sorted(stamps, key=_stamp_order))


def _stamp_order(stamp: str) -> tuple[float, str]:
    digits = stamp.replace(",", ".")
    return (float(digits) if digits.replace(".", "", 1).isdecimal() else float("inf"), stamp)


def shown(setup: Setup, bike: Bike, field: str) -> str:
    """Give what stands in the field of a setup, as it is typed."""
    value = getattr(setup, field)
    if field == "needle":
        return (value or bike.carb.needle).stamp
    return "" if value is None else f"{value:g}" if isinstance(value, float | int) else str(value)


def show(asked: Asked) -> Response:
    """Show what is fitted, and what was fitted before."""
    garage = asked.garage
    bike, setup, drawer = garage.bike(asked.bike), garage.fitted(asked.bike), garage.drawer()
    return asked.page(
        "setup.html",
        bike=bike.name,
        setup=setup,
        words=on_forms,
        just_fitted=_just_fitted(asked, setup),
        rows=rows_of(bike, setup, drawer),
        now={row.field: shown(setup, bike, row.field) for row in rows_of(bike, setup, drawer)},
        earlier=_earlier(garage.setups(bike.name), bike),
        care=care_lines(("bowl off", "slide out")),
        pictures=standing_cutaway(bike, setup),
    )


def _just_fitted(asked: Asked, setup: Setup) -> int | None:
    """Give the number of the entry that was written down on the way here, so that it can be undone."""
    if asked.query("fitted") != str(setup.number):
        return None
    log = asked.garage.log(asked.bike)
    fitted = [line for line in log if line.kind == "setup" and not line.struck and line.can_be_struck]
    return fitted[-1].id if fitted else None


def _earlier(setups: Sequence[Setup], bike: Bike) -> list[tuple[Setup, str, str]]:
    """Give every earlier setup, newest first: what it was, and what the next one changed."""
    told = []
    for before, after in pairwise(setups):
        whole = ", ".join(f"{name} {value}" for name, value in setup_words(before, bike))
        told.append((before, whole, setup_changes(before, after, bike)))
    return told[::-1]


# --- taking it down ----------------------------------------------------------------------------------------


def take(asked: Asked) -> Response:
    """Write down what was fitted; a tap on - or + only turns the number on the page."""
    garage = asked.garage
    bike, setup = garage.bike(asked.bike), garage.fitted(asked.bike)
    rows = rows_of(bike, setup, garage.drawer())
    if asked.field("step"):
        asked.form = _stepped(asked.form, rows, asked.field("step"))
        return show(asked)
    seen = _seen(asked, setup)
    changes = _changes(asked, rows, seen, bike)
    typed = {name: asked.field(name) for name in changes}
    if changes and all(shown(setup, bike, name) == value for name, value in typed.items()):
        return asked.go_to_bike(
            f"/setup?fitted={setup.number}"
        )  # sent again, or somebody else wrote the same
    if seen.number != setup.number:
        asked.form = _laid_over(setup, rows, bike, typed)
        raise NotUnderstoodError(fitted_meanwhile_words(setup, setup_changes(seen, setup, bike)))
    if not changes:
        raise NotUnderstoodError(nothing_differs_words(setup))
    fitted = garage.fit(asked.bike, tag=_tag(asked), **changes)
    return asked.go_to_bike(f"/setup?fitted={fitted.number}")


def _seen(asked: Asked, setup: Setup) -> Setup:
    """Give the setup that was on the screen when the person typed."""
    by_number = {str(one.number): one for one in asked.garage.setups(asked.bike)}
    return by_number.get(asked.field("seen"), setup)


def _changes(asked: Asked, rows: Sequence[Row], seen: Setup, bike: Bike) -> dict[str, Any]:
    """Read the fields that differ from what was on the screen."""
    typed = [row for row in rows if asked.field(row.field) not in {"", shown(seen, bike, row.field)}]
    read = {row.field: asked.read(row.field, _reader(row)) for row in typed}
    return {name: value for name, value in read.items() if value != getattr(seen, name)}


def _reader(row: Row) -> Callable[[str], Any]:
    return lambda typed: heard.changes([f"{row.part}={typed}"])[row.field]


def _laid_over(setup: Setup, rows: Sequence[Row], bike: Bike, typed: dict[str, str]) -> FormData:
    """Fill the form with what is fitted now, and over it what the person changed."""
    return FormData([(row.field, typed.get(row.field, shown(setup, bike, row.field))) for row in rows])


def _tag(asked: Asked) -> str | None:
    """Name the fault on the tag there, as far as it was thought of: an entry waits for no thought."""
    there = asked.look_at(asked.bike, patience=0.0)
    return there.stand.tag if isinstance(there, Thought) else None


def _stepped(form: FormData, rows: Sequence[Row], step: str) -> FormData:
    """Give the form with one field a step further: ``main+`` or ``main-``."""
    part, way = step[:-1], 1 if step.endswith("+") else -1
    return FormData(
        [
            (name, _step(row, value, way) if (row := _row(rows, name)) and row.part == part else value)
            for name, value in form.multi_items()
            if isinstance(value, str) and name != "step"
        ]
    )


def _row(rows: Sequence[Row], field: str) -> Row | None:
    return next((row for row in rows if row.field == field), None)


def _step(row: Row, value: str, way: int) -> str:
    if row.step:
        return _step_number(row, value, way)
    known = sorted({*row.stamps, value.strip()} - {"", "?"}, key=_stamp_order)
    if value.strip() not in known:
        return known[0] if known else value
    return known[max(0, min(len(known) - 1, known.index(value.strip()) + way))]


def _step_number(row: Row, value: str, way: int) -> str:
    try:
        there, _ = heard.number_and_unit(value or row.assumed)
    except NotUnderstoodError:
        return value
    return f"{max(row.least, there + way * row.step):g}"


# --- the bike's file ---------------------------------------------------------------------------------------


def hand_out_file(asked: Asked) -> Response:
    """Hand out the bike as a bike file, to keep or to mail."""
    name = f"{asked.bike.casefold()}.toml"
    headers = {
        "Content-Disposition": f"attachment; filename=\"bike.toml\"; filename*=UTF-8''{quote(name, safe='')}"
    }
    return Response(
        asked.garage.export_bike(asked.bike), media_type="text/plain; charset=utf-8", headers=headers
    )


routes: list[Route] = [
    page("/bikes/{bike}/setup", show, take=take),
    page("/bikes/{bike}/file", hand_out_file),
]
