"""The keeper of the door: guessed slowly or not at all."""

from __future__ import annotations

import secrets
from collections.abc import Callable

import pytest

from floatbowl.web.doorkeeper import STAY, TRIES_OF_ALL, TRIES_OF_ONE, DoorKeeper
from floatbowl.words import door as words

CODE, WRONG = "482913", "482914"


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        """Begin somewhere."""
        self.now = 1000.0

    def __call__(self) -> float:
        """Tell the time."""
        return self.now


@pytest.fixture
def clock() -> Clock:
    """Give a clock."""
    return Clock()


@pytest.fixture
def keeper(clock: Clock) -> DoorKeeper:
    """Give a keeper with a known code."""
    return DoorKeeper(code=CODE, clock=clock)


def guess_patiently(keeper: DoorKeeper, clock: Clock, *, peer: Callable[[int], str], times: int) -> str:
    """Guess wrong so many times, waiting as long as it takes in between; give the last answer."""
    said = ""
    for turn in range(times):
        clock.now += 100.0
        said = keeper.try_code(WRONG, peer=peer(turn)).why_not
    return said


def test_codes_are_six_digits_and_differ() -> None:
    """Each keeper draws its own code."""
    codes = {DoorKeeper().code for _ in range(20)}
    assert all(len(code) == 6 and code.isdecimal() for code in codes)
    assert len(codes) > 15


@pytest.mark.parametrize("typed", [CODE, " 482 913 "])
def test_the_code_gives_a_pass(keeper: DoorKeeper, typed: str) -> None:
    """Who types the code, spaces or not, gets a pass that lets in; a made-up one does not."""
    ticket = keeper.try_code(typed, peer="a").ticket
    assert len(ticket) >= 43  # 32 random bytes, written in letters
    assert keeper.lets_in(ticket)
    assert not keeper.lets_in(ticket[:-1])
    assert not keeper.lets_in("")


def test_passes_differ(keeper: DoorKeeper) -> None:
    """No two people get the same pass."""
    assert len({keeper.try_code(CODE, peer="a").ticket for _ in range(20)}) == 20


def test_a_pass_runs_out(keeper: DoorKeeper, clock: Clock) -> None:
    """After twelve hours the code is asked for again."""
    ticket = keeper.try_code(CODE, peer="a").ticket
    clock.now += STAY - 1.0
    assert keeper.lets_in(ticket)
    clock.now += 1.0
    assert not keeper.lets_in(ticket)


def test_a_pass_ends_with_the_process(keeper: DoorKeeper) -> None:
    """A keeper that starts anew knows no pass of before, even with the same code."""
    ticket = keeper.try_code(CODE, peer="a").ticket
    assert not DoorKeeper(code=CODE).lets_in(ticket)


def test_each_wrong_code_doubles_the_wait(keeper: DoorKeeper, clock: Clock) -> None:
    """Waits grow as 1, 2, 4, 8 seconds, and within the wait not even the right code is looked at."""
    for wait in (1, 2, 4, 8):
        assert keeper.try_code(WRONG, peer="a").why_not == words.wrong_code(wait)
        clock.now += wait - 0.5
        assert keeper.try_code(CODE, peer="a").why_not == words.wait_first(0.5)
        clock.now += 0.5
    assert keeper.try_code(CODE, peer="a").ticket


def test_too_many_from_one_place_lock_it_out(keeper: DoorKeeper, clock: Clock) -> None:
    """After eight wrong codes one place stays out, however long it waits; another comes in."""
    said = guess_patiently(keeper, clock, peer=lambda _: "a", times=TRIES_OF_ONE)
    assert said == words.LOCKED_OUT
    clock.now += 1e6
    assert keeper.try_code(CODE, peer="a").why_not == words.LOCKED_OUT
    assert keeper.try_code(CODE, peer="b").ticket


def test_too_many_from_everywhere_shut_the_door(keeper: DoorKeeper, clock: Clock) -> None:
    """Guessers who come from ever new places get no more than forty tries together; who is in stays in."""
    ticket = keeper.try_code(CODE, peer="owner").ticket
    said = guess_patiently(keeper, clock, peer=str, times=TRIES_OF_ALL)
    assert said == words.LOCKED
    clock.now += 3600.0
    assert keeper.try_code(CODE, peer="new").why_not == words.LOCKED
    assert keeper.lets_in(ticket)


def test_guessers_from_everywhere_are_slowed(keeper: DoorKeeper) -> None:
    """Without waiting, a crowd of guessers gets only a few tries at all."""
    answers = [keeper.try_code(WRONG, peer=str(turn)).why_not for turn in range(500)]
    looked_at = [said for said in answers if not said.startswith("Too soon")]
    assert len(looked_at) < 10


@pytest.mark.parametrize("typed", ["", "48291", "4829130", "abcdef", "٤٨٢٩١٣", "48 29", "-48291"])
def test_what_is_no_code_costs_no_try(keeper: DoorKeeper, typed: str) -> None:
    """A slip of the finger is told as such and is not counted."""
    for _ in range(2 * TRIES_OF_ONE):
        assert keeper.try_code(typed, peer="a").why_not
    assert keeper.try_code(CODE, peer="a").ticket


def test_codes_are_compared_in_constant_time(keeper: DoorKeeper, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every code that is looked at goes through the comparison that takes as long for any of them."""
    seen: list[tuple[bytes, bytes]] = []

    def compare(one: bytes, other: bytes) -> bool:
        seen.append((one, other))
        return one == other

    monkeypatch.setattr(secrets, "compare_digest", compare)
    keeper.try_code(WRONG, peer="a")
    assert seen == [(WRONG.encode(), CODE.encode())]
