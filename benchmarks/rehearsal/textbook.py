"""The textbook mechanic: faults by the complaint, level, main, needle, pilot, slide; one step at a time.

The usual order of work, written as fairly as we can: every verdict is ridden twice and settled by a test
where two rides disagree, the likeliest faults are looked for first, an obvious overshoot is taken back
towards the rich side, and the bike is given back as soon as the rider calls it clean everywhere.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from benchmarks.rehearsal.outcome import Outcome, complaint
from floatbowl.bike.rung import Rung
from floatbowl.signs.trial import Remark, TouchedReading

if TYPE_CHECKING:
    from collections.abc import Iterable

    from benchmarks.rehearsal.shed import Shed
    from floatbowl.bike.setup import Setup

MOST_CHANGES = 25
MOST_LOOKS = 4
"""Looks that the complaint table asks for before jetting begins."""
_MOST_STEPS = 6
"""Steps with one part before the book says that something else is wrong."""
LEAN, CLEAN, RICH = -1, 0, 1
SENSE = {
    "clean": CLEAN,
    "bogs": LEAN,
    "surges": LEAN,
    "flat": LEAN,
    "pings": LEAN,
    "hangs": LEAN,
    "spits": LEAN,
    "pops": LEAN,
    "thick": RICH,
}
"""What the tables say a word means; stumbles and dies may be either."""
_RICH_PLUGS, _LEAN_PLUGS = {"brown", "sooty", "wet"}, {"white", "light tan"}
_TOUCHED = {
    "carburettor off": ("soap on the joints",),
    "cleaning": ("light through the pilot jet", "spray from the bypass holes"),
    "float": (),
    "filter": ("filter in the hand",),
    "exhaust": ("exhaust joints",),
    "hoses": ("breathe through the vents",),
    "plug": ("new plug",),
    "fuel": ("fresh petrol",),
    "cable": ("idle stop right out",),
    "valves": ("valve clearance",),
}


class _Enough(Exception):  # noqa: N818  (ends the evening, is no error)
    """The book's changes are used up."""


class Textbook:
    """One evening by the book."""

    def __init__(self, shed: Shed) -> None:
        """Come to the shed."""
        self.shed = shed
        self.log: list[str] = []
        self.acts = 0
        self.stripped = False

    def go(self) -> Outcome:
        """Work through the order until it is clean everywhere, or the changes are used up."""
        ended = "clean"
        try:
            self._work()
        except _Enough:
            ended = f"{MOST_CHANGES} changes"
        truth = self.shed.truth()
        return Outcome(
            who="textbook",
            error=tuple(float(one) for one in truth.error),
            faults_left=tuple(one.fault.key for one in self.shed.broken),
            changes=self.shed.changes,
            minutes=self.shed.minutes,
            acts=self.acts,
            ended=ended,
            log=tuple(self.log),
        )

    def _work(self) -> None:
        told = complaint(self.shed)[-1]
        touched = [r.part for r in told.readings if isinstance(r, TouchedReading)]
        if self._faults(told.remarks, touched) and self._is_clean():
            return
        self._level()
        self._main()
        self._needle()
        self._pilot()
        self._cutaway()
        for _ in range(4):
            wrong = self._wrong_rungs()
            if not wrong:
                return
            if not self.stripped:
                self.stripped = True
                if self._look("strip and clean"):
                    continue
            self._again(wrong)

    def _again(self, wrong: dict[Rung, int]) -> None:
        if wrong.keys() & {Rung.THREE_QUARTERS, Rung.FULL}:
            self._main()
        if wrong.keys() & {Rung.QUARTER, Rung.HALF}:
            self._needle()
        if Rung.SHUT in wrong:
            self._pilot()
        if Rung.EIGHTH in wrong:
            self._cutaway()

    # --- looking ----------------------------------------------------------------------------------

    def _faults(self, remarks: tuple[Remark, ...], touched: Iterable[str]) -> bool:
        looks = dict.fromkeys(key for part in touched for key in _TOUCHED.get(part, ()))
        for key in _by_complaint(remarks, self.shed.case.bike.known.story):
            looks.setdefault(key)
        if self.shed.case.bike.known.carb.choke == "none":
            looks.pop("choke seat", None)
        found = [self._look(key) for key in list(looks)[:MOST_LOOKS]]
        return any(found)

    def _look(self, key: str) -> bool:
        self.acts += 1
        _, found = self.shed.look(key)
        self.log.append(f"look {key}: {found or 'clear'}")
        return found is not None

    def _level(self) -> None:
        self.acts += 1
        reading = self.shed.level()
        found = self.shed.set_level(reading)
        if found is not None:
            self.log.append(f"level {reading.above_mm:+.1f}: {found}")

    # --- judging ----------------------------------------------------------------------------------

    def _is_clean(self) -> bool:
        return not self._wrong_rungs()

    def _wrong_rungs(self) -> dict[Rung, int]:
        """Ride the whole sweep, and again what was not clean: twice said is so."""
        self.acts += 1
        said = self.shed.ride()
        bad = [r.at for r in said if r.at is not None and r.did != "clean"]
        wrong = {}
        for at in dict.fromkeys(bad):
            verdict = self._verdict(at)
            if verdict != CLEAN:
                wrong[at] = verdict
        return wrong

    def _verdict(self, at: Rung) -> int:
        """Ride one opening twice, a third time where the two disagree, and test where words do not tell."""
        self.acts += 1
        said = [self.shed.ride((at,))[0].did for _ in range(2)]
        if (said[0] == "clean") != (said[1] == "clean"):
            said.append(self.shed.ride((at,))[0].did)
        not_clean = [word for word in said if word != "clean"]
        if len(not_clean) * 2 < len(said):
            return CLEAN
        lean = Counter(SENSE.get(word) for word in not_clean)
        if lean[LEAN] > 0 and lean[RICH] == 0 and len(not_clean) == lean[LEAN]:
            return LEAN
        if lean[RICH] > 0 and lean[LEAN] == 0:
            return RICH
        return self._tested(at)

    def _tested(self, at: Rung) -> int:
        if at not in {Rung.THREE_QUARTERS, Rung.FULL} and self.shed.case.bike.known.carb.choke != "none":
            outcome = self.shed.choke_test(at).outcome
            return {"better": LEAN, "worse": RICH, "no change": CLEAN}[outcome]
        colour = self.shed.plug_chop(at).colour
        if colour in _RICH_PLUGS:
            return RICH
        return LEAN if colour in _LEAN_PLUGS else CLEAN

    # --- the circuits -----------------------------------------------------------------------------

    def _change(self, part: str, setup: Setup) -> None:
        if self.shed.changes >= MOST_CHANGES:
            raise _Enough
        self.acts += 1
        before = self.shed.setup
        self.shed.change(setup, part)
        error = " ".join(f"{one:+.2f}" for one in self.shed.truth().error)
        self.log.append(f"{part}: {_short(before)} to {_short(setup)}; true {error}")

    def _main(self) -> None:
        """One size at a time at full opening; on the other side of clean, back to the richer."""
        sizes = sorted(self.shed.case.drawer.mains, key=float)
        self._step_through(
            "main",
            at=(Rung.FULL, Rung.THREE_QUARTERS),
            ladder=[replace(self.shed.setup, main=stamp) for stamp in sizes],
            now=sizes.index(self.shed.setup.main),
        )

    def _needle(self) -> None:
        """One groove at a time at a quarter and a half; past the last groove, another needle."""
        now = self.shed.setup
        grooves = (now.needle or self.shed.case.bike.known.carb.needle).grooves
        left = self._step_through(
            "clip",
            at=(Rung.HALF, Rung.QUARTER),
            ladder=[replace(now, clip_from_top=clip) for clip in range(1, grooves + 1)],
            now=now.clip_from_top - 1,
        )
        if left == CLEAN:
            return
        stamp = "N3" if left == LEAN else "N1"
        other = [n for n in self.shed.case.drawer.needles if n.stamp == stamp]
        if other and self.shed.setup.needle != other[0]:
            self._change("needle", replace(self.shed.setup, needle=other[0], clip_from_top=3))

    def _cutaway(self) -> None:
        """Fit a slide of another cutaway if just above the idle stays wrong; a smaller one is richer."""
        sizes = sorted(self.shed.case.drawer.cutaways, key=float, reverse=True)
        self._step_through(
            "cutaway",
            at=(Rung.EIGHTH,),
            ladder=[replace(self.shed.setup, cutaway=stamp) for stamp in sizes],
            now=sizes.index(self.shed.setup.cutaway),
        )

    def _step_through(self, part: str, *, at: tuple[Rung, ...], ladder: list[Setup], now: int) -> int:
        """Go one step richer or leaner until clean there; give what it still was at the ladder's end."""
        last = CLEAN
        for _ in range(_MOST_STEPS):
            verdict = self._most_telling(at)
            if verdict == CLEAN:
                return CLEAN
            if last not in {CLEAN, verdict}:
                # Lean after rich: one step back, the safer side. Rich after lean: good enough.
                if verdict == LEAN and now + 1 < len(ladder):
                    self._change(part, ladder[now + 1])
                return CLEAN
            step = 1 if verdict == LEAN else -1
            if not 0 <= now + step < len(ladder):
                return verdict
            now, last = now + step, verdict
            self._change(part, ladder[now])
        return last

    def _most_telling(self, at: tuple[Rung, ...]) -> int:
        for rung in at:
            verdict = self._verdict(rung)
            if verdict != CLEAN:
                return verdict
        return CLEAN

    def _pilot(self) -> None:
        """Set the screw for the best idle, a touch richer; outside 1 to 2.5 turns fit another pilot."""
        by_air = self.shed.case.bike.known.carb.screw == "air"
        pilots = sorted(self.shed.case.drawer.pilots, key=float)
        best = self.shed.setup.screw_turns
        for _ in range(4):
            self.acts += 1
            best = self._best_turns()
            if 1.0 <= best <= 2.5:
                break
            wants_bigger = (best < 1.0) if by_air else (best > 2.5)
            place = pilots.index(self.shed.setup.pilot) + (1 if wants_bigger else -1)
            if not 0 <= place < len(pilots):
                break
            self._change("pilot", replace(self.shed.setup, pilot=pilots[place]))
        richer = best + (-0.125 if by_air else 0.125)
        turns = float(np.clip(round(richer * 4.0) / 4.0, 0.5, 3.5))
        if abs(turns - self.shed.setup.screw_turns) > 0.1:
            self._change("screw", replace(self.shed.setup, screw_turns=turns))

    def _best_turns(self) -> float:
        sweep = self.shed.idle_sweep()
        if len(sweep.turns) < 3 or max(sweep.rpm) == 0.0:
            return self.shed.setup.screw_turns
        best = int(np.argmax(sweep.rpm))
        alive = [k for k in (best - 1, best, best + 1) if 0 <= k < len(sweep.rpm) and sweep.rpm[k] > 0.0]
        if len(alive) < 3:
            return sweep.turns[best]
        turns, rpm = np.array([sweep.turns[k] for k in alive]), np.array([sweep.rpm[k] for k in alive])
        square, line, _ = np.polyfit(turns, rpm, 2)
        if square >= 0.0:
            return sweep.turns[best]
        return float(np.clip(-line / (2.0 * square), turns[0], turns[-1]))


def _short(setup: Setup) -> str:
    needle = setup.needle.stamp if setup.needle else "own"
    return f"{setup.main}/{setup.pilot}/{needle} {setup.clip_from_top}/{setup.cutaway}/{setup.screw_turns:g}"


def _by_complaint(remarks: tuple[Remark, ...], story: frozenset[str]) -> Iterable[str]:
    """Give the looks that the table of complaints asks for, the likeliest fault first."""
    told = {remark.did for remark in remarks}
    if "drips" in told:
        yield "float valve under pressure"
    if told & {"fades", "rest helps"}:
        yield from ("tank cap opened", "flow from the tap")
    if "cuts out" in told:
        yield from ("new plug", "wires and switch shaken")
    for remark in remarks:
        yield from _by_remark(remark)
    if "hard start" in told:
        yield from (
            ("fresh petrol",) if "stood for months" in story else ("new plug", "light through the pilot jet")
        )
    if "fouls" in told:
        yield from ("choke seat", "filter in the hand", "new plug")


def _by_remark(remark: Remark) -> Iterable[str]:
    high = remark.at in {Rung.THREE_QUARTERS, Rung.FULL}
    if remark.at is Rung.SHUT:
        yield from {
            "hangs": ("idle stop right out", "soap on the joints"),
            "pops": ("exhaust joints", "light through the pilot jet"),
            "surges": ("light through the pilot jet", "soap on the joints"),
            "dies": ("light through the pilot jet", "soap on the joints"),
            "spits": ("light through the pilot jet",),
        }.get(remark.did, ())
    if remark.did == "thick":
        yield from ("choke seat", "filter in the hand")
    elif remark.at in {Rung.EIGHTH, Rung.QUARTER} and remark.did in {"dies", "bogs", "surges", "spits"}:
        yield from ("light through the pilot jet", "spray from the bypass holes")
    elif high and remark.did in {"flat", "dies", "pings", "surges", "bogs"}:
        yield from ("tank cap opened", "light through the main jet")


def by_the_book(shed: Shed) -> Outcome:
    """Give how the evening by the book ends."""
    return Textbook(shed).go()
