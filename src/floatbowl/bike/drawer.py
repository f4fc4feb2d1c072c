"""The parts at hand, and every setup they allow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from floatbowl.bike.carb import Needle
from floatbowl.bike.setup import PART_FIELDS, Setup


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawer:
    """Jets by stamp, needles with their shape, slides by cutaway stamp."""

    mains: tuple[str, ...] = ()
    pilots: tuple[str, ...] = ()
    cutaways: tuple[str, ...] = ()
    needles: tuple[Needle, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Say whether there is nothing in it."""
        return not (self.mains or self.pilots or self.cutaways or self.needles)


SCREW_STEPS = (-1.0, -0.75, -0.5, -0.25, 0.25, 0.5, 0.75, 1.0)
"""Turns of the mixture screw offered as one change (common practice: a quarter at a time)."""
SCREW_FEWEST_TURNS = 0.5
SCREW_MOST_TURNS = 3.5
WASHER_MM = 0.5
"""A thin washer under the clip is half a groove (common practice)."""
FLOAT_STEPS_MM = (-2.0, -1.0, 1.0, 2.0)


def one_change_away(setup: Setup, drawer: Drawer, *, grooves: int) -> Iterator[tuple[str, Setup]]:
    """Give every setup that differs from ``setup`` in one part, with that part's name.

    ``grooves`` is how many the fitted needle has. The clip moves by one or two
    grooves, the screw by a turn at most, the float by two millimetres where its
    height was measured: further is a sign that another part is wrong.
    """
    yield from (("main", replace(setup, main=stamp)) for stamp in drawer.mains if stamp != setup.main)
    yield from (("pilot", replace(setup, pilot=stamp)) for stamp in drawer.pilots if stamp != setup.pilot)
    yield from (("clip", replace(setup, clip_from_top=clip)) for clip in _near(setup.clip_from_top, grooves))
    yield "washer", replace(setup, needle_washer_mm=0.0 if setup.needle_washer_mm else WASHER_MM)
    yield from (("screw", replace(setup, screw_turns=turns)) for turns in _turned(setup.screw_turns))
    yield from (("cutaway", replace(setup, cutaway=c)) for c in drawer.cutaways if c != setup.cutaway)
    needles = (needle for needle in (None, *drawer.needles) if needle != setup.needle)
    fit = (needle for needle in needles if needle is None or setup.clip_from_top <= needle.grooves)
    yield from (("needle", replace(setup, needle=needle)) for needle in fit)
    if setup.float_height_mm is not None:
        heights = (setup.float_height_mm + step for step in FLOAT_STEPS_MM)
        yield from (("float", replace(setup, float_height_mm=height)) for height in heights)


def nearest_changes(setup: Setup, drawer: Drawer, *, grooves: int, most: int) -> tuple[Setup, ...]:
    """Give the setups one change away: of each part the ``most`` that are nearest to what is fitted."""
    by_part: dict[str, list[tuple[float, Setup]]] = {}
    for part, after in one_change_away(setup, drawer, grooves=grooves):
        field = PART_FIELDS[part]
        far = _apart(getattr(setup, field), getattr(after, field))
        by_part.setdefault(part, []).append((far, after))
    kept = (sorted(them, key=lambda one: one[0])[:most] for them in by_part.values())
    return tuple(after for them in kept for _, after in them)


def _apart(before: object, after: object) -> float:
    """Give how far two numbers are apart; what is no number is as near as can be."""
    try:
        return abs(float(str(after)) - float(str(before)))
    except ValueError:
        return 0.0


def _near(clip: int, grooves: int) -> Iterator[int]:
    nearest = range(max(1, clip - 2), min(grooves, clip + 2) + 1)
    return (other for other in nearest if other != clip)


def _turned(turns: float) -> Iterator[float]:
    turned = (turns + step for step in SCREW_STEPS)
    return (there for there in turned if SCREW_FEWEST_TURNS <= there <= SCREW_MOST_TURNS)
