"""The wall chart: six plates made from this very bike; each asks first, then uncovers its answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import Response
from starlette.routing import Route

from floatbowl import jobs
from floatbowl.draw.plates import wall_chart
from floatbowl.web.asked import Asked, StillThinkingError
from floatbowl.web.page import page
from floatbowl.words import chart as words

if TYPE_CHECKING:
    from floatbowl.jobs import WallChart


def show(asked: Asked) -> Response:
    """Show all six plates, their answers covered."""
    chart = drawn_up(asked)
    return asked.page("wall_chart.html", bike=asked.bike, plates=wall_chart(chart), words=words)


def print_a4(asked: Asked) -> Response:
    """Give the chart as a paper."""
    from floatbowl.paper.wall_chart import wall_chart_pdf  # noqa: PLC0415  (the press is loaded by what prints)

    return Response(wall_chart_pdf(drawn_up(asked), paper="a4"), media_type="application/pdf")


def print_a3(asked: Asked) -> Response:
    """Give the chart as a larger paper."""
    from floatbowl.paper.wall_chart import wall_chart_pdf  # noqa: PLC0415  (the press is loaded by what prints)

    return Response(wall_chart_pdf(drawn_up(asked), paper="a3"), media_type="application/pdf")


def drawn_up(asked: Asked) -> WallChart:
    """Let the thinking thread work the plates out; while it is busy the page comes again by itself."""
    asked.thought()
    facts, drawer = asked.garage.facts(asked.bike), asked.garage.drawer()
    told = asked.think(("chart", facts), lambda: jobs.wall_chart_of(facts, drawer))
    if told is None:
        raise StillThinkingError(asked.bike)
    return told


routes: list[Route] = [
    page("/bikes/{bike}/chart", show),
    page("/bikes/{bike}/chart-a4.pdf", print_a4),
    page("/bikes/{bike}/chart-a3.pdf", print_a3),
]
