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
    for main in drawer.mains:
        if main != setup.main:
            yield "main", replace(setup, main=main)
    for pilot in drawer.pilots:
        if pilot != setup.pilot:
            yield "pilot", replace(setup, pilot=pilot)
    for clip in range(max(1, setup.clip_from_top - 2), min(grooves, setup.clip_from_top + 2) + 1):
        if clip != setup.clip_from_top:
            yield "clip", replace(setup, clip_from_top=clip)
    for steps in (-2, -1, 1, 2):
        turns = setup.screw_turns + steps * SCREW_STEP_TURNS
        if SCREW_FEWEST_TURNS <= turns <= SCREW_MOST_TURNS:
            yield "screw", replace(setup, screw_turns=turns)
    for cutaway in drawer.cutaways:
        if cutaway != setup.cutaway:
            yield "cutaway", replace(setup, cutaway=cutaway)
    for needle in drawer.needles:
        if needle != setup.needle and setup.clip_from_top <= needle.grooves:
            yield "needle", replace(setup, needle=needle)
