"""Plate 5: up a hill with nothing changed, what the bike gets at full; beside it the mains by height."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.draw.heights import PlaceMark, main_by_height
from floatbowl.draw.marks import line, path, text
from floatbowl.draw.svg import Svg, element, line_path, picture, plain
from floatbowl.jobs import WallChart
from floatbowl.words.bench import percent

STYLE = (
    ".climb-line{fill:none;stroke:var(--ink);stroke-width:calc(3px*var(--thick))}"
    ".climb-close{fill:var(--band)}"
)

WIDE, TALL = 680.0, 500.0
_LEFT, _RIGHT, _TOP, _FOOT = 66.0, 400.0, 40.0, 440.0
_LEAST_REACH = 20.0
"""Per cent short and too much that the chart shows at least."""


def hill_plate(chart: WallChart) -> Svg:
    """Draw both charts over the same heights."""
    belief, hill = chart.card.stand.belief, chart.plates.hill
    top = hill[-1][0]
    band = percent(float(belief.close_enough[-1]))
    reach = max(_LEAST_REACH, *(5.0 + abs(percent(error)) for _, error in hill))
    points = [(_x(percent(error), reach), _y(height, top)) for height, error in hill]
    home = belief.day.height
    return picture(
        _grid(top, band, reach),
        path(line_path(points), class_="climb-line"),
        *(element("circle", cx=x, cy=y, r=5, class_="mk-solid") for x, y in points),
        *_home(home, top),
        *_axes(top, reach),
        *([_beside(chart)] if chart.card.mains else []),
        view=(0.0, 0.0, WIDE, TALL),
        title="Height and weather",
        described=_told(hill),
        class_="plate",
    )


def _told(hill: Sequence[tuple[float, float]]) -> str:
    told = [f"{height:,.0f} m: {percent(error):+.0f} %" for height, error in hill]
    return f"Fuel at full opening against what it wants, with nothing changed: {', '.join(told)}."


def _x(pct: float, reach: float) -> float:
    return _LEFT + (_RIGHT - _LEFT) * (pct + reach) / (2.0 * reach)


def _y(height: float, top: float) -> float:
    return _FOOT - (_FOOT - _TOP) * height / top


def _grid(top: float, band: float, reach: float) -> Svg:
    close = element(
        "rect",
        x=_x(-band, reach),
        y=_TOP,
        width=_x(band, reach) - _x(-band, reach),
        height=_FOOT - _TOP,
        class_="climb-close",
    )
    levels = [
        line((_LEFT, _y(height, top)), (_RIGHT, _y(height, top)), class_="mk-thin")
        for height in range(0, int(top) + 1, 1000)
    ]
    middle = line((_x(0.0, reach), _TOP), (_x(0.0, reach), _FOOT), class_="mk-centre")
    return element("g", close, *levels, middle)


def _axes(top: float, reach: float) -> list[Svg]:
    heights = [
        text(
            _LEFT - 8,
            _y(height, top) + 6,
            f"{height:,.0f}" if height else "sea",
            class_="mk-strong",
            anchor="end",
        )
        for height in range(0, int(top) + 1, 1000)
    ]
    shares = [
        text(
            _x(pct, reach),
            _FOOT + 22,
            f"{pct:+.0f} %" if pct else "right",
            class_="mk-strong",
            anchor="middle",
        )
        for pct in (-15.0, 0.0, 15.0)
    ]
    return [
        *heights,
        *shares,
        text(_LEFT, _FOOT + 46, "short of fuel", class_="mk-pencil"),
        text(_RIGHT, _FOOT + 46, "too much", class_="mk-pencil", anchor="end"),
        text(_LEFT - 50, 22, "height, m, and fuel at full if nothing is changed", class_="mk-strong"),
    ]


def _home(home: float, top: float) -> list[Svg]:
    y = _y(min(home, top), top)
    return [
        line((_LEFT, y), (_RIGHT, y), class_="mk-outline"),
        text(_RIGHT - 4, y - 8, "here", class_="mk-strong mk-halo", anchor="end"),
    ]


def _beside(chart: WallChart) -> Svg:
    """Set the mains by height beside the chart."""
    belief = chart.card.stand.belief
    here = PlaceMark(belief.day.place, belief.day.height, is_home=True)
    mains = main_by_height(chart.card.mains, fitted=belief.setup.main, places=[here])
    tall = _FOOT - _TOP + 28.0
    placed = mains.replace(
        "<svg ",
        f'<svg x="{plain(_RIGHT + 10)}" y="{plain(_TOP - 14)}" width="276" height="{plain(tall)}" ',
        1,
    )
    return Svg(placed)
