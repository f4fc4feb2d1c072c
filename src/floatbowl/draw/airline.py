"""How thick is the air: one line, kg/m3, with pins; today's pin is solid, a forecast has a bar."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from floatbowl.bike.day import Day
from floatbowl.draw.marks import NARROW_LETTER_HEIGHT, line, path, text, words_width
from floatbowl.draw.svg import Svg, element, picture, plain
from floatbowl.flow.air import density
from floatbowl.words.airline import THICK_SIDE, THIN_SIDE, TITLE, pin_words

STYLE = (
    ".air-line{fill:none;stroke:var(--ink);stroke-width:calc(2px*var(--thick))}"
    ".air-tick{fill:none;stroke:var(--ink);stroke-width:calc(1px*var(--thick))}"
    ".air-stem{fill:none;stroke:var(--pencil);stroke-width:calc(1px*var(--thick))}"
    ".air-pin{fill:var(--card);stroke:var(--ink);stroke-width:calc(2px*var(--thick))}"
    ".air-today{fill:var(--ink);stroke:var(--ink);stroke-width:calc(2px*var(--thick))}"
    ".air-stem-today{fill:none;stroke:var(--ink);stroke-width:calc(2.4px*var(--thick))}"
    ".air-doubt{fill:none;stroke:var(--pencil);stroke-width:calc(7px*var(--thick));stroke-linecap:round}"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """One place on the line: words, density in kg/m3, and for a forecast the range of 16 in 20."""

    words: str
    density: float
    is_today: bool = False
    low: float | None = None
    high: float | None = None


def pin_of(day: Day, words: str, *, is_today: bool = False) -> Pin:
    """Give the pin of a day's air."""
    thick = density(day.pressure.value, temperature=day.temperature.value, humidity=day.humidity.value)
    return Pin(words=words, density=float(thick), is_today=is_today)


WIDE = 320.0
_EDGE = 18.0
_STORY = 26.0
"""Height of one line of names."""
_STEP = 0.05
"""The line begins and ends at whole steps of this, kg/m3."""


@dataclass(frozen=True, slots=True)
class _Scale:
    """The stretch of density, kg/m3, that the line shows."""

    low: float
    high: float

    def x(self, thick: float) -> float:
        """Give where a density stands."""
        return _EDGE + (WIDE - 2 * _EDGE) * (thick - self.low) / (self.high - self.low)

    @property
    def steps(self) -> list[float]:
        """Give the densities that are written below the line, both ends among them."""
        count = round((self.high - self.low) / _STEP)
        return [self.low + _STEP * i for i in range(count + 1)]


def airline(pins: Sequence[Pin]) -> Svg:
    """Draw the line with its pins; names stand above it, those that would touch on another story."""
    scale = _scale(pins)
    names = [_name(pin) for pin in pins]
    stories = _stories(
        [
            (scale.x(pin.density), words_width(name, height=NARROW_LETTER_HEIGHT))
            for pin, name in zip(pins, names, strict=True)
        ]
    )
    base = _STORY * (max(stories, default=0) + 1) + 16.0
    return picture(
        _axis(scale, base),
        *(_stem(pin, scale, base, story) for pin, story in zip(pins, stories, strict=True)),
        *(_head(pin, scale, base, story) for pin, story in zip(pins, stories, strict=True)),
        view=(0, 0, WIDE, base + 56),
        title=TITLE,
        described=" ".join(pin_words(pin.words, pin.density, pin.low, pin.high) for pin in pins),
        class_="air-picture mk-narrow",
    )


def _scale(pins: Sequence[Pin]) -> _Scale:
    ends = [end for pin in pins for end in (pin.density, pin.low, pin.high) if end is not None]
    low = math.floor(min(ends) / _STEP - 0.2) * _STEP
    high = math.ceil(max(ends) / _STEP + 0.2) * _STEP
    return _Scale(low, max(high, low + 2 * _STEP))


def _name(pin: Pin) -> str:
    return f"{pin.words} {pin.density:.2f}" if pin.is_today else pin.words


def _stories(places: Sequence[tuple[float, float]]) -> list[int]:
    """Give each name the lowest story on which it touches no other.

    The rightmost comes first: names stand to the right of their stems, so that no stem crosses a name.
    """
    taken: list[list[tuple[float, float]]] = []
    stories = [0] * len(places)
    for place in sorted(range(len(places)), key=lambda place: -places[place][0]):
        x, wide = places[place]
        left = _left(x, wide)
        reach = (min(left, x) - 8, max(left + wide, x) + 8)
        story = next((i for i, row in enumerate(taken) if _is_free(row, reach)), len(taken))
        taken += [[]] if story == len(taken) else []
        taken[story].append(reach)
        stories[place] = story
    return stories


def _is_free(row: Sequence[tuple[float, float]], reach: tuple[float, float]) -> bool:
    return all(reach[1] < left or right < reach[0] for left, right in row)


def _left(x: float, wide: float) -> float:
    """Set a name to the right of its stem, or to its left where the picture ends."""
    return x + 6 if x + 6 + wide < WIDE else max(0.0, x - 6 - wide)


def _axis(scale: _Scale, base: float) -> Svg:
    fine = [scale.low + _STEP / 5 * i for i in range(round((scale.high - scale.low) / _STEP * 5) + 1)]
    ticks = "".join(f"M{plain(scale.x(thick))} {plain(base)}v-5" for thick in fine)
    ticks += "".join(f"M{plain(scale.x(thick))} {plain(base)}v9" for thick in scale.steps)
    every = 1 + len(scale.steps) // 7
    numbers = [
        text(scale.x(thick), base + 27, f"{thick:.2f}", anchor="middle") for thick in scale.steps[::every]
    ]
    return element(
        "g",
        line((4, base), (WIDE - 4, base), class_="air-line"),
        path(ticks, class_="air-tick"),
        *numbers,
        text(0, base + 50, THIN_SIDE, class_="mk-pencil"),
        text(WIDE, base + 50, THICK_SIDE, class_="mk-pencil", anchor="end"),
    )


def _stem(pin: Pin, scale: _Scale, base: float, story: int) -> Svg:
    x, top = scale.x(pin.density), base - 16 - _STORY * story - 14
    class_ = "air-stem-today" if pin.is_today else "air-stem"
    drawn = [line((x, base), (x, top), class_=class_)]
    if pin.low is not None and pin.high is not None:
        drawn.append(line((scale.x(pin.low), base), (scale.x(pin.high), base), class_="air-doubt"))
    return element("g", *drawn)


def _head(pin: Pin, scale: _Scale, base: float, story: int) -> Svg:
    x, name = scale.x(pin.density), _name(pin)
    foot = base - 18 - _STORY * story
    weight = "mk-strong" if pin.is_today else ""
    return element(
        "g",
        element("circle", cx=x, cy=base, r=6.5 if pin.is_today else 5, class_=_pin_class(pin)),
        text(
            _left(x, words_width(name, height=NARROW_LETTER_HEIGHT)), foot, name, class_=f"mk-halo {weight}"
        ),
    )


def _pin_class(pin: Pin) -> str:
    return "air-today" if pin.is_today else "air-pin"
