"""Which main at which height: bands up a hill, with home marked, for the page, the card and paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from floatbowl.advice.swaps import Band, SwapLine
from floatbowl.draw.marks import box, line, path, text
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.words.carry import HILL_STEP, rounded
from floatbowl.words.heights import FITTED, HEIGHTS_TITLE, heights_told, metres_words

STYLE = (
    ".hill-band{fill:var(--card);stroke:var(--ink);stroke-width:calc(1.2px*var(--thick))}"
    ".hill-other{fill:var(--band)}"
    ".hill-fitted{fill:none;stroke:var(--ink);stroke-width:calc(3.4px*var(--thick))}"
    ".hill-doubt{fill:none;stroke:var(--pencil);stroke-width:calc(1.4px*var(--thick))}"
    ".hill-home{fill:var(--position);stroke:var(--position);stroke-width:calc(2px*var(--thick))}"
    ".hill-there{fill:var(--paper);stroke:var(--position);stroke-width:calc(2px*var(--thick))}"
)

WIDE, _TOP, _FOOT = 320.0, 14.0, 14.0
_LEFT, _RIGHT = 72.0, 172.0
"""The column of the bands."""
_PER_METRE = 0.11
_APART = 19.0
"""The least between two lines of words."""


@dataclass(frozen=True, slots=True)
class PlaceMark:
    """A place on the hill: its name, its height in metres, and whether it is home."""

    name: str
    metres: float
    is_home: bool = False


def main_by_height(
    bands: tuple[Band, ...],
    *,
    fitted: str,
    places: Sequence[PlaceMark],
    lines: Sequence[SwapLine] = (),
) -> Svg:
    """Draw the bands from the foot of the hill up, with the places that lie on it, home first.

    ``lines`` between the bands, if given, show where 16 of the 20 have theirs.
    """
    hill = _Hill.of(bands)
    home = places[0]
    return picture(
        *(
            _band(band, hill, is_other=bool(k % 2), is_fitted=band.stamp == fitted)
            for k, band in enumerate(bands)
        ),
        *(_doubt(one, hill, place) for place, one in enumerate(lines)),
        *_edges(bands, hill),
        *_stamps(bands, hill, fitted),
        *_places(places, hill),
        view=(0, 0, WIDE, hill.foot + _FOOT),
        title=HEIGHTS_TITLE,
        described=heights_told(bands, home.name, home.metres),
        class_="hill-picture mk-narrow",
    )


@dataclass(frozen=True, slots=True)
class _Hill:
    """The stretch of heights that is shown, in metres."""

    low: float
    high: float

    @classmethod
    def of(cls, bands: Sequence[Band]) -> _Hill:
        ends = [end for band in bands for end in band.there]
        return cls(min(ends), max(ends))

    @property
    def foot(self) -> float:
        return _TOP + (self.high - self.low) * _PER_METRE

    def y(self, metres: float) -> float:
        """Give where a height stands; what lies beyond the hill stands at its end."""
        return self.foot - (min(max(metres, self.low), self.high) - self.low) * _PER_METRE


def _band(band: Band, hill: _Hill, *, is_other: bool, is_fitted: bool) -> Svg:
    top, foot = sorted(hill.y(metres) for metres in band.there)
    shape = box(
        _LEFT, top, _RIGHT - _LEFT, foot - top, class_=f"hill-band{' hill-other' if is_other else ''}"
    )
    if not is_fitted:
        return shape
    frame = box(_LEFT + 2, top + 2, _RIGHT - _LEFT - 4, max(foot - top - 4, 1.0), class_="hill-fitted")
    return element("g", shape, frame)


def _doubt(one: SwapLine, hill: _Hill, place: int) -> Svg:
    """Draw how far the lines of 16 in 20 reach: a thin stroke beside the bands, open at an end beyond."""
    x = _RIGHT + 8 + 7 * (place % 4)
    low, high, at = (
        hill.y(end)
        for end in (
            hill.low if one.there.low is None else one.there.low,
            hill.high if one.there.high is None else one.there.high,
            one.there.value,
        )
    )
    ends = "".join(
        f"M{plain(x - 3)} {plain(y)}h6"
        for y, end in ((low, one.there.low), (high, one.there.high))
        if end is not None
    )
    return path(
        f"M{plain(x)} {plain(low)}V{plain(high)}{ends}M{plain(_RIGHT)} {plain(at)}H{plain(x + 3)}",
        class_="hill-doubt",
    )


def _edges(bands: Sequence[Band], hill: _Hill) -> list[Svg]:
    metres = [hill.high, *(band.there[1] for band in bands)]
    feet = spread([hill.y(one) + 6 for one in metres], apart=_APART, low=_TOP, high=hill.foot + 6)
    told = [metres_words(rounded(one, HILL_STEP)) for one in metres]
    return [text(_LEFT - 8, y, words, anchor="end") for y, words in zip(feet, told, strict=True)]


def _stamps(bands: Sequence[Band], hill: _Hill, fitted: str) -> list[Svg]:
    middles = [sum(hill.y(metres) for metres in band.there) / 2 + 6 for band in bands]
    feet = spread(middles, apart=_APART, low=_TOP + 14, high=hill.foot - 4)
    told = [f"{band.stamp}, {FITTED}" if band.stamp == fitted else f"{band.stamp}" for band in bands]
    middle = (_LEFT + _RIGHT) / 2
    return [
        text(middle, y, words, anchor="middle", class_="mk-strong")
        for y, words in zip(feet, told, strict=True)
    ]


def _places(places: Sequence[PlaceMark], hill: _Hill) -> list[Svg]:
    x, order = _RIGHT + 42, sorted(places, key=lambda place: -place.metres)
    feet = spread(
        [hill.y(place.metres) + 6 for place in order], apart=2 * _APART, low=_TOP + 8, high=hill.foot - 12
    )
    return [_place(place, hill, x, foot) for place, foot in zip(order, feet, strict=True)]


def _place(place: PlaceMark, hill: _Hill, x: float, foot: float) -> Svg:
    y = hill.y(place.metres)
    class_ = "hill-home" if place.is_home else "hill-there"
    return element(
        "g",
        line((_RIGHT - 14, y), (x - 8, y), class_=class_),
        element("circle", cx=x - 8, cy=y, r=6, class_=class_),
        text(x + 4, foot, place.name, class_="mk-strong" if place.is_home else ""),
        text(x + 4, foot + _APART, metres_words(place.metres), class_="mk-pencil"),
    )


def spread(places: Sequence[float], *, apart: float, low: float, high: float) -> list[float]:
    """Push places, in growing order, apart so that no two lie closer, within ``low`` and ``high``.

    >>> spread([10.0, 12.0, 80.0], apart=10.0, low=0.0, high=100.0)
    [10.0, 20.0, 80.0]
    """
    down: list[float] = []
    for place in places:
        down.append(max(place, low, *(down[-1:] and [down[-1] + apart])))
    up: list[float] = []
    for place in reversed(down):
        up.append(min(place, high, *(up[-1:] and [up[-1] - apart])))
    return up[::-1]
