"""The guide in words: its list, a page, and where its findings are written down."""

from __future__ import annotations

from floatbowl.guide.pages import PAGES, Limit, Page
from floatbowl.guide.strip import PARTS
from floatbowl.words.care import care_lines
from floatbowl.words.forms import Form, form
from floatbowl.words.trouble import NotUnderstoodError, not_known

TITLE = "Guide"
ABOUT = "What to do with your hands, one job a page. The book of your machine goes before what is usual."
WRITE_DOWN = "Write down what you found on the strip sheet: it counts for what is believed of the bike."


def page_named(name: str) -> Page:
    """Give a page by its name. Raises ``NotUnderstoodError``."""
    pages = {page.key: page for page in PAGES}
    found = pages.get(name.strip().casefold())
    if found is None:
        raise NotUnderstoodError(not_known(name, what="a page of the guide", known=pages))
    return found


def limit_words(limit: Limit) -> str:
    """Give a limit with the ground on which it stands."""
    return f"{limit.name}: {limit.usual} ({limit.ground})."


def cards_of(page: Page) -> tuple[tuple[str, str], ...]:
    """Give the cards of the strip sheet for a page's findings, as key and title."""
    titles = {part.key: part.title for part in PARTS}
    return tuple((key, titles[key]) for key in page.cards)


def guide_form(page: Page | None) -> Form:
    """Give a page, or the list of them where none is named."""
    if page is None:
        return form("guide", pages=[{"page": one.key, "title": one.title, "when": one.when} for one in PAGES])
    return form(
        "guide-page",
        page=page.key,
        title=page.title,
        when=page.when,
        tools=page.tools,
        acts=[{"words": act.text, "care": list(care_lines(act.care))} for act in page.acts],
        limits=[limit_words(limit) for limit in page.limits],
        tells=list(page.tells),
        cards=list(page.cards),
    )
