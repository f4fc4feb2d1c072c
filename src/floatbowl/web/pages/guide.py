"""The guide: what to do with your hands, one job a page."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.draw.looks import sketch
from floatbowl.guide.pages import PAGES
from floatbowl.web.asked import Asked
from floatbowl.web.page import page
from floatbowl.words import guide as words
from floatbowl.words.care import care_lines


def show_list(asked: Asked) -> Response:
    """Show which pages there are."""
    return asked.page("guide.html", pages=PAGES, page=None, words=words)


def show_page(asked: Asked) -> Response:
    """Show one page, and the strip sheets on which its findings are written down."""
    shown = words.page_named(asked.request.path_params["page"])
    return asked.page(
        "guide.html",
        pages=PAGES,
        page=shown,
        words=words,
        acts=[
            (act.text, care_lines(act.care), sketch(act.drawn, title=act.text) if act.drawn else "")
            for act in shown.acts
        ],
        cards=words.cards_of(shown),
        bikes=asked.garage.bikes(),
    )


routes: list[Route] = [page("/guide", show_list), page("/guide/{page}", show_page)]
