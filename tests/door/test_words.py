"""What is said: every noun has its words, chances are counts, and no sentence lectures."""

from __future__ import annotations

import inspect
import re
import shlex
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from floatbowl.advice import advise
from floatbowl.advice import looks as advised
from floatbowl.advice.advice import Advice, Step
from floatbowl.belief import check
from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike, assumptions
from floatbowl.bike.drawer import Drawer, one_change_away
from floatbowl.bike.faults import FAULT_KEYS, FAULTS
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.record.trial_file import NOUNS
from floatbowl.signs.trial import SHOWS, LookReading, Remark, Trial
from floatbowl.words import (
    asked_back,
    bench,
    card,
    care,
    heard,
    looks,
    measuring,
    mending,
    names,
    proving,
    steps,
    suspects,
)
from floatbowl.words.trouble import nearest, not_known

AVOID = (
    "config",
    "tune",
    "map",
    "gauge",
    "session",
    "prior",
    "posterior",
    "likelihood",
    "sigma",
    "probability",
    "user",
    "error code",
    "optimal",
    "dial in",
    "lean out",
)
"""Words that never stand on a screen."""


ALL_LOOKS = {**looks.LOOKS, **measuring.TESTS}
"""Whatever advice can ask for, by key."""


def all_words() -> Iterator[str]:
    """Give every sentence and name that stands in a table of words."""
    for look in ALL_LOOKS.values():
        yield from (look.act, *look.how, look.found, look.not_found, look.measure)
    for suspect in suspects.SUSPECTS.values():
        yield from (suspect.name, suspect.find, suspect.hides, suspect.act, *suspect.mend)
    tables = (
        care.CARE,
        care.USE,
        card.WHY,
        card.WHY_NOT,
        card.OVER,
        names.BEHAVIOURS,
        names.DID,
        names.AT,
        names.CHOKE_DID,
        names.HAND_DID,
        bench.TRUST,
    )
    for table in tables:
        yield from table.values()
    for do, _ in proving.CHECKS.values():
        yield do
    yield from (
        proving.PROVEN,
        card.LEAVE_IT,
        card.DRAWER_HAS_NO_BETTER,
        asked_back.TOUCHED_LAST,
        *asked_back.HOW_IT_DIED,
    )


def avoided(text: str) -> list[str]:
    """Give the words to avoid that stand in a text."""
    return [word for word in AVOID if re.search(rf"\b{word}s?\b", text, re.IGNORECASE)]


def test_no_word_to_avoid_stands_in_any_table() -> None:
    """No sentence uses a word that means nothing at the bench."""
    assert [(text, avoided(text)) for text in all_words() if avoided(text)] == []


def test_the_search_for_words_to_avoid_finds_one() -> None:
    """The check above would see a wrong word: it is not blind."""
    assert avoided("A prior session on the map") == ["map", "session", "prior"]


def test_every_fault_has_its_story() -> None:
    """Each fault of the bike has a name, what to find first, and a look that shows it; none is told twice."""
    assert set(suspects.SUSPECTS) == set(FAULT_KEYS)
    assert [key for key, one in suspects.SUSPECTS.items() if key not in SHOWS[one.look]] == []
    for told in ("name", "find", "hides", "act"):
        assert len({getattr(one, told) for one in suspects.SUSPECTS.values()}) >= len(FAULT_KEYS) - 1


def test_every_fault_can_be_mended() -> None:
    """How to mend it stands in two lines, short enough to read with wet gloves, below what the hand does."""
    mending = [(suspect.act, *suspect.mend) for suspect in suspects.SUSPECTS.values()]
    assert [text for lines in mending for text in lines if not 10 < len(text) <= 125] == []
    assert len({act for act, *_ in mending}) == len(FAULT_KEYS)
    assert {fault for shown in SHOWS.values() for fault in shown} == set(suspects.SUSPECTS)


@pytest.mark.parametrize(
    ("fault", "warning"),
    [
        ("crank seal leaks", "Do not run a two-stroke"),
        ("float valve leaks", "set fire"),
        ("weak spark", "hits hard"),
        ("ignition cuts out", "hits hard"),
        ("exhaust leaks", "never in the shed"),
        ("fuel tap clogged", "no flame"),
        ("slide hangs open", "Do not ride it"),
    ],
)
def test_a_fault_that_can_hurt_says_so(fault: str, warning: str, stop_for_leak: Advice, bike: Bike) -> None:
    """The danger stands on the tag before anything else to mind, looked for or found."""
    for key in ("fault", "found"):
        told = card.card(
            replace(stop_for_leak, suspect=fault, look=None, why=replace(stop_for_leak.why, key=key)),
            bike=bike,
        )
        assert warning in told.line("care")


def test_whatever_advice_can_say_has_words() -> None:
    """Every look, reason and care that advice names by key stands in the tables."""
    code = inspect.getsource(advise)
    assert set(SHOWS) == set(looks.LOOKS)
    assert {look.key for look in (*advised.LOOKS, advised.RIDE_AND_SAY)} <= set(ALL_LOOKS)
    assert {key for keys in advise._CARE.values() for key in keys} <= set(care.CARE)
    assert set(re.findall(r'keys.append\("([^"]+)"\)', code)) <= set(care.CARE)
    assert set(re.findall(r'(?:why|key)="([^"]+)"', code)) <= set(card.WHY)
    assert set(re.findall(r'why_not="([^"]+)"', code)) <= set(card.WHY_NOT)


@pytest.mark.parametrize("kind", [kind for kind in measuring.WRITTEN if kind != "log"])
def test_every_reading_is_written_as_its_list_says(kind: str) -> None:
    """What ``measured --list`` tells to write is understood, and it tells how the reading is taken."""
    _, written = measuring.WRITTEN[kind]
    words = re.sub(r" --.*", "", written).split()
    assert heard.reading(words, rpm_word=None, choke_word=None)["kind"] == kind
    assert measuring.how_taken(kind).how
    assert set(measuring.WRITTEN) == set(NOUNS) - {"look", "ear"}  # these have commands of their own


@pytest.mark.parametrize("key", ALL_LOOKS)
def test_a_command_on_a_look_is_understood(key: str, stop_for_leak: Advice, bike: Bike) -> None:
    """Every command on the card of a look or test can be written as it stands there."""
    look = replace(stop_for_leak, kind="look", look=key, suspect=None)
    told = card.card(look, bike=bike).lines
    commands = [
        found
        for _, text in told
        for found in re.findall(r"floatbowl (\w+) magpie ([^.,(]+(?:\.\d[^.,(]*)*)", text)
    ]
    assert commands
    for verb, rest in commands:
        words = shlex.split(re.sub(r" --.*", "", rest))
        match verb:
            case "measured":
                assert heard.reading(words, rpm_word=None, choke_word=None)
            case "said":
                assert heard.said(words)
            case _:
                assert heard.looked(words)


def test_a_belief_not_to_be_leaned_on_says_why() -> None:
    """Every reason for which a belief is not trusted has its sentence."""
    reasons = set(re.findall(r'why = "([^"]+)"', inspect.getsource(check))) - {"good"}
    assert reasons == set(bench.TRUST)


@pytest.mark.parametrize("key", ALL_LOOKS)
def test_every_look_can_be_done(key: str) -> None:
    """A look has two lines, short enough to read with wet gloves, and its care lines exist."""
    look = ALL_LOOKS[key]
    assert len(look.how) == 2
    assert all(len(line) <= 125 for line in (*look.how, look.found, look.not_found))
    assert set(look.care) <= set(care.CARE)
    assert {one for suspect in suspects.SUSPECTS.values() for one in suspect.care} <= set(care.CARE)


def test_care_is_at_most_two_sentences() -> None:
    """A care line is read before the hand moves: two sentences, no more."""
    assert [text for text in care.CARE.values() if len(re.findall(r"[.!?](?:\s|$)", text)) > 2] == []


def test_every_measure_has_a_name(bike: Bike) -> None:
    """Whatever an answer leaned on can be named in plain words."""
    unnamed = [
        path for path in assumptions(bike) if names.measure_name(path).startswith(("engine", "carb", "fuel"))
    ]
    assert unnamed == []


def test_the_sentence_of_the_bench(believe_by_hand: Callable[..., Belief]) -> None:
    """The bench speaks as designed: the say first, then a count of the twenty."""
    belief = believe_by_hand()
    told = bench.bench_sentence(belief, at=Rung.QUARTER)
    assert told == "At 1/4 open, the needle has most say. 19 of the 20 likely bikes are short of fuel here."


def test_no_part_rules_where_none_has_a_clear_say(believe_by_hand: Callable[..., Belief]) -> None:
    """Under 40 in 100 for every part the sentence says that no part has a clear say."""
    even = replace(believe_by_hand(), say=believe_by_hand().say * 0 + 0.25)
    assert bench.who_has_the_say(even, at=Rung.HALF) == "no part has a clear say"


def test_when_the_twenty_disagree_we_do_not_know(believe_by_hand: Callable[..., Belief]) -> None:
    """With no side holding more than half of the twenty the sentence says so, and gives all three counts."""
    wide = believe_by_hand((0,) * 6, spread_pct=6.0)
    told = bench.bench_sentence(wide, at=Rung.HALF)
    assert "We do not know yet: of the 20 likely bikes" in told
    counts = re.findall(r"\b(\d+) (?:are short|about right|get too)", told)
    assert sum(int(count) for count in counts) == 20


def test_the_bike_in_one_sentence(believe_by_hand: Callable[..., Belief], trials: tuple[Trial, ...]) -> None:
    """The garage says what it does most, and the stretches where more than half of the twenty are off."""
    told = bench.bike_sentence(believe_by_hand(), trials)
    assert told == (
        "Bogs at 1/4 open. Short of fuel from 1/4 to 1/2 (15 in 20 or more); "
        "too much fuel at full (17 in 20)."
    )


def test_a_bike_right_everywhere(believe_by_hand: Callable[..., Belief]) -> None:
    """A bike that is right at every opening is told so, by its least sure rung."""
    told = bench.bike_sentence(believe_by_hand((0,) * 6, spread_pct=1.0))
    assert told == "Right at every opening, 20 in 20 or better."


@pytest.mark.parametrize("rung", RUNGS)
def test_counts_of_a_row_add_to_twenty(rung: Rung, believe_by_hand: Callable[..., Belief]) -> None:
    """Short, right and too much are the twenty, none lost; say is a hundred; off is twenty numbers."""
    row = next(row for row in bench.ladder(believe_by_hand()) if row.at is rung)
    assert row.short + row.right + row.too_much == 20
    assert sum(row.say_pct) == 100
    assert len(row.off_pct) == 20


def test_only_what_was_said_on_this_setup_stands_beside_it(
    believe_by_hand: Callable[..., Belief], trials: tuple[Trial, ...]
) -> None:
    """Remarks on another setup, or from before something was mended, are no news about this one."""
    older = tuple(replace(trial, setup=replace(trial.setup, number=7)) for trial in trials)
    broken = tuple(replace(trial, mended=("air leak",)) for trial in trials)
    for told in (older, broken):
        assert [row.heard for row in bench.ladder(believe_by_hand(), told) if row.heard] == []


@pytest.mark.parametrize(
    ("step", "act", "effect"),
    [
        (Step("clip", 3, 4), "Raise the needle one groove", "more fuel"),
        (Step("clip", 3, 1), "Lower the needle 2 grooves", "less fuel"),
        (Step("main", "110", "108"), "Fit main 108", "less fuel"),
        (Step("pilot", "40", "42"), "Fit pilot 42", "more fuel"),
        (Step("screw", 1.5, 2.0), "Turn the air screw out half a turn", "less fuel"),
        (Step("screw", 1.5, 0.5), "Turn the air screw in one turn", "more fuel"),
        (Step("cutaway", "2.5", "2.0"), "Fit the slide with cutaway 2.0", "more fuel"),
        (Step("washer", 0.0, 0.5), "Put a washer of 0.5 mm under the clip", "more fuel"),
        (Step("washer", 0.5, 0.0), "Take the washer out from under the clip", "less fuel"),
        (Step("float", 18.0, 17.0), "Set the float height to 17 mm", "more fuel"),
        (Step("needle", "A1", "B2"), "Fit needle B2", "another shape, see what to expect"),
        (
            Step("needle", "B2", "own"),
            "Fit the carburettor's own needle",
            "another shape, see what to expect",
        ),
        (Step("main", "?", "108"), "Fit main 108", "the old main out, 108 in: see what to expect"),
    ],
)
def test_the_hand_first_then_the_mixture(step: Step, act: str, effect: str, bike: Bike) -> None:
    """A step is named by what the hand does, and its effect on the fuel has the right sign."""
    assert steps.act(step, bike) == act
    assert f" {steps.step_words(step, bike)}".endswith(f" {effect}.")


def test_a_part_nobody_can_read_goes_back_as_the_old_one(raise_needle: Advice, bike: Bike) -> None:
    """The way back never names a question mark."""
    unread = replace(raise_needle, steps=(Step("main", "?", "108"),))
    assert "put back the old main," in card.card(unread, bike=bike).line("back")


@pytest.mark.parametrize(
    ("step", "back"),
    [
        (Step("washer", 0.0, 0.5), "put back the needle without its washer,"),
        (Step("float", 18.0, 17.0), "put back float height 18 mm,"),
    ],
)
def test_the_way_back_names_what_was_there(step: Step, back: str, raise_needle: Advice, bike: Bike) -> None:
    """A washer that was not there goes out again; a float goes back to its height."""
    told = card.card(replace(raise_needle, steps=(step,)), bike=bike)
    assert back in told.line("back")


def test_every_part_that_can_change_has_its_words(bike: Bike, setup: Setup) -> None:
    """Whatever is one change away can be named, told from what to what, and put back."""
    needle = replace(bike.carb.needle, stamp="B2")
    drawer = Drawer(mains=("108",), pilots=("42",), cutaways=("2.0",), needles=(needle,))
    parts = {part for part, _ in one_change_away(replace(setup, float_height_mm=18.0), drawer, grooves=5)}
    assert parts == set(steps._ACT) == set(steps._FROM_TO) == set(card._ELSEWHERE) == set(advise._CARE)


def test_a_fuel_screw_works_the_other_way(bike: Bike) -> None:
    """Out is more fuel on a fuel screw and less on an air screw."""
    fuel_screw = replace(bike, carb=replace(bike.carb, screw="fuel"))
    step = Step("screw", 1.0, 1.5)
    assert steps.richer(step, fuel_screw) is True
    assert steps.richer(step, bike) is False


def test_the_job_card(raise_needle: Advice, bike: Bike, trials: tuple[Trial, ...]) -> None:
    """The card gives the act, the reasons with their entries, the odds in twenty, the way back, the care."""
    told = card.card(raise_needle, bike=bike, trials=trials)
    assert told.head == "Raise the needle one groove"
    assert told.line("do") == "clip from groove 3 to 4, counted from the blunt end: more fuel."
    assert told.line("why") == "Bogs at 1/4 open; 18 of the 20 likely bikes are short of fuel there."
    assert told.line("for") == "bogs at 1/4 open when you snap it, hot, every time (ride-1, ride-2, ride-3)"
    assert told.line("against") == "thick and rough at full opening, hot, every time (ride-5)"
    assert [(tally.count, tally.words) for tally in told.odds] == [
        (15, "about right"),
        (4, "still short"),
        (1, "too much"),
    ]
    assert told.line("back") == "If it gets worse, put back clip in groove 3, and say what it did."
    assert "snap shut" in " ".join(text for label, text in told.lines if label == "care")


def test_the_stop_tag(stop_for_leak: Advice, bike: Bike, trials: tuple[Trial, ...]) -> None:
    """The tag says stop, names the suspect with its count, gives the look, and how to write it down."""
    told = card.card(stop_for_leak, bike=bike, trials=trials)
    assert told.head == "Stop jetting. Find the air leak first."
    assert told.line("why").startswith("Air leak, in 16 of the 20 likely bikes that fit")
    assert [text.split(":")[0] for label, text in told.lines if label == "then"] == ["Bubbles", "None"]
    assert told.close == "Safe to ride home, gently. Do not run it hard."
    found, clear = (text for label, text in told.lines if label == "then")
    assert found.endswith("floatbowl looked magpie found.")
    assert clear.endswith("floatbowl looked magpie clear.")


def test_a_tag_without_a_clear_suspect_does_not_boast(stop_for_leak: Advice, bike: Bike) -> None:
    """Where no fault stands out the tag says that something is broken, not that it knows what."""
    told = card.card(replace(stop_for_leak, suspect_count=2), bike=bike)
    assert told.head == "Stop jetting. See first whether something is broken."
    assert told.line("why").startswith(
        "Looking costs less here than jetting a bike that may be broken. Likeliest: air leak, in 2 of the 20 "
    )


def test_a_part_that_must_be_bought_is_named_at_the_head(raise_needle: Advice, bike: Bike) -> None:
    """A change to a part outside the drawer says so before the hand moves."""
    step = Step("main", "110", "98")
    told = card.card(replace(raise_needle, steps=(step,), buy=(step,)), bike=bike)
    assert told.to_buy == "main 98"
    assert card.card(raise_needle, bike=bike).to_buy == ""


def test_without_a_word_from_the_rider_the_look_says_so(stop_for_leak: Advice, bike: Bike) -> None:
    """Before anybody has ridden it, the reason for riding is just that."""
    ride = replace(
        stop_for_leak, kind="look", look="ride and say", why=replace(stop_for_leak.why, key="unknown")
    )
    assert card.card(ride, bike=bike).line("why") == "Nobody has said yet what it does."


def test_commands_on_a_card_can_be_written_as_they_stand(stop_for_leak: Advice, bike: Bike) -> None:
    """The bike's own name stands in them, in quotes where it has a gap."""
    told = card.card(stop_for_leak, bike=replace(bike, name="Old Magpie"))
    assert "floatbowl log 'old magpie' --suspects" in told.line("also")


def test_a_fault_that_was_found_is_to_be_mended(stop_for_leak: Advice, bike: Bike) -> None:
    """Once a look has found it the tag no longer asks for the look, but for the mending."""
    found = replace(stop_for_leak, why=replace(stop_for_leak.why, key="found"))
    told = card.card(found, bike=bike)
    assert told.head == "Stop jetting. Mend the air leak first."
    assert told.line("why").startswith("A look found it.")
    assert [text for label, text in told.lines if label == "how"] == list(suspects.SUSPECTS["air leak"].mend)
    assert [text for label, text in told.lines if label == "then"] == [
        "Mended? Write it down: floatbowl mended magpie.",
        "Then ride it once before any jet, and say what it did.",
    ]


def test_a_ride_is_no_look_for_a_fault(stop_for_leak: Advice, bike: Bike) -> None:
    """What a ride brings is said, not looked: its card names no command for looks."""
    ride = replace(
        stop_for_leak, kind="look", look="ride and say", why=replace(stop_for_leak.why, key="mended")
    )
    told = card.card(ride, bike=bike)
    assert "floatbowl looked" not in " ".join(text for _, text in told.lines)


def test_after_a_look_the_hand_knows_what_to_do(bike: Bike) -> None:
    """Found: how to mend it. Clear: ask what is next. One of several: name the one that was mended."""
    old = replace(bike, name="Old Magpie")
    found = LookReading(entry="reading-1", look="soap on the joints", outcome="found")
    head, *how, say = mending.after_look(found, bike=old)
    assert (head, len(how)) == ("Mend the air leak:", 2)
    assert say.endswith("floatbowl mended 'old magpie'.")
    assert mending.after_look(replace(found, outcome="clear"), bike=bike) == (
        "What next: floatbowl next magpie.",
    )
    which, then = mending.after_look(replace(found, look="fuel level by a clear hose"), bike=bike)
    assert "floatbowl mended magpie fuel level low" in which
    assert then == "What next: floatbowl next magpie."


def test_after_a_look_that_mends_nothing_is_left_to_mend(bike: Bike) -> None:
    """A new plug that helped is in already: it is only to be written down, under its own name."""
    found = LookReading(entry="reading-1", look="new plug", outcome="found")
    assert mending.after_look(found, bike=bike) == (
        "Mended? Write it down: floatbowl mended magpie weak spark.",
    )


def test_a_look_names_only_what_this_bike_can_have(bike: Bike) -> None:
    """A four-stroke has no crank seal that tells: under pressure only a joint can leak."""
    found = LookReading(entry="reading-1", look="crankcase under pressure", outcome="found")
    assert mending.after_look(found, bike=bike)[0] == "Mend the air leak:"


def test_a_test_says_where_and_how_to_write_it_down(stop_for_leak: Advice, bike: Bike) -> None:
    """A test at an opening names it at the head and in its command; one at idle names none."""
    why = replace(stop_for_leak.why, key="measure", at=Rung.HALF)
    ask = replace(stop_for_leak, kind="look", look="choke test", suspect=None, why=why)
    told = card.card(ask, bike=bike)
    assert told.head == "Ease the choke on a little while you hold the throttle, at 1/2 open."
    assert "floatbowl measured magpie choke 1/2 better" in told.line("then")
    swept = card.card(replace(ask, look="idle sweep"), bike=bike)
    assert swept.head == "Note the idle speed at four or five places of the mixture screw."


def test_a_job_list_shares_one_strip_down(raise_needle: Advice, bike: Bike) -> None:
    """What is done while it is apart stands at the head, among what to do, and in the way back."""
    more = replace(raise_needle, also=(Step("main", "110", "108"),))
    told = card.card(more, bike=bike)
    assert told.head == "Raise the needle one groove; while it is apart, fit main 108"
    assert [text for label, text in told.lines if label == "do"][1] == (
        "With the same strip-down: main 110 out, 108 in: less fuel."
    )
    assert "put back clip in groove 3 and main 110," in told.line("back")
    assert "No change" not in told.line("feel")


def test_the_best_the_drawer_makes_names_what_to_buy(raise_needle: Advice, bike: Bike) -> None:
    """Nothing in the drawer serves better: the card says leave it, and lists the parts that would."""
    step = Step("main", "110", "98")
    done = replace(
        raise_needle,
        kind="done",
        steps=(),
        buy=(step,),
        why=replace(raise_needle.why, key="best the drawer makes"),
    )
    told = card.card(done, bike=bike)
    assert told.head == "Leave it: the drawer holds nothing better"
    assert told.line("buy") == "would serve better than the drawer: main 98."
    assert "floatbowl prove magpie" in told.line("then")


def test_two_faults_at_once_are_counted_in_the_open(believe_by_hand: Callable[..., Belief]) -> None:
    """Where some of the twenty have two faults it is said of how many; else nothing is said."""
    assert bench.two_faults_words(believe_by_hand(faulty=6)) == ""
    assert (
        bench.two_faults_words(believe_by_hand(faulty=6, twice=2)) == "2 of the 20 have two of these at once."
    )
    assert believe_by_hand(faulty=6, twice=2).sound_count == 14


@pytest.mark.parametrize("check", proving.CHECKS)
def test_a_missing_check_says_what_to_do(check: str) -> None:
    """Each check has its sentence and a command with the bike's own name."""
    do, command = proving.check_lines(check, bike="Old Magpie")
    assert do.endswith(".")
    assert "'old magpie'" in command


def test_proven_is_said_only_when_nothing_is_missing() -> None:
    """With checks missing they are counted; with none it is proven."""
    assert proving.proof_words(("idle",), bike="Magpie", setup=8).endswith("not proven yet, 1 check missing.")
    assert "Proven:" in proving.proof_words((), bike="Magpie", setup=8)


def test_what_is_asked_back() -> None:
    """At the first remark what was touched last, at a death how it died, and else nothing."""
    remark = Remark(entry="ride-1", did="bogs", at=Rung.QUARTER)
    (first,) = asked_back.ask_after(remark, bike="Magpie")
    assert "floatbowl measured magpie touched cleaning" in first
    assert asked_back.ask_after(replace(remark, entry="ride-2"), bike="Magpie") == ()
    died = asked_back.ask_after(replace(remark, entry="ride-2", did="dies"), bike="Magpie")
    assert "floatbowl said magpie cuts out" in died[0]


def test_every_fault_can_hang_a_tag(stop_for_leak: Advice, bike: Bike) -> None:
    """A tag can be written for every fault, from the fault alone."""
    for fault in FAULTS:
        told = card.card(replace(stop_for_leak, suspect=fault.key, look=None), bike=bike)
        assert told.head.startswith("Stop jetting. Find ")
        assert told.line("do")


def test_chances_are_spoken_in_twenty(raise_needle: Advice, stop_for_leak: Advice, bike: Bike) -> None:
    """No card speaks of per cents: a chance is a count of the twenty."""
    for advice in (raise_needle, stop_for_leak):
        told = card.card(advice, bike=bike)
        assert not any("%" in text or "per cent" in text for _, text in told.lines)


def test_a_near_word_is_offered() -> None:
    """A slip of the finger finds its word; nonsense finds none."""
    assert nearest("magpei", ("Magpie", "Thistle")) == "Magpie"
    assert nearest("zzz", ("Magpie", "Thistle")) is None
    assert "Did you mean Magpie?" in not_known("magpei", what="a bike", known=("Magpie", "Thistle"))
