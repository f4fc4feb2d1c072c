"""The command that shows the guide: what to do with your hands."""

from __future__ import annotations

from collections.abc import Iterator

import click

from floatbowl.cli.asking import paragraph
from floatbowl.cli.door import JSON, Desk, job
from floatbowl.cli.paper import BLANK, Line, Span, text_line, wrapped
from floatbowl.guide.pages import PAGES, Page
from floatbowl.words import guide as words
from floatbowl.words.care import care_lines


@job("guide", options=(JSON,))
@click.argument("page", required=False)
def guide(desk: Desk, *, page: str | None) -> None:
    """Show how a job is done by hand: strip, clean, inspect, set the float, read a plug.

    Without a page it lists them.
    """
    if page is None:
        desk.answer(words.guide_form(None), list(_list(desk)))
        return
    shown = words.page_named(page)
    desk.answer(words.guide_form(shown), list(_page(shown, desk)))


def _list(desk: Desk) -> Iterator[Line]:
    wide = max(len(page.key) for page in PAGES)
    for page in PAGES:
        yield (Span(f"{page.key:<{wide}}  ", "head"), Span(page.title))
    yield BLANK
    yield from paragraph(words.ABOUT, desk, "faint")


def _page(page: Page, desk: Desk) -> Iterator[Line]:
    yield text_line(page.title, "head")
    yield from paragraph(page.when, desk)
    yield from paragraph(f"At hand: {page.tools}", desk, "faint")
    yield BLANK
    for number, act in enumerate(page.acts, 1):
        for care in care_lines(act.care):
            yield from _hung("   ! ", care, desk)
        yield from _hung(f"{number:>2}.  ", act.text, desk)
    yield BLANK
    yield from (line for limit in page.limits for line in paragraph(words.limit_words(limit), desk))
    yield from (line for told in page.tells for line in paragraph(told, desk))
    if page.cards:
        yield from paragraph(f"{words.WRITE_DOWN} floatbowl strip BIKE.", desk, "faint")


def _hung(lead: str, text: str, desk: Desk) -> Iterator[Line]:
    """Set a text with its first line behind a lead and the others under it."""
    first, *rest = wrapped(text, max(desk.paper.width - len(lead), 20))
    yield (Span(lead, "faint"), Span(first))
    yield from (text_line(" " * len(lead) + more) for more in rest)
