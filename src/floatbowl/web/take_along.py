"""The take-along: a bike's pages as one file that needs nothing else, neither network nor garage.

Style, type and script stand within it, and its content policy names them by
their digests: nothing else runs in it and nothing leaves it, whatever a bike is
called.
"""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

import jinja2

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw import palette, style
from floatbowl.draw.code import code_picture
from floatbowl.draw.cutaway import cutaway
from floatbowl.draw.day_sheet import day_chart
from floatbowl.draw.fit_strip import fit_ground, fit_strip
from floatbowl.draw.rungs import rung_row
from floatbowl.draw.stops import set_out
from floatbowl.draw.style import pattern_defs
from floatbowl.draw.svg import Svg
from floatbowl.draw.tally import tally
from floatbowl.jobs import TakeAlong
from floatbowl.web.bundle import bundled
from floatbowl.words import day as day_words
from floatbowl.words import on_page, setup_card
from floatbowl.words import take_along as words
from floatbowl.words.bench import ladder, worst_rung
from floatbowl.words.carry import tag_words
from floatbowl.words.garage import card_of
from floatbowl.words.ladder import ladder_table
from floatbowl.words.names import ALOUD, DID, NOT_ON_A_RUNG

if TYPE_CHECKING:
    from floatbowl.words.bench import Row

AT_MOST = 600_000
"""Bytes: small enough for any mail and any messenger."""


def take_along_page(told: TakeAlong, *, mark: str) -> str:
    """Write the file. ``mark`` is that of the garage, so that two garages' notes do not mix."""
    stand = told.card.stand
    belief, setup = stand.belief, stand.belief.setup
    rows, at = ladder(belief, stand.trials), worst_rung(stand.belief)
    _, travel = set_out(belief.bike, setup, belief=belief)
    lift = travel.at(at.opening)
    card = card_of(stand)
    sheet, script = _sheet(), _script()
    return _template().render(
        policy=_policy(sheet, script),
        sheet=Svg(sheet),
        script=Svg(script),
        bike=stand.bike,
        setup=setup,
        words=words,
        on_page=on_page,
        told=told,
        rungs=[(row, travel.at(row.at.opening), ALOUD[row.at], row.at is at, _spoken(row)) for row in rows],
        drawing=cutaway(belief.bike, setup, lift_mm=lift, belief=belief, crop="phone"),
        rung_row=rung_row,
        table=ladder_table(rows),
        over=on_page.over_words(card),
        card=card,
        card_rows=words.card_rows(card),
        advised=words.note_of(stand.advice.steps, stand.bike) if stand.advice.kind == "change" else "",
        patterns=pattern_defs(),
        ground=fit_ground(rows),
        fits=words.fits_by_part(told),
        fit_strip=fit_strip,
        handed=setup_card.setup_card(told.card),
        handed_words=setup_card,
        code=code_picture(told.card.text, title=setup_card.CODE),
        day=day_words,
        chart=None if told.sheet is None else day_chart(told.sheet),
        tag=tag_words(stand.tag),
        openings=[(at.value, _opening(at)) for at in reversed(RUNGS)],
        behaviours=[(did, name.capitalize(), did in NOT_ON_A_RUNG) for did, name in DID.items()],
        key=f"floatbowl-notes {mark} {stand.bike.name} {setup.number}",
        file=f"{file_stem(stand.bike.name)}-notes.txt",
    )


def file_stem(bike: str) -> str:
    """Give a bike's name as the beginning of a file's name, on any system.

    >>> file_stem("Old <b>Magpie</b> / 2"), file_stem("\N{SNOWMAN}")
    ('old-b-magpie-b-2', 'bike')
    """
    return re.sub(r"[^a-z0-9]+", "-", bike.casefold()).strip("-") or "bike"


def _opening(at: Rung) -> str:
    return {Rung.SHUT: "Shut", Rung.FULL: "Full"}.get(at, at.value)


def _spoken(row: Row) -> tuple[on_page.Spoken, Svg | None]:
    told = on_page.spoken(row)
    return told, None if told.count is None else tally(told.count)


# --- what stands within ------------------------------------------------------------------------------------


@cache
def _template() -> jinja2.Template:
    shop = jinja2.Environment(
        loader=jinja2.PackageLoader("floatbowl.web"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return shop.get_template("take_along.html")


@cache
def _sheet() -> str:
    """Give the pages' own style with inks and type within it."""
    rules = re.sub(r"url\(fonts/([\w-]+\.woff2)\)", _type, _static("style.css").decode())
    along = _static("along.css").decode()
    return f"\n{palette.theme_css()}\n{style.picture_css()}\n{rules}\n{along}\n"


def _type(found: re.Match[str]) -> str:
    return f"url(data:font/woff2;base64,{base64.b64encode(_static(f'fonts/{found[1]}')).decode()})"


@cache
def _script() -> str:
    return f"\n{bundled('notes', lambda name: _static(f'{name}.js').decode())}"


def _static(name: str) -> bytes:
    return (resources.files("floatbowl.web") / "static" / name).read_bytes()


def _policy(sheet: str, script: str) -> str:
    """Let in this very style and script and the type within; nothing else, from nowhere."""
    return (
        f"default-src 'none'; style-src {_digest(sheet)}; script-src {_digest(script)}; font-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
