"""The wall chart on paper: six plates, one a side, the answer on its head at the foot."""

from __future__ import annotations

from dataclasses import asdict
from typing import Literal

from floatbowl.draw.plates import wall_chart
from floatbowl.draw.printed import printed
from floatbowl.draw.svg import told_of
from floatbowl.jobs import WallChart
from floatbowl.paper.press import press
from floatbowl.words import chart as words

Paper = Literal["a4", "a3"]
THICK = 1.15
"""A chart is read from two steps away: lines a little wider than on the page."""


def wall_chart_pdf(chart: WallChart, *, paper: Paper = "a4") -> bytes:
    """Set the six plates; A3 is the same, larger."""
    shown = wall_chart(chart)
    told = {
        "bike": chart.card.stand.bike.name,
        "what": chart.card.stand.bike.what,
        "paper": paper,
        "labels": {
            name: getattr(words, name) for name in ("TITLE", "QUESTION", "ANSWER", "FROM_THIS", "UPSIDE_DOWN")
        },
        "plates": [
            {**asdict(one.plate), "file": f"{one.plate.key}.svg", "alt": told_of(one.picture)}
            for one in shown
        ],
    }
    pictures = {f"{one.plate.key}.svg": printed(one.picture, thick=THICK) for one in shown}
    return press("wall_chart.typ", words=told, pictures=pictures)
