"""The air: eleven streamlines that each keep their share of the height, a picture of squeeze and no flow sum.

Roof and floor of the stream are worked out at the two stops of the slide and
move evenly between; so does every point of every line.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp

from floatbowl.draw.cutaway_body import Bore
from floatbowl.draw.cutaway_shape import smooth
from floatbowl.draw.cutaway_slide import cut_height
from floatbowl.draw.moving import Swept
from floatbowl.draw.section import Section
from floatbowl.draw.svg import Point

LINES = 11
POINTS = 44
EASE_POWER = 2.1
"""How late the stream comes down before the slide."""


@dataclass(frozen=True, slots=True)
class Stream:
    """Roof and floor of the stream with the slide at one of its stops."""

    s: Section
    lift: float

    def roof(self, x: float) -> float:
        """Give the height of the stream's roof: the bore's, the slide's underside, the bore's again."""
        half, bore, g = self.s.slide_width.mm / 2, Bore(self.s), self.s.grown
        if x < -half:
            start = self.s.mouth_length.mm + 6.0 * g
            share = smooth((x + start) / (start - half)) ** EASE_POWER
            return bore.roof(x) + float(share) * (self._under(-half) - bore.roof(x))
        if x <= half:
            return self._under(x)
        share = smooth((x - half) / (self.s.outlet_length.mm - half))
        return self._under(half) + share * (bore.roof(x) - self._under(half))

    def _under(self, x: float) -> float:
        """Give the slide's underside, as far as it hangs in the bore."""
        return min(self.lift + cut_height(self.s, x), self.s.bore.mm)

    def floor(self, x: float) -> float:
        """Give the height of the stream's floor: the bore's, and over the needle jet where there is room."""
        s = self.s
        room = min(s.jet_rise.mm + 0.6 * s.hood.mm + 0.4 * s.wall, 0.6 * self._under(0.0))
        return Bore(s).floor(x) + max(room, 0.0) * exp(-((x / (2.0 * s.jet_width.mm)) ** 2))

    def at(self, x: float, share: float) -> Point:
        """Give the point that stands at a share of the height."""
        floor = self.floor(x)
        return x, floor + share * (self.roof(x) - floor)


def streams(s: Section) -> tuple[Stream, Stream]:
    """Give the stream at the idle stop and at full lift."""
    return Stream(s, s.idle_lift.mm), Stream(s, s.full_lift.mm)


def streamlines(s: Section) -> tuple[Swept, ...]:
    """Give the lines from the lowest to the highest; roof and floor are worked out once for all of them."""
    start, end = -s.mouth_length.mm - 2.4 * s.grown, s.outlet_length.mm + 2.4 * s.grown
    places = [start + (end - start) * i / POINTS for i in range(POINTS + 1)]
    stops = [[(x, stream.floor(x), stream.roof(x)) for x in places] for stream in streams(s)]
    shares = [(i + 0.5) / LINES for i in range(LINES)]
    return tuple(
        Swept(*(tuple((x, floor + share * (roof - floor)) for x, floor, roof in stop) for stop in stops))
        for share in shares
    )
