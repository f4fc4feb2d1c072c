"""All that is weighed before an answer: what changes, looks and tests are worth on one belief, in minutes."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.advice.all_setups import best_setups, to_setup
from floatbowl.advice.cost import CHASE, WASTED, is_far_short, minutes_off
from floatbowl.advice.looks import ASKED_FOR, RIDE_AND_SAY, Look, look_for, looks_made, times_made
from floatbowl.advice.measure import AT_FULL, IDLE, Bench, Test, has_probe, tests_left
from floatbowl.advice.measure import RIDE_AND_SAY as RIDE
from floatbowl.advice.rank import Option, Panel, Plan, plan, rank
from floatbowl.advice.reasons import Jury
from floatbowl.advice.shop import worth_buying
from floatbowl.advice.worth import Ways
from floatbowl.belief.belief import OF
from floatbowl.bike.aside import Aside
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs import look as look_sign
from floatbowl.signs.trial import LookReading

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.advice.advice import Step
    from floatbowl.belief.belief import Belief, Suspect
    from floatbowl.bike.drawer import Drawer
    from floatbowl.signs.trial import Trial

    Array = NDArray[np.float64]

_NEARLY = 1.2
"""Bands within which the middle of the likely bikes counts as settled (judgement)."""
_LOOKED_AGAIN = 0.35
"""Chance of what a look shows from which it is made once more though it found nothing (judgement)."""
_UNFINISHED = 60.0
"""Minutes left by the best few changes from which every setup of the drawer is gone through (judgement)."""
_SURELY_SOUND = 0.8
"""Chance of no fault below which a bike that is complained of is looked at again (judgement)."""
_WORTH_MOVING = 10.0
"""Minutes that a change must save, and what its ride tells, before a bike is touched (judgement)."""
_SHORTLIST = 6
"""Setups of the whole drawer that are worked out wholly."""
_TRIED = 4
"""Single changes of which it is asked what the ride after them would tell."""
_NOT_LOOKED_FOR = 0.04
"""Chance below which a fault is not looked for before jetting goes on (judgement: less than 1 in 20)."""
_SOME = 6
"""Of the twenty far short: the most that a change may leave, unless there are more now (judgement)."""
_MOST_RIDES = 3
"""Rides of one setup after which another would tell little (judgement)."""


class Desk:
    """What is weighed for one answer."""

    def __init__(
        self,
        belief: Belief,
        drawer: Drawer,
        trials: tuple[Trial, ...],
        rng: Generator,
        *,
        aside: frozenset[Aside] = frozenset(),
    ) -> None:
        """Lay out a belief, the drawer and all that was heard; ``rng`` throws the dice of the tests.

        What was set ``aside`` is weighed with the rest, but not offered.
        """
        self.aside = aside
        self.rng = rng
        self.belief = belief
        self.drawer = drawer
        self.trials = trials
        self.panel = Panel.of(belief)
        self.now = self.panel.now
        self.sound = float(belief.is_sound.mean())
        self.looked = looks_made(trials)

    @cached_property
    def options(self) -> tuple[Option, ...]:
        """Give every single change that endangers nothing and was not set aside, best first."""
        ranked = rank(self.panel, self.drawer)
        return tuple(o for o in ranked if self.is_safe(o.error) and not self._is_aside(o.step))

    def is_safe(self, error: Array) -> bool:
        """Say whether with ``error`` no more of the twenty are far short than a few, or than are now."""
        return is_safe(error, self.panel)

    def _is_aside(self, step: Step) -> bool:
        return Aside(part=step.part, after=step.after) in self.aside

    @cached_property
    def best_plan(self) -> Plan:
        """Give the best plan of changes: of the few next ones, or of every setup in the drawer."""
        near = plan(self.panel, self.options)
        if near.left < self.panel.floor() + _UNFINISHED:
            return near
        far = to_setup(self.panel, best_setups(self.panel, self.drawer, most=_SHORTLIST)[0].setup)
        if not all(self.is_safe(o.error) and not self._is_aside(o.step) for o in far.options):
            return near
        return min(near, far, key=lambda one: one.minutes + one.left)

    @property
    def plan(self) -> tuple[Option, ...]:
        """Give the changes of the best plan."""
        return self.best_plan.options

    @cached_property
    def ways(self) -> Ways:
        """Give all that might be done, and what it would leave."""
        return Ways.of(self.panel, self.options, self.best_plan)

    @cached_property
    def buy(self) -> tuple[Option, ...]:
        """Give the parts that would serve much better than the drawer's."""
        return worth_buying(self.panel, self.drawer, best=self.ways.now)

    # --- what each choice is worth, in minutes -------------------------------------------------------------

    @property
    def is_found(self) -> bool:
        """Say whether a look found something that is not mended yet."""
        return any(self._found(suspect) for suspect in self.belief.suspects)

    def _found(self, suspect: Suspect) -> Look | None:
        """Give the look that found what may be this suspect."""
        found = (look for look in ASKED_FOR if self.looked.get(look.key) == "found")
        return next((look for look in found if suspect.fault in look.shows), None)

    def first_change(self) -> Option | None:
        """Give the change of the plan to make first: the one that helps most where we are surest.

        And rather one that an entry speaks for than one that rests on what is assumed of the bike.
        """
        spoken_for = [option for option in self.plan if self._entries_about(option)[0]] or self.plan
        sound, band = self.panel.sound, self.belief.close_enough
        surest = RUNGS.index(max(RUNGS, key=lambda rung: max(self.belief.counts_at(rung)[::2])))
        costs = {
            option.step: minutes_off(option.error, band)[sound][:, surest].mean() for option in spoken_for
        }
        return min(spoken_for, key=lambda option: costs[option.step], default=None)

    def best_change(self) -> tuple[Option | None, float]:
        """Give the change that is worth most over its minutes, and by how much.

        What a change puts right counts, and what the ride after it tells.
        """
        worth: list[tuple[Option | None, float]] = [(None, _WORTH_MOVING)]
        first = self.first_change()
        if first is not None:
            worth.append((first, self.ways.gain_of_changing + self._told_by(first)))
        left = float(self.panel.cost(self.now).mean())
        for option in self._likely_changes():
            gain = left - float(self.panel.cost(option.error).mean()) - option.minutes
            worth.append((option, gain + self._told_by(option)))
        best, gain = max(worth, key=lambda pair: pair[1])
        return best, gain if best is not None else 0.0

    def _likely_changes(self) -> list[Option]:
        """Give the best change of each of a few parts."""
        best: dict[str, Option] = {}
        for option in self.options:
            best.setdefault(option.step.part, option)
        return list(best.values())[:_TRIED]

    def _told_by(self, option: Option) -> float:
        """Give the minutes that the ride after a change saves by what it tells."""
        outcomes = self.bench.after(option)
        return 0.0 if outcomes is None else self.ways.worth(outcomes)

    @cached_property
    def bench(self) -> Bench:
        """Give the likely bikes on which tests are tried."""
        return Bench(self.panel, self.rng, probe=has_probe(self.trials))

    def best_look(self) -> tuple[Look, float]:
        """Give the look that is worth most over its minutes, and by how much."""
        worth = [(look, self._worth_of_look(look)) for look in self._offered() if self._chance(look) > 0.0]
        return max(worth, key=lambda pair: pair[1], default=(RIDE_AND_SAY, 0.0))

    def _worth_of_look(self, look: Look) -> float:
        draws = self.panel.draws[self.panel.weighed]
        shown = np.zeros(len(draws), dtype=bool)
        for fault in look.shows:
            shown |= self.belief.has(fault)[draws]
        reading = LookReading(entry="", look=look.key, outcome="found")
        seen = look_sign.share_found(reading, shown)
        return self.ways.worth_of_look(seen, shown=shown) - look.minutes

    def _chance(self, look: Look) -> float:
        chance = {suspect.fault: suspect.chance for suspect in self.belief.suspects}
        return sum(chance.get(fault, 0.0) for fault in look.shows)

    def best_test(self) -> tuple[Test | None, float]:
        """Give the test that is worth most over its minutes, and by how much."""
        worth = [
            (test, self.ways.worth(self.bench.outcomes(test)) - test.minutes) for test in self.tests_offered()
        ]
        return max(worth, key=lambda pair: pair[1], default=(None, 0.0))

    def tests_offered(self) -> tuple[Test, ...]:
        """Give the tests that were not made yet nor set aside."""
        left = tests_left(self.trials, self.panel)
        return tuple(test for test in left if Aside(look=test.key, at=test.at) not in self.aside)

    def cost_of_going_on(self) -> float:
        """Give the expected minutes wasted by jetting a bike that is broken."""
        return (1.0 - self.sound) * WASTED.value

    def cost_of_stopping(self) -> float:
        """Give the expected minutes of looking, the likeliest fault for its minutes first, until it is found.

        A sound bike is looked over to the end, and its jets wait; a fault that many
        could be takes many looks, and one that none of them shows is jetted after all.
        """
        shown = [(self._chance(look), look.minutes) for look in self._fresh()]
        minutes, unknown = 0.0, 1.0
        for likely, cost in sorted(shown, key=lambda pair: -pair[0] / pair[1]):
            if likely < _NOT_LOOKED_FOR:
                break
            minutes += max(unknown, 0.0) * cost
            unknown -= likely
        not_found = max(unknown - self.sound, 0.0) * WASTED.value
        return minutes + not_found + self.sound * CHASE.value

    def is_settled(self) -> bool:
        """Say whether the middle of the likely bikes is close enough at every rung, or nearly so."""
        middle = np.median(self.now[self.panel.sound], axis=0)
        return bool((np.abs(middle) < _NEARLY * self.belief.close_enough).all())

    def _complains(self) -> bool:
        """Say whether the last ride, as it stands, was complained of and may well be broken."""
        return self.sound < _SURELY_SOUND and any(
            remark.did != "clean" for trial in self.trials[-1:] for remark in trial.remarks
        )

    # --- looks still to be made -----------------------------------------------------------------------------

    def _suspect_to_look_for(self) -> Suspect:
        """Give the likeliest suspect that a look found, or else that no look has cleared."""
        suspects = self.belief.suspects
        found = [suspect for suspect in suspects if self._found(suspect)]
        fresh = [s for s in suspects if self._looks_for(s)]
        return (found or fresh or list(suspects))[0]

    def _looks_for(self, suspect: Suspect) -> list[Look]:
        return [look for look in self._offered() if suspect.fault in look.shows]

    def _offered(self) -> list[Look]:
        """Give the looks still to be made that were not set aside."""
        return [look for look in self._fresh() if Aside(look=look.key) not in self.aside]

    def _fresh(self) -> list[Look]:
        """Give the looks that were not made yet, and those to be made once more where no other is left.

        But for those at a part that this bike has not got.
        """
        known, made = self.belief.fault_keys, times_made(self.trials)
        likely = [look for look in ASKED_FOR if self._chance(look) >= _LOOKED_AGAIN]
        has = [look for look in ASKED_FOR if look.shows[0] in known]
        fresh = [look for look in has if look.key not in self.looked]
        tried = {fault for look in fresh for fault in look.shows}
        again = [
            look
            for look in has
            if look in likely
            and made[look.key] == 1
            and self.looked.get(look.key) == "clear"
            and not tried & set(look.shows)
        ]
        return [*fresh, *again]

    def _look_to_make(self, suspect: Suspect) -> Look:
        """Give the look that is worth most among those that show the suspect and were not made yet."""
        found = self._found(suspect)
        if found is not None:
            return found
        fresh = self._looks_for(suspect)
        return max(fresh, key=self._worth_of_look, default=look_for(suspect.fault))

    def checks_left(self, missing: tuple[str, ...]) -> list[Test]:
        """Give what can still be done about the checks that are missing before it is proven.

        A look shows up as a test of its key. Where every test was made it is ridden again, a few times.
        """
        left: list[Test] = []
        if "ride all rungs" in missing:
            left += [RIDE]
        if "idle" in missing:
            left += [IDLE]
        if "full opening" in missing:
            left += AT_FULL
        if "no suspect" in missing:
            looks = [look for look in self._offered() if self._chance(look) > 0.0]
            best = sorted(looks, key=lambda look: look.minutes / self._chance(look))[:1]
            left += [Test(look.key, look.minutes) for look in best]
        if "right everywhere" in missing:
            worst = self._worst()
            left += [test for test in self.tests_offered() if test.at in {None, worst}]
        if missing and not left:
            left += [RIDE]
        offered = [test for test in left if Aside(look=test.key, at=test.at) not in self.aside]
        return [test for test in offered if test != RIDE or self._rides() < _MOST_RIDES]

    def _rides(self) -> int:
        """Count how often every opening was spoken of with what is fitted now."""
        fitted = replace(self.belief.setup, number=0)
        here = [one for one in self.trials if replace(one.setup, number=0) == fitted and not one.mended]
        said = Counter(remark.at for trial in here for remark in trial.remarks)
        return min(said[rung] for rung in RUNGS)

    # --- the pieces ----------------------------------------------------------------------------------------

    @cached_property
    def _jury(self) -> Jury:
        return Jury(self.belief, self.trials)

    def _is_short(self, at: Rung) -> bool:
        return bool(self.now[self.panel.sound, RUNGS.index(at)].mean() < 0.0)

    def _entries_about(self, option: Option) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Give the entries that speak for and against what a change would put right where it saves most."""
        at = self._where(option)
        return self._jury.on_error(at, is_short=self._is_short(at))

    def _where(self, option: Option) -> Rung:
        """Give the rung at which a change saves most."""
        band = self.belief.close_enough
        saved = minutes_off(self.now, band) - minutes_off(option.error, band)
        return RUNGS[int(np.argmax(saved[self.panel.sound].mean(axis=0)))]

    def _worst(self) -> Rung:
        """Give the rung at which fewest of the twenty are about right."""
        return min(RUNGS, key=lambda rung: self.belief.counts_at(rung)[1])

    def _counts(self, error: Array, at: Rung) -> tuple[int, int, int]:
        """Count the twenty: short, right, too much; they sit first on the panel."""
        place = RUNGS.index(at)
        band = self.belief.close_enough[place]
        short, much = int((error[:OF, place] < -band).sum()), int((error[:OF, place] > band).sum())
        return short, OF - short - much, much


def takes_fuel_away(error: Array, now: Array, panel: Panel) -> bool:
    """Say whether what makes ``error`` of ``now`` takes fuel away at 3/4 and full."""
    high = [RUNGS.index(Rung.THREE_QUARTERS), RUNGS.index(Rung.FULL)]
    return bool((error - now)[panel.sound][:, high].mean() < 0.0)


def is_safe(error: Array, panel: Panel) -> bool:
    """Say whether ``error`` leaves no more of the twenty far short than a few, or than are so now."""
    before, after = (int(is_far_short(one[:OF]).sum()) for one in (panel.now, error))
    return after <= max(before, _SOME) or not takes_fuel_away(error, panel.now, panel)
