"""What to do next: one change, one look, a stop tag, or leave it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.advice import Advice, Expect, RunnerUp, Step, Use, Why, aside_of
from floatbowl.advice.cost import is_far_short, minutes_of, share_a_strip_down
from floatbowl.advice.desk import Desk, takes_fuel_away
from floatbowl.advice.looks import RIDE_AND_SAY, Look
from floatbowl.advice.prove import missing_proof
from floatbowl.belief.belief import OF
from floatbowl.belief.unknowns import MOST_FAULTS
from floatbowl.bike.aside import Aside
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import PART_FIELDS
from floatbowl.flow.breath import lift_at
from floatbowl.units import MILLIMETRE

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.advice.measure import Test
    from floatbowl.advice.rank import Option
    from floatbowl.belief.belief import Belief
    from floatbowl.bike.drawer import Drawer
    from floatbowl.bike.setup import Setup
    from floatbowl.signs.trial import Trial

    Array = NDArray[np.float64]

_CARE = {
    "main": ("bowl off",),
    "pilot": ("bowl off",),
    "float": ("bowl off",),
    "clip": ("slide out",),
    "washer": ("slide out",),
    "needle": ("slide out",),
    "cutaway": ("slide out",),
    "screw": (),
}
_RATHER_SOUND = 0.4
"""Chance of no fault below which a look worth its minutes comes before any jet (judgement)."""
_RUNNERS_UP = 3
_FEW, _MANY = 3, 10
"""Of the twenty far short: from so many on gently; from so many on not at all (judgement)."""


def advise(
    belief: Belief,
    *,
    drawer: Drawer,
    trials: tuple[Trial, ...],
    rng: Generator,
    aside: tuple[Aside, ...] = (),
) -> Advice:
    """Tell what to do next with what is in the drawer.

    All choices are weighed in expected minutes. Before anything is changed a
    fault must be less of a loss than jetting; a look or a test comes first
    where knowing saves more than changing. What was just mended is ridden
    before anything else. What was set ``aside`` is offered again only where
    nothing else is worth doing. ``rng`` throws the dice with which tests are tried.
    """
    advice = _answer(_Desk(belief, drawer, trials, rng, aside=frozenset(aside)))
    if advice.kind == "done" and aside:
        whatever = _answer(_Desk(belief, drawer, trials, rng))
        advice = advice if whatever.kind == "done" else whatever
    return replace(advice, aside=aside, is_offered_again=aside_of(advice) in aside)


def _answer(desk: _Desk) -> Advice:
    is_told = any(trial.remarks or trial.readings for trial in desk.trials)
    if desk.may_ask_to_ride:
        if not is_told:
            return desk.ask(RIDE_AND_SAY, why="unknown")
        if desk.trials[-1].mended:
            return desk.ask(RIDE_AND_SAY, why="mended")
    if not desk.belief.trust.is_good:
        return desk.ask(desk.best_look()[0], why="unexplained")
    if desk.is_found or desk.cost_of_going_on() > desk.cost_of_stopping():
        return desk.stop()
    return desk.best_act()


class _Desk(Desk):
    """What is weighed, and the answers that come of it."""

    @property
    def may_ask_to_ride(self) -> bool:
        """Say whether a ride was not set aside."""
        return Aside(look=RIDE_AND_SAY.key) not in self.aside

    def best_act(self) -> Advice:
        """Choose between a look, a test, a change, and leaving it: what saves most by the minute comes first.

        What saves less by the minute can still be done afterwards.
        """
        change, by_change = self.best_change()
        look, by_look = self.best_look()
        test, by_test = self.best_test()
        if by_look > 0.0 and self.sound < _RATHER_SOUND:
            return self.ask(look, why="fault")
        rates = {
            "look": by_look / look.minutes,
            "test": by_test / test.minutes if test else 0.0,
            "change": by_change / change.minutes if change else 0.0,
        }
        best = max(rates, key=lambda kind: rates[kind])
        if rates[best] > 0.0:
            if best == "look":
                return self.ask(look, why="fault")
            if test is not None and best == "test":
                return self.measure(test)
            if change is not None:
                return self.change(change)
        if self._complains() and look.shows:
            return self.ask(look, why="fault")
        return self.finish()

    def finish(self) -> Advice:
        """Ask for the cheapest check that is missing before it is proven; with none left, leave it.

        What ``prove`` asks for and what comes next are one and the same.
        """
        missing = missing_proof(self.belief, self.trials)
        check = min(self.checks_left(missing), key=lambda test: test.minutes, default=None)
        if check is None:
            return self.leave_it(missing)
        at = check.at or self._worst()
        right = self.belief.counts_at(at)[1]
        return self._look(check.key, check.minutes, Why(key="unproven", at=at, count=right))

    def change(self, best: Option) -> Advice:
        """Advise a change, and with it what lies behind the same strip-down and is as well spoken for."""
        at = self._where(best)
        short, _, much = self._counts(self.now, at)
        is_short = self._is_short(at)
        speaks_for, against = self._entries_about(best)
        also, setup, error = self._with_also(best)
        after = self._counts(error, at)
        return Advice(
            kind="change",
            steps=(best.step,),
            also=also,
            setup=setup,
            minutes=minutes_of([best.step.part, *(step.part for step in also)]),
            why=Why(
                key="short" if is_short else "too much",
                at=at,
                count=short if is_short else much,
                speaks_for=speaks_for,
                speaks_against=against,
            ),
            expect=Expect(
                at=at, lift_mm=self._lift_mm(at), right=after[1], short=after[0], too_much=after[2]
            ),
            buy=self._to_buy(),
            runners_up=self._runners_up(best, at),
            care=self._care([best.step.part, *(step.part for step in also)], error),
            assumed=self.belief.leaned_on,
            use=self._use(self.now),
            bad_tail_count=int(is_far_short(error[:OF]).sum()),
        )

    def _with_also(self, best: Option) -> tuple[tuple[Step, ...], Setup, Array]:
        """Give the other change of the plan behind the same strip-down, and what both make together.

        None where no entry speaks for it, or where both together endanger what neither would alone.
        """
        others = [option for option in self.plan if option.step.part != best.step.part]
        near = [option for option in others if share_a_strip_down(best.step.part, option.step.part)]
        for option in near:
            field = PART_FIELDS[option.step.part]
            both = replace(best.setup, **{field: getattr(option.setup, field)})
            if self._entries_about(option)[0] and self.is_safe(error := self.panel.error(both)):
                return (option.step,), both, error
        return (), best.setup, best.error

    def stop(self) -> Advice:
        """Hang a stop tag: a fault is likelier than jetting, by what each would waste."""
        suspect = self._suspect_to_look_for()
        look = self._look_to_make(suspect)
        found = self._found(suspect) is not None
        kind = self.belief.fault_keys.index(suspect.fault)
        speaks_for, against = self._jury.on_fault(kind)
        return Advice(
            kind="stop",
            steps=(),
            setup=self.belief.setup,
            minutes=look.minutes,
            why=Why(
                key="found" if found else "fault",
                at=self._worst(),
                count=suspect.count,
                speaks_for=speaks_for,
                speaks_against=against,
            ),
            expect=None,
            look=look.key,
            suspect=suspect.fault,
            suspect_count=suspect.count,
            assumed=self.belief.leaned_on,
            use=self._use(self.now, tagged=suspect.fault),
            bad_tail_count=int(is_far_short(self.now[:OF]).sum()),
        )

    def ask(self, look: Look, *, why: str) -> Advice:
        """Ask for a look or a ride before anything is changed."""
        for_: tuple[str, ...] = ()
        against: tuple[str, ...] = ()
        count = max(self.belief.counts_at(self._worst()))
        if why == "fault":
            shown = [s for s in self.belief.suspects if s.fault in look.shows]
            has_any = np.zeros(OF, dtype=bool)
            for suspect in shown:
                has_any |= self.belief.has(suspect.fault)[self.belief.twenty]
            count = int(has_any.sum())
            for_, against = self._jury.on_fault(self.belief.fault_keys.index(shown[0].fault))
        return self._look(
            look.key,
            look.minutes,
            Why(key=why, at=self._worst(), count=count, speaks_for=for_, speaks_against=against),
        )

    def measure(self, test: Test) -> Advice:
        """Ask for a test that tells more."""
        at = test.at or self._worst()
        return self._look(
            test.key, test.minutes, Why(key="measure", at=at, count=max(self.belief.counts_at(at)))
        )

    def _look(self, key: str, minutes: float, why: Why) -> Advice:
        return Advice(
            kind="look",
            steps=(),
            setup=self.belief.setup,
            minutes=minutes,
            why=why,
            expect=None,
            look=key,
            assumed=self.belief.leaned_on,
            use=self._use(self.now),
            bad_tail_count=int(is_far_short(self.now[:OF]).sum()),
        )

    def leave_it(self, missing: tuple[str, ...]) -> Advice:
        """Say that it is proven, or that nothing is left that this drawer and any test could do better."""
        at = self._worst()
        short, right, much = self.belief.counts_at(at)
        return Advice(
            kind="done",
            steps=(),
            setup=self.belief.setup,
            minutes=0.0,
            why=Why(key="best the drawer makes" if missing else "right", at=at, count=right),
            expect=Expect(at=at, lift_mm=self._lift_mm(at), right=right, short=short, too_much=much),
            buy=() if self.is_settled() else self._to_buy(),
            missing=missing,
            assumed=self.belief.leaned_on,
            use=self._use(self.now),
            bad_tail_count=int(is_far_short(self.now[:OF]).sum()),
        )

    def _to_buy(self) -> tuple[Step, ...]:
        return tuple(option.step for option in self.buy)

    def _lift_mm(self, at: Rung) -> float:
        b = self.belief
        sound = np.full((1, MOST_FAULTS), -1)
        p = b.stage.parameters(b.setup, b.day, b.z.mean(axis=0, keepdims=True), sound)
        return round(float(lift_at(p, np.array([at.opening]))[0, 0]) / MILLIMETRE, 1)

    def _runners_up(self, best: Option, at: Rung) -> tuple[RunnerUp, ...]:
        planned = [option for option in self.plan if option is not best]
        others = [RunnerUp(steps=(option.step,), why_not="one at a time") for option in planned]
        seen = {option.step.part for option in self.plan}
        for option in self.options:
            if option.step.part in seen or option.step == best.step:
                continue
            seen.add(option.step.part)
            others.append(RunnerUp(steps=(option.step,), why_not=self._why_not(option, best, at)))
        return tuple(others[:_RUNNERS_UP])

    def _why_not(self, option: Option, best: Option, at: Rung) -> str:
        if is_far_short(option.error[:OF]).sum() > is_far_short(best.error[:OF]).sum() + 1:
            return "risk"
        if option.left < best.left:
            return "more work"
        if self.panel.left(self.now) - option.left > option.minutes:
            return "one at a time"
        if self._counts(option.error, at)[1] > self._counts(self.now, at)[1]:
            return "less say"
        return "worse"

    def _care(self, parts: list[str], error: Array) -> tuple[str, ...]:
        """Give what to mind while these parts are changed, and with what they leave."""
        keys: list[str] = []
        short_high = float((self.now[:OF, 3:] < -self.belief.close_enough[3:]).any(axis=1).sum())
        if self.belief.bike.engine.strokes == 2 and short_high >= _FEW:  # noqa: PLR2004
            keys.append("two-stroke short")
        if is_far_short(error[:OF]).sum() >= 1 and takes_fuel_away(error, self.now, self.panel):
            keys.append("far short")
        return tuple(dict.fromkeys([*keys, *(key for part in parts for key in _CARE[part]), "test ride"]))

    def _use(self, error: Array, *, tagged: str | None = None) -> Use:
        """Say whether it may be used; ``tagged`` is the fault that a stop tag is about."""
        far = int(is_far_short(error[:OF]).sum())
        feared = {suspect.fault for suspect in self.belief.suspects if suspect.count >= _FEW} | {tagged}
        two = self.belief.bike.engine.strokes == 2  # noqa: PLR2004
        sticks = "slide hangs open" in feared
        leaks = two and "air leak" in feared
        seal = "crank seal leaks" in feared
        if sticks or seal or tagged == "float valve leaks" or (far >= _MANY and two):
            return "not"
        return "gently" if leaks or tagged == "main jet blocked" or far >= _FEW else "ride"
