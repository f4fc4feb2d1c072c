"""The parts at hand, and every setup they allow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from floatbowl.bike.carb import Needle
from floatbowl.bike.setup import Setup


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


SCREW_STEP_TURNS = 0.5
"""Smallest turn of the mixture screw offered as a change (common practice: quarter to half a turn)."""
SCREW_FEWEST_TURNS = 0.5
SCREW_MOST_TURNS = 3.5


def one_change_away(setup: Setup, drawer: Drawer, *, grooves: int) -> Iterator[tuple[str, Setup]]:
    """Give every setup that differs from ``setup`` in one part, with that part's name.

    ``grooves`` is how many the fitted needle has. The clip moves by one or two
    grooves, the screw by half a turn or a whole one: further is a sign that
    another part is wrong.
    """
    yield from (("main", replace(setup, main=stamp)) for stamp in drawer.mains if stamp != setup.main)
    yield from (("pilot", replace(setup, pilot=stamp)) for stamp in drawer.pilots if stamp != setup.pilot)
    yield from (("clip", replace(setup, clip_from_top=clip)) for clip in _near(setup.clip_from_top, grooves))
    yield from (("screw", replace(setup, screw_turns=turns)) for turns in _turned(setup.screw_turns))
    yield from (("cutaway", replace(setup, cutaway=c)) for c in drawer.cutaways if c != setup.cutaway)
    fit = (needle for needle in drawer.needles if needle != setup.needle)
    yield from (("needle", replace(setup, needle=n)) for n in fit if setup.clip_from_top <= n.grooves)


def _near(clip: int, grooves: int) -> Iterator[int]:
    nearest = range(max(1, clip - 2), min(grooves, clip + 2) + 1)
    return (other for other in nearest if other != clip)


def _turned(turns: float) -> Iterator[float]:
    turned = (turns + steps * SCREW_STEP_TURNS for steps in (-2, -1, 1, 2))
    return (there for there in turned if SCREW_FEWEST_TURNS <= there <= SCREW_MOST_TURNS)
