"""What moves with the slide, written for its two stops: a browser moves it and holds no geometry of its own.

Three forms, each told by its data attribute:

- a path with ``data-shut`` and ``data-full``: the numbers of its ``d`` at the two
  stops, to be interpolated by the lift; the letters of ``d`` stay;
- a group with ``data-rise``: units upwards for each millimetre of lift, from the
  place it has at no lift, as ``transform="translate(0 ...)"``;
- anything with ``data-table``: ``lift:value`` pairs, to be interpolated, and
  ``data-sets`` saying what the value sets: ``opacity``, ``r``, ``scale`` (of a
  transform that ends in ``scale(...)``) or ``text`` with so many decimals as
  ``data-decimals`` and ``data-unit`` behind it.

Lifts are in millimetres over the floor of the bore.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from floatbowl.bike.rung import RUNGS
from floatbowl.draw.svg import Attribute, Point, Svg, element, plain


@dataclass(frozen=True, slots=True)
class Travel:
    """Where the slide may stand, and where it stands now, in mm over the floor of the bore."""

    shut: float
    full: float
    lift: float

    @property
    def share(self) -> float:
        """Give how far the slide is open, 0 to 1."""
        way = self.full - self.shut
        return min(1.0, max(0.0, (self.lift - self.shut) / way)) if way > 0.0 else 0.0

    def at(self, share: float) -> float:
        """Give the lift at a share of the way."""
        return self.shut + share * (self.full - self.shut)

    @property
    def rungs(self) -> tuple[float, ...]:
        """Give the lifts of the six rungs."""
        return tuple(self.at(rung.opening) for rung in RUNGS)

    def steps(self, step: float = 0.25) -> tuple[float, ...]:
        """Give lifts at most about ``step`` apart, both stops and every rung among them."""
        count = max(1, round((self.full - self.shut) / step))
        return tuple(sorted({*(self.at(i / count) for i in range(count + 1)), *self.rungs}))


@dataclass(frozen=True, slots=True)
class Swept:
    """A line by its points at the two stops; between them every point moves evenly with the lift."""

    shut: tuple[Point, ...]
    full: tuple[Point, ...]

    def at(self, share: float) -> tuple[Point, ...]:
        """Give the points at a share of the way."""
        return tuple(
            (x + share * (to_x - x), y + share * (to_y - y))
            for (x, y), (to_x, to_y) in zip(self.shut, self.full, strict=True)
        )

    def seen(self, place: Callable[[Point], Point]) -> Swept:
        """Give the same line in another frame; ``place`` must be linear."""
        return Swept(tuple(map(place, self.shut)), tuple(map(place, self.full)))


def moving_path(line: Swept, travel: Travel, *, has_dots: bool = False, **attributes: Attribute) -> Svg:
    """Write a line that moves with the slide; ``has_dots`` makes every point a dot of its own."""
    points = line.at(travel.share)
    return element(
        "path",
        d=_dots(points) if has_dots else _line(points),
        data_shut=_numbers(line.shut, has_dots=has_dots),
        data_full=_numbers(line.full, has_dots=has_dots),
        **attributes,
    )


def _line(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{plain(x)} {plain(y)}" for x, y in points)


def _dots(points: Sequence[Point]) -> str:
    """Write dots as lines of no length: a round end makes each a disc."""
    return "".join(f"M{plain(x)} {plain(y)}L{plain(x)} {plain(y)}" for x, y in points)


def _numbers(points: Sequence[Point], *, has_dots: bool) -> str:
    times = 2 if has_dots else 1
    return " ".join(f"{plain(x)} {plain(y)}" for x, y in points for _ in range(times))


def table(lifts: Sequence[float], value: Callable[[float], float]) -> str:
    """Write what has no even way: values by lift, as ``lift:value`` pairs.

    >>> table((1.0, 2.0), lambda lift: 3 * lift)
    '1:3 2:6'
    """
    return " ".join(f"{_short(lift)}:{_short(value(lift))}" for lift in lifts)


def _short(number: float) -> str:
    text = f"{number:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
