"""The thinking thread: one thought at a time, the last one shown with its age, nothing thought in vain."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest

from floatbowl.bike.drawer import Drawer
from floatbowl.jobs import Facts, Stand, reopen_demo
from floatbowl.web.thinking import Thinking
from floatbowl.words.waiting import stale_words

SOON = 5.0
"""Seconds within which even a busy machine gets round to it."""


class Bench:
    """Thinking that can be held up and looked at."""

    def __init__(self) -> None:
        """Begin with a thread that thinks nothing hard."""
        self.thought: list[Facts] = []
        self.threads: set[str] = set()
        self.may_go_on = threading.Event()
        self.may_go_on.set()
        self.trouble: Exception | None = None
        self.thinking = Thinking(think=self._think)
        self.thinking.start(first=lambda: None)

    def _think(self, facts: Facts, drawer: Drawer) -> Stand:
        self.thought.append(facts)
        self.threads.add(threading.current_thread().name)
        assert self.may_go_on.wait(SOON)
        if self.trouble is not None:
            raise self.trouble
        return cast("Stand", SimpleNamespace(facts=facts, drawer=drawer))

    def wait_until(self, is_so: Callable[[], bool]) -> None:
        """Wait until something is so."""
        until = time.monotonic() + SOON
        while not is_so():
            assert time.monotonic() < until
            time.sleep(0.002)


@pytest.fixture
def bench() -> Iterator[Bench]:
    """Give a bench, and stop its thread."""
    one = Bench()
    yield one
    one.may_go_on.set()
    one.thinking.stop(patience=SOON)
    assert not one.thinking._thread.is_alive()


@pytest.fixture(scope="module")
def facts(demo_file: Path) -> Facts:
    """Give what is known of Magpie."""
    with reopen_demo(demo_file) as garage:
        return garage.facts("magpie")


def other_bike(facts: Facts, name: str) -> Facts:
    """Give the same facts of a bike of another name."""
    return replace(facts, bike=replace(facts.bike, name=name))


EMPTY = Drawer()


def test_a_thought_is_fresh_and_made_once(bench: Bench, facts: Facts) -> None:
    """The same facts are thought about once, however often they are asked about, in the one thread."""
    first = bench.thinking.about(facts, EMPTY, patience=SOON)
    again = bench.thinking.about(replace(facts), EMPTY, patience=0.0)
    assert first is not None
    assert again is not None
    assert first.is_fresh
    assert again.is_fresh
    assert again.stand is first.stand
    assert bench.thought == [facts]
    assert bench.threads == {"thinking"}


def test_the_last_thought_stands_in_with_its_age(bench: Bench, facts: Facts) -> None:
    """While a new entry is thought about, the thought from before is shown, and how old it is is said."""
    before = bench.thinking.about(facts, EMPTY, patience=SOON)
    bench.may_go_on.clear()
    newer = replace(facts, trials=())
    time.sleep(0.05)
    meanwhile = bench.thinking.about(newer, EMPTY, patience=0.02)
    assert before is not None
    assert meanwhile is not None
    assert not meanwhile.is_fresh
    assert meanwhile.stand is before.stand
    assert 0.05 <= meanwhile.age < SOON
    bench.may_go_on.set()
    after = bench.thinking.about(newer, EMPTY, patience=SOON)
    assert after is not None
    assert after.is_fresh
    assert after.stand is not before.stand


def test_without_any_thought_nobody_waits_longer_than_said(bench: Bench, facts: Facts) -> None:
    """A page gets nothing after its patience is over, and the thought goes on."""
    bench.may_go_on.clear()
    began = time.monotonic()
    assert bench.thinking.about(facts, EMPTY, patience=0.05) is None
    assert time.monotonic() - began < 1.0
    bench.may_go_on.set()
    known = bench.thinking.about(facts, EMPTY, patience=SOON)
    assert known is not None
    assert bench.thought == [facts]


def test_another_drawer_is_another_thought(bench: Bench, facts: Facts) -> None:
    """What may be advised depends on the parts at hand, so a new part is thought about."""
    bench.thinking.about(facts, EMPTY, patience=SOON)
    bench.thinking.about(facts, replace(EMPTY, mains=("108",)), patience=SOON)
    assert len(bench.thought) == 2


def test_what_is_no_longer_asked_is_not_thought(bench: Bench, facts: Facts) -> None:
    """Of three entries made while it thinks of something else, only the last is thought about."""
    bench.may_go_on.clear()
    bench.thinking.about(other_bike(facts, "Otter"), EMPTY, patience=0.0)
    bench.wait_until(lambda: len(bench.thought) == 1)
    entries = [replace(facts, setup=replace(facts.setup, number=number)) for number in (1, 2, 3)]
    for one in entries:
        bench.thinking.about(one, EMPTY, patience=0.0)
    bench.may_go_on.set()
    assert bench.thinking.about(entries[-1], EMPTY, patience=SOON) is not None
    assert bench.thought[1:] == entries[-1:]


def test_the_bike_that_is_looked_at_goes_first(bench: Bench, facts: Facts) -> None:
    """A bench that is opened does not wait for the bikes that were put in the queue before."""
    bench.may_go_on.clear()
    bikes = [other_bike(facts, name) for name in ("Otter", "Thistle", "Wren")]
    for one in bikes:
        bench.thinking.about(one, EMPTY, patience=0.0)
    bench.wait_until(lambda: len(bench.thought) == 1)
    waiting = next(one for one in bikes if one not in bench.thought)
    bench.thinking.about(waiting, EMPTY, patience=0.0)
    bench.may_go_on.set()
    bench.wait_until(lambda: len(bench.thought) == len(bikes))
    assert bench.thought[1] == waiting


def test_a_dry_fit_goes_before_a_belief(bench: Bench, facts: Facts) -> None:
    """What is quick is done before what is long."""
    done: list[Any] = []
    bench.may_go_on.clear()
    bench.thinking.about(facts, EMPTY, patience=0.0)
    bench.thinking.about(other_bike(facts, "Otter"), EMPTY, patience=0.0)
    bench.wait_until(lambda: len(bench.thought) == 1)
    fit = threading.Thread(target=lambda: done.append(bench.thinking.do("fit", lambda: len(bench.thought))))
    fit.start()
    bench.wait_until(lambda: "fit" in bench.thinking._quick)
    bench.may_go_on.set()
    fit.join(SOON)
    assert done == [1]


def test_a_dry_fit_that_nobody_waits_for_is_not_begun(bench: Bench, facts: Facts) -> None:
    """When the page has gone on without it, it is left."""
    begun: list[str] = []
    bench.may_go_on.clear()
    bench.thinking.about(facts, EMPTY, patience=0.0)
    bench.wait_until(lambda: len(bench.thought) == 1)
    assert bench.thinking.do("fit", lambda: begun.append("fit"), patience=0.02) is None
    bench.may_go_on.set()
    bench.thinking.do("other", lambda: begun.append("other"), patience=SOON)
    assert begun == ["other"]


def test_a_thought_that_fails_is_told_and_the_thread_lives(bench: Bench, facts: Facts) -> None:
    """Whoever waits hears of the failure; the next bike is thought about as ever."""
    bench.trouble = ZeroDivisionError("the sums")
    with pytest.raises(ZeroDivisionError):
        bench.thinking.about(facts, EMPTY, patience=SOON)
    bench.trouble = None
    assert bench.thinking.about(facts, EMPTY, patience=SOON) is not None


def test_many_at_once_think_one_after_the_other(bench: Bench, facts: Facts) -> None:
    """Twenty pages asking at once about one bike cause one thought."""
    known: list[Any] = []
    pages = [
        threading.Thread(target=lambda: known.append(bench.thinking.about(facts, EMPTY, patience=SOON)))
        for _ in range(20)
    ]
    for one in pages:
        one.start()
    for one in pages:
        one.join(SOON)
    assert len({id(one.stand) for one in known}) == 1
    assert bench.thought == [facts]


@pytest.mark.parametrize(
    ("age", "said"),
    [
        (0.2, "a moment ago"),
        (1.0, "1 second ago"),
        (59.0, "59 seconds ago"),
        (61.0, "1 minute ago"),
        (7300.0, "2 hours ago"),
    ],
)
def test_the_age_is_told_in_words(age: float, said: str) -> None:
    """How old a thought is is said in the largest unit that fits."""
    assert f"worked out {said}." in stale_words(age)
